"""Statements about pawns, files, squares, bishops, castling, material and places, decided in one position."""

from __future__ import annotations

import re
from collections.abc import Callable

import chess

from timeline.checks import structure
from timeline.checks.claims import Spot, Talk, Verdict, at, decider, every, file_of, noun, side_of, sides, some, square
from timeline.checks.grammar import Claim
from timeline.checks.nouns import PIECES, Noun, parse_side
from timeline.pawns import passed


def _pawns_meant(claim: Claim, spot: Spot, talk: Talk) -> list[int] | None:
    """The pawns a claim is about: by phrase, by square, by file, or all of a side's."""
    board = spot.board
    if "a" in claim.parts:
        found = noun(claim, "a", talk)
        return None if found is None or found.piece != chess.PAWN else found.found(board)
    file = file_of(claim)
    file = file if file is not None else file_of(claim, "file2")
    place = square(claim)
    men = [s for side in sides(claim, talk) for s in board.pieces(chess.PAWN, side)]
    if place is not None:
        return [s for s in men if s == place] or None
    return [s for s in men if file is None or s % 8 == file]


@decider("isolated", "passed", "backward")
def _pawn_is(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    men = _pawns_meant(claim, spot, talk)
    if men is None:
        return None
    test: Callable[[chess.Board, int], Verdict] = {
        "isolated": structure.isolated,
        "passed": passed,
        "backward": structure.backward,
    }[claim.kind]
    if not men:
        # "White has an isolated d pawn" with no white d pawn at all.
        return False if "a" not in claim.parts else None
    return some(test(spot.board, s) for s in men)


@decider("doubled")
def _doubled(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    file = file_of(claim)
    file = file if file is not None else file_of(claim, "file2")
    files = range(8) if file is None else (file,)
    return any(structure.doubled(spot.board, s, f) for s in sides(claim, talk) for f in files)


@decider("hanging_pawns")
def _hanging_pawns(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    return some(structure.hanging_pawns(spot.board, s, file_of(claim)) for s in sides(claim, talk))


@decider("open_file")
def _open_file(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    file = file_of(claim)
    return None if file is None else structure.open_file(spot.board, file)


@decider("half_open")
def _half_open(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    file = file_of(claim)
    if file is None:
        return None
    return any(structure.half_open(spot.board, file, s) for s in sides(claim, talk))


@decider("outpost")
def _outpost(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    board = spot.board
    place = square(claim)
    side = side_of(claim, talk)
    if "a" in claim.parts:
        men = at(claim, spot, talk, "a")
        if place is not None:
            men = [m for m in men if m == place] or men
        return some(structure.outpost(board, s, bool(board.color_at(s))) for s in men)
    if place is None:
        return None
    owner = board.color_at(place)
    options = (side,) if side is not None else ((owner,) if owner is not None else chess.COLORS)
    return some(structure.outpost(board, place, s) for s in options)


@decider("weak_square")
def _weak_square(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    place = square(claim)
    if place is None:
        return None
    return any(structure.weak_square(spot.board, place, s) for s in sides(claim, talk))


@decider("shade")
def _shade(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    light = claim.parts["shade"] in ("light", "white")
    place = square(claim)
    if place is not None:
        return structure.is_light(place) == light
    if "a" in claim.parts:
        found = noun(claim, "a", talk)
        if found is not None and found.square is not None and claim.parts["shade"] in ("light", "dark"):
            return structure.is_light(found.square) == light
        return some(structure.is_light(s) == light for s in at(claim, spot, talk, "a"))
    bishops = [s for side in sides(claim, talk) for s in spot.board.pieces(chess.BISHOP, side)]
    return some(structure.is_light(s) == light for s in bishops)


# -- bishops, kings, development, material


@decider("bishop_pair")
def _bishop_pair(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    return any(structure.bishop_pair(spot.board, s) for s in sides(claim, talk))


@decider("opposite_bishops")
def _opposite_bishops(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    return structure.opposite_bishops(spot.board)


@decider("fianchetto")
def _fianchetto(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    board = spot.board
    place = square(claim)
    named = noun(claim, "a", talk)
    squares = [s for side in sides(claim, talk) for s in board.pieces(chess.BISHOP, side)]
    if named is not None:
        squares = [s for s in squares if s in named.found(board)]
        if "king 's" in claim.parts["a"]:
            squares = [s for s in squares if s % 8 > 3]
        elif "queen 's" in claim.parts["a"]:
            squares = [s for s in squares if s % 8 < 4]
        if not squares and named.square is not None:
            return None
    if place is not None:
        squares = [s for s in squares if s == place]
    return any(structure.fianchettoed(board, s) for s in squares)


def _has_castled(spot: Spot, talk: Talk, side: chess.Color, wing: str | None) -> Verdict:
    start = talk.score.start if talk.score is not None else chess.Board()
    board = start.copy(stack=False)
    for move in spot.path:
        if board.turn == side and board.is_castling(move):
            return wing is None or board.is_kingside_castling(move) == (wing in ("kingside", "short"))
        board.push(move)
    if not spot.path and spot.board.board_fen() != start.board_fen():
        # A position without its history: a king at home has not castled, one on c1 or g1 may have.
        king = spot.board.king(side)
        home = chess.E1 if side else chess.E8
        return False if king == home and not spot.board.chess960 else None
    if start.board_fen() != chess.Board().board_fen() and not start.has_castling_rights(side):
        return None
    return False


@decider("castled", "uncastled")
def _castled(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    wing = claim.parts.get("wing")
    both = claim.parts.get("side", "both") == "both" and "poss" not in claim.parts
    answers = [_has_castled(spot, talk, s, wing) for s in sides(claim, talk)]
    if claim.kind == "castled":
        return every(answers) if both else some(answers)
    flipped = [None if a is None else not a for a in answers]
    return every(flipped) if both else some(flipped)


@decider("castle_right", "castle_lost")
def _castle_right(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    board, wing = spot.board, claim.parts.get("wing")
    answers: list[Verdict] = []
    for side in sides(claim, talk):
        kingside = board.has_kingside_castling_rights(side)
        queenside = board.has_queenside_castling_rights(side)
        has = (kingside or queenside) if wing is None else (kingside if wing in ("kingside", "short") else queenside)
        if _has_castled(spot, talk, side, None):
            # After castling nobody says either.
            answers.append(None if claim.kind == "castle_lost" else False)
            continue
        answers.append(has if claim.kind == "castle_right" else not has)
    return some(answers)


@decider("developed")
def _developed(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    number = claim.number()
    if number is None:
        return None
    return any(number in structure.developed(spot.board, s) for s in sides(claim, talk))


_DOWN_WORDS = "down behind short less fewer lost sacrificed deficit disadvantage missing lacking lacks minus without"
_DOWN = frozenset(["in the hole", "given up", "gave up", *_DOWN_WORDS.split()])


def _turned(claim: Claim, side: chess.Color) -> chess.Color:
    """The side that is ahead, when ``side`` is "down"."""
    return (not side) if claim.parts.get("up") in _DOWN else side


@decider("exchange_up")
def _exchange_up(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    return any(structure.exchange_up(spot.board, _turned(claim, s)) for s in sides(claim, talk))


@decider("material")
def _material(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    number = claim.number() or 1
    name = claim.parts["piece"]
    if name == "king":
        return None  # "king up": a move
    answers: list[Verdict] = []
    for side in sides(claim, talk):
        ahead = _turned(claim, side)
        if name in ("piece", "minor piece"):
            answers.append(
                structure.minor_up(spot.board, ahead)
                if number == 1
                else structure.piece_up(spot.board, ahead, chess.BISHOP, number)
            )
        elif name == "pawn":
            answers.append(structure.pawns_up(spot.board, ahead, number))
        else:
            answers.append(structure.piece_up(spot.board, ahead, PIECES[name], number))
    return some(answers)


@decider("material_even")
def _material_even(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    return structure.points(spot.board, chess.WHITE) == structure.points(spot.board, chess.BLACK)


@decider("material_lead")
def _material_lead(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    answers = []
    for side in sides(claim, talk):
        ahead = _turned(claim, side)
        answers.append(structure.points(spot.board, ahead) > structure.points(spot.board, not ahead))
    return some(answers)


@decider("piece_count")
def _piece_count(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    number = 0 if "n0" in claim.parts else claim.number()
    name = claim.parts["piece"]
    if number is None or name not in PIECES:
        return None
    side = side_of(claim, talk)
    board = spot.board
    both = len(board.pieces(PIECES[name], chess.WHITE)) + len(board.pieces(PIECES[name], chess.BLACK))
    if claim.parts.get("side") is None:
        return number == both
    if claim.parts["side"] == "both":
        return None
    options = chess.COLORS if side is None else (side,)
    return any(len(board.pieces(PIECES[name], s)) == number for s in options)


@decider("standing")
def _standing(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    place = square(claim)
    if "man" in claim.parts and place is not None:
        found = Noun(PIECES[claim.parts["man"]], parse_side(claim.parts.get("poss"), talk.me), place)
    else:
        named = noun(claim, "a", talk)
        if named is None or named.square is None or not re.search(r" (?:on|at) [a-h][1-8]$", claim.parts["a"]):
            return None  # "my knight h3" may be a move
        found = named
    if found.side is None and "side" in claim.parts:
        found = Noun(found.piece, side_of(claim, talk), found.square, light=found.light)
    return bool(found.found(spot.board))

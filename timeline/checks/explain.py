"""What is so, when what was said is not: one short sentence about the likeliest position."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import chess

from timeline.checks import facts, structure
from timeline.checks.claims import Spot, Talk, at, file_of, noun, side_of, sides, square, targets
from timeline.checks.grammar import Claim
from timeline.checks.mobility import moves_of
from timeline.checks.nouns import PIECES

Explainer = Callable[[Claim, Spot, Talk], str]


def colour(side: chess.Color) -> str:
    return "White" if side else "Black"


def man(board: chess.Board, place: int) -> str:
    """ "white knight f3" """
    piece = board.piece_at(place)
    name = f"{'white' if piece.color else 'black'} {chess.piece_name(piece.piece_type)} " if piece else ""
    return f"{name}{chess.square_name(place)}"


def men(board: chess.Board, places: Iterable[int]) -> str:
    names = [man(board, p) for p in places]
    return ", ".join(names) if names else "nothing"


LATELY = 4
"""Half-moves back: so far a piece that has moved is the one spoken of ("the knight"), another of its kind is not."""


def meant(claim: Claim, spot: Spot, talk: Talk, name: str, side: chess.Color | None = None) -> list[int]:
    """The squares of the piece so called; of several that one may mean, the one that moved lately if one has."""
    called = noun(claim, name, talk)
    places = at(claim, spot, talk, name, side)
    return places if called is not None and called.plural else latest(spot, places)


def latest(spot: Spot, places: Sequence[int]) -> list[int]:
    """The one of these squares to which a piece moved last; all of them where none has moved lately."""
    moved = next((m.to_square for m in reversed(spot.path[-LATELY:]) if m.to_square in places), None)
    return list(places) if moved is None else [moved]


def explain(claim: Claim, spot: Spot, talk: Talk) -> str:
    """The facts against a statement that was found wrong."""
    function = _BY_KIND.get(claim.kind)
    return function(claim, spot, talk) if function is not None else _CHECKS.get(claim.kind, "it is not so")


def _giving_check(claim: Claim, spot: Spot, talk: Talk) -> str:
    checkers = list(spot.board.checkers())
    if not checkers:
        return "no king is in check"
    side = colour(spot.board.turn)
    return f"{side} is in check from {men(spot.board, checkers)}"


def _mate(claim: Claim, spot: Spot, talk: Talk) -> str:
    board = spot.board
    if board.is_checkmate():
        return f"{colour(board.turn)} is mated"
    if not board.is_check():
        return f"{colour(board.turn)} is not in check"
    reply = next(iter(board.legal_moves))
    return f"{colour(board.turn)} can answer {board.san(reply)}"


def _stalemate(claim: Claim, spot: Spot, talk: Talk) -> str:
    board = spot.board
    if board.is_checkmate():
        return "it is checkmate"
    move = next(iter(board.legal_moves), None)
    return f"{colour(board.turn)} can play {board.san(move)}" if move else "it is not so"


def _mate_in(claim: Claim, spot: Spot, talk: Talk) -> str:
    for attack in (True, False):
        found = talk.mates.get((spot.board.epd(), attack))
        if found is not None and found.within:
            line = spot.board.variation_san(found.line) if found.line else ""
            return f"mate in {found.within}: {line}" if attack else f"it is mate in {found.within} at most: {line}"
    return f"no mate in {claim.number()} is there: every line was searched"


def _threat(claim: Claim, spot: Spot, talk: Talk) -> str:
    names = [colour(s) for s in sides(claim, talk)]
    return f"no move of {' or '.join(names)} mates at once"


def _legal_count(claim: Claim, spot: Spot, talk: Talk) -> str:
    """The moves of the side named, where it was last on the move; of a side not named, now and before the last move."""
    side = side_of(claim, talk)
    asked = [b for b in (spot.board, spot.before) if b is not None and side in (None, b.turn)]
    told = []
    for board in asked:
        has = "has" if board is spot.board else "had"
        told.append(f"{colour(board.turn)} {has} {_listed([board.san(m) for m in board.legal_moves], 'legal move')}")
    if len(told) > 1 and spot.before is not None and spot.last is not None:
        told[1] = f"before {spot.before.san(spot.last)}, {told[1]}"
    return "; ".join(told) or f"it is {colour(spot.board.turn)}'s move"


def _listed(names: Sequence[str], what: str) -> str:
    """ "6 legal moves: Kd2, Ke2, …" """
    shown = f"{', '.join(names[:6])}{', …' if len(names) > 6 else ''}"
    return f"{len(names)} {what}{'' if len(names) == 1 else 's'}: {shown}".rstrip(": ")


def _moves(claim: Claim, spot: Spot, talk: Talk) -> str:
    """The moves that there are, of the side, king or piece spoken of (of the side to move, where it is not said)."""
    if claim.kind == "piece_moves":
        places: Sequence[int | None] = meant(claim, spot, talk, "a", side_of(claim, talk))[:2]
    else:
        named = sides(claim, talk)
        side = spot.board.turn if len(named) > 1 else named[0]
        places = [spot.board.king(side)] if claim.kind == "king_squares" else [None]
    told = []
    for place in places:
        mover = side if place is None else bool(spot.board.color_at(place))
        turned = facts.with_turn(spot.board, mover)
        names = [turned.san(m) for m in moves_of(spot.board, mover, place) or ()]
        who = colour(mover) if place is None else man(spot.board, place)
        told.append(f"{who} has {_listed(names, 'move')}")
    return "; ".join(told)


def _pinned(claim: Claim, spot: Spot, talk: Talk) -> str:
    told = []
    for place in meant(claim, spot, talk, "a")[:2]:
        lines = facts.pin(spot.board, place)
        if lines:
            told.append(f"behind {man(spot.board, place)} stands {man(spot.board, lines[0][1])}")
        else:
            told.append(f"no line runs through {man(spot.board, place)} to a better piece")
    return "; ".join(told)


def _attacked(claim: Claim, spot: Spot, talk: Talk) -> str:
    hitters = meant(claim, spot, talk, "a")
    if not hitters:
        return "nothing attacks it"
    board = spot.board
    return "; ".join(f"{man(board, h)} attacks {men(board, facts.forked(board, h))}" for h in hitters[:2])


def _defended(claim: Claim, spot: Spot, talk: Talk) -> str:
    board = spot.board
    guarding = at(claim, spot, talk, "a")
    owners = {board.color_at(g) for g in guarding}
    found = targets(claim, spot, talk)
    # "The knight is protected by the bishop on f8": a knight of the bishop's side.
    place = next(iter(latest(spot, [p for p in found if board.color_at(p) in owners] or found)), None)
    if place is None:
        return "it does not"
    owner = board.color_at(place)
    side = owner if owner is not None else board.color_at(next(iter(guarding), place))
    guards = facts.attackers(board, place, bool(side))
    return f"{man(board, place)} is protected by {men(board, guards)}"


def _guards_of(claim: Claim, spot: Spot, talk: Talk) -> str:
    board = spot.board
    told = []
    for place in meant(claim, spot, talk, "a")[:2]:
        side = bool(board.color_at(place))
        hitters, guards = facts.attackers(board, place, not side), facts.attackers(board, place, side)
        told.append(f"{man(board, place)} is attacked by {men(board, hitters)} and protected by {men(board, guards)}")
    return "; ".join(told)


def _numbers(claim: Claim, spot: Spot, talk: Talk) -> str:
    board = spot.board
    place = next(iter(targets(claim, spot, talk, "a")), None)
    if place is None:
        return "the number is another"
    told = [f"{colour(s)} {len(facts.attackers(board, place, s))}" for s in chess.COLORS]
    return f"pieces that bear on {chess.square_name(place)}: {', '.join(told)}"


def _cannot_capture(claim: Claim, spot: Spot, talk: Talk) -> str:
    board = spot.board
    for origin in meant(claim, spot, talk, "a"):
        side = bool(board.color_at(origin))
        if board.is_pinned(side, origin):
            return f"{man(board, origin)} is pinned to its king"
        hit = facts.forked(board, origin)
        return f"{man(board, origin)} attacks {men(board, hit)}"
    return "it cannot"


def _file(claim: Claim, spot: Spot, talk: Talk) -> str:
    file = file_of(claim)
    if file is None:
        return "there is none"
    there = [s for s in chess.SquareSet(chess.BB_FILES[file]) if spot.board.piece_type_at(s) == chess.PAWN]
    return f"pawns on the {chess.FILE_NAMES[file]} file: {', '.join(man(spot.board, s) for s in there) or 'none'}"


def _pawns(claim: Claim, spot: Spot, talk: Talk) -> str:
    told = []
    for side in sides(claim, talk):
        names = ", ".join(chess.square_name(s) for s in spot.board.pieces(chess.PAWN, side))
        told.append(f"{colour(side)}'s pawns: {names or 'none'}")
    return "; ".join(told)


def _all_pawns(claim: Claim, spot: Spot, talk: Talk) -> str:
    return "; ".join(
        f"{colour(s)}'s pawns: {', '.join(chess.square_name(p) for p in spot.board.pieces(chess.PAWN, s)) or 'none'}"
        for s in chess.COLORS
    )


def _bishops(claim: Claim, spot: Spot, talk: Talk) -> str:
    told = []
    for side in chess.COLORS:
        places = ", ".join(chess.square_name(p) for p in spot.board.pieces(chess.BISHOP, side))
        told.append(f"{colour(side)}'s bishops: {places or 'none'}")
    return "; ".join(told)


def _material(claim: Claim, spot: Spot, talk: Talk) -> str:
    told = []
    for side in chess.COLORS:
        names = [
            f"{len(spot.board.pieces(kind, side))}{chess.piece_symbol(kind).upper()}"
            for kind in (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT, chess.PAWN)
            if spot.board.pieces(kind, side)
        ]
        told.append(f"{colour(side)} {' '.join(names) or 'bare king'} = {structure.points(spot.board, side)}")
    return "; ".join(told)


def _development(claim: Claim, spot: Spot, talk: Talk) -> str:
    return "; ".join(
        f"{colour(s)} has developed {' or '.join(map(str, sorted(structure.developed(spot.board, s))))}"
        for s in sides(claim, talk)
    )


def _shade(claim: Claim, spot: Spot, talk: Talk) -> str:
    place = square(claim)
    named = noun(claim, "a", talk)
    if place is None and named is not None:
        place = named.square if named.square is not None else next(iter(named.found(spot.board)), None)
    if place is None:
        return _bishops(claim, spot, talk)
    return f"{chess.square_name(place)} is a {'light' if structure.is_light(place) else 'dark'} square"


def _standing(claim: Claim, spot: Spot, talk: Talk) -> str:
    board = spot.board
    named = noun(claim, "a", talk)
    place = square(claim) if "man" in claim.parts else (named.square if named else None)
    kind = PIECES[claim.parts["man"]] if "man" in claim.parts else (named.piece if named else chess.PAWN)
    if place is None:
        return "it is not there"
    owner = named.side if named else side_of(claim, talk)
    same = [
        s
        for s in chess.SquareSet(board.occupied)
        if board.piece_type_at(s) == kind and (owner is None or board.color_at(s) == owner)
    ]
    there = f"on {chess.square_name(place)} stands {man(board, place)}" if board.piece_at(place) else ""
    there = there or f"{chess.square_name(place)} is empty"
    return f"{there}; {chess.piece_name(kind)}s: {', '.join(man(board, s) for s in same) or 'none'}"


def _number(claim: Claim, spot: Spot, talk: Talk) -> str:
    return f"the next move is {spot.board.fullmove_number} of {colour(spot.board.turn)}"


def _played_at(claim: Claim, spot: Spot, talk: Talk) -> str:
    number = claim.number()
    if talk.score is None:
        return "the score has another move"
    told = [
        f"{b.fullmove_number}{'.' if b.turn else '...'} {b.san(m)}"
        for b, m in zip(talk.score.boards, talk.score.moves, strict=False)
        if b.fullmove_number == number
    ]
    return f"the score has {' '.join(told) or 'no such move'}"


def _as_played(claim: Claim, spot: Spot, talk: Talk) -> str:
    if talk.score is None:
        return "the score has another move"
    shared = talk.score.mainline_length(spot.path)
    if shared >= len(talk.score.moves):
        return "the score ends here"
    board = talk.score.boards[shared]
    return (
        f"the score goes on {board.fullmove_number}{'.' if board.turn else '...'} {board.san(talk.score.moves[shared])}"
    )


def _opening(claim: Claim, spot: Spot, talk: Talk) -> str:
    if talk.score is None:
        return "the moves are others"
    first = talk.score.start.variation_san(talk.score.moves[:8])
    return f"the game begins {first}"


def _result(claim: Claim, spot: Spot, talk: Talk) -> str:
    return f"the score's result is {talk.score.game.headers.get('Result', '*') if talk.score else '*'}"


def _player(claim: Claim, spot: Spot, talk: Talk) -> str:
    who = claim.parts.get("who", "")
    return f"{who.capitalize()} has {talk.names.get(who, '?').capitalize()}"


_BY_KIND: dict[str, Explainer] = {
    "check": _giving_check, "double_check": _giving_check, "discovered_check": _giving_check, "checkmate": _mate,
    "stalemate": _stalemate, "mate_in": _mate_in, "threat_mate": _threat, "only_legal": _legal_count,
    "only_move": _legal_count, "pinned": _pinned, "pinned_to": _pinned, "attacks": _attacked, "fork": _attacked,
    "attacked_by": _attacked, "defends": _defended, "defended_by": _defended, "hanging": _guards_of,
    "undefended": _guards_of, "attackers": _numbers, "defenders": _numbers, "attack_defend": _numbers,
    "can_capture": _cannot_capture, "open_file": _file, "half_open": _file, "isolated": _pawns, "doubled": _pawns,
    "hanging_pawns": _pawns, "backward": _all_pawns, "passed": _all_pawns, "outpost": _all_pawns,
    "weak_square": _all_pawns, "bishop_pair": _bishops, "opposite_bishops": _bishops, "fianchetto": _bishops,
    "material": _material, "exchange_up": _material, "material_even": _material, "material_lead": _material,
    "piece_count": _material, "developed": _development, "shade": _shade, "standing": _standing,
    "move_number": _number, "turn": _number, "move_number_played": _played_at, "in_the_game": _as_played,
    "side_moves": _moves, "king_squares": _moves, "piece_moves": _moves,
    "opening": _opening, "result": _result, "players": _player,
}  # fmt: skip
_CHECKS = {
    "pins": "no better piece stands behind it on that line",
    "skewer": "no two pieces stand in a row on such a line",
    "battery": "they do not stand on one line along which both move",
    "xray": "it does not look through exactly one piece",
    "discovered_attack": "the last move opened no line to a piece",
    "castled": "the king has not castled",
    "uncastled": "the king has castled",
    "castle_right": "king or rook have moved",
    "castle_lost": "king and rook have not moved",
    "legal": "no piece can make that move",
    "illegal": "the move is legal",
}

"""Deciding one statement in one position: True, False, or None for "not known".

Each decider takes the claim, the position it may be about, and the talk it was
made in. A phrase that fits several pieces is true if it is true of any; a side
that was not named is either.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import chess

from timeline.checks import facts, structure
from timeline.checks.grammar import Claim
from timeline.checks.mate import Mate, find_mate, find_mated
from timeline.checks.nouns import PIECES, Noun, moves_named, parse_noun, parse_side
from timeline.checks.openings import find_opening, is_opening
from timeline.score import Score

QUICK_NODES = 1_000
MATE_NODES = 15_000
ALL_MATE_NODES = 45_000


@dataclass(frozen=True, slots=True)
class Spot:
    """A position that a statement may be about. ``last`` led here from ``before``; ``path`` from the score's start."""

    board: chess.Board
    path: tuple[chess.Move, ...] = ()
    before: chess.Board | None = None
    last: chess.Move | None = None
    address: str = ""
    sure: float = 1.0


@dataclass(slots=True)
class Talk:
    """What holds for a whole lesson. ``me``: the side of a teacher who speaks as a player. ``names``: player -> side.

    Mate searches are remembered by position, and share one limit of nodes.
    """

    score: Score | None = None
    me: chess.Color | None = None
    names: dict[str, str] = field(default_factory=dict)
    nodes_left: int = ALL_MATE_NODES
    effort: int = MATE_NODES
    mates: dict[tuple[str, bool], Mate] = field(default_factory=dict)

    def mate(self, board: chess.Board, moves: int, *, attack: bool) -> Mate:
        """``find_mate`` (or ``find_mated``) within what is left of the limit, remembered."""
        key = (board.epd(), attack)
        known = self.mates.get(key)
        if known is not None and (known.decides(moves) is not None or known.nodes >= self.effort):
            return known
        look = find_mate if attack else find_mated
        found = look(board, moves, node_limit=max(200, min(self.effort, self.nodes_left)))
        self.nodes_left -= found.nodes
        self.mates[key] = found
        return found


Verdict = bool | None
Decider = Callable[[Claim, Spot, Talk], Verdict]
DECIDERS: dict[str, Decider] = {}


def decider(*kinds: str) -> Callable[[Decider], Decider]:
    def register(function: Decider) -> Decider:
        for kind in kinds:
            DECIDERS[kind] = function
        return function

    return register


def some(values: Iterable[Verdict]) -> Verdict:
    """True if any is, None if none is but one is unknown (or there is none at all), else False."""
    seen = list(values)
    if any(v is True for v in seen):
        return True
    return None if not seen or any(v is None for v in seen) else False


def every(values: Iterable[Verdict]) -> Verdict:
    """False if any is, None if one is unknown (or there is none), else True."""
    seen = list(values)
    if any(v is False for v in seen):
        return False
    return None if not seen or any(v is None for v in seen) else True


def side_of(claim: Claim, talk: Talk) -> chess.Color | None:
    side = parse_side(claim.parts.get("side"), talk.me)
    return side if side is not None else parse_side(claim.parts.get("poss"), talk.me)


def sides(claim: Claim, talk: Talk) -> list[chess.Color]:
    side = side_of(claim, talk)
    return [chess.WHITE, chess.BLACK] if side is None else [side]


def noun(claim: Claim, name: str, talk: Talk) -> Noun | None:
    text = claim.parts.get(name)
    return parse_noun(text, talk.me) if text else None


def at(claim: Claim, spot: Spot, talk: Talk, name: str, side: chess.Color | None = None) -> list[int]:
    """The squares of the piece called ``name`` in the claim."""
    found = noun(claim, name, talk)
    return found.found(spot.board, side) if found else []


def square(claim: Claim, name: str = "sq") -> int | None:
    text = claim.parts.get(name)
    return chess.parse_square(text) if text else None


def targets(claim: Claim, spot: Spot, talk: Talk, name: str = "b") -> list[int]:
    """Squares of a second piece, or the square itself that was named."""
    there = at(claim, spot, talk, name)
    place = square(claim)
    return there if name in claim.parts else ([place] if place is not None else [])


def file_of(claim: Claim, name: str = "file") -> int | None:
    letter = claim.parts.get(name)
    return "abcdefgh".index(letter) if letter else None


# -- check and mate


@decider("check")
def _check(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    board = spot.board
    checkers = board.checkers()
    side = side_of(claim, talk)
    giver = noun(claim, "a", talk)
    goal = square(claim)
    if goal is None and "by" in claim.parts:
        goal = chess.parse_square(claim.parts["by"])
    if goal is None and giver is not None:
        goal = giver.square
    if goal is not None:
        return _move_to(spot, goal, giver, lambda after: after.is_check())
    if giver is not None and checkers:
        last = spot.last.to_square if spot.last is not None else None
        found = giver.found(board)
        return True if last in found or any(s in checkers for s in found) else None
    if not checkers:
        return False
    return side is None or side == board.turn


def _move_to(spot: Spot, goal: int, giver: Noun | None, test: Callable[[chess.Board], bool]) -> Verdict:
    """What holds after the move to ``goal``: the last move, or one that is only spoken of. None if there is no such move."""
    board = spot.board
    there = board.piece_type_at(goal)
    if spot.last is not None and spot.last.to_square == goal and (giver is None or giver.piece == there):
        return test(board)
    if board.checkers() and giver is not None and giver.piece == there and goal in board.checkers():
        return test(board)
    answers: list[Verdict] = []
    for side in chess.COLORS:
        turned = facts.with_turn(board, side)
        if turned.was_into_check():
            continue
        for move in turned.legal_moves:
            if move.to_square != goal or (giver is not None and turned.piece_type_at(move.from_square) != giver.piece):
                continue
            turned.push(move)
            answers.append(test(turned))
            turned.pop()
    return some(answers)


@decider("double_check")
def _double_check(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    return facts.double_check(spot.board)


@decider("discovered_check")
def _discovered_check(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    return facts.discovered_check(spot.board, spot.last)


@decider("discovered_attack")
def _discovered_attack(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    return facts.discovered_attack(spot.before, spot.board, spot.last)


@decider("checkmate")
def _checkmate(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    place = square(claim)
    board = spot.board
    if place is not None:
        # "It is mate on h7": mate now, or what would happen next.
        if board.is_checkmate():
            return (
                True if spot.last is None or spot.last.to_square == place or board.king(board.turn) == place else None
            )
        return some(any(m.to_square == place for m in facts.mates_in_one(board, s)) for s in chess.COLORS)
    if "by" in claim.parts and not board.is_checkmate():
        return _move_to(spot, chess.parse_square(claim.parts["by"]), None, lambda after: after.is_checkmate())
    if not board.is_checkmate():
        return False
    side = side_of(claim, talk)
    if side is None or "role" not in claim.parts:
        return True
    return side == (board.turn if claim.parts["role"] == "victim" else not board.turn)


@decider("stalemate")
def _stalemate(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    if not spot.board.is_stalemate():
        return False
    side = side_of(claim, talk)
    return side is None or side == spot.board.turn


@decider("mate_in")
def _mate_in(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    moves = claim.number()
    if not moves or moves > 30:
        return None
    board = spot.board
    side = side_of(claim, talk)
    answers: list[Verdict] = []
    for attacker in chess.COLORS if side is None else (side,):
        if board.is_game_over(claim_draw=False):
            # The mate itself is already on the board: the claim was about an earlier position.
            answers.append(False)
        elif board.turn == attacker:
            answers.append(_exact(talk.mate(board, moves, attack=True), {moves}))
        else:
            # The first move has been shown: N - 1 are left, or the speaker counts N from here.
            answers.append(_exact(talk.mate(board, moves, attack=False), {moves, moves - 1}))
    return some(answers)


def _exact(found: Mate, wanted: set[int]) -> Verdict:
    if found.within is not None:
        if found.within in wanted:
            return True
        if found.within < min(wanted):
            return False
    decided = found.decides(max(wanted))
    return False if decided is False else None


@decider("threat_mate")
def _threat_mate(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    board = spot.board
    side = side_of(claim, talk)
    if "a" in claim.parts:
        owners = {board.color_at(s) for s in at(claim, spot, talk, "a")}
        if len(owners) == 1:
            side = owners.pop()
    place = square(claim)
    answers: list[Verdict] = []
    for attacker in chess.COLORS if side is None else (side,):
        if board.is_check() and board.turn != attacker:
            answers.append(None if not board.is_checkmate() else False)
            continue
        mates = facts.mates_in_one(board, attacker)
        answers.append(any(place is None or m.to_square == place for m in mates))
    return some(answers)


@decider("only_legal")
def _only_legal(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    # Said before the move, or after it: both positions are asked.
    here = spot.board.legal_moves.count() == 1
    side = side_of(claim, talk)
    if side is not None and side != spot.board.turn:
        here = False
    if here:
        return True
    if spot.before is not None and (side is None or side == spot.before.turn):
        return spot.before.legal_moves.count() == 1
    return False


@decider("only_move")
def _only_move(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    # "Only move" and "forced" also mean "the only good one": with a choice, that is a matter of judgement.
    if _only_legal(claim, spot, talk):
        return True
    board = spot.before if spot.before is not None else spot.board
    if board.is_check():
        return None
    return None


# -- pins, forks, lines


@decider("pinned")
def _pinned(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    return some(facts.pinned(spot.board, s) for s in at(claim, spot, talk, "a"))


@decider("pinned_to")
def _pinned_to(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    behind = PIECES.get(claim.parts.get("piece", "king"), chess.KING)
    return some(facts.pinned_to(spot.board, s, behind) for s in at(claim, spot, talk, "a"))


@decider("pins")
def _pins(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    board = spot.board
    answers: list[Verdict] = []
    for pinner in at(claim, spot, talk, "a"):
        for victim in at(claim, spot, talk, "b"):
            if board.color_at(pinner) == board.color_at(victim):
                continue
            lines = [behind for sniper, behind in facts.pin(board, victim) if sniper == pinner]
            answers.append(facts.pinned(board, victim) if lines else False)
    if not answers and at(claim, spot, talk, "a") and at(claim, spot, talk, "b"):
        return False
    return some(answers)


@decider("fork")
def _fork(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    board = spot.board
    first, second = noun(claim, "b", talk), noun(claim, "c", talk)
    forkers = at(claim, spot, talk, "a", side_of(claim, talk))
    named = noun(claim, "a", talk)
    if not forkers and named is None:
        mover = spot.last.to_square if spot.last is not None else None
        every_man = [s for s in chess.SquareSet(board.occupied) if side_of(claim, talk) in (None, board.color_at(s))]
        forkers = every_man
        if not first:
            best = some(facts.fork(board, s) for s in every_man)
            if best is not True and mover is not None and len(facts.forked(board, mover)) < 2:
                return False
            return best
    answers: list[Verdict] = []
    for forker in forkers:
        hit = facts.forked(board, forker)
        if first and second:
            ones = [s for s in first.found(board) if s in hit]
            others = [s for s in second.found(board) if s in hit]
            answers.append(any(a != b for a in ones for b in others))
        elif first:
            answers.append(any(s in hit for s in first.found(board)) and len(hit) > 1)
        else:
            answers.append(facts.fork(board, forker))
    return some(answers)


@decider("skewer")
def _skewer(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    board = spot.board
    front, behind = noun(claim, "b", talk), noun(claim, "c", talk)
    sliders = at(claim, spot, talk, "a") if "a" in claim.parts else list(chess.SquareSet(board.occupied))
    answers: list[Verdict] = []
    for slider in sliders:
        if board.piece_type_at(slider) not in facts.SLIDERS:
            answers.append(False)
            continue
        found: list[Verdict] = []
        for near, far in facts.skewers(board, slider):
            if front and near not in front.found(board):
                continue
            if behind and far not in behind.found(board):
                continue
            found.append(facts.is_skewer(board, slider, near, far))
        answers.append(some(found) if found else False)
    return some(answers)


@decider("battery")
def _battery(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    board = spot.board
    file = file_of(claim)
    ones, others = at(claim, spot, talk, "a"), at(claim, spot, talk, "b")
    if "a" in claim.parts and "b" in claim.parts:
        pairs = [(a, b) for a in ones for b in others if a != b]
        if not pairs:
            return None
    else:
        pairs = [p for s in sides(claim, talk) for p in facts.batteries(board, s)]
        if not pairs:
            return False
    return any(facts.battery(board, a, b) and (file is None or a % 8 == b % 8 == file) for a, b in pairs)


@decider("xray")
def _xray(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    hits = targets(claim, spot, talk)
    if "a" in claim.parts:
        origins = at(claim, spot, talk, "a")
    else:
        origins = [s for s in chess.SquareSet(spot.board.occupied) if spot.board.piece_type_at(s) in facts.SLIDERS]
    if not hits or not origins:
        return None
    return any(facts.xray(spot.board, o, h) for o in origins for h in hits)


# -- attack and defence


@decider("attacks")
def _attacks(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    board = spot.board
    if "a" not in claim.parts:  # "the rook is under attack"
        return some(_attacked(board, s) for s in at(claim, spot, talk, "b"))
    origins = at(claim, spot, talk, "a")
    wanted = [targets(claim, spot, talk)] + ([at(claim, spot, talk, "c")] if "c" in claim.parts else [])
    if not origins or not all(wanted):
        return None
    return some(every(some(_hits(board, o, h) for h in hits) for hits in wanted) for o in origins)


def _hits(board: chess.Board, origin: int, target: int) -> Verdict:
    if board.color_at(target) == board.color_at(origin):
        return False
    if target in board.attacks(origin):
        return True
    if facts.xray(board, origin, target):
        return None
    # A pawn looks at the square before it, too.
    ahead = origin + (8 if board.color_at(origin) else -8)
    return None if board.piece_type_at(origin) == chess.PAWN and target == ahead else False


def _attacked(board: chess.Board, square: int) -> Verdict:
    side = board.color_at(square)
    return None if side is None else bool(board.attackers(not side, square))


@decider("attacked_by")
def _attacked_by(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    origins, hits = at(claim, spot, talk, "a"), at(claim, spot, talk, "b")
    return some(_hits(spot.board, o, h) for o in origins for h in hits)


@decider("defends", "defended_by")
def _defends(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    board = spot.board
    hits = targets(claim, spot, talk)
    if "a" not in claim.parts:
        answers = [facts.undefended(board, h) for h in hits]
        return some(None if a is None else not a for a in answers)
    origins = at(claim, spot, talk, "a")
    if not origins or not hits:
        return None
    return some(_guards(board, o, h) for o in origins for h in hits)


def _guards(board: chess.Board, origin: int, target: int) -> Verdict:
    if origin == target:
        return False
    there = board.color_at(target)
    if there is not None and there != board.color_at(origin):
        return None if target in board.attacks(origin) else False
    if target in board.attacks(origin):
        return True
    return None if facts.xray(board, origin, target) else False


@decider("hanging")
def _hanging(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    squares = at(claim, spot, talk, "a", side_of(claim, talk))
    return some(facts.hanging(spot.board, s) for s in squares)


@decider("undefended")
def _undefended(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    return some(facts.undefended(spot.board, s) for s in at(claim, spot, talk, "a", side_of(claim, talk)))


@decider("attackers", "defenders", "attack_defend")
def _numbers(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    board = spot.board
    places = targets(claim, spot, talk, "a")
    number = claim.number()
    if number is None or not places:
        return None
    answers: list[Verdict] = []
    for place in places:
        owner = board.color_at(place)
        side = side_of(claim, talk)
        if claim.kind == "attack_defend":
            if owner is None:
                return None
            guards = claim.number("n2")
            answers.append(
                number in facts.counts(board, place, not owner) and guards in facts.counts(board, place, owner)
            )
            continue
        if side is None and owner is not None:
            side = (not owner) if claim.kind == "attackers" else owner
        options = chess.COLORS if side is None else (side,)
        answers.append(any(number in facts.counts(board, place, s) for s in options))
    return some(answers)


@decider("can_capture")
def _can_capture(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    origins, hits = at(claim, spot, talk, "a"), targets(claim, spot, talk)
    if not origins or not hits:
        return None
    return some(facts.can_capture(spot.board, o, h) for o in origins for h in hits)


# -- pawns, files, squares


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
        "passed": structure.passed,
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


_DOWN = frozenset(
    ["in the hole", "given up", *"down behind short less fewer lost sacrificed deficit disadvantage".split()]
)


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
        if named is None or named.square is None:
            return None
        found = named
    if found.side is None and "side" in claim.parts:
        found = Noun(found.piece, side_of(claim, talk), found.square, light=found.light)
    return bool(found.found(spot.board))


# -- the game


@decider("turn")
def _turn(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    side = side_of(claim, talk)
    if side is None or spot.board.is_game_over():
        return None
    return spot.board.turn == side


@decider("move_number")
def _move_number(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    number = claim.number()
    if number is None:
        return None
    now = spot.board.fullmove_number
    # After Black's 19th move the counter says 20; people still call the position "move nineteen".
    near = {now, now - 1} if spot.board.turn == chess.WHITE else {now}
    return number in near


@decider("move_number_played")
def _move_number_played(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    number = claim.number()
    if number is None or talk.score is None:
        return None
    answers: list[Verdict] = []
    for side in sides(claim, talk):
        for board, move in zip(talk.score.boards, talk.score.moves, strict=False):
            if board.fullmove_number == number and board.turn == side:
                answers.append(move in moves_named(board, claim.parts["move"]))
    return some(answers) if answers else None


@decider("in_the_game")
def _in_the_game(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    """The move must be in the mainline near the position (four plies either way), or anywhere later at once named."""
    if talk.score is None:
        return None
    shared = talk.score.mainline_length(spot.path)
    for ply in range(max(0, shared - 6), min(len(talk.score.moves), shared + 8)):
        board = talk.score.boards[ply]
        side = side_of(claim, talk)
        if side is not None and side != board.turn:
            continue
        if talk.score.moves[ply] in moves_named(board, claim.parts["move"]):
            return True
    return False


@decider("result")
def _result(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    if talk.score is None:
        return None
    result = talk.score.game.headers.get("Result", "*")
    if result not in ("1-0", "0-1", "1/2-1/2"):
        return None
    said = claim.parts.get("out", "won")
    if "draw" in said or said == "split point":
        return result == "1/2-1/2"
    side = side_of(claim, talk)
    if side is None:
        return None if result != "1/2-1/2" else False
    winner = None if result == "1/2-1/2" else result == "1-0"
    loses = bool(re.match(r"los|resign|gave|give|threw|had to|has to|stopped", said))
    return winner == ((not side) if loses else side)


@decider("players")
def _players(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    who = claim.parts.get("who", "")
    side = talk.names.get(who)
    return None if side is None else side == claim.parts["seat"]


@decider("opening")
def _opening(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    name = find_opening(claim.parts["opening"])
    if name is None or talk.score is None:
        return None
    return some(is_opening(name, moves, start=talk.score.start) for moves in (spot.path, talk.score.moves))


@decider("legal", "illegal")
def _legal(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    side = side_of(claim, talk)
    text = claim.parts["move"]
    board = spot.board if side is None else facts.with_turn(spot.board, side)
    if board.was_into_check():
        return None
    legal = bool(moves_named(board, text))
    if not re.search(r"king|queen|rook|bishop|knight|pawn|cast", text) and not legal and "takes" not in text:
        return None
    return legal if claim.kind == "legal" else not legal

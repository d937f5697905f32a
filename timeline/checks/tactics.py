"""Statements about check, mate, pins, forks, attack and defence, decided in one position."""

from __future__ import annotations

from collections.abc import Callable

import chess

from timeline.checks import facts
from timeline.checks.claims import (
    Spot,
    Talk,
    Verdict,
    at,
    decider,
    every,
    file_of,
    noun,
    side_of,
    sides,
    some,
    square,
    targets,
)
from timeline.checks.grammar import Claim
from timeline.checks.mate import Mate
from timeline.checks.nouns import PIECES, Noun


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
    """What holds after the move to ``goal``, played last or only spoken of; None if there is no such move."""
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


def _mates_after_reply(board: chess.Board, goal: int) -> bool:
    """Whether a king in check is mated on ``goal`` after some reply: "check, and f2 is mate"."""
    if not board.is_check():
        return False
    for reply in board.legal_moves:
        after = board.copy(stack=False)
        after.push(reply)
        if any(m.to_square == goal for m in facts.mates_in_one(after, after.turn)):
            return True
    return False


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
        now = any(m.to_square == place for s in chess.COLORS for m in facts.mates_in_one(board, s))
        return now or (None if _mates_after_reply(board, place) else False)
    if "by" in claim.parts and not board.is_checkmate():
        goal = chess.parse_square(claim.parts["by"])
        verdict = _move_to(spot, goal, None, lambda after: after.is_checkmate())
        return None if verdict is False and _mates_after_reply(board, goal) else verdict
    if not board.is_checkmate():
        # "Takes, block, mate": the mate may be the move that is announced by it.
        announced = "bare" in claim.parts and facts.mates_in_one(board, board.turn)
        return None if announced else False
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
            answers.append(None)
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
    return some(facts.pinned(spot.board, s) for s in targets(claim, spot, talk, "a"))


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
        return None if target in board.attacks(origin) else False  # "it keeps an eye on e6": it guards it
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
    place = square(claim)
    if "man" in claim.parts and place is not None:
        squares = [s for s in (place,) if spot.board.piece_type_at(s) == PIECES[claim.parts["man"]]]
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

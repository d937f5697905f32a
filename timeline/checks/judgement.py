"""Judgements that need an engine: winning, losing, equal, the best move, a blunder, mates too deep for our own search.

Limits in centipawns are ours: a side is *winning* from +2.00 and surely not
below +0.80; a position is *equal* within 0.60 and surely not beyond 1.50; a
move is *best* when no other gains more than 0.60 over it, a *blunder* when it
loses 1.50 against the best, surely not when it loses less than 0.40. Between
the limits nothing is said against the teacher.
"""

from __future__ import annotations

from dataclasses import dataclass

import chess

from timeline.checks.claims import Spot, Talk, side_of
from timeline.checks.engine import Engine, Opinion
from timeline.checks.grammar import Claim
from timeline.checks.nouns import moves_named

KINDS = frozenset(["winning", "best", "blunder", "mate_in", "only_move"])
WIN, NO_WIN = 200, 80
EVEN, NOT_EVEN = 60, 150
BEST_SLACK = 60
BLUNDER, NO_BLUNDER = 150, 40


@dataclass(frozen=True, slots=True)
class Judged:
    """``verdict`` as elsewhere; ``actual`` what the engine says; ``spot`` where."""

    verdict: bool | None
    actual: str
    spot: Spot


def judge_with(engine: Engine, claim: Claim, spots: tuple[Spot, ...], talk: Talk, most: int = 4) -> Judged | None:
    """The engine's verdict over the likeliest positions: wrong only if wrong in all of them. None: it cannot say."""
    told: list[Judged] = []
    for spot in spots[:most]:
        if spot.board.is_game_over():
            continue
        judged = _at(engine, claim, spot, talk)
        if judged is None or judged.verdict is None:
            return None
        if judged.verdict:
            return judged
        told.append(judged)
    return told[0] if told else None


def _at(engine: Engine, claim: Claim, spot: Spot, talk: Talk) -> Judged | None:
    if claim.kind == "winning":
        return _winning(engine, claim, spot, talk)
    if claim.kind == "mate_in":
        return _mate(engine, claim, spot, talk)
    if claim.kind == "only_move":
        return _only(engine, spot)
    return _move(engine, claim, spot)


def _winning(engine: Engine, claim: Claim, spot: Spot, talk: Talk) -> Judged | None:
    opinion = engine.ask(spot.board)
    if opinion is None:
        return None
    state = claim.parts["state"]
    side = side_of(claim, talk)
    if any(word in state for word in ("equal", "drawn", "level", "balanced")):
        points = abs(opinion.points)
        verdict = True if points <= EVEN else (False if points >= NOT_EVEN else None)
        return Judged(verdict, f"the engine says {opinion}", spot)
    if side is None:
        return None
    points = opinion.for_side(side)
    if "los" in state or "worse" in state:
        points = -points
    if "better" in state or "worse" in state or "clear" in state or "big" in state or state == "fine":
        low, high = -30, 30
    else:
        low, high = NO_WIN, WIN
    verdict = True if points >= high else (False if points <= low else None)
    return Judged(verdict, f"the engine says {opinion}", spot)


def _mate(engine: Engine, claim: Claim, spot: Spot, talk: Talk) -> Judged | None:
    wanted = claim.number()
    if not wanted:
        return None
    side = side_of(claim, talk)
    opinion = engine.ask(spot.board, mate=wanted)
    if opinion is None or opinion.mate is None:
        return None  # not finding a mate is no proof
    mover = opinion.mate > 0
    if side is not None and side != mover:
        return Judged(False, f"the engine says {opinion}", spot)
    # Before the first move N counts; after it N - 1 are left, or N by another way of counting.
    length = abs(opinion.mate)
    good = length == wanted if spot.board.turn == mover else length in (wanted, wanted - 1)
    if good or length < wanted:
        return Judged(good, f"the engine says {opinion}", spot)
    return None


def _only(engine: Engine, spot: Spot) -> Judged | None:
    """ "The only move": wrong when another move is as good as the best within the slack."""
    board = spot.before if spot.before is not None else spot.board
    best = engine.ask(board)
    if best is None or best.best is None:
        return None
    others = tuple(m for m in board.legal_moves if m.uci() != best.best)
    if not others:
        return Judged(True, "it is the only legal move", spot)
    second = engine.ask(board, moves=others)
    if second is None:
        return None
    loss = best.for_side(board.turn) - second.for_side(board.turn)
    move = board.san(chess.Move.from_uci(second.best)) if second.best else "another move"
    if loss <= NO_BLUNDER:
        return Judged(False, f"the engine finds {move} as good ({second} against {best})", spot)
    return Judged(True if loss >= BLUNDER else None, f"the engine says {best}, and {second} after {move}", spot)


def _move(engine: Engine, claim: Claim, spot: Spot) -> Judged | None:
    """ "The best move is M", "M was a blunder": asked before the move, wherever it is legal."""
    found: list[tuple[chess.Board, chess.Move]] = []
    for board in (spot.board, spot.before):
        if board is not None:
            found += [(board, m) for m in moves_named(board, claim.parts["move"])]
    if len({(b.epd(), m) for b, m in found}) != 1:
        return None
    board, move = found[0]
    best, this = engine.ask(board), engine.ask(board, moves=(move,))
    if best is None or this is None:
        return None
    loss = best.for_side(board.turn) - this.for_side(board.turn)
    told = f"the engine says {this} after {board.san(move)}, {best} after {_san(board, best)}"
    if claim.kind == "best":
        return Judged(loss <= BEST_SLACK, told, spot)
    return Judged(True if loss >= BLUNDER else (False if loss <= NO_BLUNDER else None), told, spot)


def _san(board: chess.Board, opinion: Opinion) -> str:
    return board.san(chess.Move.from_uci(opinion.best)) if opinion.best else "its own move"

"""Pawns that nothing of the other side's pawns can stop: asked by the checks and by the follower."""

from __future__ import annotations

import chess


def ahead(square: int, other: int, side: chess.Color) -> bool:
    """Whether ``other`` lies on a rank further on than ``square``, as ``side`` moves its pawns."""
    return other // 8 > square // 8 if side else other // 8 < square // 8


def passed(board: chess.Board, square: int) -> bool:
    """No enemy pawn ahead on its own or a next file (common practice)."""
    side = board.color_at(square)
    if side is None or board.piece_type_at(square) != chess.PAWN:
        return False
    enemies = board.pieces(chess.PAWN, not side)
    return not any(abs(p % 8 - square % 8) <= 1 and ahead(square, p, side) for p in enemies)

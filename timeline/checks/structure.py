"""Pawns, files, squares, bishops, development and material: what counts on the whole board.

Answers are True, False, or None where usages differ and the position lies
between them. The definitions are common practice, written down here.
"""

from __future__ import annotations

from collections.abc import Iterable

import chess

from timeline.checks.facts import VALUE
from timeline.pawns import ahead, passed


def pawns(board: chess.Board, side: chess.Color) -> list[int]:
    return list(board.pieces(chess.PAWN, side))


def files_of(squares: Iterable[int]) -> list[int]:
    return [s % 8 for s in squares]


def isolated(board: chess.Board, square: int) -> bool:
    """No pawn of its own side on either next file."""
    side = board.color_at(square)
    files = set(files_of(pawns(board, bool(side))))
    return side is not None and not files & {square % 8 - 1, square % 8 + 1}


def doubled(board: chess.Board, side: chess.Color, file: int) -> bool:
    """Two or more pawns of the side on the file."""
    return files_of(pawns(board, side)).count(file) >= 2


def backward(board: chess.Board, square: int) -> bool | None:
    """Backward: its neighbours have all gone past it, and an enemy pawn guards the square in front.

    None when an enemy piece alone guards that square, or the pawn is isolated, or a neighbour stands beside it, which
    cannot protect it where it is.
    """
    side = board.color_at(square)
    if side is None or board.piece_type_at(square) != chess.PAWN:
        return None
    near = [p for p in pawns(board, side) if abs(p % 8 - square % 8) == 1]
    beside = [p for p in near if p // 8 == square // 8]
    if any(not ahead(square, p, side) and p not in beside for p in near) or passed(board, square):
        return False
    if beside:
        return None
    front = square + (8 if side else -8)
    guarded = any(board.piece_type_at(s) == chess.PAWN for s in board.attackers(not side, front))
    if guarded and near:
        return True
    return None if guarded or near else False


def hanging_pawns(board: chess.Board, side: chess.Color, file: int | None = None) -> bool | None:
    """Two pawns side by side on half-open files, with no own pawn on the files next to them."""
    mine = pawns(board, side)
    files = set(files_of(mine))
    enemy = set(files_of(pawns(board, not side)))
    for left in range(7):
        right = left + 1
        if file is not None and file not in (left, right):
            continue
        if left in files and right in files and left - 1 not in files and right + 1 not in files:
            ranks = {p // 8 for p in mine if p % 8 in (left, right)}
            if len(ranks) == 1 and not enemy & {left, right}:
                return True
            return None
    return False


def open_file(board: chess.Board, file: int) -> bool:
    """No pawn of either side on the file."""
    return not board.pawns & chess.BB_FILES[file]


def half_open(board: chess.Board, file: int, side: chess.Color) -> bool:
    """No pawn of ``side`` on the file, but one of the other side."""
    men = board.pawns & chess.BB_FILES[file]
    return not men & board.occupied_co[side] and bool(men)


def pawn_can_guard(board: chess.Board, square: int, side: chess.Color) -> bool:
    """Whether a pawn of ``side`` guards the square now or could by advancing on its own file."""
    return any(abs(p % 8 - square % 8) == 1 and ahead(p, square, side) for p in pawns(board, side))


def outpost(board: chess.Board, square: int, side: chess.Color) -> bool | None:
    """In the enemy's half (or the rank before it), out of reach of enemy pawns for good, and guarded by an own pawn.

    None without the guarding pawn.
    """
    rank = square // 8 if side else 7 - square // 8
    if pawn_can_guard(board, square, not side):
        return False
    if rank < 3:
        return None
    guarded = any(board.piece_type_at(s) == chess.PAWN for s in board.attackers(side, square))
    return True if guarded else None


def weak_square(board: chess.Board, square: int, side: chess.Color) -> bool:
    """A hole of ``side``: none of its pawns can ever guard the square."""
    return not pawn_can_guard(board, square, side)


# -- bishops, kings, development, material


def bishop_pair(board: chess.Board, side: chess.Color) -> bool:
    """A bishop on each colour of squares."""
    men = board.pieces(chess.BISHOP, side)
    return bool(men & chess.BB_LIGHT_SQUARES) and bool(men & chess.BB_DARK_SQUARES)


def opposite_bishops(board: chess.Board) -> bool:
    """One bishop each, on squares of different colour."""
    white, black = board.pieces(chess.BISHOP, chess.WHITE), board.pieces(chess.BISHOP, chess.BLACK)
    if len(white) != 1 or len(black) != 1:
        return False
    return is_light(white.pop()) != is_light(black.pop())


def is_light(square: int) -> bool:
    """Whether the square is light (h1 is; FIDE Laws 2.1)."""
    return bool(chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[square])


def fianchettoed(board: chess.Board, square: int) -> bool:
    """A bishop on its side's b2 or g2 (b7, g7 for Black)."""
    piece = board.piece_at(square)
    if piece is None or piece.piece_type != chess.BISHOP:
        return False
    return square in ((chess.B2, chess.G2) if piece.color else (chess.B7, chess.G7))


HOME = {
    chess.WHITE: {chess.KNIGHT: (1, 6), chess.BISHOP: (2, 5), chess.ROOK: (0, 7), chess.QUEEN: (3,)},
    chess.BLACK: {chess.KNIGHT: (57, 62), chess.BISHOP: (58, 61), chess.ROOK: (56, 63), chess.QUEEN: (59,)},
}


def developed(board: chess.Board, side: chess.Color) -> set[int]:
    """How many pieces are developed, under every usage: minor pieces off their squares; and with queen and rooks."""
    minors = sum(
        1 for kind in (chess.KNIGHT, chess.BISHOP) for s in board.pieces(kind, side) if s not in HOME[side][kind]
    )
    majors = sum(1 for kind in (chess.ROOK, chess.QUEEN) for s in board.pieces(kind, side) if s not in HOME[side][kind])
    queen = sum(1 for s in board.pieces(chess.QUEEN, side) if s not in HOME[side][chess.QUEEN])
    return {minors, minors + queen, minors + majors}


def points(board: chess.Board, side: chess.Color) -> int:
    """Material of the side without the king."""
    return sum(VALUE[k] * len(board.pieces(k, side)) for k in VALUE if k != chess.KING)


def lead(board: chess.Board, side: chess.Color) -> dict[int, int]:
    """How many more of each piece ``side`` has than the other; bishops and knights together under BISHOP."""
    found = {k: len(board.pieces(k, side)) - len(board.pieces(k, not side)) for k in VALUE if k != chess.KING}
    found[chess.BISHOP] += found.pop(chess.KNIGHT)
    return found


def exchange_up(board: chess.Board, side: chess.Color) -> bool:
    """The exchange: a rook more for a bishop or knight less, queens even; pawns aside."""
    more = lead(board, side)
    return more[chess.ROOK] == 1 and more[chess.BISHOP] == -1 and more[chess.QUEEN] == 0


def pawns_up(board: chess.Board, side: chess.Color, number: int) -> bool | None:
    """``number`` pawns more with the pieces even; None when the points say so but pieces differ."""
    more = lead(board, side)
    if all(more[k] == 0 for k in (chess.BISHOP, chess.ROOK, chess.QUEEN)):
        return more[chess.PAWN] == number
    difference = points(board, side) - points(board, not side)
    return None if difference == number else False


def piece_up(board: chess.Board, side: chess.Color, piece: int, number: int = 1) -> bool | None:
    """So many more of a piece (a minor piece for KNIGHT and BISHOP), the other pieces even, pawns aside.

    None when the points come within two of it with other pieces uneven.
    """
    more = lead(board, side)
    kind = chess.BISHOP if piece == chess.KNIGHT else piece
    others = [more[k] for k in (chess.BISHOP, chess.ROOK, chess.QUEEN) if k != kind]
    if more[kind] == number and not any(others):
        return True
    difference = points(board, side) - points(board, not side)
    return None if abs(difference - VALUE[piece] * number) <= 1 else False


def minor_up(board: chess.Board, side: chess.Color) -> bool | None:
    """A piece up: a knight or bishop more; None for a rook more, which some also call a piece."""
    exact = piece_up(board, side, chess.BISHOP)
    return None if exact is False and piece_up(board, side, chess.ROOK) else exact

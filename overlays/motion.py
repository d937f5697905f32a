"""How pieces get from one position to the next: pure functions of a time from 0 to 1.

Places are (file, rank) from 0 to 7, as floats while a piece is on its way.
"""

from __future__ import annotations

from dataclasses import dataclass

import chess

from timeline.tracks import BoardSpan, step

MOST_PLIES = 4
"""More plies than this between two positions are not played but cut."""

SHARES = (1.0, 1.25, 1.4, 1.5)
"""How long n plies take together, in times of one ply's motion."""

LEAVING = 0.6
"""A captured piece stays until this share of the way, then fades; a pawn turns into its new piece in the same time."""


@dataclass(frozen=True, slots=True)
class Sprite:
    """A piece that is not simply standing on its square. ``alpha`` 0..1."""

    symbol: str
    file: float
    rank: float
    alpha: float = 1.0


@dataclass(frozen=True, slots=True)
class Pose:
    """All pieces at one instant: those that stand (a FEN's first field), then those on the way, last on top."""

    standing: str
    moving: tuple[Sprite, ...] = ()


@dataclass(frozen=True, slots=True)
class Ply:
    """One move on the way from one position to another. ``back``: it is taken back."""

    before: str
    move: str
    back: bool = False


def ease(t: float) -> float:
    """Slow, fast, slow: 0 at 0, 0.5 at 0.5, 1 at 1, flat at both ends (cubic Hermite)."""
    t = min(1.0, max(0.0, t))
    return t * t * (3 - 2 * t)


def way(tail: int, head: int, t: float) -> tuple[float, float]:
    """Where a piece is after the share ``t`` of its way.

    A knight's jump is a bow around the corner of its L (the long leg first): a
    quadratic Bezier curve whose control point is that corner. All else is straight.
    """
    x0, y0 = chess.square_file(tail), chess.square_rank(tail)
    x1, y1 = chess.square_file(head), chess.square_rank(head)
    dx, dy = x1 - x0, y1 - y0
    if sorted((abs(dx), abs(dy))) == [1, 2]:
        cx, cy = (x0, y1) if abs(dy) == 2 else (x1, y0)
        a, b, c = (1 - t) ** 2, 2 * t * (1 - t), t * t
        return a * x0 + b * cx + c * x1, a * y0 + b * cy + c * y1
    return x0 + dx * t, y0 + dy * t


def pose_of(fen: str) -> Pose:
    """A position at rest."""
    return Pose(fen.split(" ", 1)[0])


def pose_in(ply: Ply, t: float, *, chess960: bool = False) -> Pose:
    """The pieces at the share ``t`` (0..1, not eased) of one ply."""
    share = ease(1 - t if ply.back else t)
    board = chess.Board(ply.before, chess960=chess960)
    move = chess.Move.from_uci(ply.move)
    if share in (0, 1):
        if share:
            board.push(move)
        return Pose(board.board_fen())
    standing = board.copy(stack=False)
    sprites: list[Sprite] = []
    late = min(1.0, max(0.0, (share - LEAVING) / (1 - LEAVING)))

    mover = standing.remove_piece_at(move.from_square)
    if mover is None:
        raise ValueError(f"{ply.move} moves nothing in {ply.before}")
    if board.is_castling(move):
        king_to, rook_from, rook_to = castling_squares(board, move)
        rook = standing.remove_piece_at(rook_from)
        if rook is not None:
            sprites.append(_on_way(rook.symbol(), rook_from, rook_to, share))
        sprites.append(_on_way(mover.symbol(), move.from_square, king_to, share))
        return Pose(standing.board_fen(), tuple(sprites))
    taken_at = _taken_square(board, move)
    if taken_at is not None:
        taken = standing.remove_piece_at(taken_at)
        if taken is not None and late < 1:
            sprites.append(_at(taken.symbol(), taken_at, 1 - late))
    if move.promotion:
        new = chess.Piece(move.promotion, mover.color).symbol()
        x, y = _near(way(move.from_square, move.to_square, share))
        sprites += [Sprite(mover.symbol(), x, y, 1 - late), Sprite(new, x, y, late)]
    else:
        sprites.append(_on_way(mover.symbol(), move.from_square, move.to_square, share))
    return Pose(standing.board_fen(), tuple(s for s in sprites if s.alpha > 0))


def castling_squares(board: chess.Board, move: chess.Move) -> tuple[int, int, int]:
    """King's goal, rook's start and goal, whichever way the move is written."""
    rank = chess.square_rank(move.from_square)
    king_side = board.is_kingside_castling(move)
    king_to = chess.square(6 if king_side else 2, rank)
    rook_to = chess.square(5 if king_side else 3, rank)
    own_rook = board.piece_at(move.to_square)
    if own_rook and own_rook.piece_type == chess.ROOK and own_rook.color == board.turn:
        return king_to, move.to_square, rook_to
    return king_to, chess.square(7 if king_side else 0, rank), rook_to


def _taken_square(board: chess.Board, move: chess.Move) -> int | None:
    if board.is_en_passant(move):
        return chess.square(chess.square_file(move.to_square), chess.square_rank(move.from_square))
    return move.to_square if board.piece_at(move.to_square) else None


def _at(symbol: str, square: int, alpha: float = 1.0) -> Sprite:
    return Sprite(symbol, chess.square_file(square), chess.square_rank(square), alpha)


def _on_way(symbol: str, tail: int, head: int, share: float) -> Sprite:
    return Sprite(symbol, *_near(way(tail, head, share)))


def _near(place: tuple[float, float]) -> tuple[float, float]:
    """The place to a 128th of a square: what cannot be seen makes no new picture."""
    return round(place[0] * 128) / 128, round(place[1] * 128) / 128


def faded(before: str, after: str, t: float) -> Pose:
    """A cut softened: what differs between two positions goes and comes, the rest stands."""
    share = ease(t)
    if share in (0, 1):
        return pose_of(after if share else before)
    one, two = chess.Board(before), chess.Board(after)
    both = chess.Board(None)
    sprites = []
    for square in chess.SQUARES:
        old, new = one.piece_at(square), two.piece_at(square)
        if old == new:
            if old:
                both.set_piece_at(square, old)
            continue
        if old:
            sprites.append(_at(old.symbol(), square, 1 - share))
        if new:
            sprites.append(_at(new.symbol(), square, share))
    return Pose(both.board_fen(), tuple(sprites))


class Positions:
    """FENs along the paths of one track, each position played once."""

    def __init__(self, start_fen: str, *, chess960: bool = False) -> None:
        self.chess960 = chess960
        self._fens: dict[tuple[str, ...], str] = {(): start_fen}

    def board(self, path: tuple[str, ...]) -> chess.Board:
        """The position after a path (UCI). Raises ValueError where a move does not fit."""
        known = len(path)
        while path[:known] not in self._fens:
            known -= 1
        board = chess.Board(self._fens[path[:known]], chess960=self.chess960)
        for count in range(known, len(path)):
            board.push_uci(path[count])
            self._fens[path[: count + 1]] = board.fen()
        return board

    def last_move(self, path: tuple[str, ...]) -> tuple[int, int] | None:
        """From and to of a path's last move (castling: where the king really goes)."""
        if not path:
            return None
        board, move = self.board(path[:-1]), chess.Move.from_uci(path[-1])
        return move.from_square, castling_squares(board, move)[0] if board.is_castling(move) else move.to_square


def plies_between(positions: Positions, before: BoardSpan, after: BoardSpan) -> tuple[Ply, ...] | None:
    """The moves that lead from one span to the next, taken-back ones first; None when it is to be cut."""
    if "hand" in (before.origin, after.origin):
        return None
    back, forward = step(before, after)
    if back + len(forward) > MOST_PLIES:
        return None
    keep = len(before.path) - back
    undone = [
        Ply(positions.board(before.path[:count]).fen(), before.path[count], back=True)
        for count in range(len(before.path) - 1, keep - 1, -1)
    ]
    made = [Ply(positions.board(after.path[: keep + i]).fen(), move) for i, move in enumerate(forward)]
    return (*undone, *made)


def motion_ms(plies: int, one_ms: int, room_ms: int) -> int:
    """How long the motion takes: at most six tenths of the stretch before it."""
    whole = one_ms * SHARES[min(plies, len(SHARES)) - 1] if plies else one_ms
    return int(min(whole, 0.6 * room_ms))

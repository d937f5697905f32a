"""The bare board: frame, squares, coordinates; how a sideline changes the frame."""

from __future__ import annotations

from typing import TYPE_CHECKING

import chess

from overlays.palette import rgb_of
from overlays.pieces import piece_svg
from overlays.pixels import Canvas
from overlays.stage import Stage
from overlays.text import ASCENT, BOLD, DESCENT, Typesetter
from overlays.theme import Theme
from overlays.vector import draw, number

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def lay_board(canvas: Canvas, stage: Stage, theme: Theme, type_: Typesetter, white_below: bool, mode: str) -> None:
    """Frame, squares and coordinates. ``mode``: ``score``, ``sideline`` or ``hand``."""
    outer, inner, side = stage.board, stage.squares, stage.square
    canvas.fill(outer.x, outer.y, outer.width, outer.height, rgb_of(theme.board.frame))
    if mode != "score":
        pattern = draw(_frame_pattern(stage, mode, theme), (0, 0, outer.width, outer.height), outer.width, outer.height)
        canvas.paste(pattern, outer.x, outer.y)
    light, dark = (rgb_of(c) for c in theme.board.squares(mode == "sideline"))
    for row in range(8):
        for column in range(8):
            canvas.fill(
                inner.x + column * side, inner.y + row * side, side, side, dark if (row + column) % 2 else light
            )
    _lay_coordinates(canvas, stage, theme, type_, white_below)


def _frame_pattern(stage: Stage, mode: str, theme: Theme) -> str:
    """Sideline: the frame becomes a broken line, its gaps at the coordinates. Own position: a row of dots."""
    ink, frame, side = theme.stage.sideline, stage.frame, stage.square
    low, high = frame / 2, stage.board.width - frame / 2
    if mode == "hand":
        places = [frame + side * i / 2 for i in range(17) if i % 4 != 1 and i % 4 != 3]
        dots = [p for a in places for p in ((a, low), (a, high), (low, a), (high, a))]
        shapes = "".join(f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(frame * 0.2)}"/>' for x, y in dots)
        return f'<g fill="{ink}">{shapes}</g>'
    reach = side * 0.24
    lines = [
        f"M{number(a)} {number(frame + reach if b == low else high - low - reach)} V{number(b)} "
        f"H{number(frame + reach if a == low else high - low - reach)}"
        for a in (low, high)
        for b in (low, high)
    ]
    for i in range(1, 8):
        middle = frame + i * side
        for edge in (low, high):
            lines.append(f"M{number(middle - reach)} {number(edge)} H{number(middle + reach)}")
            lines.append(f"M{number(edge)} {number(middle - reach)} V{number(middle + reach)}")
    return f'<path d="{" ".join(lines)}" fill="none" stroke="{ink}" stroke-width="{number(frame * 0.42)}"/>'


def _lay_coordinates(canvas: Canvas, stage: Stage, theme: Theme, type_: Typesetter, white_below: bool) -> None:
    inner, side, frame = stage.squares, stage.square, stage.frame
    size = frame * 0.70
    tall = round(ASCENT * size) + round(DESCENT * size)
    for i in range(8):
        file = i if white_below else 7 - i
        rank = 7 - i if white_below else i
        for text, x, y in (
            (chess.FILE_NAMES[file], inner.x + i * side + side // 2, inner.bottom + frame // 2),
            (chess.RANK_NAMES[rank], inner.x - frame // 2, inner.y + i * side + side // 2),
        ):
            sprite = type_.sprite(text, size, theme.board.coordinate, BOLD)
            up = round(ASCENT * size - 0.34 * size)  # middle of digits and small letters above the baseline
            canvas.paste(sprite, x - sprite.shape[1] // 2, y - min(up, tall))


def last_move_tiles(stage: Stage, theme: Theme) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """What marks the square a piece left (a small empty frame) and the one it came to (cut corners)."""
    side = stage.square
    ink, edge = theme.board.last, theme.marks.edge_dark
    left = (
        f'<rect width="100" height="100" fill="{ink}" opacity="0.22"/>'
        f'<rect x="37" y="37" width="26" height="26" fill="none" stroke="{edge}" stroke-width="9.5"/>'
        f'<rect x="37" y="37" width="26" height="26" fill="none" stroke="{ink}" stroke-width="5.5"/>'
    )
    brackets = "M4.5 30 V4.5 H30 M70 4.5 H95.5 V30 M95.5 70 V95.5 H70 M30 95.5 H4.5 V70"
    came = (
        f'<rect width="100" height="100" fill="{ink}" opacity="0.22"/>'
        f'<path d="{brackets}" fill="none" stroke="{edge}" stroke-width="9"/>'
        f'<path d="{brackets}" fill="none" stroke="{ink}" stroke-width="5.5"/>'
    )
    box = (0.0, 0.0, 100.0, 100.0)
    return draw(left, box, side, side), draw(came, box, side, side)


def piece_sprite(symbol: str, theme: Theme, side: int) -> NDArray[np.uint8]:
    """One piece as pixels, ``side`` x ``side``."""
    piece = chess.Piece.from_symbol(symbol)
    colours = (theme.pieces.white if piece.color else theme.pieces.black).piece
    return draw(piece_svg(piece.piece_type, colours), (-4, -5.5, 108, 108), side, side)


def turn_sign(symbol: str, theme: Theme, side: int) -> NDArray[np.uint8]:
    """The side to move: a small pawn of its colour on a light plate, ``side`` x ``side``."""
    piece = chess.Piece.from_symbol(symbol)
    colours = (theme.pieces.white if piece.color else theme.pieces.black).piece
    plate = f'<rect x="6" y="6" width="88" height="88" rx="26" fill="{theme.board.coordinate}"/>'
    pawn = f'<g transform="translate(10 7) scale(0.8)">{piece_svg(chess.PAWN, colours)}</g>'
    return draw(plate + pawn, (0, 0, 100, 100), side, side)

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
        pattern = draw(
            _frame_pattern(outer.width, stage.frame, mode, theme),
            (0, 0, outer.width, outer.height),
            outer.width,
            outer.height,
        )
        canvas.paste(pattern, outer.x, outer.y)
    light, dark = (rgb_of(c) for c in theme.board.squares(mode == "sideline"))
    for row in range(8):
        for column in range(8):
            canvas.fill(
                inner.x + column * side, inner.y + row * side, side, side, dark if (row + column) % 2 else light
            )
    _lay_coordinates(canvas, stage, theme, type_, white_below, mode)


def _frame_pattern(side: int, frame: int, mode: str, theme: Theme) -> str:
    """Sideline: slanted bands, as on a barrier. Own position: a row of dots."""
    ink = theme.stage.sideline
    if mode == "hand":
        gap = frame
        middle = frame / 2
        dots = []
        place = middle
        while place < side:
            for x, y in ((place, middle), (place, side - middle), (middle, place), (side - middle, place)):
                dots.append(f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(frame * 0.13)}"/>')
            place += gap
        return f'<g fill="{ink}">{"".join(dots)}</g>'
    step = frame * 1.25
    bands = []
    x = -float(side)
    while x < side:
        bands.append(f"M{number(x)} {side} L{number(x + side)} 0")
        x += step
    hole = f"M0 0 H{side} V{side} H0 Z M{frame} {frame} V{side - frame} H{side - frame} V{frame} Z"
    return (
        f'<clipPath id="f"><path clip-rule="evenodd" d="{hole}"/></clipPath>'
        f'<path clip-path="url(#f)" d="{" ".join(bands)}" stroke="{ink}" stroke-width="{number(step * 0.36)}" fill="none"/>'
    )


def _lay_coordinates(
    canvas: Canvas, stage: Stage, theme: Theme, type_: Typesetter, white_below: bool, mode: str
) -> None:
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
            if mode != "score":
                plate = round(frame * 0.94)
                canvas.fill(x - plate // 2, y - plate // 2, plate, plate, rgb_of(theme.board.frame))
            up = round(ASCENT * size - 0.34 * size)  # middle of digits and small letters above the baseline
            canvas.paste(sprite, x - sprite.shape[1] // 2, y - min(up, tall))


def last_move_tiles(stage: Stage, theme: Theme) -> tuple[NDArray[np.uint8], NDArray[np.uint8]]:
    """What marks the square a piece left (a small ring) and the one it came to (cut corners)."""
    side = stage.square
    ink, edge = theme.board.last, theme.marks.edge_dark
    left = (
        f'<rect width="100" height="100" fill="{ink}" opacity="0.22"/>'
        f'<circle cx="50" cy="50" r="17" fill="none" stroke="{edge}" stroke-width="11" stroke-dasharray="13.35 13.35"/>'
        f'<circle cx="50" cy="50" r="17" fill="none" stroke="{ink}" stroke-width="6.5" stroke-dasharray="13.35 13.35"/>'
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

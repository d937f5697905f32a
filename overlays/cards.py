"""Opening and closing cards."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from overlays.palette import rgb_of
from overlays.pixels import Canvas
from overlays.stage import Stage
from overlays.text import ASCENT, BOLD, REGULAR, Typesetter
from overlays.theme import Theme

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from overlays.show import Show


def card_picture(
    kind: str, show: Show, stage: Stage, theme: Theme, type_: Typesetter, logo: NDArray[np.uint8] | None = None
) -> NDArray[np.uint8]:
    """A whole frame. ``kind``: ``opening`` (title, players, teacher) or ``closing``."""
    rgb = np.empty((stage.height, stage.width, 3), np.uint8)
    rgb[:] = rgb_of(theme.stage.background)
    canvas = Canvas(rgb, None)
    short = min(stage.width, stage.height)
    left = round(stage.width * 0.09)
    room = stage.width - 2 * left
    most = 3 if stage.width > stage.height else 5 if stage.width == stage.height else 6  # lines of a long title
    _lay_corner(canvas, stage, theme, short)
    lines: list[tuple[str, float, str, int]] = []
    if kind == "opening":
        lines += _fitting(type_, show.title, short * 0.085, room, most, theme.stage.text, BOLD)
        if show.white or show.black:
            white, black = show.white or theme.words.white, show.black or theme.words.black
            small = short * 0.05
            one = f"{white} – {black}"
            names = [one] if type_.width(one, small) <= room else [f"{white} –", black]
            for name in names:
                lines += _fitting(type_, name, small, room, 2, theme.stage.quiet, REGULAR)
    else:
        lines += _fitting(type_, theme.words.end, short * 0.08, room, 2, theme.stage.text, BOLD)
        lines += _fitting(type_, show.title, short * 0.048, room, most, theme.stage.quiet, REGULAR)
    if show.teacher:
        lines.append((type_.fitted(show.teacher, short * 0.045, room), short * 0.045, theme.stage.here, BOLD))
    whole = sum(size * 1.3 for _, size, _, _ in lines)
    y = (stage.height - whole) / 2
    for text, size, colour, weight in lines:
        canvas.paste(type_.sprite(text, size, colour, weight), left, round(y + size) - round(ASCENT * size))
        y += size * 1.3
    if logo is not None:
        canvas.paste(logo, left, round(stage.height * 0.93) - logo.shape[0])
    return canvas.rgb


def _fitting(
    type_: Typesetter, text: str, size: float, room: float, most: int, colour: str, weight: int
) -> list[tuple[str, float, str, int]]:
    """Up to ``most`` lines; smaller letters, down to two thirds, before anything is cut."""
    rows, fitting = [text], size
    for step in range(5):
        fitting = size * (1 - step / 12)
        rows = type_.wrapped(text, fitting, room, weight, most)
        if not rows or not rows[-1].endswith("…"):
            break
    return [(row, fitting, colour, weight) for row in rows]


def _lay_corner(canvas: Canvas, stage: Stage, theme: Theme, short: int) -> None:
    """A stair of squares in the board's colours in the lower right corner."""
    side = round(short * 0.075)
    light, dark = (rgb_of(c) for c in theme.board.squares(False))
    for row in range(5):
        for column in range(5 - row):
            x, y = stage.width - (column + 1) * side, stage.height - (row + 1) * side
            canvas.fill(max(0, x), max(0, y), side, side, dark if (row + column) % 2 else light)

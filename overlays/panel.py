"""The panel's other parts: title, players, the countdown of a think-pause, burnt-in captions."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING

from overlays.lettering import Lettering
from overlays.palette import rgb_of
from overlays.stage import Box
from overlays.text import BOLD, REGULAR
from overlays.vector import draw, number

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

LEAST_TITLE = 30  # design pixels; a longer title is cut
LINE = 0.7  # a caption's letters in its line's height
CAPTION_PLATE = 0.86  # opacity over a recording; 7:1 over white needs 0.65 (WCAG 2.2 formula)


def title_picture(letters: Lettering, box: Box, title: str) -> NDArray[np.uint8]:
    """Opaque pixels: as large as fits in one line, else two, else three; what is too long even then is cut."""
    canvas = letters.blank(box)
    rows, size = title_rows(letters, box, title)
    for i, row in enumerate(rows):
        right = letters.type.shape(row, BOLD).right_to_left
        x = box.width - letters.type.width(row, size, BOLD) if right else 0
        letters.write(canvas, row, x, size * (0.92 + 1.14 * i), size, letters.theme.stage.text, BOLD)
    return canvas.rgb


def title_rows(letters: Lettering, box: Box, title: str) -> tuple[list[str], float]:
    """The title's lines and the size of their letters in px."""
    unit = letters.unit
    tallest = [box.height / (1.14 * count + 0.1) for count in (1, 2, 3)]
    first = [min(most * unit, tall) for most, tall in zip((58, 48, 38), tallest, strict=True)]
    least = min(LEAST_TITLE * unit, first[0])
    counts = [count for count in (1, 2, 3) if first[count - 1] >= least]
    tries = [
        (count, size) for count in counts for size in _down(first[count - 1], max(least, 0.8 * first[count - 1]), unit)
    ]
    tries += [(counts[-1], size) for size in _down(0.8 * first[counts[-1] - 1], least, unit)]
    tries.append((counts[-1], least))
    rows, size = [title], least
    for count, size in tries:
        rows = letters.type.wrapped(title, size, box.width, BOLD, count)
        if "".join(rows).replace(" ", "") == "".join(title.split()):
            break
    return rows, size


def _down(size: float, last: float, step: float) -> Iterator[float]:
    while size >= last:
        yield size
        size -= step


def players_picture(letters: Lettering, box: Box, names: Sequence[tuple[bool, str]], turn: bool) -> NDArray[np.uint8]:
    """Opaque pixels: two lines in the order of the board, a bar at the side to move. ``names``: (white?, name)."""
    canvas, stage = letters.blank(box), letters.theme.stage
    tall = box.height // 2
    size = tall * 0.64
    for i, (white, name) in enumerate(names):
        colours = letters.theme.pieces.white if white else letters.theme.pieces.black
        weight, ink = (BOLD, stage.text) if white == turn else (REGULAR, stage.quiet)
        middle = tall * i + tall / 2
        if white == turn:
            canvas.fill(
                0, round(middle - tall * 0.4), max(3, round(size * 0.13)), round(tall * 0.8), rgb_of(stage.here)
            )
        radius = size * 0.36
        side = int(2 * radius + 7)
        disc = (
            f'<circle cx="{side / 2}" cy="{side / 2}" r="{number(radius)}" fill="{colours.fill}" '
            f'stroke="{stage.quiet}" stroke-width="{number(size * 0.07)}"/>'
        )
        canvas.paste(draw(disc, (0, 0, side, side), side, side), round(size * 0.5), round(middle - side / 2))
        left = size * 0.5 + side + size * 0.35
        text = letters.type.fitted(name, size, box.width - left, weight)
        letters.write(canvas, text, left, middle + size * 0.33, size, ink, weight)
    return canvas.rgb


def think_picture(letters: Lettering, box: Box, total: int, left: int, see_through: bool) -> NDArray[np.uint8]:
    """A row of ``total`` drops of which ``left`` are full, words above when there is room. Shape (h, w, 4)."""
    stage, u = letters.theme.stage, letters.unit
    words = box.height >= 56 * u
    size = min(38 * u, box.height * 0.44)
    pad = box.height * 0.2 if see_through else 0.0
    room = box.width - 2 * pad
    radius = min(11 * u, box.height * (0.15 if words else 0.3), room / (total * 3.2))
    gap = radius * 3.1
    parts = []
    if see_through:
        parts.append(f'<rect width="{box.width}" height="{box.height}" fill="{stage.background}"/>')
    y = box.height * (0.78 if words else 0.5)
    start = pad + radius + 2 if words else (box.width - gap * (total - 1)) / 2
    for i in range(total):
        x = number(start + gap * i)
        if i < left:
            parts.append(f'<circle cx="{x}" cy="{number(y)}" r="{number(radius)}" fill="{stage.here}"/>')
        else:
            parts.append(
                f'<circle cx="{x}" cy="{number(y)}" r="{number(radius * 0.72)}" fill="none" '
                f'stroke="{stage.quiet}" stroke-width="{number(radius * 0.3)}"/>'
            )
    if words:
        text = letters.type.fitted(letters.theme.words.think, size, room, BOLD)
        parts.append(letters.type.svg(text, pad, box.height * 0.42, size, stage.text, BOLD))
    return draw("".join(parts), (0, 0, box.width, box.height), box.width, box.height)


def caption_size(letters: Lettering, box: Box, texts: Iterable[str]) -> float:
    """One size of letters in px for all captions of a film, so that they do not grow and shrink.

    Two lines fill the box; smaller where a caption has more, or where a line would not fit, then at least 0.62 of that:
    long captions are broken again, into three.
    """
    full = LINE * box.height / 2
    own = [[row for row in text.split("\n") if row.strip()] for text in texts]
    most = max((len(rows) for rows in own), default=0)
    widest = max((letters.type.width(row, 1) for rows in own for row in rows), default=0.0)
    wide = max(0.62 * full, min(full, (box.width - 2) / (widest + 1)))
    return min(wide, LINE * box.height / max(2, most))


def caption_rows(letters: Lettering, box: Box, text: str, size: float) -> list[str]:
    """The caption's own lines where they fit the box; else as few as hold its words, about equally long.

    What even three lines cannot hold is cut.
    """
    type_, room = letters.type, box.width - size
    rows = [row for row in text.split("\n") if row.strip()]
    if all(type_.width(row, size) <= room for row in rows):
        return rows
    words = text.split()
    for count in (2, 3):
        rows = type_.wrapped(text, size, room, REGULAR, count)
        if " ".join(rows).split() == words:
            break
    best = rows
    while " ".join(rows).split() == words:  # as narrow as it goes with as many lines
        best, room = rows, room - size / 4
        rows = type_.wrapped(text, size, room, REGULAR, len(best))
    return best


def caption_picture(letters: Lettering, box: Box, text: str, size: float, see_through: bool) -> NDArray[np.uint8]:
    """Lines centred at the box's bottom, each on a dark plate half an em wider. Shape (h, w, 4).

    ``size`` is that of the letters, see ``caption_size``.
    """
    stage, type_ = letters.theme.stage, letters.type
    rows = caption_rows(letters, box, text, size)
    height = min(size / LINE, box.height / max(1, len(rows)))
    body = []
    for i, row in enumerate(rows):
        width = type_.width(row, size)
        x, y = (box.width - width) / 2, box.height - height * (len(rows) - i)
        body.append(
            f'<rect x="{number(x - size * 0.5)}" y="{number(y)}" width="{number(width + size)}" '
            f'height="{number(height + 0.5)}" fill="{stage.caption}" '
            f'fill-opacity="{CAPTION_PLATE if see_through else 1}"/>'
        )
        body.append(type_.svg(row, x, y + height * 0.5 + size * 0.33, size, stage.caption_text))
    return draw("".join(body), (0, 0, box.width, box.height), box.width, box.height)


def tag_picture(letters: Lettering, tag: str, height: int, room: int) -> NDArray[np.uint8]:
    """A word in the board's frame (a field of ``Words``), at most ``room`` px wide. Shape (h, w, 4)."""
    colours, type_ = letters.theme.stage, letters.type
    aside = tag in ("sideline", "hand")
    paper, ink = (colours.sideline, colours.sideline_ink) if aside else (colours.here, colours.here_text)
    size = height * 0.66
    text = type_.fitted(getattr(letters.theme.words, tag), size, room - 2 * size, BOLD)
    width = min(room, round(type_.width(text, size, BOLD) + 1.4 * size))
    body = f'<rect width="{width}" height="{height}" fill="{paper}"/>'
    body += type_.svg(text, 0.7 * size, height * 0.5 + size * 0.33, size, ink, BOLD)
    return draw(body, (0, 0, width, height), width, height)

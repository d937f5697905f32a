"""Text for pictures: bundled open fonts, real shaping, fallback that is reported.

HarfBuzz shapes; the glyph outlines are drawn as SVG paths, so that no font of
the system can change a picture. A character that no font holds is drawn as an
empty box; ``Typesetter.lacking`` names them.
"""

from __future__ import annotations

import unicodedata
from _thread import start_new_thread
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from threading import Lock
from typing import TYPE_CHECKING, Any

from overlays import bidi
from overlays.pieces import figure_paths
from overlays.recent import Recent
from overlays.vector import draw, number
from timeline.problems import PlylineError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FONTS = ("SourceSans3.ttf", "NotoSansHebrew.ttf", "NotoSansArabic.ttf", "DejaVuSans.ttf")
"""Tried in this order: Latin, Greek, Cyrillic; Hebrew; Arabic; figurines, symbols, Armenian, Georgian."""

REGULAR, BOLD = 450, 680
ASCENT, DESCENT = 1.08, 0.32  # of the size: room for accents on capitals and for tails
CACHE = 600
JOINERS = "\u200c\u200d\ufe0e\ufe0f"  # they shape their neighbours and have no look of their own
FIGURINES = dict(zip("♙♘♗♖♕♔", range(1, 7), strict=True))
FIGURE = 0.0094  # em for a hundredth of the piece's square


class FontError(PlylineError):
    """A font cannot be used."""


@dataclass(frozen=True, slots=True)
class Glyph:
    """An outline (SVG path data), its scale to em across and down, and where it sits, in em, y up."""

    path: str
    across: float
    down: float
    x: float
    y: float


@dataclass(frozen=True, slots=True)
class Line:
    """A shaped line: ``width`` in em; ``right_to_left`` is the paragraph's direction."""

    glyphs: tuple[Glyph, ...]
    width: float
    right_to_left: bool


class _Figures:
    """White figurines (U+2654 to U+2659) in our own pieces' silhouettes, so that notation and board agree."""

    def has(self, char: str) -> bool:
        return char in FIGURINES

    def run(self, text: str, start: int, end: int, leftward: bool, pen: float, out: list[Glyph]) -> float:
        for char in text[start:end][:: -1 if leftward else 1]:
            for path in figure_paths(FIGURINES[char]):
                out.append(Glyph(path, FIGURE, FIGURE, pen - 0.06, 90 * FIGURE))
            pen += 100 * FIGURE - 0.1
        return pen


class _Face:
    """One font at one weight."""

    def __init__(self, data: bytes, weight: int) -> None:
        import uharfbuzz as hb

        face = hb.Face(data)
        self.font = hb.Font(face)
        self.em: int = face.upem
        self.font.set_variations({"wght": weight})
        self._paths: dict[int, str] = {}

    def has(self, char: str) -> bool:
        return bool(self.font.get_nominal_glyph(ord(char)))

    def path(self, glyph: int) -> str:
        if glyph not in self._paths:
            self._paths[glyph] = _apart(lambda: self._drawn(glyph))
        return self._paths[glyph]

    def _drawn(self, glyph: int) -> str:
        parts: list[str] = []
        self.font.draw_glyph(glyph, _pen(), parts)
        return "".join(parts)

    def run(self, text: str, start: int, end: int, leftward: bool, pen: float, out: list[Glyph]) -> float:
        """Shape ``text[start:end]``, seen in its context, from ``pen`` on; the new pen."""
        import uharfbuzz as hb

        buffer = hb.Buffer()
        buffer.add_codepoints([ord(c) for c in text], start, end - start)
        buffer.guess_segment_properties()
        buffer.direction = "rtl" if leftward else "ltr"
        hb.shape(self.font, buffer, {"tnum": False, "kern": True, "liga": True})
        scale = 1 / self.em
        for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
            path = self.path(info.codepoint)
            if path:
                out.append(Glyph(path, scale, -scale, pen + place.x_offset * scale, place.y_offset * scale))
            pen += place.x_advance * scale
        return pen


def _apart(work: Callable[[], str]) -> str:
    """Do work in a thread of its own: signals are heard in the main thread only.

    What a signal raises while the font library calls back into Python would be
    lost, and the rest of the letter with it. The low-level thread, because
    starting a ``Thread`` may itself not be interrupted.
    """
    done = Lock()
    done.acquire()
    found: list[str] = []

    def run() -> None:
        try:
            found.append(work())
        finally:
            done.release()

    start_new_thread(run, ())
    done.acquire()
    return found[0]


@cache
def _pen() -> Any:
    import uharfbuzz as hb

    funcs = hb.DrawFuncs()
    funcs.set_move_to_func(lambda x, y, out: out.append(f"M{x:.0f} {y:.0f}"))
    funcs.set_line_to_func(lambda x, y, out: out.append(f"L{x:.0f} {y:.0f}"))
    funcs.set_quadratic_to_func(lambda a, b, x, y, out: out.append(f"Q{a:.0f} {b:.0f} {x:.0f} {y:.0f}"))
    funcs.set_cubic_to_func(
        lambda a, b, c, d, x, y, out: out.append(f"C{a:.0f} {b:.0f} {c:.0f} {d:.0f} {x:.0f} {y:.0f}")
    )
    funcs.set_close_path_func(lambda out: out.append("Z"))
    return funcs


def _font_data(name: str) -> bytes:
    import uharfbuzz as hb

    try:
        data = Path(name).read_bytes()
    except OSError as error:
        raise FontError.of("no-font", f"the font cannot be read: {error.strerror}", file=name) from None
    if not hb.Face(data).glyph_count:
        raise FontError.of("bad-font", "this is no font that can be read", file=name, fix="give a TTF or OTF file")
    return data


def _clean(text: str) -> str:
    return bidi.without_controls(unicodedata.normalize("NFC", text))


@cache
def _own_face(name: str, weight: int) -> _Face:
    return _Face(files("overlays").joinpath("fonts", name).read_bytes(), weight)


class Typesetter:
    """Shapes and draws lines of text. ``fonts``: files that are tried before the bundled ones."""

    def __init__(self, fonts: Sequence[str] = ()) -> None:
        self._extra = [_font_data(name) for name in fonts]
        self._faces: dict[int, list[_Face | _Figures]] = {}
        self._lines: Recent[tuple[str, int], Line] = Recent(CACHE)
        self._sprites: Recent[tuple[str, float, str, int], NDArray[np.uint8]] = Recent(CACHE)

    def _stack(self, weight: int) -> list[_Face | _Figures]:
        if weight not in self._faces:
            own = [_own_face(name, weight) for name in FONTS]
            self._faces[weight] = [_Figures(), *(_Face(data, weight) for data in self._extra), *own]
        return self._faces[weight]

    def shape(self, text: str, weight: int = REGULAR) -> Line:
        """The line set in reading order, left to right on screen."""
        return self._lines.get((text, weight), lambda: self._shaped(_clean(text), weight))

    def width(self, text: str, size: float, weight: int = REGULAR) -> float:
        """Advance width in pixels."""
        return self.shape(text, weight).width * size

    def _shaped(self, text: str, weight: int) -> Line:
        base = bidi.base_level(text)
        pen = 0.0
        glyphs: list[Glyph] = []
        for start, end, leftward in bidi.visual_runs(bidi.levels(text, base)):
            runs = self._by_face(text, start, end, weight)
            for face, first, last in reversed(runs) if leftward else runs:
                pen = face.run(text, first, last, leftward, pen, glyphs)
        return Line(tuple(glyphs), pen, base == 1)

    def lacking(self, text: str) -> list[str]:
        """The text's characters that no font holds; each is drawn as an empty box."""
        stack = self._stack(REGULAR)
        return [c for c in dict.fromkeys(_clean(text)) if c not in JOINERS and not any(f.has(c) for f in stack)]

    def _by_face(self, text: str, start: int, end: int, weight: int) -> list[tuple[_Face | _Figures, int, int]]:
        """Pieces of ``text[start:end]``, each in the first font that holds its characters."""
        stack = self._stack(weight)
        runs: list[tuple[_Face | _Figures, int, int]] = []
        for i in range(start, end):
            char = text[i]
            face = next((f for f in stack if f.has(char)), None)
            joins = unicodedata.combining(char) or char in JOINERS or char.isspace()
            if runs and (joins or face is runs[-1][0]) and (face is None or runs[-1][0].has(char)):
                runs[-1] = (runs[-1][0], runs[-1][1], i + 1)
                continue
            runs.append((face or stack[1 + len(self._extra)], i, i + 1))
        return runs

    def svg(self, text: str, x: float, baseline: float, size: float, colour: str, weight: int = REGULAR) -> str:
        """SVG elements of the line, its left end at ``x``."""
        parts = []
        for glyph in self.shape(text, weight).glyphs:
            rim = f' stroke="{colour}" stroke-width="5"' if glyph.down > 0 else ""  # joins a figurine's parts
            parts.append(
                f'<path{rim} transform="matrix({glyph.across * size:.5f} 0 0 {glyph.down * size:.5f} '
                f'{number(x + glyph.x * size)} {number(baseline - glyph.y * size)})" d="{glyph.path}"/>'
            )
        return f'<g fill="{colour}">{"".join(parts)}</g>'

    def sprite(self, text: str, size: float, colour: str, weight: int = REGULAR) -> NDArray[np.uint8]:
        """The line as straight-alpha pixels, baseline ``round(ASCENT * size)`` px below the top edge."""

        def made() -> NDArray[np.uint8]:
            width = max(1, int(self.width(text, size, weight) + 0.999) + 2)
            height = round(ASCENT * size) + round(DESCENT * size)
            body = self.svg(text, 1, round(ASCENT * size), size, colour, weight)
            return draw(body, (0, 0, width, height), width, height)

        return self._sprites.get((text, size, colour, weight), made)

    def fitted(self, text: str, size: float, room: float, weight: int = REGULAR) -> str:
        """The text, cut with an ellipsis where it is wider than ``room`` px."""
        if self.width(text, size, weight) <= room:
            return text
        low, high = 0, len(text)
        while low < high:
            middle = (low + high + 1) // 2
            if self.width(text[:middle].rstrip() + "…", size, weight) <= room:
                low = middle
            else:
                high = middle - 1
        return text[:low].rstrip() + "…"

    def wrapped(self, text: str, size: float, room: float, weight: int = REGULAR, lines: int = 2) -> list[str]:
        """The text broken at spaces into at most ``lines`` lines; the last one is cut if it must be."""
        rows: list[str] = []
        words = text.split()
        while words:
            if len(rows) == lines - 1:
                rows.append(self.fitted(" ".join(words), size, room, weight))
                break
            count = 1
            while count < len(words) and self.width(" ".join(words[: count + 1]), size, weight) <= room:
                count += 1
            rows.append(self.fitted(" ".join(words[:count]), size, room, weight))
            words = words[count:]
        return rows

"""The chess pieces: our own drawing, made to be told apart at 40 pixels.

Each piece is a few plain shapes in a box of 100 x 100, feet at y = 90. They
are drawn three times: a wide line in the halo colour, a narrower one in the
line colour, then the fill, so that the union of the shapes gets one outline
and a rim that stands out from any square. Inner lines follow on top.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

import chess

LINE = 4.2  # outline, in hundredths of the square
RIM = 1.6  # halo outside the outline


@dataclass(frozen=True, slots=True)
class PieceColours:
    """Fill, outline, inner lines and the thin rim around all, as ``#rrggbb``."""

    fill: str
    line: str
    detail: str
    rim: str


def _path(d: str) -> str:
    return f'<path d="{d}"/>'


def _disc(x: float, y: float, radius: float) -> str:
    return _path(
        f"M{x - radius} {y} a{radius} {radius} 0 1 1 {2 * radius} 0 a{radius} {radius} 0 1 1 {-2 * radius} 0 Z"
    )


def _foot(left: float, top: float = 79) -> str:
    right = 100 - left
    return _path(
        f"M{left} {top} H{right} Q{right + 4} {top} {right + 4} {top + 4} V90 "
        f"H{left - 4} V{top + 4} Q{left - 4} {top} {left} {top} Z"
    )


_BODIES: dict[int, str] = {
    chess.PAWN: _disc(50, 34, 13.5)
    + _path("M35 46 H65 Q67 49.5 64 53 H36 Q33 49.5 35 46 Z")
    + _path("M43 50 C43 64 37 70 32 80 H68 C63 70 57 64 57 50 Z")
    + _foot(30),
    chess.ROOK: _path(
        "M25 17 H38 V25.5 H44.5 V17 H55.5 V25.5 H62 V17 H75 V35 L66.5 42 V68 L73 80 H27 L33.5 68 V42 L25 35 Z"
    )
    + _foot(25),
    chess.BISHOP: _disc(50, 14, 5.5)
    + _path("M50 17 C64 27 71 39 69 50 C68 57 63 60 59 62 H41 C37 60 32 57 31 50 C29 39 36 27 50 17 Z")
    + _path("M35 61 H65 Q67 64.5 65 68 H35 Q33 64.5 35 61 Z")
    + _path("M42 67 H58 C59 73 65 77 70 80 H30 C35 77 41 73 42 67 Z")
    + _foot(28),
    chess.KNIGHT: _path(
        "M73 80 C76 62 79 36 61 23 L58.5 11 L49 19 C37 21 31 32 22.5 44 C17 52 16 58 20 63 C24 68 30 66 34 62.5 "
        "C38 59 43 60 47 57 C46 65 33 68 29 80 Z"
    )
    + _foot(26),
    chess.QUEEN: "".join(_disc(x, y, 5.2) for x, y in ((14, 31), (31.5, 20), (50, 15), (68.5, 20), (86, 31)))
    + _path(
        "M25 62 L14.5 31 L32 48 L31.5 21 L46 45 L50 16 L54 45 L68.5 21 L68 48 L85.5 31 "
        "L75 62 C71 69 71 74 74 80 H26 C29 74 29 69 25 62 Z"
    )
    + _foot(25),
    chess.KING: _path("M46 5 H54 V11.5 H61 V19 H54 V30 H46 V19 H39 V11.5 H46 Z")
    + _path("M50 37 C53 24 84 22 85 42 C85.5 54 76 60 73 80 H27 C24 60 14.5 54 15 42 C16 22 47 24 50 37 Z")
    + _foot(25),
}

_DETAILS: dict[int, str] = {
    chess.PAWN: "",
    chess.ROOK: _path("M33.5 42.5 H66.5 M33.5 67.5 H66.5"),
    chess.BISHOP: _path("M52.5 29 L60.5 42"),
    chess.KNIGHT: _path("M62.5 31 C69 42 68 58 64 69"),
    chess.QUEEN: _path("M26.5 61.5 Q50 54.5 73.5 61.5 M29 70.5 Q50 65 71 70.5"),
    chess.KING: _path("M50 38 V58 M27.5 66.5 Q50 57.5 72.5 66.5"),
}

_DOTS: dict[int, str] = {chess.KNIGHT: _disc(43, 36, 3.4) + _disc(25.5, 56, 2)}


@cache
def piece_svg(kind: int, colours: PieceColours) -> str:
    """SVG elements of one piece (``chess.PAWN`` … ``chess.KING``) in a box of 100 x 100."""
    body = _BODIES[kind]
    join = 'stroke-linejoin="round" stroke-linecap="round"'
    layers = [
        f'<g fill="{colours.rim}" stroke="{colours.rim}" stroke-width="{2 * (LINE + RIM):.2f}" {join}>{body}</g>',
        f'<g fill="{colours.line}" stroke="{colours.line}" stroke-width="{2 * LINE:.2f}" {join}>{body}</g>',
        f'<g fill="{colours.fill}">{body}</g>',
        f'<g fill="none" stroke="{colours.detail}" stroke-width="{LINE:.2f}" {join}>{_DETAILS[kind]}</g>',
        f'<g fill="{colours.detail}">{_DOTS.get(kind, "")}</g>',
    ]
    return "".join(layers)


@cache
def figure_paths(kind: int) -> tuple[str, ...]:
    """The silhouette as SVG path data (their union), in the same box; for figurines in text."""
    return tuple(re.findall(r'd="([^"]*)"', _BODIES[kind]))

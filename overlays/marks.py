"""Marks on the board: each role has its own line, head and square pattern besides its colour.

Drawn in a plane of 100 units a square, x to the right and y down from the
board's top left corner. Every line carries a light and a dark edge, so that
it stands out from both square colours.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING

from overlays.lanes import bent
from overlays.screenplay import DrawnMark
from overlays.theme import MarkColours
from overlays.vector import draw, number

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

Point = tuple[float, float]

SQUARE = 100.0
TAIL, TIP = 30.0, 36.0  # how far from a square's centre a line begins and its tip ends
LANE = 24.0
EDGE_DARK, EDGE_LIGHT = 9.0, 4.5  # how much wider than the line its two edges are
CORNER = 26.0


@dataclass(frozen=True, slots=True)
class Line:
    """How a role's line looks: width, dashes (SVG), hollow core, waves; and its head."""

    width: float
    head: str
    dash: str = ""
    hollow: bool = False
    wave: bool = False


LINES: dict[str, Line] = {
    "attack": Line(11, "blade"),
    "defence": Line(13, "shield", hollow=True),
    "plan": Line(9, "chevron", dash="22 21"),
    "weakness": Line(8, "ball", wave=True),
    "key square": Line(8, "diamond"),
    "route": Line(10, "double", dash="0.1 20"),
}


def place(square: int, white_below: bool) -> Point:
    """Centre of a square in the drawing's plane."""
    file, rank = square & 7, square >> 3
    return (
        ((file if white_below else 7 - file) + 0.5) * SQUARE,
        ((7 - rank if white_below else rank) + 0.5) * SQUARE,
    )


def mark_svg(mark: DrawnMark, colours: MarkColours, white_below: bool) -> tuple[str, list[Point]]:
    """SVG of a mark and points it goes through (for finding which part of the board it touches)."""
    if mark.kind == "square":
        parts = [square_svg(mark.role, place(s, white_below), colours) for s in mark.squares]
        return "".join(parts), [place(s, white_below) for s in mark.squares]
    corners = bent(mark.squares)
    points = [place(s, white_below) for s in corners]
    stops = [i for i, s in enumerate(corners) if s in mark.squares[1:-1]] if mark.kind == "route" else []
    return _line(mark.role, points, stops, mark.lane, colours)


# -- lines
def _line(role: str, points: list[Point], stops: list[int], lane: int, colours: MarkColours) -> tuple[str, list[Point]]:
    look = LINES[role]
    colour = colours.of(role)
    aside = LANE * ((lane + 1) // 2) * (1 if lane % 2 else -1) * (1 if lane else 0)
    moved = _shifted(points, aside)
    rings = [moved[i][-1] for i in stops]
    way = [p for places in moved for p in places]
    way = _cut_start(way, TAIL if _length(way[:2]) > 70 else 18)
    tip = way[-1]
    back = _cut_end(way, TIP)
    tip, before = back[-1], back[-2]
    angle = math.atan2(tip[1] - before[1], tip[0] - before[0])
    reach = {"blade": 27.0, "shield": 24.0, "chevron": 6.0, "ball": 14.0, "diamond": 26.0, "double": 18.0}[look.head]
    shaft = _cut_end(back, reach)
    rounded = _rounded(shaft)
    if look.wave:
        rounded = _wavy(rounded)
    d = _path(rounded)
    head = _head(look.head, tip, angle)
    dash = f' stroke-dasharray="{look.dash}"' if look.dash else ""
    discs = "".join(_disc(p, 11) for p in rings)
    cap = "round" if look.dash or look.wave else "butt"
    layers = []
    for extra, ink in ((EDGE_DARK, colours.edge_dark), (EDGE_LIGHT, colours.edge_light), (0.0, colour)):
        layers.append(
            f'<path d="{d}" fill="none" stroke="{ink}" stroke-width="{look.width + extra}" stroke-linejoin="round" '
            f'stroke-linecap="{cap}"{dash}/>'
            f'<g fill="{ink}" stroke="{ink}" stroke-width="{extra}" stroke-linejoin="round">{head}{discs}</g>'
        )
    if look.hollow:
        layers.append(f'<path d="{d}" fill="none" stroke="{colours.edge_light}" stroke-width="4.5"/>')
    layers.append(f'<g fill="{colours.edge_light}">{"".join(_disc(p, 5) for p in rings)}</g>')
    return "".join(layers), [*rounded, tip]


def _disc(point: Point, radius: float) -> str:
    return f'<circle cx="{number(point[0])}" cy="{number(point[1])}" r="{number(radius)}"/>'


def _head(kind: str, tip: Point, angle: float) -> str:
    """The head's shapes, its foremost point at ``tip``, pointing along ``angle``."""
    if kind == "blade":
        return _polygon(tip, angle, [(0, 0), (-37, 17), (-28, 0), (-37, -17)])
    if kind == "shield":
        half = [(0, 17), (-11, 17), (-13, 8), (-26, 8)]
        return _polygon(tip, angle, [*half, *((x, -y) for x, y in reversed(half))])
    if kind == "chevron":
        return _polygon(tip, angle, [(0, 0), (-25, 20), (-32, 12), (-14, 0), (-32, -12), (-25, -20)])
    if kind == "ball":
        x, y = _turned(tip, angle, (-13, 0))
        return f'<circle cx="{number(x)}" cy="{number(y)}" r="13"/>'
    if kind == "diamond":
        return _polygon(tip, angle, [(0, 0), (-17, 15), (-34, 0), (-17, -15)])
    return _polygon(tip, angle, [(0, 0), (-16, 17), (-16, 6), (-30, 17), (-30, -17), (-16, -6), (-16, -17)])


def _turned(tip: Point, angle: float, point: Point) -> Point:
    c, s = math.cos(angle), math.sin(angle)
    return tip[0] + point[0] * c - point[1] * s, tip[1] + point[0] * s + point[1] * c


def _polygon(tip: Point, angle: float, shape: Sequence[Point]) -> str:
    return f'<path d="{_path([_turned(tip, angle, p) for p in shape])}Z"/>'


def _path(points: Sequence[Point]) -> str:
    return "M" + "L".join(f"{number(x)} {number(y)}" for x, y in points)


def _length(points: Sequence[Point]) -> float:
    return sum(math.dist(a, b) for a, b in pairwise(points))


def _shifted(points: list[Point], aside: float) -> list[list[Point]]:
    """Each point of the polyline moved sideways, mitred at bends; two places where the way turns back."""
    if not aside:
        return [[p] for p in points]
    normals = []
    for (x0, y0), (x1, y1) in pairwise(points):
        length = math.hypot(x1 - x0, y1 - y0)
        normals.append(((y0 - y1) / length, (x1 - x0) / length))
    result = []
    for i, (x, y) in enumerate(points):
        one, two = normals[max(0, i - 1)], normals[min(i, len(normals) - 1)]
        mx, my = one[0] + two[0], one[1] + two[1]
        size = mx * mx + my * my
        if size < 0.5:
            result.append([(x + aside * nx, y + aside * ny) for nx, ny in (one, two)])
        else:
            result.append([(x + aside * mx * 2 / size, y + aside * my * 2 / size)])
    return result


def _cut_end(points: Sequence[Point], by: float) -> list[Point]:
    rest = list(points)
    while len(rest) > 1:
        last = math.dist(rest[-2], rest[-1])
        if last > by + 1:
            (x0, y0), (x1, y1) = rest[-2], rest[-1]
            share = (last - by) / last
            rest[-1] = (x0 + (x1 - x0) * share, y0 + (y1 - y0) * share)
            return rest
        if len(rest) == 2:
            (x0, y0), (x1, y1) = rest
            rest[-1] = (x0 + (x1 - x0) * 0.1, y0 + (y1 - y0) * 0.1)
            return rest
        by -= last
        rest.pop()
    return rest


def _cut_start(points: Sequence[Point], by: float) -> list[Point]:
    return _cut_end(list(points)[::-1], by)[::-1]


def _rounded(points: Sequence[Point]) -> list[Point]:
    """Bends drawn as arcs of about a quarter square."""
    result = [points[0]]
    for before, here, after in zip(points, points[1:], points[2:], strict=False):
        room = min(CORNER, math.dist(before, here) / 2, math.dist(here, after) / 2)
        a, b = _towards(here, before, room), _towards(here, after, room)
        for i in range(9):
            t = i / 8
            result.append(
                (
                    (1 - t) ** 2 * a[0] + 2 * t * (1 - t) * here[0] + t * t * b[0],
                    (1 - t) ** 2 * a[1] + 2 * t * (1 - t) * here[1] + t * t * b[1],
                )
            )
    result.append(points[-1])
    return result


def _towards(start: Point, goal: Point, by: float) -> Point:
    length = math.dist(start, goal) or 1.0
    return start[0] + (goal[0] - start[0]) * by / length, start[1] + (goal[1] - start[1]) * by / length


def _along(points: Sequence[Point], gap: float) -> list[tuple[Point, float]]:
    """Points every ``gap`` along a polyline, with the direction there."""
    found = []
    left = 0.0
    for a, b in pairwise(points):
        length = math.dist(a, b)
        angle = math.atan2(b[1] - a[1], b[0] - a[0])
        while left <= length:
            found.append((_towards(a, b, left), angle))
            left += gap
        left -= length
    return found


def _wavy(points: Sequence[Point]) -> list[Point]:
    total = _length(points)
    waves = max(1, round(total / 34))
    steps = waves * 12
    result = []
    for i, (point, angle) in enumerate(_along(points, total / steps)):
        swing = 8 * math.sin(2 * math.pi * i / 12)
        result.append((point[0] - swing * math.sin(angle), point[1] + swing * math.cos(angle)))
    return [*result, points[-1]]


# -- squares
def square_svg(role: str, centre: Point, colours: MarkColours) -> str:
    """A role's square pattern; all of them leave the middle to the piece."""
    x, y = centre[0] - 50, centre[1] - 50
    colour = colours.of(role)

    def edged(body: str, width: float) -> str:
        return "".join(
            f'<g fill="none" stroke="{ink}" stroke-width="{number(width + extra)}" stroke-linejoin="round" '
            f'stroke-linecap="round">{body}</g>'
            for extra, ink in ((6.5, colours.edge_dark), (3.2, colours.edge_light), (0.0, colour))
        )

    def filled(body: str) -> str:
        return "".join(
            f'<g fill="{colour}" stroke="{ink}" stroke-width="{extra}" stroke-linejoin="round">{body}</g>'
            for extra, ink in ((6.5, colours.edge_dark), (3.2, colours.edge_light), (0.0, colour))
        )

    def rect(inset: float, extra: str = "") -> str:
        side = number(100 - 2 * inset)
        return f'<rect x="{number(x + inset)}" y="{number(y + inset)}" width="{side}" height="{side}" {extra}/>'

    def poly(*points: Point) -> str:
        return f'<path d="{_path([(x + a, y + b) for a, b in points])}Z"/>'

    if role == "attack":  # teeth from both sides
        teeth = [((5, a), (5, a + 26), (25, a + 13)) for a in (6, 37, 68)]
        teeth += [((95, a), (95, a + 26), (75, a + 13)) for a in (6, 37, 68)]
        return filled("".join(poly(*t) for t in teeth))
    if role == "defence":  # a hollow wall
        wall = rect(11, 'rx="16"')
        core = f'<g fill="none" stroke="{colours.edge_light}" stroke-width="4">{wall}</g>'
        return edged(wall, 11) + core
    if role == "plan":  # dashes
        dashes = [((a, e), (a + 22, e)) for a in (17, 61) for e in (9, 91)]
        dashes += [((e, a), (e, a + 22)) for a in (17, 61) for e in (9, 91)]
        lines = "".join(f'<path d="{_path([(x + p, y + q) for p, q in d])}"/>' for d in dashes)
        return edged(lines, 8)
    if role == "weakness":
        stripes = "".join(
            f'<path d="{_path([(x + max(4, a), y + max(4, -a)), (x + min(96, a + 100), y + min(96, 100 - a))])}"/>'
            for a in range(-72, 73, 24)
        )
        return (
            f'<g fill="none" stroke="{colours.edge_dark}" stroke-width="9.5">{stripes}</g>'
            f'<g fill="none" stroke="{colour}" stroke-width="5.5">{stripes}</g>' + edged(rect(5), 3)
        )
    if role == "key square":
        corners = [
            ((4, 4), (40, 4), (4, 40)),
            ((60, 4), (96, 4), (96, 40)),
            ((96, 60), (96, 96), (60, 96)),
            ((4, 60), (40, 96), (4, 96)),
        ]
        return filled("".join(poly(*c) for c in corners))
    ring = [(50 + 39 * math.cos(a * math.pi / 6), 50 + 39 * math.sin(a * math.pi / 6)) for a in range(12)]
    dots = "".join(f'<circle cx="{number(x + a)}" cy="{number(y + b)}" r="6.5"/>' for a, b in ring)
    return filled(dots)


# -- pixels
def mark_tiles(
    mark: DrawnMark, colours: MarkColours, white_below: bool, square_px: int
) -> dict[int, NDArray[np.uint8]]:
    """The mark's pixels on each square it touches, by number from the top left, row by row.

    Drawn in blocks of two by two squares, so that a long diagonal does not cost
    a picture of the whole board.
    """
    body, points = mark_svg(mark, colours, white_below)
    reach = 56 if mark.kind == "square" else 40
    dense = [p for p, _ in _along(points, 20)] if mark.kind != "square" else []
    blocks = {
        (_block(x + dx), _block(y + dy))
        for x, y in [*points, *dense]
        for dx in (-reach, 0, reach)
        for dy in (-reach, 0, reach)
    }
    tiles = {}
    for column, row in blocks:
        side = 2 * square_px
        pixels = draw(body, (column * 2 * SQUARE, row * 2 * SQUARE, 2 * SQUARE, 2 * SQUARE), side, side)
        for dx in (0, 1):
            for dy in (0, 1):
                tile = pixels[dy * square_px : (dy + 1) * square_px, dx * square_px : (dx + 1) * square_px]
                if tile[..., 3].any():
                    tiles[2 * column + dx + 8 * (2 * row + dy)] = tile.copy()
    return tiles


def _block(place: float) -> int:
    return int(min(7.99, max(0.0, place / SQUARE))) // 2

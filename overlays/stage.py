"""Stages: where board, panel, captions and camera stand. Places are data (``layouts.toml``)."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from overlays.tomlplace import fault_of, place_of
from timeline.problems import PlylineError

LEAST_SIDE, MOST_SIDE = 160, 7680  # 8K UHD is 7680 wide (ITU-R BT.2020)
SLOTS = ("title", "players", "notation", "think", "logo", "caption", "camera")
FRAME = 0.043  # of the board's whole side, on each of its four sides


class LayoutError(PlylineError):
    """A layout cannot be used."""


@dataclass(frozen=True, slots=True)
class Box:
    """A rectangle in pixels of the film."""

    x: int
    y: int
    width: int
    height: int

    @property
    def right(self) -> int:
        return self.x + self.width

    @property
    def bottom(self) -> int:
        return self.y + self.height

    def meets(self, other: Box) -> bool:
        """Whether the two share a pixel."""
        return self.x < other.right and other.x < self.right and self.y < other.bottom and other.y < self.bottom


@dataclass(frozen=True, slots=True)
class Stage:
    """A layout at one size. ``unit`` is the length of one design pixel in pixels of the film.

    ``board`` is the board with its frame, ``squares`` its 64 squares, ``square``
    the side of one. ``over``: the stage is see-through and lies over the
    recording; ``camera``: where the recording's picture shows through.
    """

    width: int
    height: int
    unit: float
    over: bool
    board: Box
    square: int
    title: Box | None = None
    players: Box | None = None
    notation: Box | None = None
    think: Box | None = None
    logo: Box | None = None
    caption: Box | None = None
    camera: Box | None = None

    @property
    def squares(self) -> Box:
        side = 8 * self.square
        edge = (self.board.width - side) // 2
        return Box(self.board.x + edge, self.board.y + edge, side, side)

    @property
    def frame(self) -> int:
        """Width of the board's frame."""
        return (self.board.width - 8 * self.square) // 2


@cache
def _own() -> dict[str, Any]:
    return tomllib.loads(files("overlays").joinpath("layouts.toml").read_text(encoding="utf-8"))


def layout_names() -> list[str]:
    """The layouts that come with the package."""
    return list(_own())


def load_stage(layout: str, size: str, *, captions: bool = False) -> Stage:
    """A layout of ours by name, or one in a ``.toml`` file of the same form, at a film size.

    ``size`` is ``1080p`` (the layout's shape, its shorter side 1080 px) or
    ``1920x1080``; a size of another shape leaves background around the layout.
    Film sizes are even. Raises LayoutError.
    """
    table, text = _table(layout)

    def wrong_at(key: str, what: str, fix: str | None = None) -> LayoutError:
        paths = [*([("captions", key)] if captions and key in table.get("captions", {}) else ()), (key,)]
        where = {"file": layout, **place_of(text, paths[0])} if text is not None else {}
        return LayoutError.of("bad-layout", f"in the layout {Path(layout).name}, {what}", fix=fix, **where)

    places: dict[str, Any] = {k: v for k, v in table.items() if k != "captions"}
    if captions:
        own = table.get("captions", {})
        if not isinstance(own, dict):
            raise wrong_at("captions", "captions is no table", "write it as [captions], with the places below")
        places |= own
    known = f"known: canvas, board, over, {', '.join(SLOTS)}"
    for key in places:
        if key not in ("canvas", "board", "over", *SLOTS):
            raise wrong_at(key, f"{key} is no place", known)
    for key in ("canvas", "board"):
        if key not in places:
            raise wrong_at(key, f"{key} is missing", known)
    if captions and not places.get("caption"):
        raise LayoutError.of(
            "no-caption-place", f"the layout {layout} has no place for captions", fix="switch captions off"
        )

    def numbers(key: str, count: int) -> list[float]:
        value = places[key]
        if not isinstance(value, list) or len(value) != count or not all(type(v) in (int, float) for v in value):
            raise wrong_at(key, f"{key} is not a list of {count} numbers")
        return [float(v) for v in value]

    canvas_w, canvas_h = numbers("canvas", 2)
    if not (1 <= canvas_w <= 100_000 and 1 <= canvas_h <= 100_000):
        raise wrong_at("canvas", "the canvas has no size", "for instance canvas = [1920, 1080]")
    width, height = film_size(size, (canvas_w, canvas_h))
    unit = min(width / canvas_w, height / canvas_h)
    left, top = (width - canvas_w * unit) / 2, (height - canvas_h * unit) / 2
    x, y, side = numbers("board", 3)
    square = max(1, int(side * unit * (1 - 2 * FRAME)) // 8)
    whole = 8 * square + 2 * ((round(side * unit) - 8 * square) // 2)
    boxes: dict[str, Box | None] = {}
    for slot in SLOTS:
        if slot == "caption" and not captions:
            continue
        if places.get(slot):
            a, b, w, h = numbers(slot, 4)
            boxes[slot] = Box(round(left + a * unit), round(top + b * unit), round(w * unit), round(h * unit))
    board = Box(round(left + x * unit), round(top + y * unit), whole, whole)
    stage = Stage(width, height, unit, bool(places.get("over", False)), board, square, **boxes)
    frame = Box(0, 0, width, height)
    for slot, box in [("board", board), *boxes.items()]:
        if box and (box.x < 0 or box.y < 0 or box.right > frame.right or box.bottom > frame.bottom):
            raise wrong_at(slot, f"{slot} reaches beyond the canvas")
        if box and slot in ("caption", "camera") and box.meets(board):
            raise wrong_at(slot, f"{slot} covers the board")
    return stage


def film_size(size: str, canvas: tuple[float, float]) -> tuple[int, int]:
    """Width and height in pixels, both even. Raises LayoutError (``bad-size``)."""
    if size.endswith("p"):
        unit = int(size[:-1]) / min(canvas)
        width, height = 2 * round(canvas[0] * unit / 2), 2 * round(canvas[1] * unit / 2)
    else:
        width, height = (int(n) for n in size.split("x"))
    if width % 2 or height % 2 or not (LEAST_SIDE <= width <= MOST_SIDE and LEAST_SIDE <= height <= MOST_SIDE):
        fix = f"width and height are even, {LEAST_SIDE} to {MOST_SIDE}; the usual sizes are 720p and 1080p"
        raise LayoutError.of("bad-size", f"a film cannot be {size}", fix=fix)
    return width, height


def _table(layout: str) -> tuple[dict[str, Any], str | None]:
    """The layout's table, and its text where it is a file of somebody's own."""
    if not layout.endswith(".toml"):
        if layout not in _own():
            raise LayoutError.of(
                "no-layout", f"there is no layout {layout!r}", fix=f"choose {', '.join(_own())} or give a .toml file"
            )
        return _own()[layout], None
    try:
        data = Path(layout).read_bytes()
    except OSError as error:
        raise LayoutError.of("no-layout", f"the layout file cannot be read: {error.strerror}", file=layout) from None
    text = data.decode("utf-8-sig", errors="replace")
    try:
        return tomllib.loads(data.decode("utf-8-sig")), text
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        message, where = fault_of(error, text)
        raise LayoutError.of("bad-toml", f"the layout is not TOML: {message}", file=layout, **where) from None

"""Stages: where board, panel, captions and camera stand. Places are data (``layouts.toml``)."""

from __future__ import annotations

import tomllib
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import Any

from timeline.problems import PlylineError

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
    table, name = _table(layout)
    places: dict[str, Any] = {k: v for k, v in table.items() if k != "captions"}
    if captions:
        places |= table.get("captions", {})
    wrong = set(places) - {"canvas", "board", "over", *SLOTS}
    if wrong or "canvas" not in places or "board" not in places:
        what = f"has unknown places: {', '.join(sorted(wrong))}" if wrong else "needs canvas and board"
        raise LayoutError.of(
            "bad-layout", f"the layout {name} {what}", fix=f"known: canvas, board, over, {', '.join(SLOTS)}"
        )
    if captions and not places.get("caption"):
        raise LayoutError.of(
            "no-caption-place", f"the layout {name} has no place for captions", fix="switch captions off"
        )
    canvas_w, canvas_h = _numbers(places["canvas"], 2, name, "canvas")
    width, height = film_size(size, (canvas_w, canvas_h))
    unit = min(width / canvas_w, height / canvas_h)
    left, top = (width - canvas_w * unit) / 2, (height - canvas_h * unit) / 2
    x, y, side = _numbers(places["board"], 3, name, "board")
    square = max(1, int(side * unit * (1 - 2 * FRAME)) // 8)
    whole = 8 * square + 2 * ((round(side * unit) - 8 * square) // 2)
    boxes: dict[str, Box | None] = {}
    for slot in SLOTS:
        if slot == "caption" and not captions:
            continue
        if places.get(slot):
            a, b, w, h = _numbers(places[slot], 4, name, slot)
            boxes[slot] = Box(round(left + a * unit), round(top + b * unit), round(w * unit), round(h * unit))
    board = Box(round(left + x * unit), round(top + y * unit), whole, whole)
    stage = Stage(width, height, unit, bool(places.get("over", False)), board, square, **boxes)
    frame = Box(0, 0, width, height)
    for slot, box in [("board", board), *boxes.items()]:
        if box and (box.x < 0 or box.y < 0 or box.right > frame.right or box.bottom > frame.bottom):
            raise LayoutError.of("bad-layout", f"in the layout {name}, {slot} reaches beyond the canvas")
        if box and slot in ("caption", "camera") and box.meets(board):
            raise LayoutError.of("bad-layout", f"in the layout {name}, {slot} covers the board")
    return stage


def film_size(size: str, canvas: tuple[float, float]) -> tuple[int, int]:
    """Width and height in pixels, both even."""
    if size.endswith("p"):
        unit = int(size[:-1]) / min(canvas)
        return 2 * round(canvas[0] * unit / 2), 2 * round(canvas[1] * unit / 2)
    width, height = (int(n) for n in size.split("x"))
    if width % 2 or height % 2 or not (160 <= width <= 7680 and 160 <= height <= 7680):
        raise LayoutError.of("bad-size", f"a film cannot be {size}", fix="width and height are even, 160 to 7680")
    return width, height


def _numbers(value: Any, count: int, name: str, slot: str) -> list[float]:
    if not isinstance(value, list) or len(value) != count or not all(isinstance(v, int | float) for v in value):
        raise LayoutError.of("bad-layout", f"in the layout {name}, {slot} is not a list of {count} numbers")
    return [float(v) for v in value]


def _table(layout: str) -> tuple[dict[str, Any], str]:
    if not layout.endswith(".toml"):
        if layout not in _own():
            raise LayoutError.of(
                "no-layout", f"there is no layout {layout!r}", fix=f"choose {', '.join(_own())} or give a .toml file"
            )
        return _own()[layout], layout
    try:
        return tomllib.loads(Path(layout).read_text(encoding="utf-8-sig")), layout
    except OSError as error:
        raise LayoutError.of("no-layout", f"the layout file cannot be read: {error.strerror}", file=layout) from None
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as error:
        raise LayoutError.of("bad-toml", f"the layout is not TOML: {error}", file=layout) from None

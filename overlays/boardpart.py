"""Keeps the board in a picture up to date: only squares whose contents changed are painted again."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from math import ceil, floor
from typing import TYPE_CHECKING

from overlays.board import last_move_tiles, piece_sprite
from overlays.marks import mark_tiles
from overlays.motion import Sprite
from overlays.pixels import Canvas, Layer
from overlays.recent import Recent
from overlays.screenplay import FADE_STEPS, DrawnMark, State

if TYPE_CHECKING:
    from overlays.stage import Stage
    from overlays.theme import Theme

MARKS = 24  # marks kept drawn; a long one takes 3 MB at 1080p


@dataclass(frozen=True, slots=True)
class Contents:
    """What one square shows, from the bottom up: last move (0 left, 1 come to), marks, a piece."""

    last: int | None
    marks: tuple[DrawnMark, ...]
    piece: str


class BoardPart:
    """Paints the 64 squares of states onto canvases that hold the bare board."""

    def __init__(self, stage: Stage, theme: Theme, white_below: bool) -> None:
        self._stage = stage
        self._theme = theme
        self._white_below = white_below
        self._pieces: dict[str, Layer] = {}
        self._last = [Layer(tile) for tile in last_move_tiles(stage, theme)]
        self._marks: Recent[DrawnMark, dict[int, Layer]] = Recent(MARKS)

    def paint(self, canvas: Canvas, bare: Canvas, state: State, before: State | None) -> None:
        """Bring ``canvas``, which shows ``before`` (None: the bare board), to ``state``."""
        new = self._contents(state)
        if before is None:
            empty = Contents(None, (), "")
            todo = [i for i in range(64) if new[i] != empty]
        else:
            old = self._contents(before)
            under = {i for sprite in before.pose.moving for i in self._touched(sprite)}
            todo = [i for i in range(64) if new[i] != old[i] or i in under]
        side = self._stage.square
        for index in todo:
            x, y = self._corner(index % 8, index // 8)
            if before is not None:
                canvas.restore(bare, x, y, side, side)
            self._square(canvas, index, new[index], x, y)
        for sprite in state.pose.moving:
            column, row = self._turned(sprite.file, sprite.rank)
            canvas.lay(self._piece(sprite.symbol), *self._corner(column, row), sprite.alpha)

    def _square(self, canvas: Canvas, index: int, contents: Contents, x: int, y: int) -> None:
        if contents.last is not None:
            canvas.lay(self._last[contents.last], x, y)
        for mark in contents.marks:
            canvas.lay(self._drawn(mark)[index], x, y, mark.strength / FADE_STEPS)
        if contents.piece:
            canvas.lay(self._piece(contents.piece), x, y)

    def _contents(self, state: State) -> list[Contents]:
        """For each square from the top left of the picture, row by row."""
        pieces = [""] * 64
        for sprite in _standing(state.pose.standing):
            column, row = self._turned(sprite.file, sprite.rank)
            pieces[int(column + 8 * row)] = sprite.symbol
        last = {self._index(square): i for i, square in enumerate(state.last or ())}
        marks: dict[int, tuple[DrawnMark, ...]] = {}
        for mark in sorted(state.marks, key=lambda m: m.kind != "square"):
            for index in self._drawn(mark):
                marks[index] = (*marks.get(index, ()), mark)
        return [Contents(last.get(i), marks.get(i, ()), pieces[i]) for i in range(64)]

    def _drawn(self, mark: DrawnMark) -> dict[int, Layer]:
        """The mark's part on each square it touches."""
        plain = replace(mark, strength=FADE_STEPS)
        return self._marks.get(
            plain,
            lambda: {
                index: Layer(tile)
                for index, tile in mark_tiles(plain, self._theme.marks, self._white_below, self._stage.square).items()
            },
        )

    def _piece(self, symbol: str) -> Layer:
        if symbol not in self._pieces:
            self._pieces[symbol] = Layer(piece_sprite(symbol, self._theme, self._stage.square))
        return self._pieces[symbol]

    # -- places
    def _turned(self, file: float, rank: float) -> tuple[float, float]:
        return (file, 7 - rank) if self._white_below else (7 - file, rank)

    def _index(self, square: int) -> int:
        column, row = self._turned(square & 7, square >> 3)
        return int(column + 8 * row)

    def _corner(self, column: float, row: float) -> tuple[int, int]:
        inner, side = self._stage.squares, self._stage.square
        return inner.x + round(column * side), inner.y + round(row * side)

    def _touched(self, sprite: Sprite) -> Iterator[int]:
        column, row = self._turned(sprite.file, sprite.rank)
        # A pixel's rounding may reach into the next square.
        slack = 1 / self._stage.square
        for c in range(max(0, floor(column - slack)), min(7, ceil(column + slack)) + 1):
            for r in range(max(0, floor(row - slack)), min(7, ceil(row + slack)) + 1):
                yield c + 8 * r


def _standing(placement: str) -> Iterator[Sprite]:
    for row, line in enumerate(placement.split("/")):
        file = 0
        for char in line:
            if char.isdigit():
                file += int(char)
            else:
                yield Sprite(char, file, 7 - row)
                file += 1

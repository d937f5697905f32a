"""The panel: title, players, notation that follows the lesson, countdown, captions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import chess
import numpy as np

from overlays.palette import rgb_of
from overlays.pixels import Canvas
from overlays.screenplay import Moves
from overlays.stage import Box
from overlays.text import ASCENT, BOLD, REGULAR, Typesetter
from overlays.theme import Theme
from overlays.vector import draw, number

if TYPE_CHECKING:
    from numpy.typing import NDArray

FIGURES = str.maketrans("KQRBN", "♔♕♖♗♘")


@dataclass(frozen=True, slots=True)
class Token:
    """One move in the notation. ``number`` is printed before it where the reader needs it."""

    text: str
    number: str
    white: bool
    ply: int


@lru_cache(maxsize=256)
def tokens(start_fen: str, chess960: bool, path: tuple[str, ...], figurines: bool) -> tuple[Token, ...]:
    """The moves of a path in SAN with their numbers."""
    board = chess.Board(start_fen, chess960=chess960)
    found = []
    for ply, uci in enumerate(path):
        move = chess.Move.from_uci(uci)
        white = board.turn == chess.WHITE
        label = f"{board.fullmove_number}." if white else f"{board.fullmove_number}…"
        san = board.san_and_push(move)
        found.append(Token(san.translate(FIGURES) if figurines else san, label, white, ply))
    return tuple(found)


class Panel:
    """Draws the parts of the panel, each as opaque pixels of its box. ``unit``: film px of a design px."""

    def __init__(self, theme: Theme, type_: Typesetter, unit: float) -> None:
        self.theme = theme
        self.type = type_
        self.unit = unit

    def _blank(self, box: Box) -> Canvas:
        rgb = np.empty((box.height, box.width, 3), np.uint8)
        rgb[:] = rgb_of(self.theme.stage.background)
        return Canvas(rgb, None)

    def _write(
        self, canvas: Canvas, text: str, x: float, baseline: float, size: float, colour: str, weight: int = REGULAR
    ) -> None:
        canvas.paste(self.type.sprite(text, size, colour, weight), round(x) - 1, round(baseline) - round(ASCENT * size))

    # -- title and players
    def title(self, box: Box, title: str) -> NDArray[np.uint8]:
        """One line large, or two lines smaller, at the top left."""
        canvas, u = self._blank(box), self.unit
        big = min(58 * u, box.height * 0.72)
        if self.type.width(title, big, BOLD) <= box.width or box.height < 100 * u:
            while big > 34 * u and self.type.width(title, big, BOLD) > box.width:
                big -= 2 * u
            rows, size = [self.type.fitted(title, big, box.width, BOLD)], big
        else:
            size = min(48 * u, box.height / 2.45)
            rows = self.type.wrapped(title, size, box.width, BOLD, 2)
        for i, row in enumerate(rows):
            right = self.type.shape(row, BOLD).right_to_left
            x = box.width - self.type.width(row, size, BOLD) if right else 0
            self._write(canvas, row, x, size * (0.86 + 1.16 * i), size, self.theme.stage.text, BOLD)
        return canvas.rgb

    def players(self, box: Box, names: Sequence[tuple[bool, str]], turn: bool) -> NDArray[np.uint8]:
        """Two lines in the order of the board; a bar stands at the side to move. ``names``: (white?, name)."""
        canvas, stage = self._blank(box), self.theme.stage
        tall = box.height // 2
        size = tall * 0.64
        for i, (white, name) in enumerate(names):
            colours = self.theme.pieces.white if white else self.theme.pieces.black
            moves = white == turn
            middle = tall * i + tall / 2
            radius = size * 0.36
            x = size * 0.55
            if moves:
                canvas.fill(
                    0, round(middle - tall * 0.4), max(3, round(size * 0.13)), round(tall * 0.8), rgb_of(stage.here)
                )
            disc = (
                f'<circle cx="{number(radius + 3)}" cy="{number(radius + 3)}" r="{number(radius)}" fill="{colours.fill}" '
                f'stroke="{stage.quiet}" stroke-width="{number(size * 0.07)}"/>'
            )
            side = int(2 * radius + 7)
            canvas.paste(draw(disc, (0, 0, side, side), side, side), round(x), round(middle - side / 2))
            left = x + side + size * 0.35
            text = self.type.fitted(name, size, box.width - left, BOLD if moves else REGULAR)
            self._write(
                canvas,
                text,
                left,
                middle + size * 0.33,
                size,
                stage.text if moves else stage.quiet,
                BOLD if moves else REGULAR,
            )
        return canvas.rgb

    # -- notation
    def notation(
        self, box: Box, track: tuple[str, tuple[str, ...], bool], moves: Moves, mode: str, figurines: bool
    ) -> NDArray[np.uint8]:
        """Rows of moves with the current one in a plate; a sideline is set in and has a bar. ``track``: start FEN, mainline, chess960."""
        start_fen, mainline, chess960 = track
        main = tokens(start_fen, chess960, mainline[: moves.seen], figurines)
        side = tokens(start_fen, chess960, moves.path, figurines)[moves.shared :]
        here = len(moves.path) if mode == "score" else -1
        size = 36 * self.unit
        if box.height < 3.2 * size * 1.5:
            return self._flow(box, main[: moves.shared] if mode != "hand" else (), side, size)
        return self._rows(box, main, side, moves.shared, here, mode, size)

    def _rows(
        self, box: Box, main: Sequence[Token], side: Sequence[Token], shared: int, here: int, mode: str, size: float
    ) -> NDArray[np.uint8]:
        canvas, stage = self._blank(box), self.theme.stage
        tall = round(size * 1.46)
        rows: list[list[Token]] = []
        for token in main:
            if token.white or not rows:
                rows.append([])
            rows[-1].append(token)
        block = self._block(side, box.width - size * 2.6, size)
        branch = next((i for i, row in enumerate(rows) if row[-1].ply >= shared), len(rows) - 1) if side else -1
        if side and mode == "score":
            branch = -1
        lines: list[tuple[str, object]] = []
        focus = 0
        for i, row in enumerate(rows):
            if any(t.ply + 1 == here for t in row):
                focus = len(lines)
            lines.append(("row", row))
            if i == branch:
                lines += [("side", line) for line in block]
                focus = len(lines) - 1
        if side and branch < 0 and mode != "score":
            lines = [("side", line) for line in block] + lines
            focus = max(0, len(block) - 1)
        fit = max(1, box.height // tall)
        first = max(0, min(focus - (fit * 2) // 3, len(lines) - fit))
        labels = max((self.type.width(t.number, size) for row in rows for t in row[:1]), default=0)
        column = (box.width - labels - size) / 2
        for n, (kind, content) in enumerate(lines[first : first + fit]):
            y = n * tall
            base = y + tall * 0.5 + size * 0.34
            if kind == "row":
                row = content
                assert isinstance(row, list)
                label = row[0].number if row[0].white else row[0].number
                self._write(canvas, label, labels - self.type.width(label, size), base, size, stage.quiet)
                for token in row:
                    x = labels + size * 0.8 + (0 if token.white else column)
                    dim = token.ply >= shared
                    self._move(
                        canvas,
                        token.text,
                        x,
                        y,
                        base,
                        size,
                        tall,
                        token.ply + 1 == here,
                        stage.quiet if dim else stage.text,
                    )
            else:
                assert isinstance(content, list)
                bar = max(3, round(size * 0.2))
                canvas.fill(round(size * 1.25), y, bar, tall, rgb_of(stage.sideline))
                x = size * 2.1
                for text, current in content:
                    self._move(
                        canvas, text, x, y, base, size, tall, current, stage.text, stage.sideline, stage.sideline_ink
                    )
                    x += self.type.width(text, size, BOLD if current else REGULAR) + size * 0.42
        return canvas.rgb

    def _move(
        self,
        canvas: Canvas,
        text: str,
        x: float,
        y: int,
        base: float,
        size: float,
        tall: int,
        current: bool,
        ink: str,
        plate: str | None = None,
        plate_ink: str | None = None,
    ) -> None:
        weight = BOLD if current else REGULAR
        if current:
            pad = round(size * 0.22)
            width = round(self.type.width(text, size, weight)) + 2 * pad
            canvas.fill(
                max(0, round(x) - pad),
                y + round(tall * 0.05),
                width,
                round(tall * 0.9),
                rgb_of(plate or self.theme.stage.here),
            )
            ink = plate_ink or self.theme.stage.here_text
        self._write(canvas, text, x, base, size, ink, weight)

    def _block(self, side: Sequence[Token], room: float, size: float) -> list[list[tuple[str, bool]]]:
        """A sideline's moves broken into lines: (text, is it the current one)."""
        lines: list[list[tuple[str, bool]]] = []
        used = 0.0
        for i, token in enumerate(side):
            text = f"{token.number} {token.text}" if token.white or i == 0 else token.text
            current = i == len(side) - 1
            width = self.type.width(text, size, BOLD if current else REGULAR) + size * 0.42
            if not lines or used + width > room:
                lines.append([])
                used = 0.0
            lines[-1].append((text, current))
            used += width
        return lines

    def _flow(self, box: Box, main: Sequence[Token], side: Sequence[Token], size: float) -> NDArray[np.uint8]:
        """One line: the last moves, the current one at its end."""
        canvas, stage = self._blank(box), self.theme.stage
        size = min(size, box.height * 0.6)
        tall = min(box.height, round(size * 1.5))
        y = (box.height - tall) // 2
        base = y + tall * 0.5 + size * 0.34
        words = [(f"{t.number} {t.text}" if t.white else t.text, False) for t in main]
        first_side = len(words)
        words += [(f"{t.number} {t.text}" if t.white or i == 0 else t.text, True) for i, t in enumerate(side)]
        if not words:
            return canvas.rgb
        widths = [
            self.type.width(t, size, BOLD if i == len(words) - 1 else REGULAR) + size * 0.45
            for i, (t, _) in enumerate(words)
        ]
        first, used = len(words), 0.0
        while first and used + widths[first - 1] <= box.width - size * 1.4:
            first -= 1
            used += widths[first]
        x = size * 0.3
        if first:
            self._write(canvas, "…", x, base, size, stage.quiet)
            x += size * 0.9
        for i in range(first, len(words)):
            text, aside = words[i]
            if i == first_side and side:
                canvas.fill(round(x), y, max(3, round(size * 0.16)), tall, rgb_of(stage.sideline))
                x += size * 0.5
            current = i == len(words) - 1
            plate = (stage.sideline, stage.sideline_ink) if aside else (None, None)
            self._move(
                canvas, text, x, y, base, size, tall, current, stage.text if aside or current else stage.quiet, *plate
            )
            x += widths[i]
        return canvas.rgb

    # -- think-pause and captions: straight-alpha sprites
    def think(self, box: Box, total: int, left: int) -> NDArray[np.uint8]:
        """A row of drops, one fewer as time goes; the words above when there is room. Shape (h, w, 4)."""
        stage, u = self.theme.stage, self.unit
        words = box.height >= 56 * u
        size = min(38 * u, box.height * 0.42)
        parts = []
        radius = min(11 * u, box.height * (0.16 if words else 0.3), box.width / (total * 3.2))
        y = box.height * (0.76 if words else 0.5)
        gap = radius * 3.1
        start = radius + 3 if words else (box.width - gap * (total - 1)) / 2
        for i in range(total):
            x = start + gap * i
            if i < left:
                parts.append(f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius)}" fill="{stage.here}"/>')
            else:
                parts.append(
                    f'<circle cx="{number(x)}" cy="{number(y)}" r="{number(radius * 0.72)}" fill="none" stroke="{stage.quiet}" '
                    f'stroke-width="{number(radius * 0.3)}"/>'
                )
        if words:
            text = self.type.fitted(self.theme.words.think, size, box.width, BOLD)
            parts.append(self.type.svg(text, 0, box.height * 0.4, size, stage.text, BOLD))
        return draw("".join(parts), (0, 0, box.width, box.height), box.width, box.height)

    def caption(self, box: Box, text: str, see_through: bool) -> NDArray[np.uint8]:
        """Lines centred at the bottom of the box on a dark plate. Shape (h, w, 4)."""
        stage = self.theme.stage
        rows = [row for row in text.split("\n") if row.strip()]
        height = box.height / 2
        size = height * 0.70
        room = box.width - size
        widest = max((self.type.width(r, size) for r in rows), default=0)
        if widest > room:
            small = max(0.62 * size, size * room / widest)
            rows = [part for r in rows for part in self.type.wrapped(r, small, box.width - small, REGULAR, 3)]
            size = small
        height = min(height, box.height / max(1, len(rows)), size / 0.70)
        size = min(size, height * 0.78)
        body = []
        top = box.height - height * len(rows)
        for i, row in enumerate(rows):
            width = self.type.width(row, size)
            x = (box.width - width) / 2
            y = top + height * i
            body.append(
                f'<rect x="{number(x - size * 0.5)}" y="{number(y)}" width="{number(width + size)}" height="{number(height + 0.5)}" '
                f'fill="{stage.caption}" fill-opacity="{0.86 if see_through else 1}"/>'
            )
            body.append(self.type.svg(row, x, y + height * 0.5 + size * 0.33, size, stage.caption_text))
        return draw("".join(body), (0, 0, box.width, box.height), box.width, box.height)

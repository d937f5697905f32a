"""The notation column: the moves of the game so far, a sideline set in beside them, the current move in a plate."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

import chess

from overlays.lettering import Lettering
from overlays.palette import rgb_of
from overlays.pixels import Canvas
from overlays.screenplay import Moves
from overlays.stage import Box
from overlays.text import BOLD, REGULAR

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

SIZE = 36  # of the letters, in design pixels
FIGURES = str.maketrans("KQRBN", "♔♕♖♗♘")


@dataclass(frozen=True, slots=True)
class Token:
    """One move: its text, the number to print before it, and its ply (the first move is 0)."""

    text: str
    number: str
    white: bool
    ply: int


@dataclass(frozen=True, slots=True)
class Word:
    """A move in running text."""

    text: str
    current: bool


Row = tuple[Token, ...] | tuple[Word, ...]
"""One line of the column: a numbered pair of mainline moves, or running text of a sideline."""


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


def numbered(main: Sequence[Token]) -> list[tuple[Token, ...]]:
    """Mainline moves in pairs, White's first; a game that Black begins has a first row of one."""
    rows: list[tuple[Token, ...]] = []
    for token in main:
        if token.white or not rows:
            rows.append((token,))
        else:
            rows[-1] = (*rows[-1], token)
    return rows


class Column:
    """Draws the notation for one track. ``mainline`` is UCI from ``start_fen``."""

    def __init__(
        self, letters: Lettering, start_fen: str, mainline: tuple[str, ...], *, chess960: bool, figurines: bool
    ) -> None:
        self.letters = letters
        self._track = (start_fen, chess960)
        self._mainline = mainline
        self._figurines = figurines

    def picture(self, box: Box, moves: Moves, mode: str) -> NDArray[np.uint8]:
        """Opaque pixels of the box: rows of moves, or one line where the box is low."""
        main = tokens(*self._track, self._mainline[: moves.seen], self._figurines)
        side = tokens(*self._track, moves.path, self._figurines)[moves.shared :] if mode == "sideline" else ()
        size = SIZE * self.letters.unit
        if box.height < 4.4 * size:
            return self._flow(box, main[: moves.shared] if mode != "hand" else (), side, size)
        here = moves.shared if mode == "score" else 0
        return self._rows(box, main, side, moves.shared, here, size)

    # -- rows
    def _rows(
        self, box: Box, main: Sequence[Token], side: Sequence[Token], shared: int, here: int, size: float
    ) -> NDArray[np.uint8]:
        canvas, stage = self.letters.blank(box), self.letters.theme.stage
        tall = round(size * 1.46)
        pairs = numbered(main)
        lines: list[Row] = list(pairs)
        focus = next((i for i, pair in enumerate(pairs) if pair[-1].ply + 1 >= here), len(pairs) - 1) if here else 0
        if side:
            block = self._block(side, box.width - size * 2.6, size)
            after = next((i + 1 for i, pair in enumerate(pairs) if pair[-1].ply >= shared), len(pairs))
            lines[after:after] = block
            focus = after + len(block) - 1
        fit = max(1, box.height // tall)
        first = max(0, min(focus - (fit * 2) // 3, len(lines) - fit))
        labels = max((self.letters.type.width(pair[0].number, size) for pair in pairs), default=0)
        for n, line in enumerate(lines[first : first + fit]):
            y = n * tall
            if line and isinstance(line[0], Token):
                self._pair(canvas, line, y, tall, size, labels, shared, here)
                continue
            canvas.fill(round(size * 1.25), y, max(3, round(size * 0.2)), tall, rgb_of(stage.sideline))
            x = size * 2.1
            for word in line:
                assert isinstance(word, Word)
                self._move(canvas, word, x, y, tall, size, stage.text, aside=True)
                x += self._width(word, size)
        return canvas.rgb

    def _pair(
        self,
        canvas: Canvas,
        pair: Sequence[Token],
        y: int,
        tall: int,
        size: float,
        labels: float,
        shared: int,
        here: int,
    ) -> None:
        letters, stage = self.letters, self.letters.theme.stage
        label = pair[0].number
        base = y + tall * 0.5 + size * 0.34
        letters.write(canvas, label, labels - letters.type.width(label, size), base, size, stage.quiet)
        step = min((canvas.rgb.shape[1] - labels - size) / 2, size * 6.2)
        for token in pair:
            x = labels + size * 0.8 + (0 if token.white else step)
            ink = stage.text if token.ply < shared else stage.quiet
            self._move(canvas, Word(token.text, token.ply + 1 == here), x, y, tall, size, ink)

    def _block(self, side: Sequence[Token], room: float, size: float) -> list[tuple[Word, ...]]:
        """A sideline's moves broken into lines."""
        lines: list[tuple[Word, ...]] = []
        used = 0.0
        for i, token in enumerate(side):
            text = f"{token.number} {token.text}" if token.white or i == 0 else token.text
            word = Word(text, i == len(side) - 1)
            width = self._width(word, size)
            if not lines or used + width > room:
                lines.append(())
                used = 0.0
            lines[-1] = (*lines[-1], word)
            used += width
        return lines

    # -- one line
    def _flow(self, box: Box, main: Sequence[Token], side: Sequence[Token], size: float) -> NDArray[np.uint8]:
        """The last moves, the current one at the end; a bar before a sideline."""
        canvas, stage = self.letters.blank(box), self.letters.theme.stage
        size = min(size, box.height * 0.6)
        tall = min(box.height, round(size * 1.5))
        y = (box.height - tall) // 2
        both = [*main, *side]
        words = [
            Word(f"{t.number} {t.text}" if t.white or i == len(main) else t.text, i == len(both) - 1)
            for i, t in enumerate(both)
        ]
        first, used = len(words), size * 1.6
        while first and used + self._width(words[first - 1], size) <= box.width:
            first -= 1
            used += self._width(words[first], size)
        x = size * 0.3
        if first:
            self.letters.write(canvas, "…", x, y + tall * 0.5 + size * 0.34, size, stage.quiet)
            x += size * 1.1
        for i, word in enumerate(words[first:], first):
            if side and i == max(first, len(main)):
                canvas.fill(round(x), y, max(3, round(size * 0.16)), tall, rgb_of(stage.sideline))
                x += size * 0.5
            aside = i >= len(main)
            self._move(canvas, word, x, y, tall, size, stage.text if aside else stage.quiet, aside=aside)
            x += self._width(word, size)
        return canvas.rgb

    # -- a move
    def _width(self, word: Word, size: float) -> float:
        return self.letters.type.width(word.text, size, BOLD if word.current else REGULAR) + size * 0.46

    def _move(
        self, canvas: Canvas, word: Word, x: float, y: int, tall: int, size: float, ink: str, *, aside: bool = False
    ) -> None:
        stage = self.letters.theme.stage
        if word.current:
            pad = round(size * 0.22)
            width = round(self.letters.type.width(word.text, size, BOLD)) + 2 * pad
            paper, ink = (stage.sideline, stage.sideline_ink) if aside else (stage.here, stage.here_text)
            canvas.fill(max(0, round(x) - pad), y + round(tall * 0.05), width, round(tall * 0.9), rgb_of(paper))
        base = y + tall * 0.5 + size * 0.34
        self.letters.write(canvas, word.text, x, base, size, ink, BOLD if word.current else REGULAR)

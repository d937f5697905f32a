"""Reads positions from pictures: templates learned from one drawn board, compared with the squares of any picture.

It knows nothing of how pieces are drawn. A piece's template is what stays the
same when it stands on a light and on a dark square; whatever lies around it
(a mark, the last move, a sideline's squares) does not count.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

PIECES = "kqrbnpKQRBNP"
SAMPLE = "kqrbnpKQ/kqrbnpKQ/RBNP4/RBNP4/8/8/8/8"
"""Each piece on both colours of square."""
_SAME = 6  # luma; what changes less between a light and a dark square is the piece itself
_LIKE = 20  # luma; a square whose pixels differ more from every template on average is empty


def luma_of(rgb: np.ndarray) -> np.ndarray:
    """ITU-R BT.709-6, 3.2, in 8 bits of limited range; shape (height, width)."""
    return 16 + 219 / 255 * (rgb.astype(np.float32) @ np.array([0.2126, 0.7152, 0.0722], np.float32))


@dataclass(frozen=True)
class Grid:
    """Where the 64 squares are: the top left corner of the picture's first one, a side, all in pixels."""

    x: int
    y: int
    side: int
    white_below: bool = True

    def square(self, luma: np.ndarray, column: int, row: int) -> np.ndarray:
        x, y = self.x + column * self.side, self.y + row * self.side
        return luma[y : y + self.side, x : x + self.side].astype(np.float32)


class BoardReader:
    """``draw`` gives the RGB picture of a FEN's placement, seen as ``grid`` says."""

    def __init__(self, draw: Callable[[str], np.ndarray], grid: Grid) -> None:
        self._grid = grid
        sample = luma_of(draw(SAMPLE))
        rows = SAMPLE.split("/")
        self._templates = []
        for piece in PIECES:
            row = next(r for r, line in enumerate(rows) if piece in line)
            column = rows[row].index(piece)
            one, other = (grid.square(sample, *self._seen(column, r)) for r in (row, row + 1))
            mask = np.abs(one - other) < _SAME
            assert mask.mean() > 0.1, f"{piece} looks different on light and dark"
            self._templates.append((piece, mask, one[mask]))

    def _seen(self, column: int, row: int) -> tuple[int, int]:
        return (column, row) if self._grid.white_below else (7 - column, 7 - row)

    def piece(self, square: np.ndarray) -> str:
        """The piece on a square's luma, or nothing."""
        errors = {piece: float(np.abs(square[mask] - luma).mean()) for piece, mask, luma in self._templates}
        best = min(errors, key=errors.get)
        return best if errors[best] < _LIKE else ""

    def read(self, luma: np.ndarray) -> str:
        """The placement as in a FEN's first field."""
        lines = []
        for row in range(8):
            line, empty = "", 0
            for column in range(8):
                piece = self.piece(self._grid.square(luma, *self._seen(column, row)))
                if piece:
                    line += (str(empty) if empty else "") + piece
                    empty = 0
                else:
                    empty += 1
            lines.append(line + (str(empty) if empty else ""))
        return "/".join(lines)


def drawn_board(painter_of: Callable[[str], object]) -> Callable[[str], np.ndarray]:
    """A ``draw`` that shows a placement as a position of one's own, through a painter made for it."""

    def draw(placement: str) -> np.ndarray:
        painter = painter_of(f"{placement} w - - 0 1")
        return painter.rgb(painter.screenplay.at(0))  # type: ignore[attr-defined]

    return draw


def reader_for(settings: object, orientation: str = "white") -> BoardReader:
    """A reader for films of these settings."""
    import chess

    from overlays.painter import BoardPainter
    from overlays.show import Show
    from timeline.tracks import BoardSpan, BoardTrack

    def painter(fen: str) -> BoardPainter:
        span = BoardSpan(0, 1000, fen, (), 0, "", "score")
        return BoardPainter(Show(BoardTrack(chess.STARTING_FEN, (), (span,)), "", orientation=orientation), settings)

    inner = painter(f"{SAMPLE} w - - 0 1").stage
    grid = Grid(inner.squares.x, inner.squares.y, inner.square, orientation == "white")
    return BoardReader(drawn_board(painter), grid)


def film_time(recording_s: float, holds: list[tuple[float, float]]) -> float:
    """Seconds of film for a second of the recording; ``holds`` are (when, how long) in seconds."""
    return recording_s + sum(length for at, length in holds if at <= recording_s + 1e-9)

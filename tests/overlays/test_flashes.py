"""No picture of ours flashes, measured on pixels (WCAG 2.2, 2.3.1, general flash)."""

from __future__ import annotations

from fractions import Fraction

import chess
import numpy as np

from overlays import samples
from overlays.painter import BoardPainter
from overlays.show import Show
from timeline.filmsettings import FilmSettings
from timeline.tracks import BoardSpan, BoardTrack

RATE = Fraction(30)
JUMP, DARKER = 0.10, 0.80
FIELD = 21_824 / (1024 * 768)
"""A quarter of the 341 x 256 px that WCAG takes for ten degrees on a screen of 1024 x 768."""


def luminances(painter: BoardPainter) -> np.ndarray:
    """Relative luminance of every frame, in blocks of 4 x 4 px, shape (frames, h, w)."""
    c = np.arange(256) / 255
    linear = np.where(c <= 0.04045, c / 12.92, ((c + 0.055) / 1.055) ** 2.4)
    frames = []
    for run in painter.runs(RATE):
        rgb = painter.rgb(run.key)[: painter.height // 4 * 4, : painter.width // 4 * 4]
        light = linear[rgb] @ np.array([0.2126, 0.7152, 0.0722])
        small = light.reshape(light.shape[0] // 4, 4, light.shape[1] // 4, 4).mean(axis=(1, 3))
        frames += [small.astype(np.float32)] * run.count
    return np.stack(frames)


def flash_counts(light: np.ndarray) -> np.ndarray:
    """For each frame and place, the changes of at least JUMP, in turn up and down, that end there (0 or 1)."""
    low, high = light[0].copy(), light[0].copy()
    last = np.zeros(light[0].shape, np.int8)
    ends = np.zeros(light.shape, bool)
    for n, here in enumerate(light):
        low, high = np.minimum(low, here), np.maximum(high, here)
        up = (here - low >= JUMP) & (low < DARKER) & (last <= 0)
        down = (high - here >= JUMP) & (here < DARKER) & (last >= 0) & ~up
        ends[n] = up | down
        last = np.where(up, 1, np.where(down, -1, last)).astype(np.int8)
        turned = up | down
        low, high = np.where(turned, here, low), np.where(turned, here, high)
    return ends


def worst_share(light: np.ndarray) -> float:
    """The largest share of the picture that has more than three flashes (six changes) within one second."""
    ends = flash_counts(light).cumsum(axis=0, dtype=np.int32)
    worst = 0.0
    for n in range(len(light)):
        before = ends[n - 30] if n >= 30 else 0
        worst = max(worst, float((ends[n] - before >= 7).mean()))
    return worst


def test_the_measure_knows_a_flash() -> None:
    """Full screen black and white four times a second fails, three times passes."""
    blink = np.zeros((60, 4, 4), np.float32)
    for n in range(60):
        blink[n] = (n * 4 * 2 // 30) % 2
    assert worst_share(blink) == 1
    for n in range(60):
        blink[n] = (n * 3 * 2 // 30) % 2
    assert worst_share(blink) == 0


def test_a_hectic_lesson_does_not_flash() -> None:
    """Positions of one's own, sidelines and the game changing places every 320 ms for three seconds."""
    game = samples.game_show()
    kinds = [game.board.spans[0], game.board.spans[15], game.board.spans[18], game.board.spans[20]]
    spans = []
    for n in range(10):
        span = kinds[n * 7 % len(kinds)]
        spans.append(BoardSpan(n * 320, (n + 1) * 320, span.fen, span.path, span.shared, "", span.origin))
    assert len({span.origin for span in spans}) == 3
    show = Show(BoardTrack(chess.STARTING_FEN, game.board.mainline, tuple(spans)), "T")
    assert worst_share(luminances(BoardPainter(show, FilmSettings(size="360p")))) < FIELD


def test_the_sample_lesson_does_not_flash() -> None:
    assert worst_share(luminances(BoardPainter(samples.game_show(), FilmSettings(size="360p", captions=True)))) == 0

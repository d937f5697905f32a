"""Converting only what changed gives the very pixels that converting everything gives."""

from __future__ import annotations

import numpy as np
import pytest
from av.video.reformatter import VideoReformatter
from hypothesis import given
from hypothesis import strategies as st

from overlays.painter import BoardPainter
from overlays.samples import game_show
from overlays.yuv import Converter, to_yuv
from timeline.filmsettings import FilmSettings


def whole(rgb: np.ndarray) -> np.ndarray:
    return to_yuv(VideoReformatter(), rgb).to_ndarray()


@given(
    size=st.sampled_from([(64, 48), (160, 90), (322, 182), (400, 226), (640, 360)]),
    boxes=st.lists(st.tuples(*[st.floats(0, 1)] * 4), min_size=1, max_size=4),
    seed=st.integers(0, 2**32 - 1),
)
def test_any_change_anywhere(size, boxes, seed):
    """Noise is the hardest: every pixel has its say in the chroma beside it."""
    width, height = size
    dice = np.random.default_rng(seed)
    converter = Converter()
    rgb = dice.integers(0, 256, (height, width, 3), np.uint8)
    assert np.array_equal(converter.frame(rgb).to_ndarray(), whole(rgb))
    for x, y, w, h in boxes:
        rgb = rgb.copy()
        left, top = int(x * (width - 1)), int(y * (height - 1))
        part = rgb[top : top + 1 + int(h * height * 0.6), left : left + 1 + int(w * width * 0.6)]
        part[:] = dice.integers(0, 256, part.shape, np.uint8)
        frame = converter.frame(rgb)
        assert np.array_equal(frame.to_ndarray(), whole(rgb))
        assert (frame.colorspace, frame.color_range) == (1, 1)


@pytest.mark.parametrize("size", ["270p", "480p"])
def test_the_pictures_of_a_film(size):
    painter = BoardPainter(game_show(), FilmSettings(size=size, captions=True))
    converter = Converter()
    for run in list(painter.runs(painter.settings.frame_rate))[:260:2]:
        rgb = painter.rgb(run.key)
        assert np.array_equal(converter.frame(rgb).to_ndarray(), whole(rgb))


def test_an_earlier_frame_stays_as_it_was():
    converter = Converter()
    first = np.zeros((48, 64, 3), np.uint8)
    kept = converter.frame(first)
    before = kept.to_ndarray().copy()
    second = first.copy()
    second[10:14, 20:30] = 255
    converter.frame(second)
    assert np.array_equal(kept.to_ndarray(), before)
    assert np.array_equal(converter.frame(second.copy()).to_ndarray(), whole(second))

"""All pictures of one lesson on a sheet, small, each with its time: to be looked over at a glance."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from math import ceil, sqrt
from typing import TYPE_CHECKING

import numpy as np

from overlays.painter import BoardPainter
from overlays.palette import mix, rgb_of
from overlays.pixels import Canvas
from overlays.still import moments
from overlays.text import REGULAR
from timeline.filmsettings import FilmSettings
from timeline.timecode import format_ms

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from overlays.show import Show

SMALL = "270p"
GAP, LABEL = 12, 22
LEAST_COLUMNS = 3
TALL = 2
"""A sheet of many pictures grows in both directions; it is at most about so many times as high as wide."""
MOST_PICTURES = 600


def lesson_sheet(
    show: Show, settings: FilmSettings, *, progress: Callable[[int, int], None] | None = None
) -> NDArray[np.uint8]:
    """Every picture that comes to rest, in order, with its recording time and address; shape (any, any, 3).

    Of very long lessons the first MOST_PICTURES. Captions are left away.
    """
    small = settings.model_copy(update={"size": SMALL, "captions": False})
    painter = BoardPainter(show, small)
    times = moments(painter)[:MOST_PICTURES]
    cell_w, cell_h = painter.width + GAP, painter.height + LABEL + GAP
    columns = max(LEAST_COLUMNS, ceil(sqrt(len(times) * cell_h / cell_w / TALL)))
    columns = min(columns, max(1, len(times)))
    rows = ceil(len(times) / columns)
    look = painter.theme.stage
    rgb = np.empty((rows * cell_h + GAP, columns * cell_w + GAP, 3), np.uint8)
    rgb[:] = rgb_of(mix(look.background, look.text, 0.14))
    scenes = painter.screenplay.scenes
    starts = [scene.start_ms for scene in scenes]
    sheet = Canvas(rgb, None)
    for number, film_ms in enumerate(times):
        x, y = GAP + number % columns * cell_w, GAP + number // columns * cell_h
        sheet.put(painter.rgb(painter.screenplay.at(film_ms)), x, y)
        address = scenes[max(0, bisect_right(starts, film_ms) - 1)].span.address
        label = f"{format_ms(show.timemap.recording(film_ms))}   {address}"
        label = painter.type.fitted(label, LABEL * 0.72, painter.width)
        sheet.put(painter.type.sprite(label, LABEL * 0.72, look.text, REGULAR), x, y + painter.height)
        if progress is not None:
            progress(number + 1, len(times))
    return sheet.rgb

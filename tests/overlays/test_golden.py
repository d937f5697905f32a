"""A few small pictures to be looked at; ``pytest tests/overlays --update-golden`` after a change of look."""

from __future__ import annotations

import numpy as np
import pytest

from overlays import samples
from overlays.painter import BoardPainter
from overlays.still import still_picture
from overlays.vision import simulated
from timeline.filmsettings import FilmSettings


@pytest.mark.parametrize(
    ("name", "show", "ms", "settings"),
    [
        ("game", samples.game_show(), 15_500, {"size": "360p"}),
        ("sideline", samples.game_show(), 17_500, {"size": "360p", "theme": "mulberry"}),
        ("marks", samples.marks_show(), 1000, {"size": "360p", "layout": "board"}),
        ("crowd", samples.crowd_show(), 1000, {"size": "360p", "layout": "board", "theme": "mulberry"}),
        ("tall", samples.game_show(long_names=True), 28_000, {"size": "360p", "layout": "tall", "captions": True}),
    ],
)
def test_pictures(golden, name: str, show, ms: int, settings: dict) -> None:
    painter = BoardPainter(show, FilmSettings(**settings))
    golden(painter.rgb(painter.screenplay.at(ms)), name)


def test_a_still_is_the_films_picture_and_is_kept_inside_the_film() -> None:
    show = samples.game_show()
    painter = BoardPainter(show, FilmSettings(size="240p"))
    for ms, meant in ((4100, 4100), (-5, 0), (10**9, show.film_ms - 1)):
        assert np.array_equal(still_picture(painter, ms), painter.rgb(painter.screenplay.at(meant)))


def test_a_simulated_picture_keeps_greys() -> None:
    """Machado et al. 2009: greys look the same to everybody."""
    greys = np.repeat(np.arange(256, dtype=np.uint8)[None, :, None], 3, axis=2)
    for vision in ("protan", "deutan", "tritan"):
        assert np.abs(simulated(greys, vision).astype(int) - greys).max() <= 1

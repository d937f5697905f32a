"""One large picture of everything the drawing can do, to be looked at and criticised."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

import numpy as np

from overlays import samples
from overlays.painter import BoardPainter
from overlays.show import Show
from overlays.stage import layout_names
from overlays.theme import DEFAULT, theme_names
from timeline.filmsettings import FilmSettings

if TYPE_CHECKING:
    from numpy.typing import NDArray

GAP = 12
PAPER = 128

MOTIONS = (
    ("4k3/1P6/8/8/8/8/8/4K3 w - - 0 1", ("b8=Q",), 0.85),
    ("r3k2r/8/8/8/8/8/8/R3K2R w KQkq - 0 1", ("O-O", "O-O-O"), 0.5),
    ("4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 1", ("exd6",), 0.8),
    ("4k3/8/8/3p4/8/2N5/8/4K3 w - - 0 1", ("Nxd5",), 0.5),
)


def contact_sheet(width: int = 2400) -> NDArray[np.uint8]:
    """All themes, marks, stages, promotions, long names and small sizes; shape (any, width, 3)."""
    return np.vstack([_row(pictures, width) for pictures in _rows()])


def _shot(show: Show, ms: int, **settings: object) -> NDArray[np.uint8]:
    painter = BoardPainter(show, FilmSettings.model_validate(settings))
    return painter.rgb(painter.screenplay.at(ms))


def _rows() -> list[list[NDArray[np.uint8]]]:
    game, long_names = samples.game_show(), samples.game_show(long_names=True)
    rows = [
        [_shot(show, ms, theme=theme) for show, ms in ((game, 15_500), (game, 18_500), (game, 21_500))]
        for theme in theme_names()
    ]
    rows.append([_shot(long_names, 28_000, theme=theme, captions=True) for theme in theme_names()])
    for theme in theme_names():
        rows.append(
            [
                _shot(show, 1000, theme=theme, layout="board")
                for show in (samples.marks_show(), samples.arrows_show(), samples.crowd_show())
            ]
        )
    names = layout_names()
    for captions in (False, True):
        for part in (names[: len(names) // 2], names[len(names) // 2 :]):
            rows.append([_shot(game, 28_000, layout=name, captions=captions) for name in part])
    rows.append([_in_motion(fen, sans, share) for fen, sans, share in MOTIONS])
    rows.append([_shot(game, 15_500, theme=t, size="360p", captions=c) for t in theme_names() for c in (False, True)])
    rows.append(
        [
            _shot(game, 500, opening_s=3, theme=DEFAULT),
            _shot(long_names, 500, opening_s=3, layout="tall"),
            _shot(samples.game_show(orientation="black"), 15_500, layout="square"),
            _shot(game, 37_000, closing_s=3, theme=theme_names()[-1]),
        ]
    )
    return rows


def _in_motion(fen: str, sans: Sequence[str], share: float) -> NDArray[np.uint8]:
    show = samples.moving_show(fen, sans)
    settings = FilmSettings(layout="board", size="720p")
    start = show.board.spans[1].start_ms
    return _shot(show, start - round(settings.motion_ms * (1 - share)), layout="board", size="720p")


def _row(pictures: Sequence[NDArray[np.uint8]], width: int) -> NDArray[np.uint8]:
    """Pictures side by side at one height, filling the width unless they would be enlarged."""
    from PIL import Image

    room = width - GAP * (len(pictures) + 1)
    shapes = sum(p.shape[1] / p.shape[0] for p in pictures)
    height = min(round(room / shapes), min(p.shape[0] for p in pictures))
    row = np.full((height + 2 * GAP, width, 3), PAPER, np.uint8)
    x = GAP
    for picture in pictures:
        wide = round(height * picture.shape[1] / picture.shape[0])
        small = np.asarray(Image.fromarray(picture).resize((wide, height), Image.Resampling.LANCZOS))
        wide = min(wide, width - GAP - x)
        row[GAP : GAP + height, x : x + wide] = small[:, :wide]
        x += wide + GAP
    return row

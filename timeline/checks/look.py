"""Findings about the lesson's chosen look: contrast and colours of its theme, text size and safe area of its layout."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from timeline.checks.picture import Placed, check_placed
from timeline.filmsettings import FilmSettings
from timeline.problems import Finding, PlylineError

if TYPE_CHECKING:
    from overlays.stage import Stage

# Letters as they are drawn: coordinates by the frame's width, players by half the height of their box; a pause has
# words only in a box of 56 design pixels or more.
COORDINATE, PLAYER, THINK, THINK_BOX = 0.70, 0.64, 24, 56


def check_look(film: FilmSettings) -> Iterator[Finding]:
    """What a viewer could not see or read in a film with these settings.

    ``film``: paths in it are found from here. A theme or layout that cannot be
    used at all is a finding, too.
    """
    from overlays.stage import load_stage
    from overlays.theme import load_theme

    try:
        load_theme(film.theme)  # holds it to WCAG 2.2 and to simulated colour-vision deficiency
    except PlylineError as error:
        yield from error.findings
    try:
        stage = load_stage(film.layout, film.size, captions=film.captions)
    except PlylineError as error:
        yield from error.findings
        return
    yield from check_placed(stage.width, stage.height, placed_on(stage), file=film.layout)


def placed_on(stage: Stage) -> Iterator[Placed]:
    """What a stage draws, with the height of its letters in px of the film where it has letters."""
    from overlays.notation import SIZE
    from overlays.panel import LEAST_TITLE

    unit, squares = stage.unit, stage.squares
    yield Placed("board", squares.x, squares.y, squares.width, squares.height, COORDINATE * stage.frame)
    lines = {
        "title": LEAST_TITLE * unit,
        "players": stage.players.height / 2 * PLAYER if stage.players else None,
        "notation": SIZE * unit,
        "think": THINK * unit if stage.think and stage.think.height >= THINK_BOX * unit else None,
        "caption": stage.caption.height / 2 if stage.caption else None,
        "logo": None,
    }
    for name, line_px in lines.items():
        box = getattr(stage, name)
        if box is not None:
            read = name != "logo" and line_px is not None
            yield Placed(name, box.x, box.y, box.width, box.height, line_px, read)

"""Where captions of a player stand in the film's picture: beside the board, or where the layout keeps room for them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from math import ceil
from typing import TYPE_CHECKING, Any

from timeline.captions.writers import Place
from timeline.problems import Finding, Severity
from timeline.work import Work

if TYPE_CHECKING:
    from overlays.stage import Box, Stage

_SAFE = 0.05  # of the frame at each edge (EBU R 95, graphics safe area)
_LETTER, _ROW = 0.025, 0.0575  # of the shorter side: half of, and 1.15 times, the 5 vh of WebVTT 7.4
_FEWEST_LETTERS, _FEWEST_ROWS = 18, 2


def caption_place(work: Work) -> Place | None:
    """The place in per cent of the frame; None where the board leaves no room for two lines.

    With burnt-in captions it is their place, which the layout keeps free; else
    the part beside the board that holds a whole caption, the lowest of several.
    Marks never leave the board. Raises LayoutError for a layout that cannot be used.
    """
    from overlays.stage import load_stage
    from timeline.publish.lessonshow import film_settings

    film, rules = film_settings(work), work.loaded.lesson.captions
    stage = load_stage(film.layout, film.size, captions=film.captions)
    if stage.caption is not None:
        return replace(_per_cent(stage.caption, stage), letters=_across(stage.caption, stage))
    letters = _line_length(rules.profile, rules.rules.as_profile())
    fitting = [place for box in _free(stage) if (place := _fitted(box, stage, letters))]
    return max(fitting, key=lambda found: found[0])[1] if fitting else None


def no_place(work: Work) -> Finding:
    """What to tell where there is no such place."""
    film = work.loaded.lesson.film
    return Finding(
        "captions-over-board",
        f"the layout {film.layout} leaves no room beside the board; players put captions.vtt over its lower edge",
        Severity.NOTE,
        fix="film: {captions: true} keeps room for them, so does another layout",
    )


def _line_length(profile: str, own: dict[str, Any]) -> int:
    from timeline.captions.rules import rules_for

    limits = rules_for(profile, own).profile
    return limits.max_chars * limits.max_lines


def _free(stage: Stage) -> Iterator[Box]:
    """The four parts of the safe area beside the board."""
    from overlays.stage import Box

    left, top = round(stage.width * _SAFE), round(stage.height * _SAFE)
    right, bottom = stage.width - left, stage.height - top
    board, air = stage.board, round(min(stage.width, stage.height) * 0.01)
    yield Box(left, board.bottom + air, right - left, bottom - board.bottom - air)
    yield Box(left, top, right - left, board.y - air - top)
    yield Box(board.right + air, top, right - board.right - air, bottom - top)
    yield Box(left, top, board.x - air - left, bottom - top)


def _fitted(box: Box, stage: Stage, letters: int) -> tuple[tuple[int, int, int], Place] | None:
    """How well a caption of so many letters stands at the bottom of a box, and where; None where it does not fit."""
    side = min(stage.width, stage.height)
    across, rows = _across(box, stage), int(box.height / (side * _ROW))
    needed = max(_FEWEST_ROWS, ceil(letters / max(1, across)))
    if across < _FEWEST_LETTERS or rows < _FEWEST_ROWS:
        return None
    used = min(rows, needed)
    height = round(used * side * _ROW)
    low = replace(box, y=box.bottom - height, height=height)
    return (min(across * used, letters), low.bottom, min(across, letters // 2)), replace(
        _per_cent(low, stage), letters=across
    )


def _across(box: Box, stage: Stage) -> int:
    """Letters in a line of a box."""
    return int(box.width / (min(stage.width, stage.height) * _LETTER))


def _per_cent(box: Box, stage: Stage) -> Place:
    return Place(
        round(100 * box.x / stage.width, 2),
        round(100 * box.y / stage.height, 2),
        round(100 * box.width / stage.width, 2),
        round(100 * box.height / stage.height, 2),
    )

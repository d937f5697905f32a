"""How sure the follow was, and the cues a person should look at first."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from timeline.lesson import CueSpec, Lesson

_GAME = re.compile(r"(\d+)([wb])")


@dataclass(frozen=True, slots=True)
class Gap:
    """Moves of the game that no cue shows, between two that are shown.

    How many (plies), from when to when (ms), and the addresses shown on both sides.
    """

    plies: int
    from_ms: int
    to_ms: int
    before: str
    after: str


@dataclass(frozen=True, slots=True)
class Sureness:
    """Of the follower's own cues: how many, the mean and least confidence (None without any), the doubtful ones."""

    count: int
    mean: float | None
    least: float | None
    doubtful: tuple[CueSpec, ...]


def sureness(lesson: Lesson) -> Sureness:
    """Doubtful is a followed, unlocked cue below ``follow.min_sure``; in order of time."""
    own = [cue for cue in lesson.cues if cue.by == "follow" and cue.sure is not None]
    values: Sequence[float] = [cue.sure for cue in own if cue.sure is not None]
    doubtful = tuple(cue for cue in own if not cue.lock and cue.sure is not None and cue.sure < lesson.follow.min_sure)
    if not values:
        return Sureness(0, None, None, ())
    return Sureness(len(own), sum(values) / len(values), min(values), doubtful)


def passed_over(cues: Sequence[CueSpec]) -> Iterator[Gap]:
    """Where the cues pass over moves of the game; in order of time. Sidelines and looks back are no gaps."""
    front, shown = 0, ""
    last_ms = 0
    for cue in sorted((cue for cue in cues if cue.show), key=lambda cue: cue.at):
        address = cue.show or ""
        place = _GAME.fullmatch(address)
        if place is not None:
            ply = 2 * int(place[1]) + (place[2] == "b")
            if front and ply > front + 1:
                yield Gap(ply - front - 1, last_ms, cue.at, shown, address)
            if ply > front:
                front, shown = ply, address
        last_ms = cue.at

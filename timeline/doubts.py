"""How sure the follow was, and the cues a person should look at first."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from timeline.lesson import CueSpec, Lesson


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

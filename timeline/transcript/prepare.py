"""From a transcript and maybe its recording to the words that the follower takes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

from timeline.problems import Finding, RecordingError, Severity
from timeline.transcript.words import Timing, Transcript, Word

Progress = Callable[[int, int], None]
"""Called with work done and work in all; the unit is the caller's business."""

_DOUBTFUL = 0.25


def prepare_words(
    transcript: Transcript, recording: Path | None, *, align: bool, progress: Progress | None = None
) -> tuple[tuple[Word, ...], list[Finding]]:
    """The transcript's words with the best onsets to be had.

    With a recording they are aligned to its sound, unless the transcript times
    each word itself. Without one, or with ``align`` false, they are those that
    the transcript gives, and a finding says so where the recording has no sound or stops
    in the middle. Same input, same words. Raises RecordingError where it cannot be opened.
    """
    words = transcript.words
    if recording is None or not align or not words or all(w.timing is Timing.WORD for w in words):
        return words, []
    from timeline.transcript.align import align_words
    from timeline.transcript.sound import load_sound

    try:
        samples = load_sound(recording)
    except RecordingError as error:
        fault = error.findings[0]
        if fault.code not in ("no-sound", "recording-stops"):
            raise
        return words, [replace(fault, severity=Severity.WARNING, fix="the transcript's own times are used")]
    aligned = align_words(transcript, samples, progress=progress)
    lost = sum(w.timing is not Timing.ALIGNED for w in aligned)
    findings = []
    if lost > _DOUBTFUL * len(aligned):
        findings.append(
            Finding(
                "words-not-heard",
                f"{lost} of {len(aligned)} words were not found in the sound; their times are estimates",
                Severity.WARNING,
                fix="check that the transcript is this recording's, and in the same language (English is aligned)",
            )
        )
    return aligned, findings

"""From a transcript and maybe its recording to the words that the follower takes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from timeline.problems import Finding, RecordingError, Severity
from timeline.transcript.words import Timing, Transcript, Word

Progress = Callable[[int, int], None]
"""Called with work done and work in all; the unit is the caller's business."""

_DOUBTFUL = 0.25
_NEAR_MS = 500
"""Recognisers' word times are off by some 0.1 s, at the 95th percentile by 0.3 s (measured with ``listen``)."""


def prepare_words(
    transcript: Transcript, recording: Path | None, *, align: bool, progress: Progress | None = None
) -> tuple[tuple[Word, ...], list[Finding]]:
    """The transcript's words with the best onsets to be had.

    With a recording they are aligned to its sound. Where the transcript times
    each word itself, the two are compared: the sound's time makes a near one
    exact, and a far one is not believed. Without one, or with ``align`` false, they are those that
    the transcript gives, and a finding says so where the recording has no sound or stops
    in the middle. Same input, same words. Raises RecordingError where it cannot be opened.
    """
    words = transcript.words
    if recording is None or not align or not words:
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
    if all(w.timing is Timing.WORD for w in words):
        return _compared(words, aligned), []
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


def _compared(given: Sequence[Word], aligned: Sequence[Word]) -> tuple[Word, ...]:
    """Words that the transcript times itself, with the sound's times where the two are near each other."""
    result: list[Word] = []
    for mine, heard in zip(given, aligned, strict=True):
        near = heard.timing is Timing.ALIGNED and abs(heard.onset_ms - mine.onset_ms) <= _NEAR_MS
        word = replace(heard, confidence=max(heard.confidence, mine.confidence)) if near else mine
        onset = max(word.onset_ms, result[-1].onset_ms if result else 0)
        result.append(replace(word, onset_ms=onset, end_ms=max(onset, word.end_ms)))
    for k, (word, after) in enumerate(pairwise(result)):
        result[k] = replace(word, end_ms=max(word.onset_ms, min(word.end_ms, after.onset_ms)))
    return tuple(result)

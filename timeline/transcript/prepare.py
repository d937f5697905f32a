"""From a transcript and maybe its recording to the words that the follower takes."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

from timeline.problems import Finding, RecordingError, Severity
from timeline.timecode import format_ms
from timeline.transcript.words import Timing, Transcript, Word

Progress = Callable[[int, int], None]
"""Called with work done and work in all; the unit is the caller's business."""

NOT_HEARD = "words-not-heard"
_DOUBTFUL = 0.25
_HARDLY = 0.1
"""Share of the words below which transcript and recording do not belong together."""
_SHOWN = 4
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
    in the middle. Last words that the recording does not hold any more are left out.
    Same input, same words. Raises RecordingError where it cannot be opened.
    """
    words = transcript.words
    if recording is None or not align or not words:
        return words, []
    from timeline.transcript.align import align_words
    from timeline.transcript.sound import RATE, load_sound

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
    heard = sum(w.timing is Timing.ALIGNED for w in aligned)
    if heard < _HARDLY * len(aligned):
        return aligned, [_not_this_talk(heard, len(aligned))]
    held, findings = _held(aligned, len(samples) * 1000 // RATE)
    lost = sum(w.timing is not Timing.ALIGNED for w in held)
    if lost > _DOUBTFUL * len(held):
        findings.append(
            Finding(
                NOT_HEARD,
                f"{lost} of {len(held)} words were not found in the sound; their times are estimates",
                Severity.WARNING,
                fix="check that the transcript is this recording's, and in the same language (English is aligned)",
            )
        )
    return held, findings


def _not_this_talk(heard: int, count: int) -> Finding:
    return Finding(
        NOT_HEARD,
        f"{'not one' if not heard else f'only {heard}'} of the {count} words of the transcript was heard in the "
        "recording: it seems to be another talk's; the boards follow the transcript's own times",
        Severity.WARNING,
        fix="name this talk's file beside “recording:” in lesson.yaml (or beside “transcript:” the transcript of this "
        "recording); if they do belong together (not English, much noise), write follow: {align: off}",
    )


def _held(words: Sequence[Word], end_ms: int) -> tuple[tuple[Word, ...], list[Finding]]:
    """The words that the recording holds; last ones that it is too short for are left out, and told."""
    late = [w for w in words if w.onset_ms >= end_ms]
    if not late:
        return tuple(words), []
    said = " ".join(w.text for w in late[:_SHOWN])
    finding = Finding(
        "beyond-end",
        f"the recording ends at {format_ms(end_ms)}, before the transcript does: its last {len(late)} words, "
        f"from “{said} …” on, are left out",
        Severity.WARNING,
        at_ms=end_ms,
        fix="check that the recording is whole; if it is, take out of the transcript what is not said in it",
    )
    return tuple(words[: len(words) - len(late)]), [finding]


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

"""Findings about the recording's sound: level, peak, clipping, sudden loudness, silence.

Limits: true peak at most -1 dBTP (EBU R 128 v5). Loudness against the lesson's
target within 2 LU; without a target, between -27 LUFS (quieter than R 128's -23
by more than its range of -20 to -16 for streaming is above) and -13 LUFS
(louder than anything usual for talk): both limits ours. A passage 10 LU above
the whole, 3 s long, counts as sudden (ours); a loudness range above 20 LU as
wide (EBU Tech 3343 speaks of 20 LU as much for home listening; from memory).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from timeline.checks.codes import CODES
from timeline.checks.context import CheckContext, Help
from timeline.problems import Finding
from timeline.timecode import format_ms

if TYPE_CHECKING:
    from timeline.checks.loudness import Loudness

PEAK_DBTP = -1.0
PEAK_TOLERANCE = 0.3  # EBU R 128: tolerance of true-peak meters
QUIET_LUFS, LOUD_LUFS = -27.0, -13.0
TARGET_TOLERANCE = 2.0
SUDDEN_LU = 10.0
WIDE_LU = 20.0
MOST = 5
CLIPS = 5  # flat tops in a recording; fewer cannot be heard (ours)


def check_sound(context: CheckContext, help_: Help) -> Iterator[Finding]:
    """Measures the recording, when one is given."""
    if context.recording is None:
        return
    from timeline.checks.loudness import measure_file

    name = context.lesson.recording or context.recording.name
    measured = measure_file(
        context.recording, name=name, progress=lambda done, whole: help_.progress("sound", done, whole)
    )
    if measured is None or measured.integrated is None:
        yield _finding("no-sound", "there is no sound stream" if measured is None else "there is only silence", name)
        return
    yield from judge_loudness(measured, context, name)


def _finding(code: str, message: str, file: str, **where: object) -> Finding:
    row = CODES[code]
    return Finding(code, message, row.severity, file=file, fix=row.mend, **where)  # type: ignore[arg-type]


def judge_loudness(measured: Loudness, context: CheckContext, file: str) -> Iterator[Finding]:
    """Findings about a measured recording; pure."""
    sound, level, peak = context.lesson.sound, measured.integrated, measured.true_peak
    assert level is not None
    assert peak is not None
    facts = {"lufs": round(level, 1), "range_lu": round(measured.range_lu, 1), "true_peak_dbtp": round(peak, 1)}
    target = sound.target_lufs
    low, high = (QUIET_LUFS, LOUD_LUFS) if target is None else (target - TARGET_TOLERANCE, target + TARGET_TOLERANCE)
    if not low <= level <= high:
        code = "too-loud" if level > high else "too-quiet"
        asked = f"outside {low:g} to {high:g}" if target is None else f"{target:g} is asked"
        told = CODES[code].mend if target is None else "film brings it there; the recording stays as it is"
        row = CODES[code]
        yield Finding(
            code, f"integrated loudness {level:.1f} LUFS, {asked}", row.severity, file=file, fix=told, extra=facts
        )
    if peak > PEAK_DBTP + PEAK_TOLERANCE:
        yield _finding("true-peak", f"true peak {peak:+.1f} dBTP, at most {PEAK_DBTP:g} is asked", file, extra=facts)
    whole = sum(c for _, c in measured.clipped)
    if whole >= CLIPS:
        at, count = max(measured.clipped, key=lambda c: c[1])
        yield _finding("clipping", f"{whole} flat tops, most of them ({count}) at {format_ms(at)}", file, at_ms=at)
    for start, end, over in measured.loud_passages(SUDDEN_LU)[:MOST]:
        yield _finding(
            "sudden-loudness", f"{over:.0f} LU above the rest from {format_ms(start)} on", file, at_ms=start, end_ms=end
        )
    if measured.range_lu > WIDE_LU:
        yield _finding("wide-range", f"loudness range {measured.range_lu:.1f} LU", file, extra=facts)
    least = round(context.lesson.checks.silence_s * 1000)
    for start, end in measured.silences(least)[:MOST]:
        if any(start - 1000 <= pause.at_ms <= end + 1000 for pause in context.pauses):
            continue
        yield _finding(
            "long-silence",
            f"{(end - start) / 1000:.1f} s without sound at {format_ms(start)}",
            file,
            at_ms=start,
            end_ms=end,
        )

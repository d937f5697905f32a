"""Times at which a lesson has nothing."""

from __future__ import annotations

from timeline.problems import OutputError
from timeline.timecode import format_ms


def no_moment(at_ms: int, end_ms: int) -> OutputError:
    """The error for a time at which the lesson is over."""
    return OutputError.of(
        "no-moment",
        f"there is nothing at {format_ms(at_ms)}: the lesson ends at {format_ms(end_ms)}",
        fix="name a time of the recording, before its end",
    )

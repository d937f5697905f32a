"""Times as files write them: seconds, or a clock; and milliseconds that were not said to be any."""

from __future__ import annotations

import math
import re

_CLOCK = re.compile(r"(?:(\d{1,4}):)?(\d{1,3}):(\d{1,2}(?:[.,]\d{1,6})?)")
_NUMBER = re.compile(r"[+-]?\d{1,12}(?:[.,]\d{1,9})?")
_SLOWEST_PACE = 0.05
"""Words a second: whoever is slower than three a minute was not counted in seconds (teachers say 100 to 200)."""


def seconds_of(value: object) -> float:
    """Seconds of a number or of text such as ``63.25``, ``63,25``, ``1:03.25``, ``5.4s``; NaN for all else."""
    if isinstance(value, bool):
        return math.nan
    if isinstance(value, int | float):
        return float(value) if abs(value) < 1e12 else math.nan
    if not isinstance(value, str):
        return math.nan
    text = value.strip()
    if _NUMBER.fullmatch(text.removesuffix("s")):
        return float(text.removesuffix("s").replace(",", "."))
    clock = _CLOCK.fullmatch(text)
    if clock is None:
        return math.nan
    hours, minutes, part = clock.groups()
    if float(part.replace(",", ".")) >= 60 or (hours is not None and int(minutes) > 59):
        return math.nan
    return (int(hours or 0) * 60 + int(minutes)) * 60 + float(part.replace(",", "."))


def are_milliseconds(values: list[float], words: int) -> bool:
    """Whether whole numbers that should be seconds must be milliseconds: too few words for so long."""
    if words < 2 or len(values) < 2 or any(not v.is_integer() for v in values):
        return False
    return words < _SLOWEST_PACE * (max(values) - min(values))

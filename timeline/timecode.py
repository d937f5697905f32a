"""Times: whole milliseconds inside, text for people, frames for film, timecode for editors.

Frame n at rate r starts at n / r seconds; the rate is an exact ``Fraction``
(29.97 is ``Fraction(30000, 1001)``). Both directions round to nearest, which
gives the same frame back at every rate from 23.976 to 120. Drop-frame labels
follow SMPTE ST 12-1 (from memory; checked against OpenTimelineIO's figures).
"""

from __future__ import annotations

import re
from fractions import Fraction

from timeline.problems import PlylineError

_CLOCK = re.compile(r"(?:(\d+):)?(\d+):(\d{1,2})(?:[.,](\d{1,3}))?")
_SECONDS = re.compile(r"\d+(?:\.\d{1,3})?")

RATES: dict[str, Fraction] = {
    "23.976": Fraction(24000, 1001),
    "24": Fraction(24),
    "25": Fraction(25),
    "29.97": Fraction(30000, 1001),
    "30": Fraction(30),
    "50": Fraction(50),
    "59.94": Fraction(60000, 1001),
    "60": Fraction(60),
}
"""Names of frame rates and what they are exactly (SMPTE practice: the broken ones are n x 1000/1001)."""


def format_ms(ms: int) -> str:
    """``m:ss.mmm``, or ``h:mm:ss.mmm`` from one hour on.

    >>> format_ms(63_250), format_ms(3_725_000)
    ('1:03.250', '1:02:05.000')
    """
    sign, ms = ("-" if ms < 0 else ""), abs(ms)
    minutes, rest = divmod(ms, 60_000)
    seconds = f"{rest // 1000:02d}.{rest % 1000:03d}"
    hours, minutes = divmod(minutes, 60)
    return f"{sign}{hours}:{minutes:02d}:{seconds}" if hours else f"{sign}{minutes}:{seconds}"


def format_clock(ms: int) -> str:
    """``M:SS`` or ``H:MM:SS``, rounded down to a whole second.

    >>> format_clock(59_999), format_clock(3_600_000)
    ('0:59', '1:00:00')
    """
    minutes, seconds = divmod(ms // 1000, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours}:{minutes:02d}:{seconds:02d}" if hours else f"{minutes}:{seconds:02d}"


def parse_ms(text: str) -> int:
    """Milliseconds of ``m:ss``, ``m:ss.mmm``, ``h:mm:ss.mmm`` or plain seconds.

    Raises PlylineError with code ``bad-time`` for anything else.

    >>> parse_ms("1:03.25"), parse_ms("1:02:05"), parse_ms("7.5")
    (63250, 3725000, 7500)
    """
    stripped = text.strip()
    if _SECONDS.fullmatch(stripped):
        whole, _, part = stripped.partition(".")
        return int(whole) * 1000 + int(part.ljust(3, "0") or 0)
    match = _CLOCK.fullmatch(stripped)
    if match:
        hours, minutes, seconds, part = match.groups()
        if int(seconds) < 60 and (hours is None or int(minutes) < 60):
            whole_s = (int(hours or 0) * 60 + int(minutes)) * 60 + int(seconds)
            return whole_s * 1000 + int((part or "").ljust(3, "0"))
    raise PlylineError.of(
        "bad-time", f"{text!r} is not a time", fix='write m:ss.mmm or h:mm:ss.mmm, for instance "2:03.700"'
    )


def ms_to_frame(ms: int, rate: Fraction) -> int:
    """The frame whose start is nearest to ``ms`` (ties go to the later frame)."""
    return int((Fraction(ms) * rate / 1000 + Fraction(1, 2)).__floor__())


def frame_to_ms(frame: int, rate: Fraction) -> int:
    """The start of a frame in milliseconds, rounded to nearest."""
    return int((Fraction(frame) * 1000 / rate + Fraction(1, 2)).__floor__())


def _nominal(rate: Fraction) -> int:
    return -(-rate.numerator // rate.denominator)


def format_timecode(frame: int, rate: Fraction, *, drop: bool | None = None) -> str:
    """``HH:MM:SS:FF``, with ``;`` before the frames when frame numbers are dropped.

    ``drop`` is by default true for 29.97 and 59.94 only. Drop-frame skips the
    labels 00 and 01 (00 to 03 at 59.94) in each minute but every tenth.
    """
    nominal = _nominal(rate)
    may_drop = rate.denominator == 1001 and nominal in (30, 60)
    drop = may_drop if drop is None else drop
    if drop and not may_drop:
        raise ValueError(f"no drop-frame labels at {rate} frames a second")
    if frame < 0:
        raise ValueError(f"frame {frame} is before the start")
    if drop:
        skipped = nominal // 15
        per_ten = nominal * 600 - 9 * skipped
        tens, rest = divmod(frame, per_ten)
        per_minute = nominal * 60 - skipped
        frame += tens * 9 * skipped
        if rest >= nominal * 60:
            frame += skipped * ((rest - nominal * 60) // per_minute + 1)
    seconds, frames = divmod(frame, nominal)
    minutes, seconds = divmod(seconds, 60)
    hours, minutes = divmod(minutes, 60)
    return f"{hours:02d}:{minutes:02d}:{seconds:02d}{';' if drop else ':'}{frames:02d}"


def parse_timecode(text: str, rate: Fraction) -> int:
    """The frame number of a ``HH:MM:SS:FF`` or ``HH:MM:SS;FF`` label.

    A label that drop-frame skips, such as ``00:01:00;00``, is an error.
    """
    match = re.fullmatch(r"(\d{2}):(\d{2}):(\d{2})([:;])(\d{2})", text)
    nominal = _nominal(rate)
    if not match or int(match[2]) > 59 or int(match[3]) > 59 or int(match[5]) >= nominal:
        raise PlylineError.of("bad-timecode", f"{text!r} is not a timecode at {float(rate):.3f} frames a second")
    hours, minutes, seconds, frames = (int(match[i]) for i in (1, 2, 3, 5))
    total = ((hours * 60 + minutes) * 60 + seconds) * nominal + frames
    if match[4] == ";":
        skipped = nominal // 15
        if minutes % 10 and seconds == 0 and frames < skipped:
            raise PlylineError.of("bad-timecode", f"{text!r} does not exist: drop-frame skips this label")
        whole = hours * 60 + minutes
        total -= skipped * (whole - whole // 10)
    return total

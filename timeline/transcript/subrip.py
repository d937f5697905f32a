"""SRT captions, parsed by the ``srt`` library after our own look at every time line.

Hours may be left out. The library reads ``00:00:01,5`` as 1.005 s, takes an end before its start, and
stops at the first line it does not know without saying which; so the time
lines are checked and written out in full first, and counted afterwards.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from datetime import timedelta

import srt

from timeline.transcript.markup import plain, undashed
from timeline.transcript.raw import LONGEST_MS, RawBlock, Source
from timeline.transcript.speaking import spoken_by

_TIME = r"(?:(\d{1,4}):)?(\d{1,2}):(\d{1,2})(?:[,.:，．。](\d{1,3}))?"
_CLOCK = re.compile(r"\d[ \t]*[:：][ \t]*\w")
_LINE = re.compile(rf"^[ \t]*{_TIME}[ \t]*-+>[ \t]*{_TIME}[ \t]*(?:[XxYy][12]:.*)?$")


def looks_like(text: str) -> bool:
    """Whether there is at least one SRT time line."""
    return any(_LINE.match(row) for row in text.split("\n") if "->" in row)


def _field_ms(fields: Sequence[str | None], line: int, source: Source) -> int:
    hours, minutes, seconds, part = (f or "0" for f in fields)
    if int(minutes) > 59 or int(seconds) > 59:
        source.fail(
            "bad-time",
            "minutes and seconds end at 59",
            line=line,
            fix="write the times as 00:01:02,345 --> 00:01:04,000",
        )
    whole = (int(hours) * 60 + int(minutes)) * 60 + int(seconds)
    return min(LONGEST_MS, whole * 1000 + int(part.ljust(3, "0")))


def _clock(ms: int) -> str:
    return str(srt.timedelta_to_srt_timestamp(timedelta(milliseconds=ms)))


def read(text: str, source: Source) -> list[RawBlock]:
    """One block a caption, in file order, with the line of its times."""
    rows = text.split("\n")
    times: list[tuple[int, int, int]] = []
    for number, row in enumerate(rows, 1):
        if "->" not in row:
            continue
        match = _LINE.match(row)
        if match is None:
            if "-->" in row and not _is_text(rows, number, times):
                source.fail(
                    "bad-time",
                    "this line does not hold two caption times",
                    line=number,
                    fix="write it as 00:01:02,345 --> 00:01:04,000",
                )
            continue
        start = _field_ms(match.groups()[:4], number, source)
        end = _field_ms(match.groups()[4:], number, source)
        times.append((number, start, end))
        rows[number - 1] = f"{_clock(start)} --> {_clock(end)}"
    if not times:
        return []
    _drop_stray_numbers(rows)
    _name_unnumbered(rows, [number for number, _, _ in times])
    try:
        captions = list(srt.parse("\n".join(rows).strip("\n") + "\n"))
    except (srt.SRTParseError, ValueError):
        captions = []
    if len(captions) != len(times):
        captions = list(srt.parse(_one_by_one(rows, times)))
        source.warn(
            "srt-repaired",
            "the file has lines between its captions that belong to none; they are read as text of the caption before",
            fix="leave one empty line between captions, and number, times and text in each",
        )
    bodies = [undashed(plain(c.content)) for c in captions]
    blocks = [
        RawBlock(start_ms, end_ms, tuple(body.split("\n")) if body else (), line)
        for (line, start_ms, end_ms), body in zip(times, bodies, strict=True)
    ]
    return spoken_by(blocks, source)


def _is_text(rows: Sequence[str], number: int, times: Sequence[tuple[int, int, int]]) -> bool:
    """Whether a line with an arrow is text: it holds no clock and stands below times or text, not below a number."""
    before = rows[number - 2].strip() if number > 1 else ""
    return bool(times) and bool(before) and not before.isdigit() and not _CLOCK.search(rows[number - 1])


def _drop_stray_numbers(rows: list[str]) -> None:
    """Numbers of captions whose times and text are gone: alone between empty lines."""
    for k, row in enumerate(rows):
        if (
            row.strip().isdigit()
            and (k == 0 or not rows[k - 1].strip())
            and (k + 1 == len(rows) or not rows[k + 1].strip())
        ):
            rows[k] = ""


def _name_unnumbered(rows: list[str], lines: list[int]) -> None:
    """Tell the library's parser where a caption without number starts: it needs an empty line before the times."""
    for number in lines:
        before = rows[number - 2].strip() if number >= 2 else ""
        if number >= 2 and before and not before.isdigit():
            rows[number - 1] = "\n" + rows[number - 1]


def _one_by_one(rows: list[str], times: list[tuple[int, int, int]]) -> str:
    """The same captions with everything between two time lines as text of the first."""
    captions = []
    for k, (line, start, end) in enumerate(times):
        last = times[k + 1][0] - 1 if k + 1 < len(times) else len(rows)
        body = [row for row in rows[line:last] if row.strip()]
        if body and body[-1].strip().isdigit() and k + 1 < len(times):
            body.pop()
        captions.append(
            srt.Subtitle(k + 1, timedelta(milliseconds=start), timedelta(milliseconds=end), "\n".join(body) or "-")
        )
    return str(srt.compose(captions, reindex=False, strict=False))

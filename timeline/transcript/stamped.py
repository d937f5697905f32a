"""Stamped text: ``[m:ss] words``, with the stamp before its words or on a line of its own.

Read as stamps: ``[m:ss]``, ``[h:mm:ss]``, ``(m:ss)``, ``m:ss`` at the start of a
line, each with decimals if wanted, ``1m05s`` for ``1:05``, times of day with am
or pm (counted from the first one), and ranges
(``[0:00 - 0:12]``, ``[00:00:00.000 --> 00:00:04.000]``, ``0:00:05.0,0:00:08.0``).
A list's bullet, emphasis marks and a speaker's name may stand before a stamp
(``Anna (0:05):``, ``Speaker 1  0:05`` on a line of its own). Stamps in square
brackets (or ``<0:05>``, ``{0:05}``) are found anywhere in a line; where each
stands at the end of one, it is that line's. The commonest style decides for the
whole file, so that "2:30 he resigned" stays text in one with bracketed stamps.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from timeline.timecode import format_ms
from timeline.transcript.markup import plain, words_of
from timeline.transcript.raw import LONGEST_MS, RawBlock, Source
from timeline.transcript.speaking import NAME, speakers, spoken_by

_CLOCK = r"(?:\d{1,3}:)?\d{1,3}:\d{2}(?:[.,]\d{1,3}|[:;]\d{2}(?![\d:]))?(?:[ \t]?[AaPp]\.?[Mm]\b\.?)?"
_UNITS = r"(?:\d{1,3}h ?)?(?:\d{1,3}m ?)?\d{1,3}(?:\.\d{1,3})?s"
_TIME = rf"(?:{_CLOCK}|{_UNITS})"
_RANGE = rf"\s*(?P<start>{_TIME})\s*(?:(?:-+>?|–|—|to|,)\s*(?P<end>{_TIME})\s*)?"
_INLINE = _RANGE.replace(r"\s", r"[ \t]")
_MARKS = r"[*_]{0,2}"
_BULLET = rf"[ \t]*(?:(?:[-•>]|\*|#{{1,6}})[ \t]+)?{_MARKS}"
_NAMED = rf"(?:(?P<name>{NAME})[ \t]*[,|:–—-]?[ \t]*)?"
_STYLES = {
    "square": re.compile(rf"{_MARKS}[\[<{{]{_RANGE}[\]>}}]{_MARKS}:?"),
    "round": re.compile(rf"^{_BULLET}{_NAMED}\({_RANGE}\){_MARKS}:?", re.MULTILINE),
    "bare": re.compile(
        rf"^{_BULLET}(?P<start>{_TIME})(?:[ \t]*(?:-+>|-|–|—|,|\bto\b)[ \t]*(?P<end>{_TIME}))?{_MARKS}"
        rf"(?:(?=[ \t]|$)[ \t]*(?:[-–—|][ \t]+)?|[:;,|](?=[ \t]|$))",
        re.MULTILINE,
    ),
    "named": re.compile(
        rf"^{_BULLET}(?P<name>{NAME})(?:[ \t]*[,|:–—-][ \t]*|[ \t]+){_MARKS}{_INLINE}{_MARKS}[ \t]*$",
        re.MULTILINE,
    ),
}  # fmt: skip
_LINE_END_STAMP = re.compile(r"^(.*\S)[ \t]*([\[<{][^\[\]<>{}\n]*[\]>}])[ \t]*$", re.MULTILINE)
_TAG_LINE = re.compile(r"^\[[a-z]{2,8}:[^\]]*\]$", re.MULTILINE)
"""``[ti:Title]``: what lyric files say about themselves."""


def has_stamps(text: str) -> bool:
    """Whether the text holds at least one stamp of any style."""
    return bool(_marks(text))


def _marks(text: str) -> list[re.Match[str]]:
    """The stamps of the commonest style; of two equally common ones, the plainer."""
    best: list[re.Match[str]] = []
    for kind, style in _STYLES.items():
        found = list(style.finditer(text))
        if "name" in style.groupindex:
            names = [m["name"] for m in found if m["name"]]
            # Lines of a name and a time and no more: each may be another guest's.
            alone = kind == "named" and len(names) > 1 and all(n[0].isupper() for n in names)
            known = frozenset(names) if alone else speakers(names)
            found = [m for m in found if not m["name"] or m["name"] in known]
        if len(found) > len(best):
            best = found
    return best


_OF_DAY = re.compile(r"(?P<clock>[\d:.,;]+)[ \t]?(?P<half>[AaPp])\.?[Mm]\.?")
_DAY_MS = 24 * 3_600_000


def _ms_of_day(match: re.Match[str], line: int, source: Source) -> int:
    """A time of day in ms since midnight: "9:05 am" and "9:05:10 am" begin with hours."""
    clock = match["clock"] if match["clock"].count(":") > 1 else f"{match['clock']}:00"
    hours, _, rest = clock.partition(":")
    if not 1 <= int(hours) <= 12:
        what = f"{match[0]} is no time of day"
        source.fail("bad-time", what, line=line, fix="write the stamp as [m:ss] or [h:mm:ss]")
    return _ms(f"{int(hours) % 12 + 12 * (match['half'] in 'pP')}:{rest}", line, source)


def _from_first(times: Sequence[int]) -> list[int]:
    """Times of day as times since the first one; a time 12 hours and more before the last one is of the next day."""
    found: list[int] = []
    for ms in times:
        since = ms - times[0]
        while found and since < found[-1] - _DAY_MS // 2:
            since += _DAY_MS
        found.append(since)
    return found


def _ms(text: str, line: int, source: Source) -> int:
    if of_day := _OF_DAY.fullmatch(text):
        return _ms_of_day(of_day, line, source)
    if text.endswith("s"):
        fields = [float(f) for f in re.findall(r"[\d.]+", text)]
        seconds = 0.0
        for field in fields:
            seconds = seconds * 60 + field
        return min(LONGEST_MS, round(1000 * seconds))
    frames = re.fullmatch(r"(\d+:\d+:\d+)[:;]\d+", text)
    whole, _, part = (frames[1] if frames else text).replace(",", ".").partition(".")
    values = [int(f) for f in whole.split(":")]
    if values[-1] > 59 or (len(values) == 3 and values[1] > 59):
        source.fail(
            "bad-time",
            f"{text} is not a time: seconds and, with hours, minutes end at 59",
            line=line,
            fix="write the stamp as [m:ss] or [h:mm:ss]",
        )
    total = 0
    for value in values:
        total = total * 60 + value
    return min(LONGEST_MS, total * 1000 + int(part.ljust(3, "0") or 0))


def read(text: str, source: Source) -> list[RawBlock]:
    """Blocks at their stamps, in file order; ``end_ms`` only where a range gives it."""
    text = _TAG_LINE.sub("", text)
    marks = _marks(text)
    if not marks:
        return []
    if any(re.fullmatch(r"\d+:\d+:\d+[:;]\d+", m["start"]) for m in marks):
        source.warn(
            "frames-left-out",
            "the stamps count frames, and nothing says how many make a second: they are read to the second",
            fix="export the transcript with milliseconds",
        )
    if _at_line_ends(text, marks):
        source.warn(
            "stamps-after-words",
            "the stamps stand at the ends of lines: each is taken as the time at which its line begins",
            fix="put the stamps before their words",
        )
        text = _LINE_END_STAMP.sub(r"\2 \1", text)
        marks = _marks(text)
    heads, names = _names_before(text, marks)
    ends = [*heads[1:], len(text)]
    bodies = [plain(text[m.end() : end]) for m, end in zip(marks, ends, strict=True)]
    blocks: list[RawBlock] = []
    line, at = 1, 0
    times: list[list[int]] = []
    lines: list[int] = []
    for mark in marks:
        line += text.count("\n", at, mark.start("start"))
        at = mark.start("start")
        times.append([_ms(mark[key], line, source) for key in ("start", "end") if mark[key]])
        lines.append(line)
    if all(_OF_DAY.fullmatch(m["start"]) for m in marks):
        source.warn(
            "times-of-day",
            f"the stamps are times of day: {marks[0]['start']} is taken for the recording's start",
            line=lines[0],
            fix="where the talk begins later, write stamps that count from the recording's start",
        )
        flat = iter(_from_first([ms for pair in times for ms in pair]))
        times = [[next(flat) for _ in pair] for pair in times]
    for (start_ms, *end), line, name, body in zip(times, lines, names, bodies, strict=True):
        blocks.append(RawBlock(start_ms, end[0] if end else None, tuple(body.split("\n")) if body else (), line, name))
    blocks = spoken_by(blocks, source)
    _keep_head(plain(text[: heads[0]]), blocks, source)
    return blocks


def _at_line_ends(text: str, marks: Sequence[re.Match[str]]) -> bool:
    """Whether every stamp has words before it in its line (more than a name) and none after it."""
    for mark in marks:
        before = text[text.rfind("\n", 0, mark.start()) + 1 : mark.start()]
        end = text.find("\n", mark.end())
        if text[mark.end() : end if end >= 0 else len(text)].strip() or len(words_of(plain(before))) < 3:
            return False
    return len(marks) > 1


def _names_before(text: str, marks: Sequence[re.Match[str]]) -> tuple[list[int], list[str | None]]:
    """Where each stamp's line of its own begins (a name before it taken in), and the names."""
    starts = [m.start() for m in marks]
    names = [m.groupdict().get("name") for m in marks]
    if any(names):
        return starts, names
    before = [0, *(m.end() for m in marks)]
    label = re.compile(rf"(?:^|\n){_BULLET}({NAME})[ \t]*[,|:–—-]?[ \t]*{_MARKS}\Z")
    found = [label.search(text[a:b]) for a, b in zip(before, starts, strict=False)]
    known = speakers(m[1] for m in found if m)
    for k, match in enumerate(found):
        if match and match[1] in known:
            names[k] = match[1]
            starts[k] = before[k] + match.start()
    return starts, names


def _keep_head(head: str, blocks: list[RawBlock], source: Source) -> None:
    """Text before the first stamp: speech if there is time to say it, else a heading that is left out."""
    words = words_of(head)
    if not words:
        return
    least_ms = 200 * len(words)  # 300 words a minute, faster than anybody teaches
    if blocks[0].start_ms >= max(least_ms, 2000):
        blocks.insert(0, RawBlock(0, blocks[0].start_ms, tuple(head.split("\n")), 1))
        return
    source.warn(
        "text-before-stamps",
        f"{len(words)} words before the first stamp ({format_ms(blocks[0].start_ms)}) are left out as a heading",
        line=1,
        fix="if they are spoken, put a stamp before them",
    )

"""Stamped text: ``[m:ss] words``, with the stamp before its words or on a line of its own.

Read as stamps: ``[m:ss]``, ``[h:mm:ss]``, ``(m:ss)``, ``m:ss`` at the start of a
line, each with decimals if wanted, and ranges (``[0:00 - 0:12]``,
``[00:00:00.000 --> 00:00:04.000]``). Stamps in square brackets are found
anywhere in a line. The stamps' first style decides for the whole file, so that
"at 2:30 he resigned" stays text in a file with bracketed stamps.
"""

from __future__ import annotations

import re

from timeline.timecode import format_ms
from timeline.transcript.markup import part_speaker, plain, speaker_labels, words_of
from timeline.transcript.raw import LONGEST_MS, RawBlock, Source

_TIME = r"(?:\d{1,3}:)?\d{1,3}:\d{2}(?:[.,]\d{1,3})?"
_RANGE = rf"\s*({_TIME})\s*(?:(?:-+>?|–|—|to)\s*({_TIME})\s*)?"
_STYLES = {
    "square": re.compile(rf"\[{_RANGE}\]"),
    "round": re.compile(rf"^\s*\({_RANGE}\)", re.MULTILINE),
    "bare": re.compile(
        rf"^[ \t]*({_TIME})(?:[ \t]*(?:-+>|-|–|—)[ \t]*({_TIME}))?(?=[ \t]|$)[ \t]*(?:[-–—|][ \t]+)?", re.MULTILINE
    ),
}  # fmt: skip


def has_stamps(text: str) -> bool:
    """Whether the text holds at least one stamp of any style."""
    return any(style.search(text) for style in _STYLES.values())


def _ms(text: str, line: int, source: Source) -> int:
    whole, _, part = text.replace(",", ".").partition(".")
    fields = [int(f) for f in whole.split(":")]
    if fields[-1] > 59 or (len(fields) == 3 and fields[1] > 59):
        source.fail(
            "bad-time",
            f"{text} is not a time: seconds and, with hours, minutes end at 59",
            line=line,
            fix="write the stamp as [m:ss] or [h:mm:ss]",
        )
    total = 0
    for value in fields:
        total = total * 60 + value
    return min(LONGEST_MS, total * 1000 + int(part.ljust(3, "0") or 0))


def read(text: str, source: Source) -> list[RawBlock]:
    """Blocks at their stamps, in file order; ``end_ms`` only where a range gives it."""
    found = [(style.findall(text), name) for name, style in _STYLES.items()]
    style = next((_STYLES[name] for hits, name in found if hits), None)
    if style is None:
        return []
    marks = list(style.finditer(text))
    labels = speaker_labels(
        plain(text[m.end() : n]) for m, n in zip(marks, [*(m.start() for m in marks[1:]), len(text)], strict=True)
    )
    blocks: list[RawBlock] = []
    speaker: str | None = None
    line, at = 1, 0
    ends = [*(m.start() for m in marks[1:]), len(text)]
    for mark, end in zip(marks, ends, strict=True):
        line += text.count("\n", at, mark.start(1))
        at = mark.start(1)
        start_ms = _ms(mark[1], line, source)
        end_ms = _ms(mark[2], line, source) if mark[2] else None
        body = plain(text[mark.end() : end])
        said_by, body = part_speaker(body, labels)
        speaker = said_by or speaker
        blocks.append(RawBlock(start_ms, end_ms, tuple(body.split("\n")) if body else (), line, speaker))
    _keep_head(plain(text[: marks[0].start()]), blocks, source)
    return blocks


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

"""What hosts and players ask of chapters, and chapters made to fit.

Common practice at video hosts: the first chapter starts at 0:00, there are at
least three, in order, each lasts at least 10 s, the last one too. MP4's
chapter list counts in one byte: 255 chapters, titles of 255 bytes.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence
from itertools import pairwise
from typing import Any

from timeline.problems import Finding, Severity
from timeline.timecode import format_clock, format_ms
from timeline.timemap import TimeMap
from timeline.tracks import Chapter

LEAST_COUNT = 3
LEAST_MS = 10_000
MOST_COUNT = 255
MOST_TITLE_BYTES = 255
MOST_TITLE_CHARS = 60
"""Longest suggested title; longer ones are cut off in most players' lists (common practice)."""


def clean_title(title: str, *, most_bytes: int = MOST_TITLE_BYTES) -> str:
    """One line without control characters, at most ``most_bytes`` of UTF-8, cut between characters."""
    kept = "".join(" " if unicodedata.category(c) in ("Cc", "Zl", "Zp") else c for c in title)
    line = " ".join(kept.split())
    while len(line.encode()) > most_bytes:
        line = line[:-1]
        while line and unicodedata.combining(line[-1]):
            line = line[:-1]
    return line.rstrip()


def in_film_time(chapters: Sequence[Chapter], timemap: TimeMap) -> tuple[Chapter, ...]:
    """Chapters of the recording as chapters of the film; what starts at 0 stays there."""
    return tuple(Chapter(timemap.start(c.start_ms) if c.start_ms else 0, c.title) for c in chapters)


def whole(chapters: Sequence[Chapter], end_ms: int, *, opening_title: str) -> tuple[Chapter, ...]:
    """Chapters in order, inside the film, with clean titles and none missing at the start.

    Before a first chapter that starts later, one named ``opening_title`` is
    put at 0: an MP4 cannot hold a hole there, and hosts ask for it.
    """
    found: dict[int, str] = {}
    for chapter in sorted(chapters, key=lambda c: c.start_ms):
        title = clean_title(chapter.title)
        if title and 0 <= chapter.start_ms < end_ms:
            found.setdefault(chapter.start_ms, title)
    if 0 not in found:
        found[0] = clean_title(opening_title) or "Introduction"
    return tuple(Chapter(at, title) for at, title in sorted(found.items()))[:MOST_COUNT]


def check_chapters(chapters: Sequence[Chapter], end_ms: int, *, least_ms: int = LEAST_MS) -> list[Finding]:
    """What hosts would refuse in a list of chapters (film time): warnings; a chapter after the end is an error.

    Times are compared as hosts see them, rounded down to a second. ``extra["chapter"]``
    is the index of the chapter that a finding is about, where it is about one.
    """
    findings: list[Finding] = []
    if not chapters or chapters[0].start_ms >= 1000:
        findings.append(
            Finding(
                "chapter-start",
                "the first chapter does not start at 0:00",
                Severity.WARNING,
                at_ms=chapters[0].start_ms if chapters else 0,
                extra={"chapter": 0} if chapters else {},
                fix='begin the list with `{at: "0:00", title: …}`',
            )
        )
    if len(chapters) < LEAST_COUNT and end_ms >= LEAST_COUNT * least_ms:
        findings.append(
            Finding(
                "few-chapters",
                f"there {'is 1 chapter' if len(chapters) == 1 else f'are {len(chapters)} chapters'}; "
                f"video hosts show a list only from {LEAST_COUNT} on",
                Severity.WARNING,
                fix="add chapters, or none at all",
            )
        )
    if len(chapters) > MOST_COUNT:
        findings.append(
            Finding(
                "many-chapters",
                f"there are {len(chapters)} chapters; an MP4 holds {MOST_COUNT}",
                Severity.WARNING,
                fix="use fewer",
            )
        )
    ends = [c.start_ms for c in chapters[1:]] + [end_ms]
    for index, (chapter, end) in enumerate(zip(chapters, ends, strict=True)):
        about: dict[str, Any] = {"at_ms": chapter.start_ms, "extra": {"chapter": index}}
        if chapter.start_ms >= end_ms:
            message = f"chapter {chapter.title!r} starts after the end of the film, {format_ms(end_ms)}"
            findings.append(Finding("chapter-after-end", message, fix="move or remove it", **about))
        elif end // 1000 - chapter.start_ms // 1000 < least_ms // 1000:
            message = (
                f"chapter {chapter.title!r} lasts from {format_clock(chapter.start_ms)} to {format_clock(end)}, "
                f"less than {least_ms / 1000:g} s"
            )
            fix = "join it with its neighbour"
            findings.append(Finding("short-chapter", message, Severity.WARNING, fix=fix, **about))
    for index, (before, after) in enumerate(pairwise(chapters), 1):
        if before.title.casefold() == after.title.casefold():
            findings.append(
                Finding(
                    "same-title",
                    f"two chapters in a row are called {after.title!r}",
                    Severity.NOTE,
                    at_ms=after.start_ms,
                    extra={"chapter": index},
                    fix="tell them apart",
                )
            )
    return findings

"""The table of chapter writers: file suffix to a pure function from chapters to the file's text.

To add a format, write a module with a function decorated by
``chapter_writer`` and import it in ``timeline/chapters/__init__.py``. Times
are the film's, whole milliseconds; chapters come in order, the first at 0,
with one-line titles (``rules.whole`` sees to that).
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from timeline.problems import OutputError
from timeline.tracks import Chapter


@dataclass(frozen=True)
class ChapterList:
    """Chapters of a film of ``end_ms``; ``language`` is a BCP 47 tag, ``title`` the lesson's."""

    chapters: tuple[Chapter, ...]
    end_ms: int
    title: str = ""
    language: str = "en"
    teacher: str | None = None

    def ends(self) -> list[tuple[Chapter, int]]:
        """Each chapter with its end: the next one's start, or the film's end."""
        ends = [c.start_ms for c in self.chapters[1:]] + [self.end_ms]
        return list(zip(self.chapters, ends, strict=True))


ChapterWriter = Callable[[ChapterList], str]
WRITERS: dict[str, ChapterWriter] = {}


def chapter_writer(suffix: str) -> Callable[[ChapterWriter], ChapterWriter]:
    """Register a writer for files named ``*suffix``."""

    def register(write: ChapterWriter) -> ChapterWriter:
        if suffix in WRITERS:
            raise ValueError(f"two chapter writers for {suffix}")
        WRITERS[suffix] = write
        return write

    return register


def writer_for(suffix: str) -> ChapterWriter:
    """The writer for a suffix; OutputError (``unknown-format``) lists those there are."""
    if suffix not in WRITERS:
        raise OutputError.of(
            "unknown-format", f"chapters are not written as {suffix!r}", fix=f"use one of {', '.join(sorted(WRITERS))}"
        )
    return WRITERS[suffix]

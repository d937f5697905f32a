"""The list that video hosts read from a description: a line each, time and title (common practice)."""

from __future__ import annotations

from timeline.chapters.writers import ChapterList, chapter_writer
from timeline.timecode import format_clock


@chapter_writer(".txt")
def write_plain_list(chapters: ChapterList) -> str:
    """``M:SS Title`` or ``H:MM:SS Title``; times are rounded down, so that no chapter starts too late."""
    return "".join(f"{format_clock(c.start_ms)} {c.title}\n" for c in chapters.chapters)

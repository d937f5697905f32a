"""ffmpeg's metadata text, version 1 (ffmpeg formats documentation, section Metadata)."""

from __future__ import annotations

import re

from timeline.chapters.writers import ChapterList, chapter_writer


@chapter_writer(".ffmeta")
def write_ffmetadata(chapters: ChapterList) -> str:
    """Title and chapters. TIMEBASE is always written: its default has changed between ffmpeg's versions."""
    lines = [";FFMETADATA1"]
    if chapters.title:
        lines.append(f"title={_escape(chapters.title)}")
    for chapter, end in chapters.ends():
        lines += ["[CHAPTER]", "TIMEBASE=1/1000", f"START={chapter.start_ms}", f"END={end}"]
        lines.append(f"title={_escape(chapter.title)}")
    return "\n".join(lines) + "\n"


def _escape(text: str) -> str:
    """A backslash before ``=``, ``;``, ``#``, backslash and line feed.

    After a backslash at the end goes a space: libavformat takes an escaped
    backslash before the line's end for an escaped line end.
    """
    return re.sub(r"([=;#\\\n])", r"\\\1", text) + (" " if text.endswith("\\") else "")

"""WebVTT chapters (W3C WebVTT, chapter cues): titles are text without tags, cues do not overlap."""

from __future__ import annotations

from timeline.chapters.writers import ChapterList, chapter_writer


@chapter_writer(".vtt")
def write_webvtt_chapters(chapters: ChapterList) -> str:
    """A cue for each chapter, numbered from 1. Nothing is lost."""
    cues = [
        f"{number}\n{_stamp(c.start_ms)} --> {_stamp(end)}\n{_escape(c.title)}\n"
        for number, (c, end) in enumerate(chapters.ends(), 1)
    ]
    return "WEBVTT\n\n" + "\n".join(cues)


def _stamp(ms: int) -> str:
    minutes, rest = divmod(ms, 60_000)
    return f"{minutes // 60:02d}:{minutes % 60:02d}:{rest // 1000:02d}.{rest % 1000:03d}"


def _escape(text: str) -> str:
    """Section 4.1: ``&`` and ``<`` must be escaped; ``>`` is, so that ``-->`` cannot arise."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")

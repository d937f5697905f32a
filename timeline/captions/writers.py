"""Caption files: one pure function a format, captions in and file text out.

To add a format: write a function and register its suffix here. All give
UTF-8 text with LF; times are whole milliseconds, nothing is rounded twice.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from datetime import timedelta

import srt

from timeline.problems import PlylineError
from timeline.timecode import format_clock
from timeline.tracks import Caption

CaptionWriter = Callable[[Iterable[Caption]], str]
WRITERS: dict[str, CaptionWriter] = {}


def caption_writer(suffix: str) -> Callable[[CaptionWriter], CaptionWriter]:
    """Register a writer for ``suffix``."""

    def register(write: CaptionWriter) -> CaptionWriter:
        if suffix in WRITERS:
            raise ValueError(f"two caption writers for {suffix}")
        WRITERS[suffix] = write
        return write

    return register


def writer_for(suffix: str) -> CaptionWriter:
    """The writer of a suffix; PlylineError names the known ones otherwise."""
    if suffix not in WRITERS:
        raise PlylineError.of(
            "unknown-format", f"no caption format {suffix!r}", fix=f"known: {' '.join(sorted(WRITERS))}"
        )
    return WRITERS[suffix]


def _lines(text: str) -> list[str]:
    """Lines with something on them: an empty line would end the cue in every format."""
    kept = (" ".join(re.split(r"[\x00-\x1f\x7f\u2028\u2029\s]+", line)).strip() for line in text.split("\n"))
    return [line for line in kept if line]


@caption_writer(".srt")
def write_subrip(captions: Iterable[Caption]) -> str:
    """SubRip through the ``srt`` library. The format has no escape: "-->" becomes an arrow, "<" stays.

    No standard exists; the form is common practice: UTF-8 without BOM, LF,
    index from 1, a comma before the milliseconds.
    """
    subtitles = []
    for caption in captions:
        text = "\n".join(_lines(caption.text)).replace("-->", "→")
        if text:
            start, end = (timedelta(milliseconds=ms) for ms in (caption.start_ms, caption.end_ms))
            subtitles.append(srt.Subtitle(len(subtitles) + 1, start, end, text))
    return str(srt.compose(subtitles, reindex=False))


def _vtt_time(ms: int) -> str:
    seconds, ms = divmod(ms, 1000)
    return f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d}.{ms:03d}"


def _vtt_text(text: str) -> str:
    """W3C WebVTT, section 4.1: "&" and "<" are escaped, and "-->" may not stand in a cue."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


@caption_writer(".vtt")
def write_webvtt(captions: Iterable[Caption]) -> str:
    """WebVTT (W3C); a speaker's name becomes a voice tag."""
    blocks = ["WEBVTT"]
    for number, caption in enumerate(captions, 1):
        lines = _lines(caption.text)
        if not lines:
            continue
        text = "\n".join(_vtt_text(line) for line in lines)
        name = _vtt_text(" ".join(_lines(caption.speaker or "")))
        voice = f"<v {name}>" if name else ""
        blocks.append(f"{number}\n{_vtt_time(caption.start_ms)} --> {_vtt_time(caption.end_ms)}\n{voice}{text}")
    return "\n\n".join(blocks) + "\n"


@caption_writer(".txt")
def write_transcript(captions: Iterable[Caption]) -> str:
    """Plain text to read: a stamp at the start of each stretch of about half a minute."""
    paragraphs: list[str] = []
    begun = -30_000
    for caption in captions:
        text = " ".join(_lines(caption.text))
        if not text:
            continue
        if caption.start_ms - begun >= 30_000:
            paragraphs.append(f"[{format_clock(caption.start_ms)}] {text}")
            begun = caption.start_ms
        else:
            paragraphs[-1] += " " + text
    return "\n\n".join(paragraphs) + ("\n" if paragraphs else "")

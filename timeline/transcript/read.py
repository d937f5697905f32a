"""Transcript files to words: the format told by content, then suffix; one reader for each.

To add a format: a module with ``looks_like(text) -> bool`` and ``read(text,
source) -> list[RawBlock]``, a line in ``FORMATS`` (the first that fits wins),
its suffixes in ``SUFFIXES``.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from timeline.problems import Finding, TranscriptError
from timeline.textfile import read_text
from timeline.transcript import stamped, subrip, webvtt, wordlist
from timeline.transcript.markup import plain, words_of
from timeline.transcript.raw import RawBlock, Reader, Source
from timeline.transcript.settle import settle
from timeline.transcript.words import Transcript

FORMATS: dict[str, tuple[Callable[[str], bool], Reader]] = {
    "webvtt": (webvtt.looks_like, webvtt.read),
    "json": (wordlist.looks_like, wordlist.read),
    "srt": (subrip.looks_like, subrip.read),
    "stamped": (stamped.has_stamps, stamped.read),
}
"""Reader by name, in the order in which the content is tried."""

SUFFIXES = {".vtt": "webvtt", ".json": "json", ".srt": "srt"}

_FOREIGN = {
    "PK\x03\x04": "a packed document (such as .docx or .odt)",
    "%PDF": "a PDF",
    "{\\rtf": "a rich-text document",
    "RIFF": "a recording",
    "OggS": "a recording",
    "ID3": "a recording",
    "fLaC": "a recording",
    "\x1aE": "a recording",
    "<?xml": "XML",
    "<!DOCTYPE html": "a web page",
    "<html": "a web page",
}
_WANTED = "give plain text with stamps such as [1:05], SRT, WebVTT, or JSON with word times"


def load_transcript(
    path: Path, *, name: str | None = None, end_ms: int | None = None
) -> tuple[Transcript, list[Finding]]:
    """Read a transcript file of any known format and encoding.

    ``name`` stands in messages for the file (default: its name). ``end_ms``
    is the recording's length where known. Returns the transcript and what was
    mended or doubtful in it (warnings); raises TranscriptError for what cannot
    be used.
    """
    name = name or path.name
    return read_transcript(read_text(path, TranscriptError, name=name), name=name, suffix=path.suffix, end_ms=end_ms)


def read_transcript(
    text: str, *, name: str, suffix: str = "", end_ms: int | None = None
) -> tuple[Transcript, list[Finding]]:
    """The transcript in ``text``; see ``load_transcript``. Line ends may be of any kind."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").removeprefix("\ufeff")
    source = Source(name, text.split("\n"))
    _refuse_foreign(text, source)
    kind = next((n for n, (fits, _) in FORMATS.items() if fits(text)), SUFFIXES.get(suffix.lower(), "plain"))
    if kind == "webvtt" and not webvtt.looks_like(text):
        source.warn("no-signature", "a WebVTT file starts with the line WEBVTT; this one does not", line=1)
    if kind == "plain" or (kind not in ("webvtt", "json") and not FORMATS[kind][0](text)):
        blocks, kind = [_one_block(text, source, end_ms)], "plain"
    else:
        blocks = FORMATS[kind][1](text, source)
        if not blocks:
            source.fail("no-words", "the file holds no captions", fix=_WANTED)
    transcript = settle(blocks, kind, source, end_ms)
    return transcript, source.findings


def _refuse_foreign(text: str, source: Source) -> None:
    for head, what in _FOREIGN.items():
        if text.lstrip()[: len(head)].lower() == head.lower():
            source.fail("not-a-transcript", f"this is {what}, not a transcript", fix=_WANTED)
    sample = text[:20_000]
    odd = sum(c == "\ufffd" or (ord(c) < 32 and c not in "\n\t\x0c\x1b") for c in sample)
    if odd > max(3, len(sample) // 50):
        source.fail("not-text", "this is not a text file", fix=_WANTED)


def _one_block(text: str, source: Source, end_ms: int | None) -> RawBlock:
    """A text without any time, as one block over the whole recording."""
    body = plain(text)
    if not words_of(body):
        source.fail("no-words", "the file holds no words", fix=_WANTED)
    if end_ms is None:
        source.fail(
            "no-times",
            "no line has a time, and no recording says how long the talk is",
            fix="add stamps such as [1:05] every 20 to 30 seconds, or give the recording",
        )
    source.warn(
        "no-times",
        "no line has a time: the words are spread over the whole recording, which is rough",
        fix="add stamps such as [1:05] every 20 to 30 seconds",
    )
    return RawBlock(0, end_ms, tuple(body.split("\n")), 1)

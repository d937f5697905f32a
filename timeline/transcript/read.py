"""Transcript files to words: the format told by content, then suffix; one reader for each.

To add a format: a module with ``looks_like(text) -> bool`` and ``read(text,
source) -> list[RawBlock]``, a line in ``FORMATS`` (the first that fits wins),
its suffixes in ``SUFFIXES``.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable
from pathlib import Path

from timeline.problems import Finding, TranscriptError
from timeline.textfile import read_text
from timeline.transcript import stamped, subrip, table, webvtt, wordlist
from timeline.transcript.markup import plain, words_of
from timeline.transcript.parting import part_sounds, with_sounds
from timeline.transcript.raw import RawBlock, Reader, Source
from timeline.transcript.settle import settle
from timeline.transcript.soundmarks import RESERVED
from timeline.transcript.words import Transcript

FORMATS: dict[str, tuple[Callable[[str], bool], Reader]] = {
    "webvtt": (webvtt.looks_like, webvtt.read),
    "json": (wordlist.looks_like, wordlist.read),
    "srt": (subrip.looks_like, subrip.read),
    "table": (table.looks_like, table.read),
    "stamped": (stamped.has_stamps, stamped.read),
}
"""Reader by name, in the order in which the content is tried."""

SUFFIXES = {".vtt": "webvtt", ".json": "json", ".srt": "srt"}

_BINARY = {
    b"PK\x03\x04": "a packed document (such as .docx or .odt)",
    b"\xd0\xcf\x11\xe0": "a word processor's document",
    b"%PDF": "a PDF",
    b"RIFF": "a recording",
    b"OggS": "a recording",
    b"ID3": "a recording",
    b"fLaC": "a recording",
    b"\x1aE\xdf\xa3": "a recording",
}
_FOREIGN = {
    "{\\rtf": "a rich-text document",
    "<?xml": "XML",
    "<!DOCTYPE html": "a web page",
    "<html": "a web page",
    "[script info]": "a subtitle script with styles",
}
_GAME = re.compile(r'\s*\[\w+ "[^"\n]*"\][ \t]*\n')  # a tag pair (PGN standard, 8.1.1)
_WANTED = "give text with stamps such as [1:05], SRT, WebVTT, a table with start and text, or JSON with word times"


def load_transcript(
    path: Path, *, name: str | None = None, end_ms: int | None = None, declared: Iterable[str] = ()
) -> tuple[Transcript, list[Finding]]:
    """Read a transcript file of any known format and encoding.

    ``name`` stands in messages for the file (default: its name). ``end_ms``
    is the recording's length where known; ``declared`` are speakers' names
    that the lesson file gives. Returns the transcript and what was
    mended or doubtful in it (warnings); raises TranscriptError for what cannot
    be used.
    """
    name = name or path.name
    _refuse_binary(path, name)
    text = read_text(path, TranscriptError, name=name)
    return read_transcript(text, name=name, suffix=path.suffix, end_ms=end_ms, declared=declared)


def read_transcript(
    text: str, *, name: str, suffix: str = "", end_ms: int | None = None, declared: Iterable[str] = ()
) -> tuple[Transcript, list[Finding]]:
    """The transcript in ``text``; see ``load_transcript``. Line ends may be of any kind."""
    text = text.replace("\r\n", "\n").replace("\r", "\n").removeprefix("\ufeff").translate(RESERVED)
    source = Source(name, text.split("\n"), declared=tuple(declared))
    _refuse_foreign(text, source)
    named = SUFFIXES.get(suffix.lower(), "plain")
    kind = next((n for n, (fits, _) in FORMATS.items() if fits(text)), named)
    if kind == "stamped" and named in ("srt", "webvtt") and "-->" in text and "[" not in text.split("-->")[0]:
        kind = named  # so that its reader says which line is wrong
    if kind == "webvtt" and not webvtt.looks_like(text):
        source.warn("no-signature", "a WebVTT file starts with the line WEBVTT; this one does not", line=1)
    if kind == "plain" or (kind == "srt" and "-->" not in text):
        blocks, kind = [_one_block(text, source, end_ms)], "plain"
    else:
        blocks = FORMATS[kind][1](text, source)
        if not blocks:
            source.fail("no-words", "the file holds no captions", fix=_WANTED)
    spoken, sounds = part_sounds(blocks, source)
    if sounds and not any(b.words or words_of(b.text) for b in spoken):
        source.warn(
            "no-words",
            "the transcript marks sounds and holds no words: only those are captioned",
            fix="if something is said, give the transcript of the talk",
        )
        return with_sounds(Transcript((), (), kind), sounds, blocks), source.findings
    return with_sounds(settle(spoken, kind, source, end_ms), sounds, blocks), source.findings


def _refuse_binary(path: Path, name: str) -> None:
    """Files of other kinds, told by their first bytes before anybody takes them for text."""
    try:
        with path.open("rb") as file:
            head = file.read(12)
    except OSError:
        return  # reading it as text says what is wrong
    what = next((w for mark, w in _BINARY.items() if head.startswith(mark)), None)
    if what is None and head[4:8] == b"ftyp":
        what = "a recording"
    if what:
        raise TranscriptError.of("not-a-transcript", f"this is {what}, not a transcript", file=name, fix=_WANTED)


def _refuse_foreign(text: str, source: Source) -> None:
    for head, what in _FOREIGN.items():
        if text.lstrip("\ufeff \t\n")[: len(head)].lower() == head.lower():
            source.fail("not-a-transcript", f"this is {what}, not a transcript", fix=_WANTED)
    if _GAME.match(text):
        source.fail("not-a-transcript", "this is a game (PGN), not a transcript", fix=_WANTED)
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

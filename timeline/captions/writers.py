"""The table of caption writers: file suffix to a pure function from captions to the file's text.

To add a format, write a module with a function decorated by
``caption_writer`` and import it in ``timeline/captions/__init__.py``. Times
are the film's, whole milliseconds. Every writer takes captions as they come:
``tidy`` puts them in order and takes out what no format can hold, so a file
is valid whatever the text.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from functools import wraps
from typing import Protocol

from timeline.problems import OutputError
from timeline.tracks import BoardTrack, Caption, Chapter


@dataclass(frozen=True)
class Place:
    """Where captions stand in the picture, in per cent of its width and height: the left edge, the top, and the size.

    The captions' box of the film's layout, or the free strip beside a board.
    ``letters``: how many characters go across it at the usual size of players,
    which cut longer lines off.
    """

    left: float
    top: float
    width: float
    height: float
    letters: int | None = None


@dataclass(frozen=True)
class About:
    """What some formats hold besides the captions.

    ``language`` is a BCP 47 tag. ``place`` is None where a player may put
    captions as it likes (at the bottom, centred). ``board`` (film time) and
    ``chapters`` serve the HTML transcript, as does ``orientation``. ``bom``
    and ``crlf`` only for programs that ask for them.
    """

    title: str = ""
    language: str = "en"
    teacher: str | None = None
    place: Place | None = None
    board: BoardTrack | None = None
    chapters: tuple[Chapter, ...] = ()
    orientation: str = "white"
    end_ms: int | None = None
    bom: bool = False
    crlf: bool = False


NOTHING = About()


_Write = Callable[[Sequence[Caption], About], str]


class CaptionWriter(Protocol):
    """Captions in, file text out."""

    def __call__(self, captions: Iterable[Caption], about: About = ...) -> str: ...


WRITERS: dict[str, CaptionWriter] = {}

# What no caption format can hold: control characters, surrogates and non-characters (also illegal in XML 1.0, 2.2).
ILLEGAL = re.compile("[\x00-\x09\x0b-\x1f\x7f-\x9f\ud800-\udfff\ufdd0-\ufdef\ufffe\uffff\u2028\u2029\ufeff]")


def caption_writer(suffix: str) -> Callable[[_Write], CaptionWriter]:
    """Register a writer for files named ``*suffix``. It is handed tidy captions."""

    def register(write: _Write) -> CaptionWriter:
        if suffix in WRITERS:
            raise ValueError(f"two caption writers for {suffix}")

        @wraps(write)
        def whole(captions: Iterable[Caption], about: About = NOTHING) -> str:
            return finished(write(tidy(captions), about), about)

        WRITERS[suffix] = whole
        return whole

    return register


def finished(text: str, about: About) -> str:
    """A file's text with the line ends and the byte order mark that programs ask for."""
    text = text.replace("\n", "\r\n") if about.crlf else text
    return "\ufeff" + text if about.bom else text


def writer_for(suffix: str) -> CaptionWriter:
    """The writer for a suffix; OutputError (``unknown-format``) lists those there are."""
    if suffix not in WRITERS:
        raise OutputError.of(
            "unknown-format", f"captions are not written as {suffix!r}", fix=f"use one of {', '.join(sorted(WRITERS))}"
        )
    return WRITERS[suffix]


def tidy(captions: Iterable[Caption]) -> list[Caption]:
    """Captions in order of time, without control characters, empty lines, empty texts and times that run backwards.

    Overlaps are cut at the next caption's start; a caption that would be left
    without any time stays for one millisecond at least.
    """
    clean = []
    for caption in sorted(captions, key=lambda c: (max(0, c.start_ms), c.end_ms)):
        lines = [
            re.sub(r"[ \t\xa0]+", " ", ILLEGAL.sub(" ", line)).strip() for line in re.split(r"\r\n|\r|\n", caption.text)
        ]
        text = "\n".join(line for line in lines if line)
        if text:
            start = max(0, caption.start_ms)
            clean.append(replace(caption, start_ms=start, end_ms=max(start + 1, caption.end_ms), text=text))
    for n in range(1, len(clean)):
        if clean[n].start_ms <= clean[n - 1].start_ms:
            start = clean[n - 1].start_ms + 1
            clean[n] = replace(clean[n], start_ms=start, end_ms=max(start + 1, clean[n].end_ms))
        if clean[n - 1].end_ms > clean[n].start_ms:
            clean[n - 1] = replace(clean[n - 1], end_ms=clean[n].start_ms)
    return clean


def stamp(ms: int, point: str = ".") -> str:
    """``HH:MM:SS.mmm``; hours grow where needed."""
    minutes, rest = divmod(ms, 60_000)
    return f"{minutes // 60:02d}:{minutes % 60:02d}:{rest // 1000:02d}{point}{rest % 1000:03d}"

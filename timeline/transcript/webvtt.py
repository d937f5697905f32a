"""WebVTT captions (W3C WebVTT: file structure, cue timings, cue text).

Voice tags name the speaker, time tags inside a caption time its words, NOTE,
STYLE and REGION blocks and cue settings are passed over.
"""

from __future__ import annotations

import html
import re

from timeline.transcript.markup import plain, undashed, words_of
from timeline.transcript.raw import LONGEST_MS, RawBlock, RawWord, Source
from timeline.transcript.soundmarks import marked
from timeline.transcript.speaking import spoken_by, spoken_count

_TIME = r"(?:(\d{1,4}):)?(\d{1,2}):(\d{1,2})(?:[.,](\d{1,3}))?"
_LINE = re.compile(rf"^[ \t]*{_TIME}[ \t]*-+>[ \t]*{_TIME}(?:[ \t]+(\S.*))?[ \t]*$")
_STAMP = re.compile(rf"<{_TIME}>")
_VOICE = re.compile(r"<v(?:\.[^\s<>]*)?[ \t]+([^<>\n]{1,120})>")


def looks_like(text: str) -> bool:
    """Whether the text starts with the WebVTT signature."""
    return re.match(r"WEBVTT(?![^\s])", text.lstrip("\ufeff \t\n")) is not None


def _ms(fields: tuple[str | None, ...], line: int, source: Source) -> int:
    hours, minutes, seconds, part = fields
    if int(minutes or 0) > 59 or int(seconds or 0) > 59:
        source.fail(
            "bad-time",
            "minutes and seconds end at 59",
            line=line,
            fix="write the times as 00:01:02.345 --> 00:01:04.000",
        )
    whole = (int(hours or 0) * 60 + int(minutes or 0)) * 60 + int(seconds or 0)
    return min(LONGEST_MS, whole * 1000 + int((part or "").ljust(3, "0")))


def read(text: str, source: Source) -> list[RawBlock]:
    """One block a caption, in file order; words with onsets where time tags give them."""
    rows = text.lstrip("\ufeff").split("\n")
    blocks: list[RawBlock] = []
    commas = 0
    at = 0
    while at < len(rows):
        row = rows[at]
        head = row.strip()
        if re.match(r"(NOTE|STYLE|REGION)(?!\S)", head):
            # A comment may not hold an arrow, but those that do are comments all the same.
            while at < len(rows) and rows[at].strip() and not _LINE.match(rows[at]):
                at += 1
            continue
        if "-->" not in row:
            at += 1
            continue
        line = at + 1
        match = _LINE.match(row)
        if match is None:
            source.fail(
                "bad-time",
                "this line does not hold two caption times",
                line=line,
                fix="write it as 00:01:02.345 --> 00:01:04.000",
            )
        commas += "," in row.split("-->")[0]
        start_ms = _ms(match.groups()[:4], line, source)
        end_ms = _ms(match.groups()[4:8], line, source)
        at += 1
        body = []
        while at < len(rows) and rows[at].strip() and "-->" not in rows[at]:
            body.append(rows[at])
            at += 1
        if at < len(rows) and "-->" in rows[at] and body and rows[at - 1].strip() and len(body) > 1:
            body.pop()  # the next caption's name, where no empty line parts the two
        blocks.append(_block(start_ms, end_ms, "\n".join(body), line, source))
    if commas:
        source.warn(
            "comma-times",
            f"{commas} captions write a comma in their times; WebVTT has a full stop there",
            fix="write 00:01:02.345",
        )
    return spoken_by(blocks, source, lasting=False)


def _block(start_ms: int, end_ms: int, payload: str, line: int, source: Source) -> RawBlock:
    speaker, turns = _voices(payload)
    lines: list[str] = []
    words: list[RawWord] = []
    onset: int | None = start_ms
    timed = False
    for row in marked(payload).split("\n"):
        shown = []
        at = 0
        for stamp in [*_STAMP.finditer(row), None]:
            piece = plain(row[at : stamp.start() if stamp else len(row)])
            if at == 0:
                piece = undashed(piece)
            shown.append(piece)
            for k, word in enumerate(words_of(piece)):
                words.append(RawWord(word, onset if k == 0 else None))
                onset = None
            if stamp is not None:
                at = stamp.end()
                onset = _ms(stamp.groups(), line, source)
                timed = True
        if text := " ".join(" ".join(shown).split()):
            lines.append(text)
    return RawBlock(start_ms, end_ms, tuple(lines), line, speaker, tuple(words) if timed else (), turns)


def _voices(payload: str) -> tuple[str | None, tuple[tuple[int, str], ...]]:
    """The voice that a cue begins with, and those that follow, each with the number of the word it begins at."""
    voices = [
        (spoken_count(plain(payload[: m.start()])), " ".join(html.unescape(m[1]).split()))
        for m in _VOICE.finditer(payload)
    ]
    first = next((name for at, name in reversed(voices) if at == 0), None)
    return first or next((name for _, name in voices), None), tuple(v for v in voices if v[0])

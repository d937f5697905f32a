"""Tables: columns parted by tabs, commas or semicolons, one caption or word a row.

With a first row that names the columns (``start``, ``end``, ``text``,
``speaker`` or words like them), or without one as ``start TAB end TAB text``
(the label tracks of sound editors). Times are seconds or clock times; whole
numbers that can only be milliseconds are read as such, with a warning.
"""

from __future__ import annotations

import csv
import io
import math
import re

from timeline.transcript.markup import plain, words_of
from timeline.transcript.raw import LONGEST_MS, RawBlock, RawWord, Source, sentences
from timeline.transcript.times import are_milliseconds, seconds_of

_NAMES = {
    "start": ("start", "begin", "from", "time", "timestamp", "starttime", "in", "startms", "beginms", "onset"),
    "end": ("end", "stop", "to", "endtime", "out", "endms", "stopms", "offset"),
    "text": ("text", "content", "transcript", "word", "words", "sentence", "caption", "subtitle", "utterance"),
    "speaker": ("speaker", "name", "who", "voice"),
}
_LABELS = re.compile(r"-?\d+[.,]?\d*\t-?\d+[.,]?\d*\t.*")


def _columns(row: list[str]) -> dict[str, int]:
    cells = [re.sub(r"[^a-z]", "", c.lower().removesuffix("(s)").removesuffix("(ms)")) for c in row]
    found = {}
    for what, names in _NAMES.items():
        for name in names:
            if name in cells:
                found[what] = cells.index(name)
                break
    return found if "start" in found and "text" in found else {}


def _dialect(text: str) -> tuple[str, dict[str, int]] | None:
    """The separator and the columns; without a row of names those of a label track."""
    rows = [r for r in text.split("\n") if r.strip()]
    if not rows:
        return None
    for mark in ("\t", ";", ",", "|"):
        if mark in rows[0] and (columns := _columns(next(csv.reader([rows[0]], delimiter=mark)))):
            return mark, columns
    # Label tracks have a second row for some labels, beginning with a backslash.
    if all(_LABELS.fullmatch(r) or r.startswith("\\") for r in rows):
        return "\t", {}
    return None


def looks_like(text: str) -> bool:
    """Whether the text is such a table."""
    return _dialect(text) is not None


def _seconds(cell: str, line: int, source: Source) -> float:
    value = seconds_of(cell)
    if math.isnan(value) or not 0 <= value <= LONGEST_MS:
        source.fail(
            "bad-time",
            f"{cell.strip()[:40]!r} is not a time",
            line=line,
            fix="write seconds (63.25) or a clock time (1:03.25)",
        )
    return value


def read(text: str, source: Source) -> list[RawBlock]:
    """One block a row, in file order; rows of one word each give the words their own times."""
    mark, columns = _dialect(text) or ("\t", {})
    named = bool(columns)
    columns = columns or {"start": 0, "end": 1, "text": 2}
    sheet = io.StringIO(text)
    tabs = csv.reader(sheet, delimiter=mark, quoting=csv.QUOTE_NONE)
    reader = tabs if mark == "\t" else csv.reader(sheet, delimiter=mark)
    rows: list[tuple[int, float, float | None, str, str | None]] = []
    line = 1
    try:
        for cells in reader:
            here, line = line, reader.line_num + 1
            if not any(c.strip() for c in cells) or (named and here == 1) or (not named and cells[0].startswith("\\")):
                continue
            cells += [""] * (max(columns.values()) + 1 - len(cells))
            text_cell = cells[columns["text"]].strip()
            if mark == "\t" and len(text_cell) > 1 and text_cell[0] == text_cell[-1] == '"':
                text_cell = text_cell[1:-1].replace('""', '"')
            body = plain(text_cell).replace("\n", " ")
            if named and _columns(cells):
                continue
            if not body and not cells[columns["start"]].strip():
                continue
            start = _seconds(cells[columns["start"]], here, source)
            end = cells[columns["end"]] if "end" in columns else ""
            name = plain(cells[columns["speaker"]])[:80] if "speaker" in columns else ""
            rows.append((here, start, _seconds(end, here, source) if end.strip() else None, body, name or None))
    except csv.Error as error:
        source.fail("bad-table", f"this row cannot be read: {error}", line=line, fix="mend the quotes in this row")
    return _blocks(rows, source)


def _blocks(rows: list[tuple[int, float, float | None, str, str | None]], source: Source) -> list[RawBlock]:
    said = [words_of(body) for *_, body, _ in rows]
    numbers = [t for _, start, end, *_ in rows for t in (start, end) if t is not None]
    unit = 1000
    if are_milliseconds(numbers, sum(map(len, said))):
        unit = 1
        source.warn("milliseconds", "the times can only be milliseconds, and are read as such")
    times = [(round(start * unit), None if end is None else round(end * unit)) for _, start, end, *_ in rows]
    for (line, *_), (start_ms, end_ms) in zip(rows, times, strict=True):
        if max(start_ms, end_ms or 0) > LONGEST_MS:
            source.fail("bad-time", "this time is beyond 100 hours", line=line, fix="give seconds from the start")
    if rows and sum(len(w) == 1 for w in said) >= 0.9 * len(rows) and len(rows) > 2:
        words = [
            RawWord(text, start_ms if k == 0 else None, end_ms if k == len(parts) - 1 else None)
            for parts, (start_ms, end_ms) in zip(said, times, strict=True)
            for k, text in enumerate(parts)
        ]
        return sentences(words)
    return [
        RawBlock(start_ms, end_ms, (body,) if body else (), line, speaker)
        for (line, _, _, body, speaker), (start_ms, end_ms) in zip(rows, times, strict=True)
    ]

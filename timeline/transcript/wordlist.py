"""Word times as JSON: our own small form, and the lists that speech recognisers write.

Our form, times in seconds from the recording's start::

    {"words": [{"w": "knight", "start": 1.24, "end": 1.61, "confidence": 0.93}, ...]}

``word`` or ``text`` may stand for ``w``; ``end`` and ``confidence`` may be
left out. Also read: a bare list of such words; a list of segments, each with
``start``, ``end``, ``text`` and (maybe) ``words``, at the top or under any key.
A word without times, inside a timed segment, is placed between its neighbours.
"""

from __future__ import annotations

import json
import math
from typing import Any

from timeline.transcript.markup import part_speaker, plain, speaker_labels, words_of
from timeline.transcript.raw import LONGEST_MS, RawBlock, RawWord, Source

_TEXT = ("w", "punctuated_word", "word", "text", "content", "transcript")
_START = ("start", "start_time", "startTime", "begin", "from")
_END = ("end", "end_time", "endTime", "to")
_SURE = ("confidence", "probability", "score", "conf")
_DEPTH = 6


def parse(text: str) -> Any:
    """The JSON value, or a ValueError (too deeply nested counts as one)."""
    try:
        return json.loads(text)
    except RecursionError:
        raise ValueError("nested too deeply") from None


def looks_like(text: str) -> bool:
    """Whether the text is a JSON object or list (a stamp in square brackets is not)."""
    if text.lstrip("\ufeff \t\n")[:1] not in ("{", "["):
        return False
    try:
        return isinstance(parse(text.lstrip("\ufeff")), dict | list)
    except ValueError:
        return False


def _first(item: dict[str, Any], keys: tuple[str, ...]) -> Any:
    return next((item[k] for k in keys if item.get(k) is not None), None)


def _text(item: dict[str, Any]) -> str | None:
    found = _first(item, _TEXT)
    return found if isinstance(found, str) else None


def _timed_items(value: Any, depth: int = 0) -> list[dict[str, Any]] | None:
    """The shallowest list of objects that have a text and a start (or words that do)."""
    level = [value]
    for _ in range(_DEPTH):
        deeper: list[Any] = []
        for node in level:
            if isinstance(node, list):
                items = [n for n in node if isinstance(n, dict)]
                timed = [n for n in items if _text(n) is not None and _first(n, _START) is not None]
                worded = [n for n in items if isinstance(n.get("words"), list) and _timed_items(n["words"])]
                if timed or (worded and not any("alternatives" in n for n in items)):
                    return items
                deeper += node
            elif isinstance(node, dict):
                # Segments say more than a flat list of the same words (sentences, speakers).
                deeper += [node[k] for k in sorted(node, key=lambda k: (k != "segments", k != "words"))]
        level = [n for n in deeper if isinstance(n, dict | list)]
    return None


def _seconds(value: Any) -> float | None:
    if isinstance(value, bool) or value is None:
        return None
    if isinstance(value, str):
        try:
            value = float(value.strip().removesuffix("s"))
        except ValueError:
            return math.nan
    return float(value) if isinstance(value, int | float) and abs(value) < 1e12 else math.nan


def _time(item: dict[str, Any], keys: tuple[str, ...], what: str, line: int, source: Source) -> int | None:
    value = _first(item, keys)
    seconds = _seconds(value)
    if seconds is None:
        return None
    if not 0 <= seconds <= LONGEST_MS / 1000:
        source.fail(
            "bad-time",
            f"entry {line}: {what} is {str(value)[:40]!r}, which is not a number of seconds between 0 and 360000",
            fix="give times as seconds from the recording's start, for instance 63.25",
        )
    return round(seconds * 1000)


def _sure(item: dict[str, Any]) -> float | None:
    value = _first(item, _SURE)
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= 1:
        return None
    return float(value)


def _words(items: list[Any], first: int, source: Source) -> list[RawWord]:
    found: list[RawWord] = []
    for number, item in enumerate(items, first):
        if isinstance(item, str):
            item = {"w": item}
        if not isinstance(item, dict):
            continue
        text = plain(_text(item) or "")
        parts = words_of(text)
        onset = _time(item, _START, "start", number, source)
        end = _time(item, _END, "end", number, source)
        if onset is not None and end is not None and end < onset:
            source.fail(
                "ends-before-start",
                f"entry {number}: {text[:40]!r} ends at {end / 1000:.3f} s, before its start at {onset / 1000:.3f} s",
                fix="swap or mend the two times",
            )
        if not parts:
            if text and found:  # punctuation given as a word of its own
                last = found[-1]
                found[-1] = RawWord(last.text + "".join(text.split()), last.onset_ms, last.end_ms, last.confidence)
            continue
        sure = _sure(item)
        for k, part in enumerate(parts):
            found.append(RawWord(part, onset if k == 0 else None, end if k == len(parts) - 1 else None, sure))
    return found


def read(text: str, source: Source) -> list[RawBlock]:
    """Blocks: the file's segments, or one block for a flat list of words."""
    try:
        value = parse(text.lstrip("\ufeff"))
    except json.JSONDecodeError as error:
        source.fail("bad-json", f"not JSON: {error.msg}", line=error.lineno, fix="mend the JSON at this place")
    except ValueError as error:
        source.fail(
            "bad-json", f"not JSON: {error}", fix='give {"words": [{"w": "knight", "start": 1.24, "end": 1.61}]}'
        )
    items = _timed_items(value)
    if items is None:
        source.fail(
            "no-times",
            "this JSON holds no list of words or segments with a text and a start",
            fix='give {"words": [{"w": "knight", "start": 1.24, "end": 1.61}]}, times in seconds',
        )
    texts = [_text(i) or "" for i in items]
    segments = any(isinstance(i.get("words"), list) and i["words"] for i in items)
    if not segments and sum(len(t.split()) > 1 for t in texts) * 3 <= len(texts):
        return _flat(_words(items, 1, source), source)
    labels = speaker_labels(texts)
    blocks = []
    for number, item in enumerate(items, 1):
        nested = item.get("words")
        words = _words(nested, 1, source) if isinstance(nested, list) else []
        shown = plain(_text(item) or " ".join(w.text for w in words)).replace("\n", " ")
        speaker, shown = part_speaker(shown, labels)
        named = item.get("speaker")
        start = _time(item, _START, "start", number, source)
        end = _time(item, _END, "end", number, source)
        timed = [w.onset_ms for w in words if w.onset_ms is not None]
        start = min([start, *timed] if start is not None else timed, default=None)
        if start is None:
            if shown:
                source.fail(
                    "no-times", f"segment {number} ({shown[:40]!r}) has no start", fix="give its start in seconds"
                )
            continue
        if not any(w.onset_ms is not None for w in words):
            words = []
        name = speaker or (plain(str(named))[:80] if isinstance(named, str | int) and str(named).strip() else None)
        blocks.append(RawBlock(start, end, (shown,) if shown else (), 0, name, tuple(words)))
    return blocks


def _flat(words: list[RawWord], source: Source) -> list[RawBlock]:
    """One block a sentence (or at most 40 words): a flat list has none of its own."""
    blocks: list[RawBlock] = []
    run: list[RawWord] = []
    for word in words:
        if (
            word.onset_ms is not None
            and run
            and (len(run) >= 40 or run[-1].text.rstrip("\"'”’)")[-1:] in (".", "?", "!"))
        ):
            blocks.append(_run(run))
            run = []
        run.append(word)
    if run:
        if not blocks and run[0].onset_ms is None:
            source.fail("no-times", "the first word has no start", fix="give its start in seconds")
        blocks.append(_run(run))
    return blocks


def _run(run: list[RawWord]) -> RawBlock:
    start = next(w.onset_ms for w in run if w.onset_ms is not None)
    return RawBlock(start, run[-1].end_ms, (" ".join(w.text for w in run),), 0, None, tuple(run))

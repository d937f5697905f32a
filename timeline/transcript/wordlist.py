"""Word times as JSON: our own small form, and the lists that speech recognisers write.

Our form, times in seconds from the recording's start::

    {"words": [{"w": "knight", "start": 1.24, "end": 1.61, "confidence": 0.93}, ...]}

``word`` or ``text`` may stand for ``w``; ``end`` and ``confidence`` may be
left out; ``"rough_times": true`` beside ``words`` asks for exact times to be
found in the sound. Also read: a bare list of such words; a list of segments,
each with ``start``, ``end``, ``text`` and (maybe) ``words``, at the top, under
any key, or one JSON value a line; times under other names (``jsontimes``), as
clock times (``"0:00:05,000"``) or in milliseconds. A word without times,
inside a timed segment, is placed between its neighbours.
"""

from __future__ import annotations

import json
from typing import Any

from timeline.transcript.jsontimes import in_seconds
from timeline.transcript.markup import plain, words_of
from timeline.transcript.raw import LONGEST_MS, RawBlock, RawWord, Source, sentences
from timeline.transcript.soundmarks import MARK, MOST_WORDS, marked
from timeline.transcript.speaking import part_speaker, speaker_labels
from timeline.transcript.times import are_milliseconds, seconds_of

_TEXT = ("w", "punctuated_word", "word", "text", "content", "transcript")
_START = ("start", "start_time", "startTime", "begin", "from")
_END = ("end", "end_time", "endTime", "to")
_SURE = ("confidence", "probability", "score", "conf")
_DEPTH = 6


def parse(text: str) -> Any:
    """The JSON value, or a ValueError (too deeply nested counts as one)."""
    try:
        return json.loads(text)
    except json.JSONDecodeError as error:
        rows = [r for r in text.split("\n") if r.strip()]
        if error.msg != "Extra data" or len(rows) < 2:
            raise
        try:
            return [json.loads(r) for r in rows]  # one value a line
        except ValueError:
            raise error from None
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


def _time(item: dict[str, Any], keys: tuple[str, ...], what: str, line: int, source: Source) -> int | None:
    value = _first(item, keys)
    if value is None:
        return None
    seconds = seconds_of(value)
    if not 0 <= seconds <= LONGEST_MS / 1000:
        source.fail(
            "bad-time",
            f"entry {line}: {what} is {str(value)[:40]!r}, which is not a number of seconds between 0 and 360000",
            fix="give times as seconds from the recording's start, for instance 63.25",
        )
    return round(seconds * 1000)


def _as_seconds(items: list[dict[str, Any]], source: Source) -> None:
    """Milliseconds that are not said to be any, turned into seconds in place."""
    entries = list(items)
    for item in items:
        nested = item.get("words")
        entries += [w for w in nested if isinstance(w, dict)] if isinstance(nested, list) else []
    keys = [(e, k) for e in entries for k in (*_START, *_END) if isinstance(e.get(k), int | float)]
    values = [float(e[k]) for e, k in keys if not isinstance(e[k], bool)]
    words = sum(len((_text(i) or "").split()) for i in items) or len(entries) - len(items)
    if are_milliseconds(values, words):
        source.warn("milliseconds", "the times can only be milliseconds, and are read as such")
        for entry, key in keys:
            entry[key] = entry[key] / 1000


def _sure(item: dict[str, Any]) -> float | None:
    value = _first(item, _SURE)
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= 1:
        return None
    return float(value)


def _whole_marks(items: list[Any], first: int) -> list[tuple[int, dict[str, Any]]]:
    """The entries as objects, with their numbers; brackets of a sound that were split at its spaces are one again."""
    entries = [
        (n, i if isinstance(i, dict) else {"w": i}) for n, i in enumerate(items, first) if isinstance(i, dict | str)
    ]
    found: list[tuple[int, dict[str, Any]]] = []
    k = 0
    while k < len(entries):
        number, entry = entries[k]
        text, last, whole = (_text(entry) or "").strip(), k, ""
        if text[:1] in ("[", "(") and not text.endswith(("]", ")")):
            for n in range(k + 1, min(k + MOST_WORDS, len(entries))):
                whole = " ".join((_text(e) or "").strip() for _, e in entries[k : n + 1])
                if whole.endswith(("]", ")")):
                    last = n if MARK.fullmatch(marked(whole).strip()) else k
                    break
        if last == k:
            found.append(entries[k])
        else:
            end = {key: value for key in _END if (value := entries[last][1].get(key)) is not None}
            found.append((number, {key: v for key, v in entry.items() if key not in _TEXT} | {"w": whole} | end))
        k = last + 1
    return found


def _words(items: list[Any], first: int, source: Source) -> list[RawWord]:
    found: list[RawWord] = []
    for number, item in _whole_marks(items, first):
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
            at = next((n for n in reversed(range(len(found))) if not MARK.fullmatch(found[n].text)), None)
            if text and at is not None:  # punctuation given as a word of its own
                last = found[at]
                found[at] = RawWord(last.text + "".join(text.split()), last.onset_ms, last.end_ms, last.confidence)
            continue
        sure = _sure(item)
        for k, part in enumerate(parts):
            found.append(RawWord(part, onset if k == 0 else None, end if k == len(parts) - 1 else None, sure))
    return found


def read(text: str, source: Source) -> list[RawBlock]:
    """Blocks: the file's segments, or one block for a flat list of words."""
    try:
        value = in_seconds(parse(text.lstrip("\ufeff")))
    except json.JSONDecodeError as error:
        source.fail("bad-json", f"not JSON: {error.msg}", line=error.lineno, fix="mend the JSON at this place")
    except ValueError as error:
        source.fail(
            "bad-json", f"not JSON: {error}", fix='give {"words": [{"w": "knight", "start": 1.24, "end": 1.61}]}'
        )
    source.rough = isinstance(value, dict) and value.get("rough_times") is True
    items = _timed_items(value)
    if items is None:
        source.fail(
            "no-times",
            "this JSON holds no list of words or segments with a text and a start",
            fix='give {"words": [{"w": "knight", "start": 1.24, "end": 1.61}]}, times in seconds',
        )
    _as_seconds(items, source)
    texts = [_text(i) or "" for i in items]
    segments = any(isinstance(i.get("words"), list) and i["words"] for i in items)
    if not segments and sum(len(t.split()) > 1 for t in texts) * 3 <= len(texts):
        flat = _words(items, 1, source)
        if not flat:
            return []
        if flat[0].onset_ms is None:
            source.fail("no-times", "the first word has no start", fix="give its start in seconds")
        return sentences(flat)
    labels = speaker_labels(texts, source.declared)
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

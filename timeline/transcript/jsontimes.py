"""The other ways in which JSON transcripts name times, brought to ``start`` and ``end`` in seconds."""

from __future__ import annotations

from typing import Any

from timeline.transcript.times import seconds_of

_START_MS = ("start_ms", "startMs", "begin_ms", "start_time_ms", "startTimeMs", "offset_ms", "tStartMs")
_END_MS = ("end_ms", "endMs", "end_time_ms", "endTimeMs")
_LONG = ("duration", "dur")
_LONG_MS = ("duration_ms", "durationMs", "dDurationMs")
_SPANS = (("offsets", 0.001), ("timestamp", 1.0), ("timestamps", 1.0), ("time", 1.0))
_STARTS = ("start", "start_time", "startTime", "begin", "from")
_ENDS = ("end", "end_time", "endTime", "to")


def in_seconds(value: Any) -> Any:
    """The same value; objects in it that have their times by another name get ``start`` and ``end`` as well."""
    level = [value]
    while level:
        deeper: list[Any] = []
        for node in level:
            if isinstance(node, dict):
                _name_times(node)
                deeper += node.values()
            elif isinstance(node, list):
                deeper += node
        level = [n for n in deeper if isinstance(n, dict | list)]
    return value


def _number(item: dict[str, Any], keys: tuple[str, ...], unit: float) -> float | None:
    for key in keys:
        if isinstance(item.get(key), int | float | str):
            seconds = seconds_of(item[key]) * unit
            if seconds == seconds:
                return seconds
    return None


def _name_times(item: dict[str, Any]) -> None:
    _take_best(item)
    if not any(item.get(k) is not None for k in _STARTS):
        start, end = _number(item, _START_MS, 0.001), _number(item, _END_MS, 0.001)
        if start is None:
            start, end = _span(item)
        if start is None:
            return
        item["start"] = start
        if end is not None:
            item["end"] = end
    if not any(item.get(k) is not None for k in _ENDS):
        long = _number(item, _LONG, 1.0)
        long = _number(item, _LONG_MS, 0.001) if long is None else long
        begin = _number(item, _STARTS, 1.0)
        if long is not None and begin is not None and long >= 0:
            item["end"] = begin + long
    _join_pieces(item)


def _take_best(item: dict[str, Any]) -> None:
    """A word's text from the first of its alternatives."""
    best = item.get("alternatives")
    if isinstance(best, list) and best and isinstance(best[0], dict) and isinstance(best[0].get("content"), str):
        item.setdefault("content", best[0]["content"])
        sure = seconds_of(best[0].get("confidence"))
        if 0 <= sure <= 1:
            item.setdefault("confidence", sure)


def _span(item: dict[str, Any]) -> tuple[float | None, float | None]:
    """``[start, end]`` or ``{"from": start, "to": end}`` under a name of its own."""
    for key, unit in _SPANS:
        span = item.get(key)
        if isinstance(span, list) and len(span) == 2:
            pair = {"start": span[0], "end": span[1]}
        elif isinstance(span, dict):
            pair = span
        else:
            continue
        start = _number(pair, _STARTS, unit)
        if start is not None:
            return start, _number(pair, _ENDS, unit)
    return None, None


def _join_pieces(item: dict[str, Any]) -> None:
    """Captions given as pieces (``segs``), each with how long after the caption's start it comes."""
    pieces = item.get("segs")
    if not isinstance(pieces, list) or "text" in item:
        return
    texts = [p["utf8"] for p in pieces if isinstance(p, dict) and isinstance(p.get("utf8"), str)]
    item["text"] = "".join(texts)
    if all(isinstance(p, dict) for p in pieces) and any("tOffsetMs" in p for p in pieces):
        item["words"] = [
            {"w": p.get("utf8"), "start": item["start"] + (_number(p, ("tOffsetMs",), 0.001) or 0.0)} for p in pieces
        ]

"""WebVTT captions (W3C WebVTT: The Web Video Text Tracks Format), by a writer of our own.

Common converters leave ``&`` and ``<`` unescaped and drop cue settings.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate

from timeline.captions.lines import part_text
from timeline.captions.rules import rules_for, visible_length
from timeline.captions.writers import About, Place, caption_writer, stamp
from timeline.tracks import Caption

_LEAST_MS, _READABLE_CPS = (1333, 833), 17.0


@caption_writer(".vtt")
def write_webvtt(captions: Sequence[Caption], about: About) -> str:
    """Cues numbered from 1, with voice tags where a speaker is known and settings where a place is given.

    In a narrow place longer lines are broken anew, and a caption that would
    need more than two there becomes several cues, one after the other.
    """
    speakers = {c.speaker for c in captions if c.speaker}
    settings = cue_settings(about.place) if about.place else ""
    blocks = ["WEBVTT\n"]
    for number, caption in enumerate((part for c in captions for part in _fitted(c, about)), 1):
        text = escape(caption.text)
        if caption.speaker and len(speakers) > 1:
            text = f"<v {_annotation(caption.speaker)}>{text}</v>"
        blocks.append(f"{number}\n{stamp(caption.start_ms)} --> {stamp(caption.end_ms)}{settings}\n{text}\n")
    return "\n".join(blocks)


def _fitted(caption: Caption, about: About) -> list[Caption]:
    """The caption in lines that go into the place, two at a time."""
    width = about.place.letters if about.place else None
    if width is None or all(visible_length(line) <= width for line in caption.text.split("\n")):
        return [caption]
    length = caption.end_ms - caption.start_ms
    texts = part_text(caption.text, about.language, rules_for("online"), width=width, length_ms=length)
    if length < len(texts):
        return [replace(caption, text="\n".join(texts))]
    shares = time_shares([max(1, visible_length(text)) for text in texts], length)
    edges = [caption.start_ms, *(caption.start_ms + end for end in accumulate(shares))]
    return [
        replace(caption, start_ms=a, end_ms=b, text=text) for a, b, text in zip(edges, edges[1:], texts, strict=False)
    ]


def time_shares(sizes: Sequence[int], length_ms: int) -> list[int]:
    """Whole ms for each of some parts, at least 1, in all ``length_ms``: by characters, but so that none flashes by.

    Where there is as much time for each, a part stays 4/3 s (DCMP: 40 frames at
    30) if the others can still be read (17 characters a second), else 5/6 s
    (NFX), as captions do in the profiles; where there is not, all stay alike.

    >>> time_shares([40, 10], 4000), time_shares([40, 10], 3000), time_shares([40, 10], 1600)
    ([2667, 1333], [2167, 833], [800, 800])
    """
    readable = max(_READABLE_CPS, sum(sizes) * 1000 / length_ms)
    for least in _LEAST_MS:
        if length_ms >= least * len(sizes):
            shares = _at_least(sizes, length_ms, least)
            if least == _LEAST_MS[-1] or all(s * 1000 <= t * readable + 1 for s, t in zip(sizes, shares, strict=True)):
                return shares
    return _at_least(sizes, length_ms, length_ms // len(sizes))


def _at_least(sizes: Sequence[int], length_ms: int, least: int) -> list[int]:
    """Time by size, none under ``least``, which the length allows."""
    short: set[int] = set()
    while True:
        spare, rest = length_ms - least * len(short), sum(s for n, s in enumerate(sizes) if n not in short)
        fresh = {n for n, s in enumerate(sizes) if n not in short and s * spare < least * rest}
        if not fresh:
            break
        short |= fresh
    shares, done, given = [], 0, 0
    for n, size in enumerate(sizes):
        if n in short:
            shares.append(least)
            continue
        done += size
        shares.append(spare * done // rest - given)
        given += shares[-1]
    return shares if rest else [*shares[:-1], shares[-1] + length_ms - sum(shares)]


def escape(text: str) -> str:
    """Cue text (section 4.2.2): ``&`` and ``<`` must be escaped; ``>`` is, so that ``-->`` cannot arise."""
    return text.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")


def _annotation(name: str) -> str:
    """A voice's name: on one line, escaped."""
    return escape(re.sub(r"\s+", " ", name).strip()) or "?"


def cue_settings(place: Place) -> str:
    """The settings that put a cue's box into ``place``: its middle and size from the left, its top as the line.

    Size and position are kept within the frame, so no setting is void (section
    7.2). Text is centred in the box, which is the default and needs no word;
    older players do not know the words for it.
    """
    left = min(max(place.left, 0), 99)
    width = min(max(place.width, 1), 100 - left)
    line = min(max(place.top, 0), 100)
    return f" line:{_number(line)}% position:{_number(left + width / 2)}% size:{_number(width)}%"


def _number(value: float) -> str:
    return f"{round(value, 2) + 0:g}"  # no minus before a zero


def is_right_to_left(text: str) -> bool:
    """Whether most letters of the text are of a script that runs from right to left."""
    ways = [unicodedata.bidirectional(char) for char in text]
    return sum(way in ("R", "AL") for way in ways) > sum(way == "L" for way in ways)

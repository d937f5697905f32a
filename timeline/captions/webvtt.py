"""WebVTT captions (W3C WebVTT: The Web Video Text Tracks Format), by a writer of our own.

Common converters leave ``&`` and ``<`` unescaped and drop cue settings.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import replace
from itertools import accumulate

from timeline.captions.layout import part_text
from timeline.captions.rules import rules_for, visible_length
from timeline.captions.writers import About, Place, caption_writer, stamp
from timeline.tracks import Caption


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
    ends = list(accumulate(max(1, visible_length(text)) for text in texts))
    start = caption.start_ms
    if length < len(texts):
        return [replace(caption, text="\n".join(texts))]
    spare = length - len(texts)  # besides one millisecond for each
    edges = [start, *(start + n + spare * end // ends[-1] for n, end in enumerate(ends, 1))]
    return [
        replace(caption, start_ms=a, end_ms=b, text=text) for a, b, text in zip(edges, edges[1:], texts, strict=False)
    ]


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

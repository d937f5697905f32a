"""Songs whose words stand in the talk between notes: each of their captions begins with a note, the last ends with one.

So the BBC subtitle guidelines have it for song lyrics (with # where a font has no note).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from timeline.captions.units import Unit
from timeline.transcript.soundmarks import NOTES

NOTE = "♪ "
"""What a caption begins with that goes on with a song."""


def with_notes(units: Sequence[Unit]) -> tuple[list[Unit], frozenset[int], frozenset[int]]:
    """Units with each song's notes at its first and last word; where captions must begin; where a song goes on.

    A caption must begin where a song does and after it.
    """
    result: list[Unit] = []
    begins: set[int] = set()
    inside: set[int] = set()
    begun: int | None = None
    head = ""
    for unit in units:
        if head:  # a sound's label that stood at a note
            unit, head = replace(unit, head=f"{head} {unit.head}".strip()), ""
        if unit.source != "word" or not _is_note(unit.text):
            if begun is not None and len(result) > begun:
                inside.add(len(result))
            result.append(unit)
        elif begun is None:
            begun, head = len(result), unit.head
        elif len(result) > begun:
            result[begun] = replace(result[begun], text=f"♪ {result[begun].text}")
            last = result[-1]
            result[-1] = replace(last, text=f"{last.text} ♪", head=f"{last.head} {unit.head}".strip())
            begins |= {begun, len(result)}
            begun = None
    if begun is not None:  # a note that nothing closes
        inside = {k for k in inside if k < begun}
    return result, frozenset(begins - {0, len(result)}), frozenset(inside)


def run_on(texts: Sequence[str]) -> str:
    """Captions' texts as one: a song that goes on in the next one has no note there."""
    joined: list[str] = []
    for n, text in enumerate(texts):
        before = texts[n - 1] if n else ""
        goes_on = text.startswith(NOTE) and NOTE in before and not before.endswith("♪")
        joined.append(text.removeprefix(NOTE) if goes_on else text)
    return " ".join(joined)


def _is_note(text: str) -> bool:
    signs = text.strip(".,;:!?…")
    return bool(signs) and set(signs) <= set(NOTES)

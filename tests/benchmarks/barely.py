"""A lesson as recognisers give it without sound: lower case, no marks, and no pauses but those between captions.

In use there are true word times only where there is a recording.
"""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import replace

from narrated import Narrated

from timeline.transcript.words import Word

_MARKS = ".,;:!?\"“”()–—…"
COARSE_MS = (20_000, 30_000)
"""Stamps as some transcripts of whole talks have them."""
_REST_MS = 150


def bare(lesson: Narrated, least_ms: int, most_ms: int) -> Narrated:
    """The lesson without marks and capitals; inside blocks of ``least_ms`` to ``most_ms`` each word lasts to the next."""
    words = [replace(word, text=word.text.strip(_MARKS).lower()) for word in lesson.words]
    words = [word for word in words if word.text]
    chance = random.Random(lesson.name)
    found: list[Word] = []
    for block in _blocks(words, least_ms, most_ms, chance):
        for word, following in zip(block, block[1:], strict=False):
            found.append(replace(word, end_ms=max(word.onset_ms, following.onset_ms)))
        found.append(block[-1])
    return replace(lesson, name=f"{lesson.name}, bare", words=tuple(found))


def _blocks(words: Sequence[Word], least_ms: int, most_ms: int, chance: random.Random) -> Iterator[list[Word]]:
    """Blocks that end at a rest once they are long enough, else at their longest."""
    block: list[Word] = []
    longest = chance.uniform(least_ms, most_ms)
    for word in words:
        if block:
            length, rest = word.end_ms - block[0].onset_ms, word.onset_ms - block[-1].end_ms
            if length > longest or (length > 0.7 * longest and rest >= _REST_MS):
                yield block
                block, longest = [], chance.uniform(least_ms, most_ms)
        block.append(word)
    if block:
        yield block

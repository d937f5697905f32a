"""How exact the stamps of a transcript's blocks are, learned from where their first words were found in the sound.

Nobody says whether stamps are a recogniser's, exact to some hundredths of a
second, or typed by hand and off by seconds. The words found in the sound
tell: where most first words lie at the same distance from their stamps, the
stamps are exact, and a single word far outside its block was found in the
wrong place.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median, quantiles

from timeline.transcript.spread import word_ms
from timeline.transcript.words import Block, Word

LEAST_BLOCKS = 8
"""With fewer first words found nothing is concluded."""
EXACT_MS = 600
"""The earliest tenth begins at most so far from the middle, or the stamps are rough; whole seconds have 400."""
_TWICE, _SLACK_MS = 2, 200
"""Limits lie at twice that and a little more: onsets are found some 0.1 s off."""

_SLOW = 1.5
"""So much longer than usual a word may take."""


@dataclass(frozen=True, slots=True)
class Span:
    """Where a block's words may begin, ms from the recording's start: from around its stamp to around the next one."""

    start_ms: int
    end_ms: int

    def holds(self, onset_ms: int) -> bool:
        return self.start_ms <= onset_ms <= self.end_ms


def exact_spans(
    words: Sequence[Word], blocks: Sequence[Block], onsets: Sequence[int | None], end_ms: int
) -> list[Span] | None:
    """A span for each block; None where the stamps are too rough, or too few, to tell.

    Where a block's own words do not bear its stamp out, the spans go on from the stamp before to the one after.
    ``onsets``: where each word was found (None: nowhere). Only first words
    that come early for their stamp say how rough stamps are: a late one may
    follow words that the transcript lacks. ``end_ms``: the recording's end.
    """
    off = [
        onset - blocks[word.block].start_ms
        for k, (word, onset) in enumerate(zip(words, onsets, strict=True))
        if onset is not None and (k == 0 or words[k - 1].block != word.block)
    ]
    if len(off) < LEAST_BLOCKS:
        return None
    middle = median(off)
    spread = middle - quantiles(off, n=10, method="inclusive")[0]
    if spread > EXACT_MS:
        return None
    early, late = (round(middle + side * (_TWICE * spread + _SLACK_MS)) for side in (-1, 1))
    proven = _proven(words, blocks, onsets, early, late)
    starts, at = [], 0
    for k, block in enumerate(blocks):
        at = max(at, block.start_ms + early) if k in proven else at
        starts.append(at)
    spans: list[Span] = []
    until = end_ms
    for k in range(len(blocks) - 1, -1, -1):
        spans.append(Span(starts[k], max(starts[k], until)))
        if k in proven:
            until = min(end_ms, max(0, blocks[k].start_ms + late))
    return spans[::-1]


def _proven(
    words: Sequence[Word], blocks: Sequence[Block], onsets: Sequence[int | None], early: int, late: int
) -> set[int]:
    """Blocks of which a word was found so soon after the stamp that the words before it just fit in between."""
    proven: set[int] = set()
    lead = 0.0
    for k, (word, onset) in enumerate(zip(words, onsets, strict=True)):
        if k == 0 or words[k - 1].block != word.block:
            lead = 0.0
        if onset is not None and early <= onset - blocks[word.block].start_ms <= late + lead:
            proven.add(word.block)
        lead += _SLOW * word_ms(word.text)
    return proven

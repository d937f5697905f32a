"""Where only block times are known: words placed inside a block by how long they take to say.

A word lasts as long as its sounds (mean durations of English phones in
connected speech, rounded from memory of the phonetics literature; only their
ratios matter), a mark of punctuation stands for a pause. The pace is the
speaker's own: the median over blocks of time given to time expected, so that
one block with a long think-pause does not slow its own words: what it has
too much is put at its sentence ends. Where listeners are bidden to stop and
think, all of it is put there: the answer must not come early.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from statistics import median

from timeline.transcript.bidding import bidding_ends
from timeline.transcript.pronounce import VOWELS, pronunciations
from timeline.transcript.words import Timing, Word

_LONG_VOWELS = frozenset("AW AY EY OW OY IY UW AO AA ER".split())
_LONG_CONSONANTS = frozenset("S SH Z ZH F TH CH JH".split())
_LONG_VOWEL_MS, _VOWEL_MS, _LONG_CONSONANT_MS, _CONSONANT_MS = 115, 75, 90, 60
_LEAST_WORD_MS = 90
_LEAST_PHONE_MS = 30
_LAST_STRETCH = 1.2
"""Words before a pause are drawn out (pre-pausal lengthening)."""

SENTENCE_PAUSE_MS = 500
PHRASE_PAUSE_MS = 200
_LOOSE, _LOOSE_CAPTION = 1.15, 1.4
"""A block, and a caption, slower than the speaker's pace by more than this holds a silence, not slow words. In 27
lessons with captions (21,584 words) onsets were off by 581 ms (95th percentile) with 1.15 for both and words drawn out
by 1.25, by 539 ms with 1.4 and 1.2; blocks are longer, and what is too much in them is more often a pause."""


@lru_cache(maxsize=50_000)
def word_ms(text: str) -> int:
    """How long a word takes at a middling pace, without any pause after it."""
    total = 0
    for phone in pronunciations(text)[0]:
        if phone in VOWELS:
            total += _LONG_VOWEL_MS if phone in _LONG_VOWELS else _VOWEL_MS
        else:
            total += _LONG_CONSONANT_MS if phone in _LONG_CONSONANTS else _CONSONANT_MS
    return max(_LEAST_WORD_MS, total)


def least_ms(texts: Sequence[str]) -> int:
    """The least time in which words can be said: three frames of 10 ms for each phone, as the alignment has it."""
    return sum(_LEAST_PHONE_MS * len(pronunciations(text)[0]) for text in texts)


def pause_ms(text: str) -> int:
    """The pause that a word's closing punctuation stands for."""
    tail = text.rstrip("\"'”’)]»")[-1:]
    if tail in (".", "?", "!", "…"):
        return SENTENCE_PAUSE_MS
    return PHRASE_PAUSE_MS if tail in (",", ";", ":", "-", "–", "—") else 0


@dataclass(frozen=True, slots=True)
class Stretch:
    """Words between two known times. ``end_ms`` None: nothing is known, take the pace's own end."""

    texts: tuple[str, ...]
    start_ms: int
    end_ms: int | None
    block: int
    timing: Timing
    speaker: str | None = None


def _speech(texts: Sequence[str]) -> list[float]:
    found = []
    for k, text in enumerate(texts):
        last = k == len(texts) - 1 or pause_ms(text) > 0
        found.append(word_ms(text) * (_LAST_STRETCH if last else 1.0))
    return found


def _pauses(texts: Sequence[str], timing: Timing) -> list[float]:
    found: list[float] = [pause_ms(t) for t in texts]
    # A paragraph is followed by a breath even where its last mark is a comma; a caption may stop in mid-phrase.
    if found and timing is Timing.BLOCK:
        found[-1] = max(found[-1], SENTENCE_PAUSE_MS)
    elif found:
        found[-1] = 0
    return found


def pace(stretches: Sequence[Stretch]) -> float:
    """Time taken over time expected, the median over stretches with both ends; 1.0 where nothing tells."""
    ratios = []
    for stretch in stretches:
        if stretch.end_ms is None or len(stretch.texts) < 4:
            continue
        expected = sum(_speech(stretch.texts)) + sum(_pauses(stretch.texts, stretch.timing))
        ratios.append((stretch.end_ms - stretch.start_ms) / expected)
    return min(2.5, max(0.4, median(ratios))) if ratios else 1.0


def spread(stretch: Stretch, pace: float = 1.0) -> tuple[Word, ...]:
    """The stretch's words with onsets, ends and a confidence, in order and inside the stretch.

    >>> [w.onset_ms for w in spread(Stretch(("pawn", "takes", "e4."), 1000, 2000, 0, Timing.CAPTION))]
    [1000, 1245, 1559]
    """
    texts = stretch.texts
    if not texts:
        return ()
    speech, pauses = _speech(texts), _pauses(texts, stretch.timing)
    expected = pace * (sum(speech) + sum(pauses))
    if stretch.end_ms is None:
        scale, stretch_ms = pace, expected
    else:
        stretch_ms = float(max(0, stretch.end_ms - stretch.start_ms))
        scale = stretch_ms / (sum(speech) + sum(pauses))
        if scale > pace:
            stops = _stops(pauses)
            left = bidding_ends(texts, stops)
            loose = pace * (_LOOSE_CAPTION if stretch.timing is Timing.CAPTION else _LOOSE)
            if left or scale > loose:
                scale = pace if left else loose
                excess = stretch_ms / scale - sum(speech) - sum(pauses)
                for k in left or stops:
                    pauses[k] += excess / len(left or stops)
    onsets, at = [], 0.0
    for length, pause in zip(speech, pauses, strict=True):
        onsets.append(at)
        at += (length + pause) * scale
    words = []
    sure = _confidence(stretch, stretch_ms)
    for k, text in enumerate(texts):
        onset = stretch.start_ms + round(onsets[k])
        limit = stretch.start_ms + round(onsets[k + 1] if k + 1 < len(texts) else stretch_ms)
        end = min(limit, onset + round(speech[k] * scale))
        words.append(Word(text, onset, max(onset, end), sure, stretch.timing, stretch.block, stretch.speaker))
    return tuple(words)


def _stops(pauses: Sequence[float]) -> list[int]:
    """Where sentences end, the last word included."""
    return sorted({*(k for k, pause in enumerate(pauses) if pause >= SENTENCE_PAUSE_MS), len(pauses) - 1})


def _confidence(stretch: Stretch, length_ms: float) -> float:
    """Falls with the length that the words are spread over: some 0.7 for a second, 0.2 for half a minute."""
    best = 0.75 if stretch.timing is Timing.CAPTION else 0.5
    return round(max(0.1, best / (1 + length_ms / 20_000)), 2)

"""Words that were not found in the sound, placed between neighbours that were."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from timeline.transcript.exactness import Span
from timeline.transcript.snap import snap, speech_runs
from timeline.transcript.sound import RATE
from timeline.transcript.spread import Stretch, least_ms, spread, word_ms
from timeline.transcript.words import Timing, Word

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_MUCH_MORE = 2.5
"""Where the sound holds so much more speech than the words need, it is other speech for the most part."""
_SNAPPED_SURE, _GUESSED_SURE = 0.5, 0.25
_PULL = {Timing.CAPTION: 0.5, Timing.WORD: 3.0}
_LOOSE_PULL = 0.1
"""How strongly the transcript's own times hold words that are put by silences (``snap``)."""
_CAPTION_OFF_MS = 600
"""A caption's times are better than this: words that the silences move further stay where the caption has them."""
_GROUP_MS = 25_000
_SLACK_MS = 300
"""How much earlier or later than its stamps say a group of blocks may begin and end."""


def place_between(
    words: Sequence[Word], samples: NDArray[np.int16], spans: Sequence[Span] | None = None
) -> tuple[Word, ...]:
    """All words in order of time: those that are not ``ALIGNED`` put between the aligned ones around them.

    ``spans``: for each word, where it may begin, if that is known.
    """
    total_ms = len(samples) * 1000 // RATE
    result: list[Word] = []
    k = 0
    while k < len(words):
        if words[k].timing is Timing.ALIGNED:
            result.append(words[k])
            k += 1
            continue
        until = k
        while until < len(words) and words[until].timing is not Timing.ALIGNED:
            until += 1
        limit = words[until].onset_ms if until < len(words) else total_ms
        if result:
            result[-1] = _making_room(result[-1], limit - least_ms([w.text for w in words[k:until]]))
        for first, last in _groups(words, k, until, 0 if spans else _GROUP_MS):
            start = result[-1].end_ms if result else 0
            if not result or first > k or words[first].onset_ms - start > _GROUP_MS:
                start = min(limit, max(start, words[first].onset_ms - _SLACK_MS))
            end = limit
            if last < until:
                end = min(limit, words[last].onset_ms + _SLACK_MS // 2)
            elif limit - words[last - 1].end_ms > _GROUP_MS:
                end = min(limit, words[last - 1].end_ms + _GROUP_MS // 2)
            if spans:
                start = min(limit, max(start, spans[first].start_ms))
                end = max(start, min(end, spans[first].end_ms))
            result += _fill(words[first:last], samples, start, max(start, end))
        k = until
    return tuple(result)


def _making_room(word: Word, until_ms: int) -> Word:
    """A found word, ending early enough for the lost ones after it, as far as its own sounds allow."""
    end = max(min(word.end_ms, until_ms), min(word.end_ms, word.onset_ms + least_ms([word.text])))
    return replace(word, end_ms=end)


def _groups(words: Sequence[Word], first: int, last: int, least: int) -> list[tuple[int, int]]:
    """A run of lost words parted at the starts of blocks, each part some ``least`` ms long or more."""
    cuts = [first]
    for k in range(first + 1, last):
        new = words[k].block != words[k - 1].block
        if new and words[k].onset_ms - words[cuts[-1]].onset_ms >= least:
            cuts.append(k)
    return list(zip(cuts, [*cuts[1:], last], strict=True))


def _fill(words: Sequence[Word], samples: NDArray[np.int16], start_ms: int, end_ms: int) -> list[Word]:
    texts = tuple(w.text for w in words)
    need = sum(map(word_ms, texts))
    runs = speech_runs(samples, start_ms, end_ms)
    if runs and sum(b - a for a, b in runs) <= _MUCH_MORE * need:
        pull = _PULL.get(words[0].timing, _LOOSE_PULL)
        placed = snap(texts, runs, near_ms=[w.onset_ms for w in words], pull=pull)
        if placed is not None:
            return _snapped(words, placed, start_ms, end_ms)
    # What the sound says is of no use here: where the transcript puts them, as far as there is room.
    begin = max(start_ms, min(words[0].onset_ms, end_ms - need))
    finish = min(end_ms, max(begin + need, words[-1].end_ms))
    guess = spread(Stretch(texts, begin, finish, words[0].block, words[0].timing))
    return [
        replace(w, onset_ms=g.onset_ms, end_ms=g.end_ms, confidence=min(w.confidence, _GUESSED_SURE))
        for w, g in zip(words, guess, strict=True)
    ]


def _snapped(words: Sequence[Word], placed: Sequence[tuple[int, int]], start_ms: int, end_ms: int) -> list[Word]:
    result: list[Word] = []
    at = start_ms
    for word, (onset, end) in zip(words, placed, strict=True):
        far = word.timing is not Timing.BLOCK and abs(onset - word.onset_ms) > _CAPTION_OFF_MS
        begin = min(end_ms, max(at, word.onset_ms if far else onset))
        finish = min(end_ms, max(begin, word.end_ms if far else end))
        timing, sure = (word.timing, _GUESSED_SURE) if far else (Timing.SNAPPED, _SNAPPED_SURE)
        result.append(replace(word, onset_ms=begin, end_ms=finish, confidence=sure, timing=timing))
        at = begin
    for k in range(len(result) - 1):
        end = min(result[k].end_ms, result[k + 1].onset_ms)
        result[k] = replace(result[k], end_ms=max(result[k].onset_ms, end))
    return result

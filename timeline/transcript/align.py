"""Word onsets from the sound: forced alignment window by window, with every window's damage kept inside it.

Each window is a stretch of transcript of some 15 to 30 s with a margin of
sound and of neighbouring words on both sides, so that stamps may be off by
seconds. A first, fast pass takes the transcript at its word. Where its words
do not fit the sound, a second pass lets other speech stand between any two
words and lets words be passed over: a sentence missing from the transcript,
or a wrong one in it, then costs its own place only. What still does not fit
is placed between its trusted neighbours by the sound's silences. (Anchors and
gaps in the spirit of Moreno et al., ICSLP 1998, with a filler-phone grammar
in place of a recognition pass.)
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import TYPE_CHECKING

from timeline.transcript.sound import RATE
from timeline.transcript.sphinx import BEAM, WIDE_BEAM, Grammar, Placed, Sphinx
from timeline.transcript.words import Timing, Transcript, Word

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MARGIN_MS = 2500
_WIDE_MARGIN_MS = 4000
_LATE_MS = 12_000
_SKIP_COST = 25.0
_LEAST_WINDOW_MS, _MOST_WINDOW_MS = 15_000, 30_000
_FIT, _POOR = 2.8, 3.5
"""Misfit (natural log units a frame, over three words): said there below, something else there above."""


@dataclass(frozen=True, slots=True)
class Window:
    """Words ``first`` to ``last`` (exclusive) and where the transcript says they are, in ms."""

    first: int
    last: int
    start_ms: int
    end_ms: int


def align_words(
    transcript: Transcript, samples: NDArray[np.int16], *, progress: Callable[[int, int], None] | None = None
) -> tuple[Word, ...]:
    """The transcript's words with onsets found in the sound, in the same number and order.

    ``samples``: 16 kHz mono from the recording's start. Each word says how its
    time was found and how far it can be trusted. ``progress`` gets words done
    and in all. Same input, same words.
    """
    words = transcript.words
    if not words or not len(samples):
        return words
    total_ms = len(samples) * 1000 // RATE
    sphinx = Sphinx([w.text for w in words])
    placed: list[Placed | None] = [None] * len(words)
    for window in windows(words, total_ms):
        for hit in _align_window(sphinx, words, samples, window, total_ms):
            placed[hit.index] = hit
        if progress is not None:
            progress(window.last, len(words))
    return _settled(words, placed, samples, total_ms)


def windows(words: Sequence[Word], total_ms: int) -> list[Window]:
    """Whole blocks joined up to some 15 s, long blocks parted where their words are thought to be."""
    found: list[Window] = []
    first = 0
    while first < len(words):
        last = first
        while last < len(words):
            until = last + 1
            while until < len(words) and words[until].block == words[last].block:
                until += 1
            span = words[until - 1].end_ms - words[first].onset_ms
            if last > first and span > _MOST_WINDOW_MS:
                break
            last = until
            if span >= _LEAST_WINDOW_MS:
                break
        found += _parted(words, first, last)
        first = last
    # A block's last words may come later than thought, up to the next block's start.
    later = [*(w.start_ms for w in found[1:]), total_ms]
    return [
        replace(
            w, start_ms=min(w.start_ms, total_ms), end_ms=min(total_ms, max(w.end_ms, min(n, w.end_ms + _LATE_MS)))
        )
        for w, n in zip(found, later, strict=True)
    ]


def _parted(words: Sequence[Word], first: int, last: int) -> list[Window]:
    span = words[last - 1].end_ms - words[first].onset_ms
    parts = max(1, -(-span // _MOST_WINDOW_MS) if span > 1.5 * _MOST_WINDOW_MS else 1)
    cuts = [first]
    for k in range(1, parts):
        at = words[first].onset_ms + span * k // parts
        cuts.append(next(i for i in range(cuts[-1], last) if words[i].onset_ms >= at or i == last - 1))
    cuts.append(last)
    return [
        Window(a, b, words[a].onset_ms, words[b - 1].end_ms) for a, b in pairwise(cuts) if b > a
    ]


def _align_window(
    sphinx: Sphinx, words: Sequence[Word], samples: NDArray[np.int16], window: Window, total_ms: int
) -> list[Placed]:
    found = _attempt(sphinx, words, samples, window, total_ms, MARGIN_MS)
    if found and not _suspicious(found):
        return found
    for beam, skip in ((BEAM, None), (WIDE_BEAM, _SKIP_COST)):
        again = _attempt(
            sphinx, words, samples, window, total_ms, _WIDE_MARGIN_MS, strays=True, skip_cost=skip, beam=beam
        )
        if again:
            return again
    return found


def _attempt(
    sphinx: Sphinx,
    words: Sequence[Word],
    samples: NDArray[np.int16],
    window: Window,
    total_ms: int,
    margin_ms: int,
    *,
    strays: bool = False,
    skip_cost: float | None = None,
    beam: float = BEAM,
) -> list[Placed]:
    """The window's own words as found with this margin; empty where the decoder finds no path."""
    start, end = max(0, window.start_ms - margin_ms), min(total_ms, window.end_ms + margin_ms)
    context = max(6, margin_ms // 220)
    first, last = max(0, window.first - context), min(len(words), window.last + context)
    grammar = Grammar(first, last, window.first, window.last, strays=strays, skip_cost=skip_cost)
    found = sphinx.find(samples, start, end, grammar, beam=beam)
    return [p for p in found or [] if window.first <= p.index < window.last]


def _suspicious(placed: Sequence[Placed]) -> bool:
    """Whether three words in a row, or a fifth of all, do not fit the sound they were put on."""
    poor = [f > _POOR for f in fits(placed)]
    return sum(poor) > len(poor) // 5 or any(all(poor[k : k + 3]) for k in range(len(poor) - 2))


def fits(placed: Sequence[Placed]) -> list[float]:
    """The misfit of each word taken with its neighbours, weighted by length: one short word tells little."""
    found = []
    for k in range(len(placed)):
        near = placed[max(0, k - 1) : k + 2]
        length = sum(p.end_ms - p.onset_ms for p in near)
        found.append(sum(p.misfit * (p.end_ms - p.onset_ms) for p in near) / max(1, length))
    return found


def _settled(
    words: Sequence[Word], placed: Sequence[Placed | None], samples: NDArray[np.int16], total_ms: int
) -> tuple[Word, ...]:
    found = [p for p in placed if p is not None]
    trust = dict(zip((p.index for p in found), fits(found), strict=True))
    result: list[Word] = []
    for word, p in zip(words, placed, strict=True):
        if p is None:
            result.append(word)
        else:
            fit = trust[p.index]
            sure = 0.95 if fit < _FIT else 0.7 if fit < _POOR else 0.4
            result.append(replace(word, onset_ms=p.onset_ms, end_ms=p.end_ms, confidence=sure, timing=Timing.ALIGNED))
    return tuple(result)

"""Which of the words found in the sound are believed to stand there, and how far.

Words amid many that were not found are another talk's; a few words amid
speech that the transcript lacks may have been put anywhere in it.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import accumulate, pairwise

_BELIEVED, AROUND = 0.65, 12
"""Share of words that must follow each other, so many on both sides: other talks reach 0.3 to 0.6, damaged ones 0.8."""
_ISLAND, _STRAYS_MS = 4, 400
_TORN_MS = 200
_APART_MS = 5000
"""So much other speech before a talk's last few words, and they were hardly said there."""
_GOOD, FAIR, _POOR = 3.2, 4.5, 6.0
"""Misfit over a word and its neighbours: said there below the first, something else there above the last."""


@dataclass(frozen=True, slots=True)
class Placed:
    """A word of the transcript found in the sound; times in ms from the recording's start.

    ``strays_ms``: how much speech that the transcript lacks was heard just before it.
    """

    index: int
    onset_ms: int
    end_ms: int
    misfit: float
    strays_ms: int = 0


def believed(placed: Sequence[Placed | None]) -> list[Placed | None]:
    """In order, without words amid many that were not found, or only with other speech between.

    Those are another talk's, or of another language; so are words that fit badly, many together.
    """
    follows = [0, *accumulate(int(p is not None and p.strays_ms == 0) for p in placed)]
    lengths = [0, *accumulate(p.end_ms - p.onset_ms if p else 0 for p in placed)]
    misfits = [0.0, *accumulate(p.misfit * (p.end_ms - p.onset_ms) if p else 0.0 for p in placed)]
    kept: list[Placed | None] = []
    for k, p in enumerate(placed):
        low, high = max(0, k - AROUND), min(len(placed), k + AROUND + 1)
        share = (follows[high] - follows[low]) / (high - low)
        fit = misfits[high] - misfits[low] <= FAIR * (lengths[high] - lengths[low])
        kept.append(p if share >= _BELIEVED and fit else None)
    return in_order(_attached(kept))


def _attached(placed: Sequence[Placed | None]) -> list[Placed | None]:
    """Without a few last words that much other speech parts from all the rest: they were found in it by chance."""
    found = [p for p in placed if p is not None]
    cuts = [k for k, p in enumerate(found) if p.strays_ms >= _APART_MS]
    apart = {p.index for p in found[cuts[-1] :]} if cuts and len(found) - cuts[-1] <= _ISLAND < len(found) else set()
    return [None if p is None or p.index in apart else p for p in placed]


def fits(placed: Sequence[Placed]) -> list[float]:
    """The misfit of each word taken with its neighbours, weighted by length: one short word tells little."""
    found = []
    for k in range(len(placed)):
        near = placed[max(0, k - 1) : k + 2]
        length = sum(p.end_ms - p.onset_ms for p in near)
        found.append(sum(p.misfit * (p.end_ms - p.onset_ms) for p in near) / max(1, length))
    return found


def in_order(placed: Sequence[Placed | None]) -> list[Placed | None]:
    """Without the fewest words that break the order: where windows meet, both may claim the same sound."""
    found = [p for p in placed if p is not None]
    tails: list[int] = []  # onset of the last word of the best run of each length
    ends: list[int] = []
    before: list[int] = []
    for k, p in enumerate(found):
        length = bisect_right(tails, p.onset_ms)
        tails[length : length + 1] = [p.onset_ms]
        ends[length : length + 1] = [k]
        before.append(ends[length - 1] if length else -1)
    kept: list[Placed | None] = [None] * len(placed)
    at = ends[-1] if ends else -1
    while at >= 0:
        kept[found[at].index] = found[at]
        at = before[at]
    last: Placed | None = None
    for k, hit in enumerate(kept):
        if hit is not None:
            if last is not None and last.end_ms > hit.onset_ms:
                kept[last.index] = replace(last, end_ms=max(last.onset_ms, hit.onset_ms))
            last = kept[k] = hit
    return kept


def trust(placed: Sequence[Placed | None], leaning: Sequence[bool]) -> list[float]:
    """How far each word's place can be trusted.

    By its fit, by whether its neighbours were found, and by whether it belongs
    to a stretch of its own: a few words amid speech that the transcript lacks
    may have been put anywhere in it, and those beside such speech may be the
    same words said in it. A word that leans on the next one (``leaning``) and is
    parted from it by a silence was hardly said before that.
    """
    found = [p for p in placed if p is not None]
    fit = dict(zip((p.index for p in found), fits(found), strict=True))
    alone = _islands(found)
    beside = {w.index for a, b in pairwise(found) if b.strays_ms >= _STRAYS_MS for w in (a, b)}
    torn = {a.index for a, b in pairwise(found) if leaning[a.index] and b.onset_ms - a.end_ms >= _TORN_MS}
    result = []
    for k, p in enumerate(placed):
        if p is None:
            result.append(0.0)
            continue
        lost = sum(placed[n] is None for n in range(max(0, k - 3), min(len(placed), k + 4)))
        sure = 0.95 if fit[k] < _GOOD else 0.85 if fit[k] < FAIR else 0.7 if fit[k] < _POOR else 0.5
        sure *= 0.5 if k in alone else 0.85 if k in beside else 1.0
        result.append(round(sure * (1 - 0.06 * lost) * (0.7 if k in torn else 1.0), 2))
    return result


def _islands(found: Sequence[Placed]) -> set[int]:
    """Words in runs of at most ``_ISLAND`` between two stretches of speech that the transcript lacks."""
    starts = [k for k, p in enumerate(found) if p.strays_ms >= _STRAYS_MS]
    return {p.index for a, b in pairwise(starts) if b - a <= _ISLAND for p in found[a:b]}

"""Words to the sound's silences: what is left where forced alignment finds no hold.

Speech is told from silence by energy against the stretch's own floor; then
the words are dealt out over the runs of speech so that each run gets words
that take about its length and, where possible, ends at a punctuation mark
(dynamic programming over words and runs).
"""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from typing import TYPE_CHECKING

from timeline.transcript.sound import RATE
from timeline.transcript.spread import pause_ms, word_ms

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_HOP_MS = 10
_LEAST_SILENCE_MS = 120
_LEAST_SPEECH_MS = 60
_MOST_RUNS = 60
_MID_PHRASE = 0.8
"""Cost of a silence where the text has no mark: about that of a run twice as long as its words."""


def speech_runs(samples: NDArray[np.int16], start_ms: int, end_ms: int) -> list[tuple[int, int]]:
    """Runs of speech between two times, ms from the recording's start, in order and apart."""
    import numpy as np

    hop = RATE * _HOP_MS // 1000
    sound = samples[start_ms * RATE // 1000 : end_ms * RATE // 1000]
    count = len(sound) // hop
    if count < 3:
        return []
    frames = sound[: count * hop].reshape(count, hop).astype(np.float32)
    level = 10 * np.log10((frames**2).mean(axis=1) + 1.0)
    floor, top = np.percentile(level, (5, 95))
    if top - floor < 6:  # no silence to be told: all speech, or none
        return [(start_ms, end_ms)] if top > 30 else []
    loud = level > floor + 0.35 * (top - floor)
    edges = np.flatnonzero(np.diff(np.concatenate(([0], loud.astype(np.int8), [0]))))
    runs: list[tuple[int, int]] = []
    for a, b in zip(edges[::2].tolist(), edges[1::2].tolist(), strict=True):
        begin, end = start_ms + a * _HOP_MS, start_ms + b * _HOP_MS
        if runs and begin - runs[-1][1] < _LEAST_SILENCE_MS:
            runs[-1] = (runs[-1][0], end)
        else:
            runs.append((begin, end))
    return [r for r in runs if r[1] - r[0] >= _LEAST_SPEECH_MS]


def snap(
    texts: Sequence[str], runs: Sequence[tuple[int, int]], *, near_ms: Sequence[int] | None = None, pull: float = 0.0
) -> list[tuple[int, int]] | None:
    """Onset and end (ms) of each word, dealt out over the runs of speech; None where there are none.

    ``near_ms``: where each word is thought to begin; ``pull``: what a second
    between that and the start of a run costs its first word.
    """
    import numpy as np

    if not texts or not runs:
        return None
    runs = _fewer(list(runs), min(len(texts), _MOST_RUNS))
    lengths = [float(word_ms(t)) for t in texts]
    total = sum(lengths)
    pace = sum(b - a for a, b in runs) / total
    upto = np.array([0.0, *accumulate(lengths)])
    stops = np.array([0.0] + [0.0 if pause_ms(t) else _MID_PHRASE for t in texts])
    count = len(texts)
    near = np.array([*near_ms, 0.0]) if near_ms is not None else np.zeros(count + 1)
    best = np.full(count + 1, np.inf)
    best[0] = 0.0
    back = []
    for a, b in runs:
        # ratio[i, j]: words i..j-1 in this run, their expected length over the run's
        need = pace * (upto[None, :] - upto[:, None]) / (b - a)
        with np.errstate(divide="ignore", invalid="ignore"):
            cost = np.where(need > 0, np.abs(np.log(np.where(need > 0, need, 1.0))) * np.sqrt((b - a) / 1000), np.inf)
        away = pull * np.abs(near - a) / 1000
        through = (best + away)[:, None] + cost + stops[None, :]
        back.append(np.argmin(through, axis=0))
        best = np.min(through, axis=0)
    if not np.isfinite(best[count]):
        return None
    cuts = [count]
    for choice in reversed(back):
        cuts.append(int(choice[cuts[-1]]))
    cuts.reverse()
    found: list[tuple[int, int]] = []
    for (a, b), first, last in zip(runs, cuts, cuts[1:], strict=False):
        share = (b - a) / max(1.0, sum(lengths[first:last]))
        at = float(a)
        for k in range(first, last):
            found.append((round(at), round(at + lengths[k] * share)))
            at += lengths[k] * share
    return found


def _fewer(runs: list[tuple[int, int]], most: int) -> list[tuple[int, int]]:
    """At most so many runs: the shortest silences are closed first."""
    while len(runs) > most:
        k = min(range(len(runs) - 1), key=lambda i: runs[i + 1][0] - runs[i][1])
        runs[k : k + 2] = [(runs[k][0], runs[k + 1][1])]
    return runs

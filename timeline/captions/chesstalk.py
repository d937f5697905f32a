"""How likely words are after one another in talk about chess: counts of two and three words, backed by plain English.

All squares count as one word, and so do the pieces that move alike in a
sentence. Witten-Bell smoothing: what was seen after two words, then after one,
then by itself, and what is left goes to the general model of
``english.py``. Counts (``chesstalk.json``): ``tests/benchmarks/train_talk.py``.
"""

from __future__ import annotations

import json
import re
from collections import Counter, defaultdict
from collections.abc import Iterable, Mapping, Sequence
from functools import lru_cache
from importlib.resources import files
from math import exp, log

from timeline.captions.english import chance

BORDER, SQUARE = "|", "@"
_SQUARE = re.compile("([a-h][1-8])('s)?")
LETTER = "%"
_PIECES = {"rook": "&", "knight": "&", "bishop": "&", "queen": "&", "horse": "&"}
_MANY = {"rooks": "&s", "knights": "&s", "bishops": "&s", "queens": "&s", "horses": "&s"}
_LEAST = 1e-9
_SIGNS = "@&%|"
_UNSEEN = 1e-4  # of a class where the talk has none: plain English does not know it


def classed(word: str) -> str:
    """The word, or the sign of its class."""
    if (found := _SQUARE.fullmatch(word)) is not None:
        return SQUARE + (found[2] or "")
    if len(word) == 1 and word in "bcdefgh":
        return LETTER
    return _PIECES.get(word) or _MANY.get(word) or word


class TalkModel:
    """Counts of runs of up to three words (cores, classed; ``|`` for a border)."""

    def __init__(self, counts: Mapping[tuple[str, ...], int]) -> None:
        self._runs = counts
        self._after: dict[tuple[str, ...], int] = defaultdict(int)
        self._kinds: dict[tuple[str, ...], int] = defaultdict(int)
        for run, count in counts.items():
            self._after[run[:-1]] += count
            self._kinds[run[:-1]] += 1
        self._memo: dict[tuple[str, ...], float] = {}

    def chance(self, word: str, *before: str) -> float:
        """Natural log of the probability of a classed word after up to two others, the nearest last."""
        key = (word, *before[-2:])
        if key not in self._memo:
            self._memo[key] = log(max(_LEAST, self._share(word, before[-2:])))
        return self._memo[key]

    def _share(self, word: str, before: Sequence[str]) -> float:
        value = _plain(word, before)
        for size in range(len(before) + 1):
            context = tuple(before[len(before) - size :])
            total = self._after.get(context, 0)
            if total:
                kinds = self._kinds[context]
                value = (self._runs.get((*context, word), 0) + kinds * value) / (total + kinds)
        return value

    def run(self, words: Sequence[str], first: int) -> float:
        """Log probability of classed words from index ``first`` on, each after the two before it."""
        return sum(self.chance(words[k], *words[max(0, k - 2) : k]) for k in range(first, len(words)))


def _plain(word: str, before: Sequence[str]) -> float:
    if word[0] in _SIGNS:
        return _UNSEEN
    return exp(chance(word, *(w for w in before if w[0] not in _SIGNS)))


def count_runs(sentences: Iterable[Sequence[str]]) -> Counter[tuple[str, ...]]:
    """Runs of one, two and three in classed words, for ``TalkModel``."""
    found: Counter[tuple[str, ...]] = Counter()
    for words in sentences:
        for k in range(len(words)):
            for size in range(1, min(3, k + 1) + 1):
                found[tuple(words[k + 1 - size : k + 1])] += 1
    return found


@lru_cache(maxsize=1)
def shipped() -> TalkModel:
    """The counts that come with the package."""
    text = files("timeline.captions").joinpath("chesstalk.json").read_text(encoding="utf-8")
    return TalkModel({tuple(run.split()): int(count) for run, count in json.loads(text).items()})

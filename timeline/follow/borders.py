"""Where clauses end, by the words alone: for transcripts that have neither marks nor pauses.

Between every two words a linear model (multinomial logistic regression over
the words around and their classes) weighs nothing, a comma and a full stop.
Learned by tests/benchmarks/train_borders.py from narrations with marks, and
from the pauses of those without. On lessons left out, 84 of 100 places it
calls a border are one and it finds 80 of 100; full stops it tells from commas
badly (56 and 50), which matters less to the follower.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from timeline.follow.arrays import read_arrays, write_arrays
from timeline.follow.vocabulary import (
    CASTLE_WORDS,
    CHECK_WORDS,
    CLASSES,
    FILE_WORDS,
    MOTION,
    PIECE_WORDS,
    RANK_WORDS,
    TAKE_WORDS,
    VAGUE,
)

if TYPE_CHECKING:
    from timeline.follow.arrays import Array

MARKS = ("", ",", ".")
LEAST = 0.5
"""Least share of comma and full stop together from which there is a border; from half of it on for a full stop, it is one."""
_ARRAYS = ("weights", "bias")


def word_class(word: str) -> str:
    """A word as the model sees it in pairs: chess words and steering words by class, others by their ending."""
    if len(word) == 2 and word[0] in "abcdefgh" and word[1] in "12345678":
        return "SQ"
    if word in PIECE_WORDS and PIECE_WORDS[word][1] < 0.4:
        return "PC"
    if TAKE_WORDS.get(word, 1.0) <= 0.2:
        return "TK"
    if word in CASTLE_WORDS:
        return "CA"
    if word in CHECK_WORDS:
        return "CH"
    if word in CLASSES:
        return CLASSES[word]
    for name, known in (("MO", MOTION), ("VA", VAGUE), ("FW", FILE_WORDS), ("RW", RANK_WORDS)):
        if word in known:
            return name
    return "-" + word[-2:] if len(word) > 5 else "o"


def features(words: Sequence[str]) -> list[list[str]]:
    """What is known of each place between two words: names of features, for ``len(words) - 1`` places."""
    w = ["#", "#", *words, "#", "#"]
    c = [word_class(word) if word != "#" else "#" for word in w]
    return [
        [
            f"w{w[k]}", f"v{w[k + 1]}", f"u{w[k + 2]}", f"t{w[k - 1]}", f"ww{w[k]}_{w[k + 1]}", f"vv{w[k + 1]}_{w[k + 2]}",
            f"c{c[k]}", f"d{c[k + 1]}", f"e{c[k + 2]}", f"cc{c[k]}_{c[k + 1]}", f"c3{c[k]}_{c[k + 1]}_{c[k + 2]}",
            f"c4{c[k - 1]}_{c[k]}_{c[k + 1]}", f"c5{c[k - 2]}_{c[k - 1]}_{c[k]}_{c[k + 1]}",
            f"c6{c[k]}_{c[k + 1]}_{c[k + 2]}_{c[k + 3] if k + 3 < len(c) else '#'}",
        ]
        for k in range(2, len(words) + 1)
    ]  # fmt: skip


@dataclass(frozen=True)
class Borders:
    """``index``: a feature's row in ``weights`` (features, 3); ``bias`` (3); columns as in ``MARKS``."""

    index: Mapping[str, int]
    weights: Array
    bias: Array

    def shares(self, words: Sequence[str]) -> list[tuple[float, float, float]]:
        """The share of probability of each of ``MARKS`` at each place between two words."""
        import numpy as np

        found = features(words)
        scores = np.zeros((len(found), len(MARKS)), np.float32)
        get = self.index.get
        for k, names in enumerate(found):
            rows = [row for row in map(get, names) if row is not None]
            scores[k] = self.weights[rows].sum(0) + self.bias
        scores -= scores.max(1, keepdims=True, initial=-1e9)
        odds = np.exp(scores)
        odds /= odds.sum(1, keepdims=True)
        return [(float(a), float(b), float(c)) for a, b, c in odds.tolist()]

    def marks(self, words: Sequence[str]) -> list[str]:
        """The mark after each word but the last."""
        return [
            "" if nothing > 1.0 - LEAST else "." if stop > 0.5 else "," for nothing, _, stop in self.shares(words)
        ]


def read_borders(path: Path) -> Borders:
    """The model that ``write_borders`` wrote."""
    index, arrays = read_arrays(path, _ARRAYS)
    return Borders(index, *arrays)


def write_borders(path: Path, model: Borders) -> None:
    """One .npz file (``arrays``)."""
    write_arrays(path, model.index, {name: getattr(model, name) for name in _ARRAYS})


@lru_cache(maxsize=1)
def shipped_borders() -> Borders:
    """The model that ships with the package."""
    return read_borders(Path(__file__).with_name("borders.npz"))

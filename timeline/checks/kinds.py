"""Which fact a stretch of talk states, by learned weights: a probability for every kind, and for "none of them".

A softmax over the words that ``abstract`` leaves (weights in kinds.npz, learned
by tests/benchmarks/train_kinds.py from wordings that are kept in the tests, and
from the sentences of narrated lessons as examples of "none"). Where a fact may
be stated at all, a small language model is asked, too (``encoder``), and the
geometric mean of both counts: they err on different sentences.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from timeline.checks.abstract import Abstract, features
from timeline.checks.encoder import encoder

if TYPE_CHECKING:  # numpy is imported where it computes, so that the command line starts at once
    import numpy as np
    from numpy.typing import NDArray

NONE = "none"
ASKED = 0.2  # how likely a fact must be by the weights alone for the encoder to be asked: most talk states none
TINY = 1e-9  # of a share, before its logarithm
FILE = Path(__file__).parent / "kinds.npz"


@dataclass(frozen=True)
class KindWeights:
    """``rows``: feature -> row of ``weights``, shape (features, kinds); ``bias``: shape (kinds,)."""

    kinds: tuple[str, ...]
    rows: Mapping[str, int]
    weights: NDArray[np.float32]
    bias: NDArray[np.float32]

    def shares(self, found: Abstract) -> dict[str, float]:
        """Kind -> probability; they add up to 1."""
        import numpy as np

        known = [self.rows[f] for f in features(found) if f in self.rows]
        told = self.bias + self.weights[known].sum(axis=0)
        told = np.exp(told - told.max())
        return dict(zip(self.kinds, map(float, told / told.sum()), strict=True))


@lru_cache(maxsize=1)
def kind_weights() -> KindWeights:
    """The shipped weights."""
    import numpy as np

    with np.load(FILE) as stored:
        names = bytes(stored["names"]).decode("utf-8").split("\n")
        kinds = tuple(bytes(stored["kinds"]).decode("utf-8").split("\n"))
        weights = stored["weights"].astype(np.float32) * stored["scale"].astype(np.float32)
        bias = stored["bias"].astype(np.float32)
    return KindWeights(kinds, {name: row for row, name in enumerate(names)}, weights, bias)


@lru_cache(maxsize=4096)
def _plain(found: Abstract) -> Mapping[str, float]:
    return kind_weights().shares(found)


@lru_cache(maxsize=4096)
def _shares(found: Abstract) -> Mapping[str, float]:
    plain = _plain(found)
    if plain[NONE] > 1 - ASKED:
        return plain
    others = encoder().logs(found.spoken)
    both = {kind: math.exp((math.log(share + TINY) + others[kind]) / 2) for kind, share in plain.items()}
    total = sum(both.values())
    return {kind: share / total for kind, share in both.items()}


def shares(found: Abstract) -> dict[str, float]:
    """Kind -> probability, by the weights and the encoder together; they add up to 1."""
    return dict(_shares(found))


def shares_by_words(found: Abstract) -> dict[str, float]:
    """Kind -> probability, by the weights alone: many times as fast."""
    return dict(_plain(found))

"""Which fact a stretch of talk states, by learned weights: a probability for every kind, and for "none of them".

A softmax over the words that ``abstract`` leaves (weights in kinds.npz, learned
by tests/benchmarks/train_kinds.py from wordings that are kept in the tests, and
from the sentences of narrated lessons as examples of "none").
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from timeline.checks.abstract import Abstract, features

if TYPE_CHECKING:  # numpy is imported where it computes, so that the command line starts at once
    import numpy as np
    from numpy.typing import NDArray

NONE = "none"
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

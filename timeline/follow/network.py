"""The small network beside the log-linear weights: what grounds say together that each alone does not.

Every feature has a short vector; an option's vectors are added up and pass two
layers of rectified units to one number, its log-odds over doing nothing. It
is fitted together with the weights by tests/benchmarks/train_follow.py; the
mean of several fits is one network whose units keep to their own fit.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from timeline.follow.arrays import read_arrays, write_arrays

Feature = tuple[str, float]
_ARRAYS = ("vectors", "bias", "inner", "inner_bias", "out")

APIECE = 1 << 18
"""So many multiplications at most in one product: OpenBLAS sets all cores to work on larger ones (its limit from memory), and
these are too small to gain by that. Measured: a following took half as much CPU time again."""

if TYPE_CHECKING:
    from timeline.follow.arrays import Array


@dataclass
class Network:
    """``vectors``: (features + 1, width), the last row zero; ``index``: a feature's row; then the layers' weights. ``inner``: (fits,
    width / fits, width / fits), what leads from the first layer to the second within each fit."""

    index: Mapping[str, int]
    vectors: Array
    bias: Array
    inner: Array
    inner_bias: Array
    out: Array
    _nothing: float = field(init=False, default=0.0)

    def __post_init__(self) -> None:
        import numpy as np

        self._nothing = float(self._last(np.zeros((1, len(self.bias)), np.float32))[0])

    def _last(self, sums: Array) -> Array:
        import numpy as np

        first: Array = sums + self.bias
        np.maximum(first, 0.0, out=first)
        fits, width = self.inner.shape[:2]
        apart = first.reshape(len(first), fits, width).transpose(1, 0, 2) @ self.inner
        second: Array = apart.transpose(1, 0, 2).reshape(len(first), fits * width) + self.inner_bias
        np.maximum(second, 0.0, out=second)
        found: Array = second @ self.out
        return found

    def ground(self, feats: Sequence[Feature]) -> Array:
        """The sum of the features' vectors (width): a part of what ``extra`` adds up."""
        import numpy as np

        rows, values = [len(self.vectors) - 1], [0.0]
        for name, value in feats:
            row = self.index.get(name)
            if row is not None:
                rows.append(row)
                values.append(value)
        found: Array = np.array(values, np.float32) @ self.vectors.take(rows, 0)
        return found

    def extra(self, options: Sequence[Sequence[Feature]], grounds: Sequence[Array] = ()) -> list[float]:
        """Log-odds (natural units) to add to each option, given its features and the sum of others (``ground``)."""
        import numpy as np

        get = self.index.get
        columns: dict[int, int] = {}  # options of one word share most of their features
        who: list[int] = []
        what: list[int] = []
        by: list[float] = []
        for k, feats in enumerate(options):
            for name, value in feats:
                row = get(name)
                if row is not None:
                    who.append(k)
                    what.append(columns.setdefault(row, len(columns)))
                    by.append(value)
        count, known = len(options), len(columns)
        places = np.array(who, np.int64) * known + np.array(what, np.int64)
        table = np.bincount(places, by, count * known).reshape(count, known).astype(np.float32)
        vectors = self.vectors[list(columns)]
        parts = np.array_split(table, -(-table.size * len(self.bias) // APIECE) or 1)
        sums = np.concatenate([part @ vectors for part in parts])
        if grounds:
            sums += np.array(grounds)
        found: list[float] = (self._last(sums) - self._nothing).tolist()
        return found


def read_network(path: Path) -> Network:
    """The network that ``write_network`` wrote."""
    import numpy as np

    index, (vectors, *rest) = read_arrays(path, _ARRAYS)
    return Network(index, np.vstack([vectors, np.zeros((1, vectors.shape[1]), np.float32)]), *rest)


def write_network(path: Path, network: Network) -> None:
    """One .npz file (``arrays``), without the row of zeros."""
    arrays = {name: getattr(network, name) for name in _ARRAYS}
    write_arrays(path, network.index, {**arrays, "vectors": network.vectors[:-1]})


@lru_cache(maxsize=1)
def shipped_network() -> Network:
    """The network that ships with the package."""
    return read_network(Path(__file__).with_name("network.npz"))

"""Which fact words state, by a small pre-trained language model: a transformer encoder, computed in NumPy.

The model (encoder.npz) is the lower layers of all-MiniLM-L6-v2 (Apache License
2.0, see encoder.LICENSE.txt; Wang et al. 2020, "MiniLM", cited from memory), fitted further by
tests/benchmarks/train_encoder.py to name the kind of fact, and stored in 8 bits.
It knows words that no wording of ours had, and in which clause an "if" stands;
``kinds`` weighs it with its own weights. Words are cut into pieces as the model
was taught (WordPiece: the longest piece that is known, from the left).
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float32]

FILE = Path(__file__).parent / "encoder.npz"
HEADS = 12
LONGEST = 62  # pieces that are looked at
TINY = 1e-12  # added to a variance
_PARTS = re.compile(r"\w+|[^\w\s]")


@dataclass(frozen=True)
class Layer:
    """``qkv``: shape (width, 3 width), the queries, keys and values beside each other; ``inner``: (width, 4 width)."""

    qkv: Array
    qkv_bias: Array
    out: Array
    out_bias: Array
    norm: tuple[Array, Array]
    inner: Array
    inner_bias: Array
    outer: Array
    outer_bias: Array
    last_norm: tuple[Array, Array]


@dataclass(frozen=True)
class Encoder:
    """``pieces``: piece -> row of ``table``, shape (pieces, width); ``head``: (2 width, kinds), on mean and maximum."""

    pieces: Mapping[str, int]
    kinds: tuple[str, ...]
    table: NDArray[np.int8]
    table_scale: Array
    places: Array
    norm: tuple[Array, Array]
    layers: tuple[Layer, ...]
    head: Array
    head_bias: Array

    def logs(self, words: Sequence[str]) -> dict[str, float]:
        """Kind -> log-probability that the words (capital ones stand for what was taken out) state it."""
        import numpy as np

        rows = [self.pieces["[CLS]"], *list(self.rows(words))[:LONGEST], self.pieces["[SEP]"]]
        x = self.table[rows].astype(np.float32) * self.table_scale[rows, None] + self.places[: len(rows)]
        x = _normed(x, self.norm)
        for layer in self.layers:
            x = _layer(x, layer)
        told = np.concatenate((x.mean(axis=0), x.max(axis=0))) @ self.head + self.head_bias
        told = told - told.max()
        told = told - np.log(np.exp(told).sum())
        return dict(zip(self.kinds, map(float, told), strict=True))

    def rows(self, words: Sequence[str]) -> Iterator[int]:
        """The pieces of the words, as rows of the table."""
        for word in words:
            if word in self.pieces and word.isupper():
                yield self.pieces[word]
                continue
            for part in _PARTS.findall(word.lower()):
                yield from self._cut(part)

    def _cut(self, part: str) -> list[int]:
        found: list[int] = []
        at = 0
        while at < len(part):
            lead = "##" if at else ""
            end = next((e for e in range(len(part), at, -1) if lead + part[at:e] in self.pieces), at)
            if end == at:
                return [self.pieces["[UNK]"]]
            found.append(self.pieces[lead + part[at:end]])
            at = end
        return found


def _normed(x: Array, norm: tuple[Array, Array]) -> Array:
    import numpy as np

    away: Array = x - x.mean(axis=-1, keepdims=True)
    made: Array = away / np.sqrt((away * away).mean(axis=-1, keepdims=True) + np.float32(TINY)) * norm[0] + norm[1]
    return made


def _layer(x: Array, layer: Layer) -> Array:
    """Self-attention and a feed-forward step, each added and normed (Vaswani et al. 2017, "Attention is all you need",
    cited from memory)."""
    import numpy as np

    count, width = x.shape
    q, k, v = (x @ layer.qkv + layer.qkv_bias).reshape(count, 3, HEADS, width // HEADS).transpose(1, 2, 0, 3)
    told = q @ k.transpose(0, 2, 1) / np.float32(np.sqrt(width // HEADS))
    told = np.exp(told - told.max(axis=-1, keepdims=True))
    mixed = (told / told.sum(axis=-1, keepdims=True)) @ v
    x = _normed(x + mixed.transpose(1, 0, 2).reshape(count, width) @ layer.out + layer.out_bias, layer.norm)
    return _normed(x + _gelu(x @ layer.inner + layer.inner_bias) @ layer.outer + layer.outer_bias, layer.last_norm)


def _gelu(x: Array) -> Array:
    """By the hyperbolic tangent (Hendrycks and Gimpel 2016, "Gaussian error linear units", cited from memory); the
    model is fitted with it."""
    import numpy as np

    made: Array = x * 0.5 * (1 + np.tanh(np.float32(0.7978845608) * (x + np.float32(0.044715) * x * x * x)))
    return made


@lru_cache(maxsize=1)
def encoder() -> Encoder:
    """The shipped model."""
    import numpy as np

    with np.load(FILE) as stored:

        def matrix(name: str) -> Array:
            made: Array = stored[name].astype(np.float32) * stored[f"{name}_scale"].astype(np.float32)
            return made

        def plain(name: str) -> Array:
            made: Array = stored[name].astype(np.float32)
            return made

        def norm(name: str) -> tuple[Array, Array]:
            both = plain(name)
            return both[0], both[1]

        def layer(n: int) -> Layer:
            return Layer(
                matrix(f"{n}_qkv"), plain(f"{n}_qkv_bias"), matrix(f"{n}_out"), plain(f"{n}_out_bias"),
                norm(f"{n}_norm"), matrix(f"{n}_inner"), plain(f"{n}_inner_bias"),
                matrix(f"{n}_outer"), plain(f"{n}_outer_bias"), norm(f"{n}_last_norm"),
            )  # fmt: skip

        pieces = bytes(stored["pieces"]).decode("utf-8").split("\n")
        kinds = tuple(bytes(stored["kinds"]).decode("utf-8").split("\n"))
        layers = tuple(layer(n) for n in range(int(stored["layers"])))
        return Encoder(
            {piece: row for row, piece in enumerate(pieces)}, kinds, stored["table"], plain("table_scale"),
            plain("places"), norm("norm"), layers, matrix("head"), plain("head_bias"),
        )  # fmt: skip

"""The fit of the classifier that says from the talk alone how a mention is meant (``timeline/follow/tenor.py``).

A softmax over a linear part and one hidden layer of rectified units, by Adam
(Kingma, Ba 2015) with units left out at random (Srivastava et al. 2014,
"Dropout"), averaged over the last steps and over several starts. Deterministic.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

import numpy as np
from scipy.sparse import csr_matrix
from train_decisions import Said

from timeline.follow.tenor import MEANT, Tenor

WIDTH = 32
STARTS = 2
ROUNDS = 14
BATCH = 64
RATE = 3e-3
PULL = 3e-3
LEFT_OUT = 0.3
AVERAGED = 0.005
LEAST_SEEN = 5
"""Features with fewer mentions than this are not used."""


def _matrix(said: Sequence[Said], index: dict[str, int]) -> csr_matrix:
    rows, columns = [], []
    for k, one in enumerate(said):
        found = [index[name] for name in one.grounds if name in index]
        columns += found
        rows += [k] * len(found)
    return csr_matrix((np.ones(len(rows), np.float32), (rows, columns)), shape=(len(said), len(index)))


def fit_tenor(said: Sequence[Said]) -> Tenor:
    """The classifier of the mentions given."""
    seen = Counter(name for one in said for name in one.grounds)
    index = {name: row for row, name in enumerate(n for n, count in seen.items() if count >= LEAST_SEEN)}
    options, meant = _matrix(said, index), np.array([one.meant for one in said])
    fits = [_fit(options, meant, np.random.default_rng(seed)) for seed in range(STARTS)]
    return Tenor(
        index,
        np.mean([f["linear"] for f in fits], 0),
        np.hstack([f["vectors"] for f in fits]),
        np.concatenate([f["bias"] for f in fits]),
        np.vstack([f["out"] for f in fits]) / len(fits),
    )


def _fit(options: csr_matrix, meant: np.ndarray, chance: np.random.Generator) -> dict[str, np.ndarray]:
    count, kinds = options.shape[1], len(MEANT)
    p = {
        "linear": np.zeros((count, kinds), np.float32),
        "vectors": chance.normal(0, 0.05, (count, WIDTH)).astype(np.float32),
        "bias": np.zeros(WIDTH, np.float32),
        "out": chance.normal(0, 0.1, (WIDTH, kinds)).astype(np.float32),
    }
    mean = {name: np.zeros_like(part) for name, part in p.items()}
    square = {name: np.zeros_like(part) for name, part in p.items()}
    average = {name: part.copy() for name, part in p.items()}
    step = 0
    for turn in range(ROUNDS):
        rate = RATE * (1 - turn / ROUNDS) + 1e-4
        for batch in np.array_split(chance.permutation(len(meant)), max(1, len(meant) // BATCH)):
            step += 1
            x = options[batch]
            hidden = np.maximum(x @ p["vectors"] + p["bias"], 0.0)
            keep = ((chance.random(hidden.shape) >= LEFT_OUT) / (1 - LEFT_OUT)).astype(np.float32)
            scores = x @ p["linear"] + (hidden * keep) @ p["out"]
            slope = np.exp(scores - scores.max(1, keepdims=True))
            slope /= slope.sum(1, keepdims=True)
            slope[np.arange(len(batch)), meant[batch]] -= 1.0
            slope /= len(batch)
            back = (slope @ p["out"].T) * keep * (hidden > 0)
            turned = x.T.tocsr()
            slopes = {
                "linear": turned @ slope + 2 * PULL * p["linear"],
                "vectors": turned @ back + 2 * PULL * p["vectors"],
                "bias": back.sum(0),
                "out": (hidden * keep).T @ slope,
            }
            for name, part in p.items():
                mean[name] += 0.1 * (slopes[name] - mean[name])
                square[name] += 0.001 * (slopes[name] ** 2 - square[name])
                up = mean[name] / (1 - 0.9**step)
                part -= (rate * up / (np.sqrt(square[name] / (1 - 0.999**step)) + 1e-8)).astype(np.float32)
                average[name] += AVERAGED * (part - average[name])
    return average

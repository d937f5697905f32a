"""The fit of weights and network together: one step of Adam for each part of a lesson, averaged over the last steps.

The same likelihood as in ``train_fit``; priors: a Gaussian around the reasoned
weights, one around zero for the vectors, and units left out at random (Kingma,
Ba 2015, "Adam"; Srivastava et al. 2014, "Dropout"). Deterministic.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.sparse import csr_matrix
from train_fit import Packed

from timeline.follow.network import Network
from timeline.follow.weights import Model, Weights

WIDTH = 24
STARTS = 3
"""Fits that are averaged: one alone is unsteady (two that were equal on left-out lessons differed by 3.5 points on others)."""
ROUNDS = 14
RATE = 3e-3
PULL = 3e-4
VECTOR_PULL = 5e-3
LEFT_OUT = 0.25
AVERAGED = 0.02
LEAST_SEEN = 8
"""Features in fewer options than this get no vector."""
_NAMES = ("weights", "vectors", "bias", "inner", "inner_bias", "out")


class _Part:
    """A lesson's decisions as a matrix of options over the features kept."""

    def __init__(self, packed: Packed, column: np.ndarray, width: int) -> None:
        kept = column[packed.names] >= 0
        rows = np.repeat(np.arange(len(packed.lengths)), packed.lengths)[kept]
        self.options = csr_matrix(
            (packed.values[kept], (rows, column[packed.names[kept]])),
            shape=(len(packed.lengths), width),
            dtype=np.float32,
        )
        self.turned = self.options.T.tocsr()
        self.counts = packed.counts
        self.starts = np.r_[0, np.cumsum(packed.counts)[:-1]].astype(int)
        self.taken = self.starts + packed.taken


def _slopes(part: _Part, p: dict[str, np.ndarray], chance: np.random.Generator) -> dict[str, np.ndarray]:
    """Gradients of the mean negative log-likelihood, some units left out."""
    n = part.options.shape[0]
    keep1 = (chance.random((n, WIDTH)) >= LEFT_OUT).astype(np.float32) / (1 - LEFT_OUT)
    keep2 = (chance.random((n, WIDTH)) >= LEFT_OUT).astype(np.float32) / (1 - LEFT_OUT)
    first = np.maximum(part.options @ p["vectors"] + p["bias"], 0.0)
    second = np.maximum((first * keep1) @ p["inner"] + p["inner_bias"], 0.0)
    scores = part.options @ p["weights"] + (second * keep2) @ p["out"]
    scores -= np.repeat(np.maximum.reduceat(scores, part.starts), part.counts)
    exps = np.exp(scores)
    slope = exps / np.repeat(np.add.reduceat(exps, part.starts), part.counts)
    slope[part.taken] -= 1.0
    slope = (slope / len(part.starts)).astype(np.float32)
    back2 = np.outer(slope, p["out"]) * keep2 * (second > 0)
    back1 = (back2 @ p["inner"].T) * keep1 * (first > 0)
    return {
        "weights": part.turned @ slope,
        "vectors": part.turned @ back1,
        "bias": back1.sum(0),
        "inner": (first * keep1).T @ back2,
        "inner_bias": back2.sum(0),
        "out": (second * keep2).T @ slope,
    }


def mean_of(models: Sequence[Model]) -> Model:
    """One model that says the mean of what models say; a feature that a model does not know is nothing to it. ``tenor`` is left out."""
    nets = [m.network for m in models if m.network is not None]
    index: dict[str, int] = {}
    for net in nets:
        for name in net.index:
            index.setdefault(name, len(index))
    widths = [len(net.bias) for net in nets]
    vectors = np.zeros((len(index) + 1, sum(widths)), np.float32)
    for net, width, end in zip(nets, widths, np.cumsum(widths), strict=True):
        rows = [index[name] for name in net.index]
        vectors[rows, end - width : end] = net.vectors[list(net.index.values())]
    network = Network(
        index,
        vectors,
        np.concatenate([n.bias for n in nets]),
        np.concatenate([n.inner for n in nets]),
        np.concatenate([n.inner_bias for n in nets]),
        np.concatenate([n.out for n in nets]) / len(models),
    )
    names = dict.fromkeys(name for m in models for name in m.weights)
    return Model({name: sum(m.weights.get(name, 0.0) for m in models) / len(models) for name in names}, network)


def fit_network(packs: Sequence[Packed], index: dict[str, int], prior: Weights, seed: int) -> Model:
    """The model of the parts' decisions from one start; ``index`` numbers the features of ``packs``."""
    seen = np.zeros(len(index), int)
    for packed in packs:
        np.add.at(seen, packed.names, 1)
    names = [name for name, k in index.items() if seen[k] >= LEAST_SEEN]
    column = np.full(len(index), -1)
    column[[index[name] for name in names]] = np.arange(len(names))
    parts = [_Part(packed, column, len(names)) for packed in packs if len(packed.counts)]
    chance = np.random.default_rng(seed)
    reasoned = np.array([prior.get(name, 0.0) for name in names], np.float32)
    p = {
        "weights": reasoned.copy(),
        "vectors": chance.normal(0, 0.05, (len(names), WIDTH)).astype(np.float32),
        "bias": np.zeros(WIDTH, np.float32),
        "inner": chance.uniform(-0.25, 0.25, (WIDTH, WIDTH)).astype(np.float32),
        "inner_bias": chance.uniform(-0.25, 0.25, WIDTH).astype(np.float32),
        "out": np.zeros(WIDTH, np.float32),
    }
    mean = {name: np.zeros_like(p[name]) for name in _NAMES}
    square = {name: np.zeros_like(p[name]) for name in _NAMES}
    average = {name: p[name].copy() for name in _NAMES}
    step = 0
    for turn in range(ROUNDS):
        rate = RATE * (1 - turn / ROUNDS) + 1e-4
        for k in chance.permutation(len(parts)):
            step += 1
            slopes = _slopes(parts[k], p, chance)
            slopes["weights"] = slopes["weights"] + 2 * PULL * (p["weights"] - reasoned)
            slopes["vectors"] = slopes["vectors"] + 2 * VECTOR_PULL * p["vectors"]
            for name in _NAMES:
                mean[name] += 0.1 * (slopes[name] - mean[name])
                square[name] += 0.001 * (slopes[name] ** 2 - square[name])
                up = mean[name] / (1 - 0.9**step)
                p[name] -= (rate * up / (np.sqrt(square[name] / (1 - 0.999**step)) + 1e-8)).astype(np.float32)
                average[name] += AVERAGED * (p[name] - average[name])
    vectors = np.vstack([average["vectors"], np.zeros((1, WIDTH), np.float32)])
    network = Network(
        {name: row for row, name in enumerate(names)}, vectors, average["bias"], average["inner"][None],
        average["inner_bias"], average["out"],
    )  # fmt: skip
    return Model({**prior, **dict(zip(names, map(float, average["weights"]), strict=True))}, network)

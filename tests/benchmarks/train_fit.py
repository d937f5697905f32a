"""The fit: a log-linear model of single decisions, by L-BFGS.

Maximum a posteriori weights: the logarithms of the probabilities of the
options taken, and a Gaussian prior around the reasoned weights.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
from scipy.optimize import minimize
from scipy.sparse import csr_matrix
from train_decisions import Decision

from timeline.follow.weights import Weights


class Packed:
    """Decisions of one lesson as arrays; feature numbers come from ``index``, which grows."""

    def __init__(self, decisions: Sequence[Decision], index: dict[str, int]) -> None:
        names: list[int] = []
        values: list[float] = []
        lengths: list[int] = []
        for decision in decisions:
            for option in decision.options:
                names.extend(index.setdefault(name, len(index)) for name in option)
                values.extend(option.values())
                lengths.append(len(option))
        self.names, self.values = np.array(names, np.int32), np.array(values, np.float32)
        self.lengths = np.array(lengths, np.int64)
        self.counts = np.array([len(d.options) for d in decisions], np.int64)
        self.taken = np.array([d.taken for d in decisions], np.int64)


def fit(parts: Sequence[Packed], index: dict[str, int], prior: Weights, *, pull: float, rounds: int = 80) -> Weights:
    """Weights of all features; ``pull`` is the strength of the prior."""
    counts = np.concatenate([p.counts for p in parts])
    starts = np.r_[0, np.cumsum(counts)[:-1]]
    taken = starts + np.concatenate([p.taken for p in parts])
    lengths = np.concatenate([p.lengths for p in parts])
    names, values = np.concatenate([p.names for p in parts]), np.concatenate([p.values for p in parts])
    matrix = csr_matrix((values, names, np.r_[0, np.cumsum(lengths)]), shape=(len(lengths), len(index)))
    turned = matrix.T.tocsr()
    first = np.zeros(len(index))
    for name, value in prior.items():
        if name in index:
            first[index[name]] = value

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        scores = matrix @ weights
        peak = np.maximum.reduceat(scores, starts)
        exps = np.exp(scores - np.repeat(peak, counts))
        sums = np.add.reduceat(exps, starts)
        slope = -exps / np.repeat(sums, counts)
        slope[taken] += 1.0
        away = weights - first
        value = -(scores[taken] - peak - np.log(sums)).sum() + 0.5 * pull * (away @ away)
        return float(value), pull * away - turned @ slope

    best = minimize(loss, first, jac=True, method="L-BFGS-B", options={"maxiter": rounds}).x
    return {**prior, **{name: float(best[k]) for name, k in index.items()}}

"""How sure each board change is: sums over all decodings that the beam kept, then calibrated.

Forward and backward sums over the lattice of hypotheses give each board
change the share of probability of the decodings that make it at about that
time. The model's own share is too bold, as log-linear models are; a logistic
curve fitted on lessons held out from training maps it to the observed rate
(Platt 1999, "Probabilistic outputs for support vector machines").
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass

from timeline.follow.hypotheses import Hyp
from timeline.follow.search import Decoder
from timeline.follow.tree import Node

NEAR_TOKENS = 8
PLATT = (0.35, 0.45)
"""Intercept and slope on the log-odds of the model's share."""


@dataclass(frozen=True, slots=True)
class Share:
    """The model's share for one board change, and the likeliest other board at that moment."""

    share: float
    rival: Node | None
    rival_share: float

    @property
    def sure(self) -> float:
        """Calibrated probability that the change is right."""
        p = min(max(self.share, 1e-6), 1 - 1e-6)
        return 1.0 / (1.0 + math.exp(-(PLATT[0] + PLATT[1] * math.log(p / (1.0 - p)))))

    @property
    def margin(self) -> float:
        """Distance of the runner-up in log-odds; 0 when it is as likely."""
        return max(0.0, math.log(max(self.share, 1e-9)) - math.log(max(self.rival_share, 1e-9)))


def _edges(hyp: Hyp) -> Sequence[Hyp]:
    return (hyp, *(hyp.rivals or ()))


def shares(decoder: Decoder, changes: Sequence[tuple[int, Node]]) -> list[Share]:
    """The share of each ``(token, node)`` board change of a decoding that has just run."""
    peak = max(h.alpha for h in decoder.finals)
    whole = peak + math.log(sum(math.exp(h.alpha - peak) for h in decoder.finals))
    finals = set(map(id, decoder.finals))
    for hyp in decoder.order:
        hyp.beta = 0.0 if id(hyp) in finals else -math.inf
    mass: dict[int, dict[Node, float]] = defaultdict(dict)
    for hyp in reversed(decoder.order):
        if hyp.beta == -math.inf:
            continue
        for edge in _edges(hyp):
            before = edge.prev
            if before is None:
                continue
            value = edge.score - before.score + hyp.beta
            old = before.beta
            if old == -math.inf:
                before.beta = value
            else:
                high, low = (old, value) if old > value else (value, old)
                before.beta = high + math.log1p(math.exp(low - high))
            if edge.node is not before.node:
                p = math.exp(min(0.0, before.alpha + value - whole))
                if p > 1e-4:
                    at = mass[edge.tok]
                    at[edge.node] = at.get(edge.node, 0.0) + p
    found = []
    for tok, node in changes:
        nearby: dict[Node, float] = {}
        for k in range(tok - NEAR_TOKENS, tok + NEAR_TOKENS + 1):
            for other, p in mass.get(k, {}).items():
                nearby[other] = nearby.get(other, 0.0) + p
        own = min(1.0, nearby.pop(node, 0.0))
        rival = max(nearby, key=lambda n: nearby[n], default=None)
        found.append(Share(own, rival, min(1.0, nearby[rival]) if rival is not None else 0.0))
    return found

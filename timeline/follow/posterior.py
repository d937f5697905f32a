"""How sure each board change is: sums over all decodings that the beam kept, then calibrated.

Forward and backward sums over the lattice of hypotheses give each board
change the share of probability of the decodings that make it at about that
time. The model's own share is too bold, as log-linear models are; a logistic
curve fitted on lessons held out from training maps it to the observed rate
(Platt 1999, "Probabilistic outputs for support vector machines").
"""

from __future__ import annotations

import json
import math
from bisect import bisect_left
from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from timeline.follow.hypotheses import Hyp
from timeline.follow.mentions import Mention
from timeline.follow.search import Decoder
from timeline.follow.tree import Node

NEAR_TOKENS = 8
NEAR_CHANGES = 4
_BOUND = 1e-4
_HIGH = 3.0
"""Log-odds (a share of 0.95) above which more of them says less."""

Evidence = dict[str, float]
"""What speaks for a board change being right, by name: the features of the logistic curve."""


@lru_cache(maxsize=1)
def calibration() -> Evidence:
    """The curve's parameters: log-odds in natural units, fitted by tests/benchmarks/calibrate.py."""
    raw = json.loads(Path(__file__).with_name("calibration.json").read_text(encoding="utf-8"))
    return {str(name): float(value) for name, value in raw["weights"].items()}


@dataclass(frozen=True, slots=True)
class Share:
    """What the decodings say of one board change.

    ``share``: those that make it at about that time; ``stands``: those in which its position stands just after its words,
    in whatever order its moves were played;
    ``rival``: the board that stands there in most of the others (often the one before: no change), ``rival_share``.
    """

    share: float
    stands: float
    rival: Node | None
    rival_share: float

    @property
    def margin(self) -> float:
        """Distance of the runner-up in log-odds; 0 when it is as likely."""
        return max(0.0, math.log(max(self.stands, 1e-9)) - math.log(max(self.rival_share, 1e-9)))


def _odds(share: float) -> float:
    p = min(max(share, _BOUND), 1 - _BOUND)
    return math.log(p / (1.0 - p))


def evidence(known: Sequence[Share], changes: Sequence[tuple[Mention | None, Node]]) -> list[Evidence]:
    """What speaks for each change, in order: its own share, how sure the changes around it are, what kind it is."""
    odds = [_odds(share.share) for share in known]
    found = []
    for k, (share, (mention, node)) in enumerate(zip(known, changes, strict=True)):
        around = odds[max(0, k - NEAR_CHANGES) : k] + odds[k + 1 : k + 1 + NEAR_CHANGES]
        found.append(
            {
                "bias": 1.0,
                "odds": odds[k],
                "low": min(0.0, odds[k]),
                "high": max(0.0, odds[k] - _HIGH),
                "stands": _odds(share.stands),
                "near": sum(around) / len(around) if around else odds[k],
                "side": float(not node.main),
                "unsaid": float(mention is None),
                "hear": min(mention.hear, 3.0) if mention is not None else 0.0,
            }
        )
    return found


def sure(facts: Evidence) -> float:
    """Calibrated probability that a change is right, to four places."""
    curve = calibration()
    x = sum(curve.get(name, 0.0) * value for name, value in facts.items())
    return round(1.0 / (1.0 + math.exp(-max(-30.0, min(30.0, x)))), 4)


def _edges(hyp: Hyp) -> Sequence[Hyp]:
    return (hyp, *(hyp.rivals or ()))


def shares(decoder: Decoder, changes: Sequence[tuple[int, int, Node]]) -> list[Share]:
    """The share of each board change of a decoding that has just run.

    A change is its token, a token at which its board stands (just after its
    words, before the next change), and the board.
    """
    peak = max(h.alpha for h in decoder.finals)
    whole = peak + math.log(sum(math.exp(h.alpha - peak) for h in decoder.finals))
    finals = set(map(id, decoder.finals))
    for hyp in decoder.order:
        hyp.beta = 0.0 if id(hyp) in finals else -math.inf
    mass: dict[int, dict[int, float]] = defaultdict(dict)
    asked = sorted({stands for _, stands, _ in changes})
    standing: dict[int, dict[Node, float]] = {tok: {} for tok in asked}

    def stand(node: Node, first: int, end: int, p: float) -> None:
        """``node`` stands on the board from token ``first`` to ``end`` (exclusive) with probability ``p``."""
        k = bisect_left(asked, first)
        while k < len(asked) and asked[k] < end:
            at = standing[asked[k]]
            at[node] = at.get(node, 0.0) + p
            k += 1

    for hyp in decoder.finals:
        stand(hyp.node, hyp.tok, decoder.n + 1, math.exp(min(0.0, hyp.alpha - whole)))
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
            p = math.exp(min(0.0, before.alpha + value - whole))
            if p > 1e-4:
                stand(before.node, before.tok, edge.tok, p)
                if edge.node is not before.node:
                    at = mass[edge.tok]
                    at[edge.node.place] = at.get(edge.node.place, 0.0) + p
    found = []
    for tok, stands, node in changes:
        nearby = sum(mass[k].get(node.place, 0.0) for k in range(tok - NEAR_TOKENS, tok + NEAR_TOKENS + 1) if k in mass)
        boards = dict(standing[stands])
        own = sum(boards.pop(n) for n in list(boards) if n.place == node.place)
        rival = max(boards, key=lambda n: boards[n], default=None)
        found.append(
            Share(min(1.0, nearby), min(1.0, own), rival, min(1.0, boards[rival]) if rival is not None else 0.0)
        )
    return found

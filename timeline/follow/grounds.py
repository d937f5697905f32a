"""What speaks for each way to take a mention: named features, and what they weigh."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, NamedTuple

from timeline.follow.hypotheses import Feature, Hyp, Weights
from timeline.follow.lattice import Lattice
from timeline.follow.lookahead import Lookahead
from timeline.follow.mentions import Mention
from timeline.follow.network import Network
from timeline.follow.tree import Node

if TYPE_CHECKING:
    from timeline.follow.arrays import Array


class Static(NamedTuple):
    """What a mention says of one act wherever it is: its score, features (where they are kept), and the network's sum."""

    score: float
    feats: tuple[Feature, ...]
    ground: Array | None


class Grounds:
    """Features over one lattice. ``keep``: a mention's own features are handed out, too, not only what they weigh."""

    def __init__(
        self, lattice: Lattice, ahead: Lookahead, weights: Weights, network: Network | None, *, keep: bool
    ) -> None:
        self.lattice, self.ahead, self.weights, self.network, self.keep = lattice, ahead, weights, network, keep
        self._static: dict[tuple[int, str], Static] = {}

    def static(self, m: Mention, act: str) -> Static:
        """What the words of a mention and around it say for an act, whatever stands on the board."""
        key = (id(m), act)
        found = self._static.get(key)
        if found is None:
            names: list[Feature] = [(f"{name}>{act}", 1.0) for name in self.lattice.names(m)]
            names.append((f"k:{m.kind}>{act}", 1.0))
            names.append((f"bias>{act}", 1.0))
            if m.tail:
                names.append((f"tail:{m.tail}>{act}", 1.0))
            if m.desc.effect:
                names.append((f"effect:{m.desc.effect}>{act}", 1.0))
            if m.prep:
                names.append((f"prep:{m.prep}:{'p' if m.desc.piece else '-'}{'m' if m.motion else '-'}>{act}", 1.0))
            if m.hear:
                names.append(
                    (("hear_ign" if act == "ign" else "hear_main" if act in ("main", "ret") else "hear"), m.hear)
                )
            if m.fillers and act != "ign":
                names.append(("fillers", float(m.fillers)))
            if act != "ign":
                names.append(("words", float(m.end - m.start)))
            ground = self.network.ground(names) if self.network is not None else None
            found = self._static[key] = Static(self.score(names), tuple(names) if self.keep else (), ground)
        return found

    def dynamic(self, hyp: Hyp, m: Mention, act: str) -> list[Feature]:
        """What the way so far says for an act: how long ago the board changed, and by what."""
        gap = m.start - hyp.last_end
        bucket = "0" if gap <= 0 else "1" if gap <= 2 else "2" if gap <= 6 else "3" if gap <= 15 else "4"
        feats = [(f"h:{hyp.last_act}{bucket}>{act}", 1.0)]
        if hyp.node.depth:
            since = m.start - hyp.moved
            feats.append(
                (f"since:{'0' if since <= 6 else '1' if since <= 20 else '2' if since <= 50 else '3'}>{act}", 1.0)
            )
            if hyp.node.depth > 4:
                feats.append((f"deep>{act}", 1.0))
        return feats

    def score(self, feats: Sequence[Feature]) -> float:
        """The features' weights, summed (log-odds, natural units)."""
        get = self.weights.get
        total = 0.0
        for name, value in feats:
            weight = get(name)
            if weight is not None:
                total += weight * value
        return total

    def coming(self, node: Node, end: int, act: str) -> list[Feature]:
        """How far the words after token ``end - 1`` can be played from the board that an option leaves."""
        run = self.ahead.run(node, end)
        feats: list[Feature] = []
        if run.worth:
            feats = [("next", run.worth), (f"next>{act}", run.worth)]
        if run.main:
            feats.append((f"next main>{act}", run.main))
        if run.stopped:
            feats.append((f"next stopped{'' if run.worth else ' at once'}", 1.0))
            if not run.worth:
                feats.append((f"next stopped>{act}", 1.0))
        return feats

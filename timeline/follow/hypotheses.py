"""Hypotheses of the search: what stands on the board, how it came there, and what that scored."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from timeline.follow.mentions import Mention
from timeline.follow.tree import Node

if TYPE_CHECKING:
    from timeline.follow.arrays import Array

Weights = dict[str, float]
Feature = tuple[str, float]


@dataclass(slots=True, eq=False)
class Hyp:
    """A hypothesis after some token. ``front``: the furthest mainline ply shown so far; ``ground``: what the network sums up
    of the features that are not in ``feats``."""

    score: float
    node: Node
    front: int
    prev: Hyp | None = None
    act: str = ""
    mention: Mention | None = None
    tok: int = 0
    last_end: int = 0
    last_act: str = "0"
    feats: tuple[Feature, ...] = ()
    drift: float = 0.0
    float_tok: int = -1
    base: Node | None = None
    moved: int = 0
    stake: str = ""
    ground: Array | None = None
    rivals: list[Hyp] | None = None
    alpha: float = 0.0
    beta: float = -math.inf


Key = tuple[int, int, bool]
Layer = dict[Key, Hyp]


def key_of(hyp: Hyp) -> Key:
    """Hypotheses with one key are merged: the same position (in whatever order its moves were played), the same progress, the
    same standing offer to jump."""
    return (hyp.node.place, hyp.front, hyp.float_tok >= 0)


@dataclass
class Step:
    """One action of the best hypothesis: ``act`` moved the board (or ignored a mention) at token ``tok``; ``last_end`` and
    ``last_act``: where the words that were used before it end, and for what; ``moved_end``: where those end that moved the
    board before it."""

    act: str
    node: Node
    before: Node
    mention: Mention | None
    tok: int
    last_end: int
    base: Node | None = None
    float_tok: int = -1
    margin: float = 0.0
    rival: Node | None = None
    last_act: str = "0"
    moved_end: int = 0


def log_add(a: float, b: float) -> float:
    """The logarithm of the sum of two numbers given by their logarithms."""
    if a < b:
        a, b = b, a
    return a if b == -math.inf else a + math.log1p(math.exp(b - a))


def steps(final: Hyp) -> list[Step]:
    """The actions that lead to a hypothesis, in order."""
    out: list[Step] = []
    ends: list[int] = []
    hyp = final
    while hyp.prev is not None:
        before = hyp.prev
        if hyp.act != "pass":
            since = (before.last_end, hyp.base, before.float_tok)
            out.append(Step(hyp.act, hyp.node, before.node, hyp.mention, hyp.tok, *since, last_act=before.last_act))
            ends.append(hyp.last_end)
        hyp = before
    out.reverse()
    ends.reverse()
    moved = 0
    for step, end in zip(out, ends, strict=True):
        step.moved_end = min(moved, step.last_end)
        if step.act not in ("ign", "step"):
            moved = end
    return out


def features(final: Hyp, until: Hyp | None = None) -> Weights:
    """The feature counts of a hypothesis since ``until`` (needs ``keep_feats``)."""
    total: Weights = {}
    hyp: Hyp | None = final
    while hyp is not None and hyp is not until:
        for name, value in hyp.feats:
            total[name] = total.get(name, 0.0) + value
        hyp = hyp.prev
    return total

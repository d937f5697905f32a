"""How likely a mention is meant in a way (game, sideline, talk): by the words alone, and then by what the board says."""

from __future__ import annotations

import json
import math
from functools import lru_cache
from pathlib import Path

import chess

from timeline.follow.lattice import Lattice
from timeline.follow.lines import Line
from timeline.follow.matching import matches
from timeline.follow.mentions import Mention
from timeline.follow.sense import exchanged
from timeline.follow.tree import Legal, Node
from timeline.follow.wayfeatures import (
    WAYS,
    in_passing,
    later,
    mention_features,
    number_before,
    state_features,
    turn_features,
)

Weights = dict[str, float]
BARE_CAPTURES = ("cap", "take")
"""Kinds of mention that say that a man is taken and not where."""
PAWN_FIRST = 2.0
"""What ``matches`` counts against a piece where a square alone is named and a pawn can go there. "Takes on e4" leaves it open."""
MOST_LESS = 3
"""A capture is not worse than others by more pawns than this: a lesson shows bad moves on purpose."""


@lru_cache(maxsize=1)
def learned() -> Weights:
    """The learned weights (tests/benchmarks/train_reconstruct.py): log-odds in natural units."""
    raw = json.loads(Path(__file__).with_name("reconstruct.json").read_text(encoding="utf-8"))
    return {str(name): float(value) for name, value in raw["weights"].items()}


class Chances:
    """What the learned weights say of the mentions of one lattice; sums over words alone are kept."""

    def __init__(self, lattice: Lattice, weights: Weights) -> None:
        self.lattice, self.weights = lattice, weights
        self._words: dict[tuple[int, int, object, bool], tuple[float, float]] = {}
        self._turns: dict[tuple[int, str, str, str], tuple[float, float]] = {}
        self._numbers = [number_before(lattice, i) for i in range(lattice.n)]
        self._later = frozenset(i for i in range(lattice.n) if later(lattice, i))
        self._passing = frozenset(i for i in range(lattice.n) if in_passing(lattice, i))

    def ways(self, line: Line, m: Mention) -> dict[str, float]:
        """Log-probability of each way in which a mention may be meant."""
        aside = line.node is not line.tip
        key = (m.start, m.end, m.desc, aside)
        static = self._words.get(key)
        get = self.weights.get
        if static is None:
            named = mention_features(self.lattice, m, aside)
            static = tuple(sum(get(f"{n}>{way}", 0.0) * v for n, v in named) for way in WAYS[:2])  # type: ignore[assignment]
            self._words[key] = static  # type: ignore[assignment]
        assert static is not None
        state = state_features(m.start - line.last_end, line.last, m.start - line.moved, aside)
        main = static[0] + sum(get(f"{n}>main", 0.0) for n in state) + get("bias>main", 0.0)
        side = static[1] + sum(get(f"{n}>side", 0.0) for n in state) + get("bias>side", 0.0)
        if m.start in self._later:
            main += get("later>main", 0.0)
        if m.start in self.lattice.supposed:
            main += get("supposed>main", 0.0)
        peak = max(main, side, 0.0)
        whole = peak + math.log(math.exp(main - peak) + math.exp(side - peak) + math.exp(-peak))
        return {"main": main - whole, "side": side - whole, "ign": -whole}

    def back(self, line: Line, i: int) -> tuple[float, float]:
        """Log-probabilities of returning to the game at token ``i`` and of staying in the sideline."""
        feats = turn_features(self.lattice, i, i - line.last_end, line.last, i - line.moved)
        key = (i, feats[-3], feats[-2], "")
        known = self._turns.get(key)
        if known is None:
            x = sum(self.weights.get(f"{n}>back", 0.0) for n in feats)
            known = self._turns[key] = (-math.log1p(math.exp(-x)), -math.log1p(math.exp(x)))
        return known

    def fits(self, m: Mention, base: Node, legal: Legal, cost: float, how: str, rivals: int, way: str) -> float:
        """What it adds that a legal move fits the mention at ``cost``, beside ``rivals`` that fit as well."""
        get = self.weights.get
        value = get(f"legal:{m.kind}>{way}", 0.0) + get("fit", -1.0) * cost + get("hear", 0.0) * m.hear
        value += get("rivals", -1.0) * math.log1p(rivals)
        if how:
            free = how != "nx" and m.desc.victim and not _took(base)  # "pawn takes pawn" need not be the pawn just moved
            value += get(f"{how}{':quiet' if free else ''}>{way}", 0.0)
        if m.kind == "pawn" and legal.piece != chess.PAWN:
            value += get("bare", -2.5)
        manless = manless_capture(m)
        if manless and legal.piece != chess.PAWN and cost >= PAWN_FIRST:
            value += get("manless", 0.0)
        if rivals or manless:
            value += get("loses", 0.0) * (base.loses(legal) > 0)
        if m.kind in BARE_CAPTURES and m.desc.victim:
            most = max(exchanged(base, other) for other, _, _ in matches(base, m.desc) or ((legal, 0.0, ""),))
            value += get("less", 0.0) * min(MOST_LESS, most - exchanged(base, legal))
        if m.end in self._passing:
            value += get(f"passing:{'ok' if base.board.is_en_passant(legal.move) else 'bad'}", 0.0)
        return value

    def numbered(self, line: Line, m: Mention, base: Node, way: str) -> float:
        """A move number said just before ("seven, a3") agrees with the position or speaks against it."""
        number = self._numbers[m.start]
        if not number or line.last_end > m.start - 1:
            return 0.0
        agrees = base.board.fullmove_number == number
        return self.weights.get(f"number:{'ok' if agrees else 'bad'}>{way}", 0.0)


def manless_capture(m: Mention) -> bool:
    """Whether the words say on which square is taken, and not by which man: "takes on e4"."""
    d = m.desc
    return m.kind == "capsq" and not (d.piece or d.ff or d.fr) and d.fsq < 0


def _took(node: Node) -> bool:
    """Whether the move that led to a position was a capture."""
    return node.parent is not None and node.move is not None and node.parent.board.is_capture(node.move)

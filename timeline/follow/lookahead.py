"""What comes next: how many of the following mentions a position allows, one after the other.

A choice made word by word cannot know that the next three moves named will be
impossible after it. Each option is therefore told how far the talk can be
played from the board it leaves: legality of the words to come, not
plausibility of moves.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

import chess

from timeline.follow.lattice import Lattice
from timeline.follow.matching import matches
from timeline.follow.mentions import Desc
from timeline.follow.sense import exchanged
from timeline.follow.tree import Node, Tree

REACH_TOKENS = 40
DEPTH = 3
_WORTH = {
    "full": 1.0, "capsq": 1.0, "san": 1.0, "castle": 1.0, "promo": 0.6, "cap": 0.6, "pawn": 0.6, "to": 0.3, "take": 0.3,
    "pcheck": 0.4, "check": 0.3,
}  # fmt: skip
_CLEAR = frozenset(("full", "capsq", "san", "castle"))
_STEERING = frozenset(
    "INSTEAD OR ALSO GAME BACK THREAT WANT NEG REMEMBER LOOK QUEST WHO BECAUSE LET SHOW WITHOUT CAN TRY ON FROM".split()
)


class Anchor(NamedTuple):
    """A mention that the words to come hold: its readings, and whether a position must allow it (``clear``).

    ``shorter``: readings that end at a mark within it, for where no other fits ("king f7, check" may be two moves)."""

    start: int
    end: int
    descs: tuple[Desc, ...]
    shorter: tuple[Desc, ...]
    worth: float
    clear: bool


class Run(NamedTuple):
    """What can be played on: summed worth of the mentions, that of mainline moves among them, and whether a clear mention
    stopped it."""

    worth: float
    main: float
    stopped: bool


_NOTHING = Run(0.0, 0.0, False)


class Lookahead:
    """Runs over one lattice, worked out once per position and place."""

    def __init__(self, lattice: Lattice, tree: Tree) -> None:
        self.tree, self.toks = tree, lattice.toks
        self.anchors = list(_anchors(lattice))
        self.first: list[int] = []
        at = 0
        for i in range(lattice.n + 1):
            while at < len(self.anchors) and self.anchors[at].start < i:
                at += 1
            self.first.append(at)
        self._known: dict[tuple[int, int, int], Run] = {}
        self._silent: dict[tuple[int, int], list[Node]] = {}

    def run(self, node: Node, i: int, depth: int = DEPTH) -> Run:
        """How far the words from token ``i`` on can be played from ``node``, ``depth`` mentions at most."""
        at = self.first[i]
        if at >= len(self.anchors) or self.anchors[at].start - i > REACH_TOKENS:
            return _NOTHING
        return self._run(node, at, depth)

    def _run(self, node: Node, at: int, left: int) -> Run:
        key = (node.key, at, left)
        known = self._known.get(key)
        if known is None:
            known = self._known[key] = self._work_out(node, at, left)
        return known

    def _work_out(self, node: Node, at: int, left: int) -> Run:
        anchor = self.anchors[at]
        wanted = self.tree.next_main(node)
        moves: list[chess.Move] = []
        for descs in (anchor.descs, anchor.shorter):
            for desc in descs if not moves else ():
                for legal, cost, _ in matches(node, desc)[:4]:
                    if cost < 1.2 and legal.move not in moves:
                        moves.append(legal.move)
        follow = left > 1 and at + 1 < len(self.anchors)
        if follow and self.anchors[at + 1].start - anchor.end > REACH_TOKENS:
            follow = False
        if not moves:
            if anchor.clear:
                return Run(0.0, 0.0, True)
            return self._run(node, at + 1, left - 1) if follow else _NOTHING
        best = _NOTHING
        if wanted in moves:
            moves = [wanted]
        for move in moves[:3]:
            rest = self._run(self.tree.child(node, move), at + 1, left - 1) if follow else _NOTHING
            total = Run(anchor.worth + rest.worth, rest.main + (anchor.worth if move == wanted else 0.0), rest.stopped)
            if (total.worth, total.main) > (best.worth, best.main):
                best = total
        return best

    def silent(self, node: Node, i: int) -> list[Node]:
        """Moves after which the talk can be played on, where it cannot be from ``node``: one was told without its name."""
        at = self.first[i]
        key = (node.key, at)
        known = self._silent.get(key)
        if known is None:
            known = self._silent[key] = self._find_silent(node, i, at)
        return known

    def _find_silent(self, node: Node, i: int, at: int) -> list[Node]:
        here = self.run(node, i)
        if not here.stopped or here.worth or not self._other_side_could(node, at):
            return []
        ranked: list[tuple[float, int, Node]] = []
        for legal in node.legal:
            child = self.tree.child(node, legal.move)
            run = self.run(child, i)
            if run.worth >= 1.0:
                ranked.append((run.worth + 0.05 * max(-5, min(3, exchanged(node, legal))), -len(ranked), child))
        ranked.sort(key=lambda r: r[:2], reverse=True)
        return [child for _, _, child in ranked[:3]]

    def _other_side_could(self, node: Node, at: int) -> bool:
        """Whether the side that is not to move has the piece that the next mention names, near its goal."""
        board = node.board
        for desc in self.anchors[at].descs:
            if desc.castle:
                return True
            if desc.piece and desc.to >= 0:
                men = board.attackers_mask(not board.turn, desc.to) if desc.piece != chess.PAWN else chess.BB_ALL
                if men & board.pieces_mask(desc.piece, not board.turn):
                    return True
        return False


def _anchors(lattice: Lattice) -> Iterator[Anchor]:
    i = 0
    while i < lattice.n:
        readings = [] if lattice.unplayed.at(i) else [m for m in lattice.readings(i) if m.kind in _WORTH]
        readings = [m for m in readings if m.kind not in ("full", "to") or not lattice.put_back(m)]
        exact = [m for m in readings if m.hear < 0.4]
        if exact:
            end = max(m.end for m in exact)
            kept = [m for m in readings if m.end == end and m.hear < 1.0]
        else:
            kept = [m for m in readings if m.kind in _CLEAR and m.hear < 1.8]
            if not kept:
                i += 1
                continue
            end = max(m.end for m in kept)
            kept = [m for m in kept if m.end == end]
        first = min(kept, key=lambda m: m.hear)
        soft = any(name in _STEERING for name in lattice.names(first)) or first.hear >= 0.4
        clear = first.kind in _CLEAR and not soft
        worth = _WORTH[first.kind] * (0.6 if soft else 1.0)
        shorter = [m for m in exact if m.end < end and lattice.toks[m.end - 1].ends]
        descs, others = (tuple(dict.fromkeys(m.desc for m in ms)) for ms in (kept, shorter))
        yield Anchor(i, end, descs, others, worth, clear)
        i = end

"""Hypotheses of the game told from speech alone: a main line with the place the talk is at; which of them are kept."""

from __future__ import annotations

from dataclasses import dataclass

from timeline.follow.mentions import Mention
from timeline.follow.tree import Node

NODES_A_TIP = 4
"""How many places in sidelines are kept for one main line; the rest of the beam is for other main lines."""
LOST = 16.0
"""Lines that fall this far behind the best (natural-log units) are given up."""


@dataclass(slots=True, eq=False)
class Line:
    """A hypothesis: ``tip`` ends its main line, ``node`` is the position that the talk is at (in a sideline or at the tip).

    ``act``: main, mend (the last main move was misspoken), correct (it was, and words take it back), rewind (the last main
    moves were a sideline), gap (after a move that was not told), opening (after an opening's moves that were not told),
    told (a person's word), side, ign, back or pass. ``last_end``: the token after the last mention used; ``last``: how it
    was used (0 nothing yet, m, s, i, b).
    """

    score: float
    tip: Node
    node: Node
    prev: Line | None = None
    act: str = "pass"
    mention: Mention | None = None
    tok: int = 0
    last_end: int = 0
    last: str = "0"
    moved: int = 0


Layer = dict[tuple[int, int], Line]
"""The best line for each main line (the key of its tip) and place (that of its node) at one token."""


def put(layer: Layer, line: Line) -> None:
    """Adds a line to a layer, unless one as good stands at its place."""
    key = (line.tip.key, line.node.key)
    old = layer.get(key)
    if old is None or line.score > old.score:
        layer[key] = line


def kept_of(layer: Layer, beam: int) -> list[Line]:
    """The beam: best first, not too many sidelines of one main line."""
    kept: list[Line] = []
    counts: dict[int, int] = {}
    for line in sorted(layer.values(), key=lambda line: -line.score):
        if kept and line.score < kept[0].score - LOST:
            break
        count = counts.get(line.tip.key, 0)
        if count < NODES_A_TIP:
            counts[line.tip.key] = count + 1
            kept.append(line)
            if len(kept) == beam:
                break
    return kept


def ancestor(node: Node, ply: int) -> Node:
    """The position ``ply`` half-moves into the line of ``node``."""
    while node.ply > ply:
        assert node.parent is not None
        node = node.parent
    return node


def chain(line: Line) -> list[Line]:
    """The hypotheses that lead to a line, in order, without those at which nothing happened."""
    found: list[Line] = []
    at: Line | None = line
    while at is not None:
        if at.act != "pass" or at.prev is None:
            found.append(at)
        at = at.prev
    return found[::-1]

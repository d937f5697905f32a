"""What else the words of a move may tell: the best line that does not play it, and how far that falls behind."""

from __future__ import annotations

import math
from collections.abc import Sequence

from timeline.follow.lines import Line
from timeline.follow.matching import matches
from timeline.follow.mentions import Mention
from timeline.follow.reconstruct import Reconstructor
from timeline.follow.reconstructed import CLOSE_CAPTURE
from timeline.follow.tree import Node
from timeline.follow.wayweights import BARE_CAPTURES, PAWN_FIRST, Weights, manless_capture

AHEAD_TOKENS = 60
"""How far the second reading of a move is followed before it is compared with the first."""
NARROW_BEAM = 8
READINGS = 3
"""Other readings of one move that are looked for."""


def open_capture(m: Mention, node: Node) -> bool:
    """Whether the words of a capture leave open which one it is."""
    assert node.parent is not None
    fitting = [cost for legal, cost, _ in matches(node.parent, m.desc) if legal.move != node.move]
    if manless_capture(m):
        return bool(fitting) and min(fitting) < PAWN_FIRST + 0.9
    return m.kind in BARE_CAPTURES and bool(fitting) and min(fitting) < 0.9


def other_readings(
    search: Reconstructor, before: Line, step: Line, steps: Sequence[Line], known: Sequence[Node | None]
) -> tuple[str, ...]:
    """Moves of further readings beside those ``known`` that come near enough to be asked about as well."""
    found: list[str] = []
    barred = [node for node in known if node is not None]
    while len(barred) == len(found) + len(known) and len(barred) < READINGS:
        margin, san, node = second_reading(search, before, step, steps, tuple(barred))
        if node is None or san is None or margin >= CLOSE_CAPTURE:
            break
        found.append(san)
        barred.append(node)
    return tuple(found)


def how_sure(weights: Weights, margin: float, name: str) -> float:
    """Probability that a move is right, by its margin over the second reading; the curves are fitted on held-out talk."""
    x = weights.get(f"{name}:0", 0.0) + weights.get(f"{name}:1", 0.5) * min(margin, 12.0)
    return 1.0 / (1.0 + math.exp(-x))


def second_reading(
    search: Reconstructor, before: Line, step: Line, steps: Sequence[Line], barred: tuple[Node, ...]
) -> tuple[float, str | None, Node | None]:
    """How far the best line without these moves (alternatives at one place) falls behind, what it plays instead, and where that leads."""
    ends = min(search.stop, step.tok + AHEAD_TOKENS)
    base = barred[0].parent
    assert base is not None
    other_way = Reconstructor(
        search.lattice,
        search.tree.root.board,
        search.weights,
        told=search.told,
        beam=NARROW_BEAM,
        barred=barred,
        tree=search.tree,
    )
    other_way.stop = search.stop
    rivals = other_way.run(_fresh(before), step.tok, ends)
    search.forget((*steps, *rivals[:1]), (*barred,))
    if not rivals:
        return 12.0, None, None
    ours = next(line for line in reversed(steps) if line.tok < ends)
    margin = max(0.0, ours.score - before.score - rivals[0].score)
    other: Node | None = rivals[0].tip
    while other is not None and other.ply > base.ply + 1:
        other = other.parent
    if other is not None and other.parent is base and other.move is not None:
        return margin, base.board.san(other.move), other
    return margin, "none", None


def _fresh(line: Line) -> Line:
    """The line as a beginning: its own past plays no part."""
    return Line(0.0, line.tip, line.node, None, "pass", None, line.tok, line.last_end, line.last, line.moved)

"""Moves that a talk tells after the last one of its worked-out game, and that no word makes a sideline."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from dataclasses import dataclass

from timeline.follow.lattice import Lattice
from timeline.follow.lines import Line
from timeline.follow.matching import led, matches
from timeline.follow.mentions import Mention
from timeline.follow.tree import Node
from timeline.follow.wayfeatures import compared, marked, parted

NAMED = frozenset("full capsq castle san".split())
PAWNS = frozenset("pawn to".split())
"""Clear only among other moves: squares are named for much else."""
LEAST = 2
SHOWN = 6


@dataclass(frozen=True, slots=True)
class Leftover:
    """What is told after the game's end: the first onset, the words, and the first move where it can go on (SAN, else "")."""

    at_ms: int
    words: str
    san: str


def leftover(lattice: Lattice, steps: Sequence[Line], denied: Collection[int] = ()) -> Leftover | None:
    """The clear moves after the last main move of ``steps``, if there are so many that the game may go on with them.

    ``denied``: tokens that tell no move of the game, by a person's word.
    """
    tip = steps[-1].tip
    last = max((k for k in range(1, len(steps)) if steps[k].tip is not steps[k - 1].tip), default=0)
    told: list[Mention] = []
    skipping, before = False, None
    for line in steps[last + 1 :]:
        m = line.mention
        if line.act == "back" or m is None:
            skipping = False
            continue
        if line.act == "side":
            at_tip = line.node.parent is tip
            anew = before is not None and parted(lattice, before, m) and not compared(lattice, m)
            before = m
            if anew and any(cost < 0.9 for _, cost, _ in matches(tip, m.desc)):
                skipping = False  # a mark holds for its sentence: the game may go on by this one
            skipping = skipping or ((at_tip or not told) and marked(lattice, m))
        elif not _clear(m) or marked(lattice, m) or _known(tip, m):
            continue
        if not skipping and m.hear < 0.4:
            told.append(m)
    while told and told[0].kind not in NAMED and not matches(tip, told[0].desc):
        told.pop(0)
    if len(told) < LEAST or any(told[0].start <= at < told[0].end for at in denied) or not any(m.kind in NAMED for m in told):
        return None
    toks = lattice.toks
    words = [" ".join(tok.text for tok in toks[m.start : m.end]) for m in told]
    fitting = matches(tip, told[0].desc)
    san = tip.board.san(fitting[0][0].move) if fitting else ""
    return Leftover(toks[told[0].start].onset_ms, ", ".join(words[:SHOWN]) + (", …" if len(words) > SHOWN else ""), san)


def _clear(m: Mention) -> bool:
    standing = m.prep in ("on", "at", "from") and not m.motion
    return m.hear < 0.4 and m.kind in NAMED | PAWNS and not standing


def _known(tip: Node, m: Mention) -> bool:
    """Whether a move like that stands in the game already: it is talked of again."""
    node: Node | None = tip
    while node is not None and node.parent is not None:
        if led(node, m.desc):
            return True
        node = node.parent
    return False

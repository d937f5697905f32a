"""Which mentions tell the game: all ways in which the talk may run along the mainline once, from first word to last.

A game is mostly told in order, with sidelines between that may name the very
same moves. Summed over all alignments of mentions with mainline moves that
run forward in both (forward-backward: Rabiner 1989, "A tutorial on hidden
Markov models"), each mention has a share of probability of telling each
mainline move. The search sees a few mentions ahead; this sees the whole talk.
It knows nothing of sidelines and of the words that steer.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from typing import TYPE_CHECKING

from timeline.follow.lattice import Lattice
from timeline.follow.matching import game_fits
from timeline.follow.mentions import Mention
from timeline.follow.tree import Tree

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    Grid = NDArray[np.float64]

_WORTH = {
    "full": 3.0, "capsq": 3.0, "san": 3.0, "castle": 3.0, "promo": 1.5, "pawn": 2.2, "to": 1.8, "cap": 1.6, "take": 0.8,
    "pcheck": 1.2, "check": 0.6, "other": 0.8, "piece": 0.8, "effect": 0.5,
}  # fmt: skip
"""What it says for an alignment that a mention tells a move, by kind (natural-log units, reasoned)."""
_HEARD = 0.8
"""What each unit of a reading's hearing cost takes from that."""
_UNTOLD = 0.6
"""Cost of each mainline move that is passed over untold."""
_JUMP = 4.0
"""Cost of passing over any number of them."""
_BOUNDS = (0.02, 0.15, 0.5, 0.85)
"""Between the steps of ``level``."""
HEARD_AT_MOST = 1.8
_AFTER = 60
"""So many mentions after words that pass over moves, the next one told is looked for."""
_FURTHEST = 16
"""So many moves ahead of what was shown."""
_LEAST = 0.1
"""The least share of a mention that may be it."""
_OFFERED = 5
"""So many places at most are offered: with each, the beam has less room for the rest."""


def level(share: float) -> int:
    """A share of probability as one of five steps, 0 to 4."""
    return bisect_right(_BOUNDS, share)


class Spine:
    """The shares of one talk over one mainline. ``order``: mentions in order, none overlapping (``tenor.mentions_of``)."""

    def __init__(self, lattice: Lattice, tree: Tree, order: Sequence[Mention]) -> None:
        self._place: dict[int, int] = {}
        for k, m in enumerate(order):
            for tok in range(m.start, m.end):
                self._place[tok] = k
        self._starts = [m.start for m in order]
        self._shares = _shares(_worth(lattice, tree, order))
        self._any: list[float] = self._shares.sum(1).tolist()

    def at(self, tok: int, ply: int) -> float:
        """The share of the mention over token ``tok`` telling the mainline move that leads to ``ply``."""
        k = self._place.get(tok)
        if k is None or not 0 < ply <= self._shares.shape[1]:
            return 0.0
        return self._shares.item(k, ply - 1)

    def best(self, tok: int, first: int, last: int) -> tuple[float, int]:
        """The largest share of the mention over token ``tok`` telling a move to one of the plies ``first`` to ``last`` (from 1),
        and that ply, the later of equal ones; (0, 0) where there is none."""
        k = self._place.get(tok)
        if k is None or first > min(last, self._shares.shape[1]):
            return 0.0, 0
        row = self._shares[k, first - 1 : last]
        at = len(row) - 1 - int(row[::-1].argmax())
        return float(row[at]), first + at

    def on(self, tok: int) -> float:
        """The share of the mention over token ``tok`` telling any mainline move."""
        k = self._place.get(tok)
        return 0.0 if k is None else self._any[k]

    def next(self, tok: int, ply: int) -> float:
        """The share of one of the next two mentions from token ``tok`` on telling the move to ``ply``."""
        k = bisect_left(self._starts, tok)
        if not 0 < ply <= self._shares.shape[1]:
            return 0.0
        return float(self._shares[k : k + 2, ply - 1].sum())

    def told_after(self, tok: int, front: int) -> list[int]:
        """Plies before the game's next move that may be told after token ``tok``, with those up to ``front`` shown and one at
        least passed over; the first mentions' first."""
        found: list[int] = []
        k = bisect_left(self._starts, tok)
        for start in self._starts[k : k + _AFTER]:
            share, ply = self.best(start, front + 2, front + _FURTHEST)
            if share >= _LEAST and ply - 1 not in found:
                found.append(ply - 1)
            if len(found) == _OFFERED:
                break
        return found


def _worth(lattice: Lattice, tree: Tree, order: Sequence[Mention]) -> Grid:
    """What each mention says for telling each mainline move (mentions, moves); minus infinity where it cannot."""
    import numpy as np

    moves = len(tree.steps)
    found = np.full((len(order), moves), -np.inf)
    rows: dict[object, Grid] = {}
    for k, m in enumerate(order):
        for reading in lattice.readings(m.start):
            if reading.hear > HEARD_AT_MOST or reading.kind not in _WORTH:
                continue
            row = rows.get(reading.desc)
            if row is None:
                row = rows[reading.desc] = np.full(moves, -np.inf)
                fits = game_fits(tree, reading.desc)
                row[list(fits)] = [-fit for fit in fits.values()]
            found[k] = np.maximum(found[k], row + (_WORTH[reading.kind] - _HEARD * reading.hear))
    return found


def _shares(worth: Grid) -> Grid:
    """Each mention's share of telling each move, summed over all alignments (mentions, moves)."""
    import numpy as np

    count, moves = worth.shape
    if not count or not moves:
        return np.zeros((count, moves))
    cost = _UNTOLD * np.arange(moves + 1)
    before = np.full((count + 1, moves + 1), -np.inf)
    before[0, 0] = 0.0
    into = np.empty((count, moves))
    for k in range(count):
        far = np.logaddexp.accumulate(before[k])[:-1] - _JUMP
        near = np.logaddexp.accumulate(before[k] + cost)[:-1] - cost[:-1]
        into[k] = np.logaddexp(far, near)
        before[k + 1] = before[k]
        before[k + 1, 1:] = np.logaddexp(before[k, 1:], into[k] + worth[k])
    after = np.zeros(moves + 1)
    shares = np.empty((count, moves))
    whole = np.logaddexp.reduce(before[count])
    for k in range(count - 1, -1, -1):
        told = worth[k] + after[1:]
        shares[k] = np.exp(np.minimum(0.0, into[k] + told - whole))
        far = np.logaddexp.accumulate(told[::-1])[::-1] - _JUMP
        near = np.logaddexp.accumulate((told - cost[:-1])[::-1])[::-1] + cost[:-1]
        after[:-1] = np.logaddexp(after[:-1], np.logaddexp(far, near))
    return shares

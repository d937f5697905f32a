"""What the talk on both sides of a mention says of how it is meant, whatever stands on the board.

The search's choices are probabilities among the options of one place: a
decoding that has lost the thread finds little to choose from and pays nothing
for it (label bias: Lafferty, McCallum, Pereira 2001, "Conditional Random
Fields"). Here a small classifier sees only words and score, two mentions back
and ahead; what it says is added to every decoding without being normalised
again. Fitted by tests/benchmarks/train_follow.py.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

import chess

from timeline.follow.arrays import read_arrays, write_arrays
from timeline.follow.lattice import Lattice
from timeline.follow.mentions import Mention
from timeline.follow.spine import Spine, level
from timeline.follow.tree import Tree

if TYPE_CHECKING:
    from timeline.follow.arrays import Array

MEANT = ("ign", "main", "ret", "open", "alt", "cont")
"""How a mention may be meant: not played, the game goes on, a return to the game, a sideline opened, another move in place
of one shown, the sideline goes on."""
_WAYS = ((0,), (1, 2), (3, 4, 5))
WAY_SHARE = 0.5
"""What the log-probability of not played, game or sideline counts in the search. Tried on left-out lessons: F1 .735 (0.25),
.737 (0.5), .730 (0.9), without it .724."""
ACT_SHARE = 0.2
"""The same for the act within its way (tried: 0, 0.2, 0.4)."""
_RETURNS = frozenset(("ret", "retG", "rskip", "jfrom", "jump"))
_SPANS = ((-40, -12, "w-2"), (-12, 0, "w-1"), (0, 12, "w+1"), (12, 40, "w+2"))
_ARRAYS = ("linear", "vectors", "bias", "out")
_STRONG = frozenset(("full", "capsq", "san", "castle"))


def meant(act: str, main: bool, turned: bool) -> int:
    """The place in ``MEANT`` of a search's act; ``main``: it leaves the board in the game, ``turned``: just after a return."""
    if act in ("ign", "step"):
        return 0
    if act in _RETURNS:
        return 2
    if main:
        return 2 if turned else 1
    if act in ("open", "jopen"):
        return 3
    return 4 if act == "alt" else 5


def mentions_of(lattice: Lattice) -> list[Mention]:
    """One reading for each stretch that names a move, in order, none overlapping: the longest that is heard as it stands."""
    found: list[Mention] = []
    i = 0
    while i < lattice.n:
        readings = lattice.readings(i)
        exact = [m for m in readings if m.hear < 0.4]
        if exact:
            m = max(exact, key=lambda m: m.end)
        else:
            strong = [m for m in readings if m.kind in _STRONG and m.hear < 1.8]
            if not strong:
                i += 1
                continue
            m = max(strong, key=lambda m: (m.end, -m.hear))
        found.append(m)
        i = m.end
    return found


def grounds(lattice: Lattice, tree: Tree, order: Sequence[Mention], spine: Spine) -> list[list[str]]:
    """What speaks for how each of the mentions is meant: names of features, present or not."""
    told = [level(spine.on(m.start)) for m in order]
    plies = [_plies(tree, m) for m in order]
    before = [lattice.names(m) for m in order]
    near = [[name for name in names if not name.startswith(("p:", "q"))] for names in before]
    found = []
    for k, m in enumerate(order):
        feats = [*before[k], f"k:{m.kind}", f"told:{told[k]}", f"told:{told[k]}&{m.kind}"]
        feats += [f"{name}&{m.kind}" for name in before[k] if not name.startswith("p:")]
        if m.prep:
            feats.append(f"prep:{m.prep}:{'p' if m.desc.piece else '-'}{'m' if m.motion else '-'}")
        if m.tail:
            feats.append(f"tail:{m.tail}")
        if m.desc.effect:
            feats.append(f"effect:{m.desc.effect}")
        if m.hear >= 0.4:
            feats.append("heard")
        own = plies[k]
        if own is not None:
            feats.append("in game" if own else "not in game")
            if own:
                feats.append(f"near:{_nearness(m, own, lattice, tree)}")
        for off in (-2, -1, 1, 2):
            j = k + off
            if not 0 <= j < len(order):
                feats.append(f"{off}:none")
                continue
            feats.append(f"{off}:k:{order[j].kind}")
            feats.append(f"{off}:told:{told[j]}")
            feats += [f"{off}:{name}" for name in near[j]]
            if abs(off) == 1:
                feats += _beside(off, m, order[j], own, plies[j])
        found.append(feats + _around(lattice, m))
    return found


def _plies(tree: Tree, m: Mention) -> tuple[int, ...] | None:
    """Mainline plies before which such a move is played (any piece's where none is named); None without a square."""
    if m.desc.to < 0:
        return None
    piece = m.desc.piece or (chess.PAWN if m.kind in ("pawn", "san", "promo") else 0)
    kinds = (piece,) if piece else chess.PIECE_TYPES
    return tuple(ply for kind in kinds for ply in tree.spoken.get((kind, m.desc.to), ()))


def _nearness(m: Mention, plies: Sequence[int], lattice: Lattice, tree: Tree) -> int:
    """How far the game would be told too early or too late: 0 near, 1, 2 far."""
    last = len(tree.main) - 1
    off = min(abs(ply - m.start / lattice.n * last) for ply in plies) / (last + 1)
    return 0 if off < 0.08 else 1 if off < 0.2 else 2


def _beside(off: int, m: Mention, other: Mention, own: Sequence[int] | None, plies: Sequence[int] | None) -> list[str]:
    gap = m.start - other.end if off < 0 else other.start - m.end
    bucket = "0" if gap <= 0 else "1" if gap <= 2 else "2" if gap <= 6 else "3" if gap <= 15 else "4"
    found = [f"{off}:gap{bucket}", f"{off}:gap{bucket}:{other.kind}"]
    if plies is not None:
        found.append(f"{off}:{'in' if plies else 'not in'} game")
        if own is not None:
            follows = any(ply + off in plies for ply in own)
            found.append(f"{off}:run" if follows else f"{off}:no run:{bool(own)}{bool(plies)}")
    return found


def _around(lattice: Lattice, m: Mention) -> list[str]:
    """Steering words of the dozen and the forty words on either side."""
    classes, found = lattice.context.classes, []
    for low, high, name in _SPANS:
        at = m.start if low < 0 else m.end
        span = range(max(0, at + low), max(0, min(lattice.n, at + high)))
        found += [f"{name}{c}" for c in sorted({c for k in span for c in classes[k]})]
    return found


@dataclass(frozen=True)
class Tenor:
    """The classifier. ``index``: a feature's row in ``linear`` (features, meanings) and ``vectors`` (features, width); then
    the hidden layer's bias (width) and ``out`` (width, meanings)."""

    index: Mapping[str, int]
    linear: Array
    vectors: Array
    bias: Array
    out: Array

    def odds(self, found: Sequence[Sequence[str]]) -> Array:
        """Log-probabilities (natural units): one row for each mention's grounds, one column for each of ``MEANT``."""
        import numpy as np

        scores = np.zeros((len(found), len(MEANT)), np.float32)
        for k, feats in enumerate(found):
            rows = [row for row in map(self.index.get, feats) if row is not None]
            hidden = np.maximum(self.vectors[rows].sum(0) + self.bias, 0.0)
            scores[k] = self.linear[rows].sum(0) + hidden @ self.out
        scores -= scores.max(1, keepdims=True, initial=-1e9)
        logs: Array = scores - np.log(np.exp(scores).sum(1, keepdims=True))
        return logs

    def over(self, lattice: Lattice, tree: Tree, spine: Spine) -> dict[int, tuple[float, ...]]:
        """For the first token of each mention: what each of ``MEANT`` adds to a decoding's score (natural units)."""
        import numpy as np

        order = mentions_of(lattice)
        if not order:
            return {}
        logs = self.odds(grounds(lattice, tree, order, spine))
        shares = np.exp(logs)
        added = ACT_SHARE * logs
        for way in _WAYS:
            added[:, way] += (WAY_SHARE - ACT_SHARE) * np.log(shares[:, way].sum(1, keepdims=True))
        return {m.start: tuple(row) for m, row in zip(order, added.tolist(), strict=True)}


def read_tenor(path: Path) -> Tenor:
    """The classifier that ``write_tenor`` wrote."""
    index, arrays = read_arrays(path, _ARRAYS)
    return Tenor(index, *arrays)


def write_tenor(path: Path, tenor: Tenor) -> None:
    """One .npz file (``arrays``)."""
    write_arrays(path, tenor.index, {name: getattr(tenor, name) for name in _ARRAYS})


@lru_cache(maxsize=1)
def shipped_tenor() -> Tenor:
    """The classifier that ships with the package."""
    return read_tenor(Path(__file__).with_name("tenor.npz"))

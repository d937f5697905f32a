"""Where a talk joins the game, when it begins in the middle: by the moves that it tells first, by what has just been played,
and by the number of moves that it says have been made.
"""

from __future__ import annotations

from collections.abc import Sequence

from timeline.follow.lexer import Tok
from timeline.follow.mentions import Mention
from timeline.follow.numbers import moves_made
from timeline.follow.spine import Spine
from timeline.follow.tree import Node, Tree

MIDDLE = 12
"""From so many plies on, a talk that begins with a jump there was about that position from its first word. Of five lessons that
begin between plies 4 and 10 the start stands until then, of three beyond 20 the position told (one: the game's last)."""
_SURE = 0.85
"""Share of telling one move of the game (``spine``) at which a mention does: of 531 such mentions 525 did."""
_LIKELY = 0.25
"""The share at which a mention before the first sure one tells the move before it, too."""
_UNTOLD_AT_MOST = 3
_BEEN = frozenset("has have had just already stands stood standing sits sat sitting lives waits rests".split())
_REACH_TOKENS = 100
_NUMBERED_TOKENS = 40


def joined(toks: Sequence[Tok], tree: Tree, spine: Spine, order: Sequence[Mention]) -> Node | None:
    """The mainline position at which a talk begins that tells the game from there on; None where it tells it from the start.
    ``order``: its mentions (``tenor.mentions_of``)."""
    last = len(tree.main) - 1
    early = (k for k, m in enumerate(order) if m.start <= _REACH_TOKENS)
    k = next((k for k in early if spine.best(order[k].start, 1, last)[0] >= _SURE), None)
    if k is None:
        return None
    shares = _tells(spine, order[k], last)
    ply = shares.index(max(shares))
    base = ply if been(toks, order[k]) else ply - 1
    for m in reversed(order[:k]):
        shares = _tells(spine, m, last)
        near = max(range(max(0, ply - _UNTOLD_AT_MOST), ply + 1), key=shares.__getitem__)
        if shares[near] >= _LIKELY:
            base, ply = near - 1, near
            if been(toks, m):
                base = near
                break
    if k + 1 < len(order) and not any(tok.ends for tok in toks[order[k].start : order[k + 1].start]):
        shares = _tells(spine, order[k + 1], last)
        if been(toks, order[k + 1]) and max(shares) >= _SURE and base < shares.index(max(shares)) <= base + 2:
            base = shares.index(max(shares))  # "b3 and Rd8 have just been played"
    made = next((n for i in range(min(len(toks), _NUMBERED_TOKENS)) if (n := moves_made(toks, i))), 0)
    for name, at in tree.numbered(made) if made else []:
        if name == "black" and base - _UNTOLD_AT_MOST <= at <= base + 1:
            base = at
    return tree.main[base] if base >= MIDDLE else None


def been(toks: Sequence[Tok], m: Mention) -> bool:
    """Whether the clause of a mention says that its move has been played already, or that the man stands there."""
    k = m.start
    while k > 0 and not toks[k - 1].ends:
        k -= 1
    if any(tok.text in _BEEN for tok in toks[k : m.end]):
        return True
    after = [tok.text for tok in toks[m.end : m.end + 3]]
    return not toks[m.end - 1].ends and after[:1] in (["has"], ["have"]) and "been" in after  # "b3 has just been played"


def _tells(spine: Spine, m: Mention, last: int) -> list[float]:
    """The shares of telling the moves to each ply; the first, for the start, is 0."""
    return [spine.at(m.start, ply) for ply in range(last + 1)]

"""Of a talk that tells more than one game: which words are each game's, and which game is worked out."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from timeline.follow.newgames import Begun
from timeline.follow.reconstruct import Reconstructor

Part = tuple[int, int]
"""A game's tokens: the first, and the one after the last."""
Orders = Mapping[int, tuple[str, ...]]
"""What a person has settled, by token: the moves told there, or none."""


def game_parts(search: Reconstructor, games: Sequence[Begun], orders: Orders, first: int, end: int) -> tuple[list[Part], int]:
    """The part of each game, and the number of the one that is worked out: one part where the words tell one game better.

    A person says "none" of a game's first move where no game begins, and names moves of one game only.
    """
    whole = [(first, end)]
    starts = [first, *(game.words for game in games[1:])]
    parts = list(zip(starts, [*starts[1:], end], strict=True))
    settled = sorted({k for k, (a, b) in enumerate(parts) for at, sans in orders.items() if sans and a <= at < b})
    denied = any(orders.get(game.start) == () for game in games[1:])
    if len(parts) == 1 or denied or len(settled) > 1:
        return whole, 0
    told = [_told(search, part) for part in parts]
    begun = any(orders.get(game.start) for game in games)  # a person says which game is meant
    if not begun and _told(search, whole[0])[0] >= sum(score for score, _ in told):
        return whole, 0
    plies = [ply for _, ply in told]
    return parts, settled[0] if settled else plies.index(max(plies))


def _told(search: Reconstructor, part: Part) -> tuple[float, int]:
    """How well one game explains the words of a part, and how many moves it has."""
    first, search.stop = part
    best = search.run(first=first)[0]
    search.forget(())
    return best.score, best.tip.ply

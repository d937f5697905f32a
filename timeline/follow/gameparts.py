"""Of a talk that tells more than one game: which words are each game's, and which game is worked out."""

from __future__ import annotations

from collections.abc import Sequence

from timeline.follow.newgames import Begun
from timeline.follow.reconstruct import Reconstructor


def game_parts(games: Sequence[Begun], orders: dict[int, tuple[str, ...]], first: int, end: int) -> list[tuple[int, int]]:
    """The tokens of each game that the talk begins; one part where a person's word joins them.

    A person says "none" of a game's first move where no game begins, and names moves of one game only.
    """
    starts = [first, *(game.words for game in games[1:])]
    parts = list(zip(starts, [*starts[1:], end], strict=True))
    settled = {k for k, (a, b) in enumerate(parts) for at, sans in orders.items() if sans and a <= at < b}
    denied = any(orders.get(game.start) == () for game in games[1:])
    return [(first, end)] if denied or len(settled) > 1 else parts


def part_taken(search: Reconstructor, parts: Sequence[tuple[int, int]], orders: dict[int, tuple[str, ...]]) -> tuple[int, int, int]:
    """The part that is worked out, with its number: the one of which a person has settled moves, else the one that tells most."""
    settled = [k for k, (a, b) in enumerate(parts) if any(sans and a <= at < b for at, sans in orders.items())]
    plies = []
    for first, stop in parts:
        search.stop = stop
        plies.append(search.run(first=first)[0].tip.ply)
        search.forget(())
    k = settled[0] if settled else plies.index(max(plies))
    return *parts[k], k

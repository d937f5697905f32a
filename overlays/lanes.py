"""Keeps arrows apart that would lie on one another or enter a square from the same side."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

import chess

from timeline.tracks import MarkSpan


def lanes(marks: Sequence[MarkSpan]) -> list[int]:
    """A lane for every mark: 0 straight, 1, 2, … beside it.

    Two arrows that are on the board together and cross the same squares in a
    row, or reach one square from the same direction, get different lanes. A
    mark's lane never depends on a later mark, so that nothing jumps.
    """
    result: list[int] = []
    for i, mark in enumerate(marks):
        taken = {
            result[j]
            for j, other in enumerate(marks[:i])
            if other.end_ms > mark.start_ms and not _same(mark, other) and _touch(mark, other)
        }
        same = [result[j] for j, other in enumerate(marks[:i]) if _same(mark, other) and other.end_ms > mark.start_ms]
        result.append(same[0] if same else next(n for n in range(len(marks) + 1) if n not in taken))
    return result


def _same(one: MarkSpan, other: MarkSpan) -> bool:
    return (one.kind, one.squares, one.role) == (other.kind, other.squares, other.role)


def _touch(one: MarkSpan, other: MarkSpan) -> bool:
    if "square" in (one.kind, other.kind):
        return False
    mine, theirs = _legs(one), _legs(other)
    if mine & theirs:
        return True
    return one.squares[-1] == other.squares[-1] and _entry(one) == _entry(other)


def corner(tail: int, head: int, *, long_first: bool = True) -> int | None:
    """The square at the bend of a knight's way, the long leg first or last; None for other ways."""
    dx = chess.square_file(head) - chess.square_file(tail)
    dy = chess.square_rank(head) - chess.square_rank(tail)
    if sorted((abs(dx), abs(dy))) != [1, 2]:
        return None
    if (abs(dy) == 2) == long_first:
        return chess.square(chess.square_file(tail), chess.square_rank(head))
    return chess.square(chess.square_file(head), chess.square_rank(tail))


def bent(squares: Sequence[int]) -> list[int]:
    """The squares with the bends of knights' ways put in; a route does not run back along its last leg."""
    points = [squares[0]]
    for tail, head in pairwise(squares):
        bend = corner(tail, head)
        if bend is not None and len(points) > 1 and _direction(tail, bend) == _direction(points[-1], points[-2]):
            bend = corner(tail, head, long_first=False)
        points += [head] if bend is None else [bend, head]
    return points


def _direction(tail: int, head: int) -> tuple[int, int]:
    dx = chess.square_file(head) - chess.square_file(tail)
    dy = chess.square_rank(head) - chess.square_rank(tail)
    return (dx > 0) - (dx < 0), (dy > 0) - (dy < 0)


def _legs(mark: MarkSpan) -> set[tuple[int, int]]:
    """Unordered pairs of neighbouring squares that the mark's line joins."""
    found = set()
    points = bent(mark.squares)
    for tail, head in pairwise(points):
        line = [tail, *chess.SquareSet.between(tail, head), head]
        if chess.square_distance(tail, head) > 1 and len(line) == 2:
            found.add((min(tail, head), max(tail, head)))
            continue
        line.sort()
        found |= set(pairwise(line))
    return found


def _entry(mark: MarkSpan) -> tuple[int, int]:
    points = bent(mark.squares)
    return _direction(points[-2], points[-1])

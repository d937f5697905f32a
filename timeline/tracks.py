"""Tracks: what is known for every instant. Plain data; ``overlays`` takes these and no more.

Intervals are half-open, ``[start_ms, end_ms)``, whole milliseconds from the
recording's start. A position is given by its *path*: the moves (UCI) from the
score's start position, so that the step from one span to the next (forward,
back, into a sideline) can be read off two paths.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Literal

import chess

ROLES = ("attack", "defence", "plan", "weakness", "key square", "route")
Origin = Literal["score", "sideline", "hand"]
MarkKind = Literal["arrow", "square", "route"]


@dataclass(frozen=True, slots=True)
class BoardSpan:
    """One position for one stretch. ``path`` is empty and ``fen`` decides when ``origin`` is ``hand``.

    ``shared`` counts the first moves of ``path`` that are the mainline's.
    """

    start_ms: int
    end_ms: int
    fen: str
    path: tuple[str, ...]
    shared: int
    address: str
    origin: Origin
    sure: float | None = None


@dataclass(frozen=True, slots=True)
class BoardTrack:
    """Spans without holes from 0 to the lesson's end. ``mainline`` is UCI from ``start_fen``."""

    start_fen: str
    mainline: tuple[str, ...]
    spans: tuple[BoardSpan, ...]
    chess960: bool = False

    @property
    def end_ms(self) -> int:
        return self.spans[-1].end_ms if self.spans else 0

    def at(self, ms: int) -> BoardSpan:
        """The span that holds ``ms``; the first or last one outside."""
        from bisect import bisect_right

        index = bisect_right([s.start_ms for s in self.spans], ms) - 1
        return self.spans[max(0, index)]


@dataclass(frozen=True, slots=True)
class MarkSpan:
    """A mark on the board. ``squares``: one or more for ``square``, two for ``arrow``, two or more for ``route``."""

    start_ms: int
    end_ms: int
    kind: MarkKind
    squares: tuple[int, ...]
    role: str


@dataclass(frozen=True, slots=True)
class ThinkPause:
    """Viewers think from ``at_ms`` of the recording on, for ``hold_ms``.

    The film holds so long, unless ``inserts`` is false: then it runs on, and
    only the picture says so.
    """

    at_ms: int
    hold_ms: int
    inserts: bool = True


@dataclass(frozen=True, slots=True)
class Caption:
    """Text on screen, one or two lines parted by a line feed."""

    start_ms: int
    end_ms: int
    text: str
    speaker: str | None = None


@dataclass(frozen=True, slots=True)
class Chapter:
    """A titled start; it lasts until the next one."""

    start_ms: int
    title: str


def step(before: BoardSpan, after: BoardSpan) -> tuple[int, tuple[str, ...]]:
    """How to get from one span to the next: plies taken back, then moves played (UCI)."""
    shared = 0
    for a, b in zip(before.path, after.path, strict=False):
        if a != b:
            break
        shared += 1
    return len(before.path) - shared, after.path[shared:]


def is_whole(spans: Sequence[BoardSpan], end_ms: int) -> bool:
    """Whether spans join without holes from 0 to ``end_ms``."""
    return (
        bool(spans)
        and spans[0].start_ms == 0
        and spans[-1].end_ms == end_ms
        and all(a.end_ms == b.start_ms and a.start_ms < a.end_ms for a, b in pairwise(spans))
    )


def squares_of(names: Iterable[str]) -> tuple[int, ...]:
    return tuple(chess.parse_square(name) for name in names)

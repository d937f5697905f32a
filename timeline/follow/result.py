"""What the follower gives: cues with their evidence, and every stretch of words it understood."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from timeline.problems import Finding
from timeline.tracks import MarkSpan

ReadingKind = Literal["move", "square", "piece", "opening", "number"]


@dataclass(frozen=True, slots=True)
class Token:
    """Words ``first`` to ``last`` (indices into the transcript, inclusive) stand for ``written``.

    ``written`` is the spoken form in plain words and squares ("knight",
    "takes", "e5", "castles", "d file"), whatever the recogniser heard.
    ``mended`` is true when the hearing had to be changed to get it.
    """

    first: int
    last: int
    written: str
    mended: bool


@dataclass(frozen=True, slots=True)
class Reading:
    """A stretch of words that names a move, square or piece, as the board proves it.

    ``before`` is the path (UCI moves from the score's start) of the position
    in which it was read; ``move`` the UCI move if one was announced or spoken
    of, ``san`` its SAN. ``played`` is true when the board moved by it.
    """

    first: int
    last: int
    kind: ReadingKind
    tokens: tuple[Token, ...]
    before: tuple[str, ...]
    move: str | None = None
    san: str | None = None
    played: bool = False
    sure: float = 1.0


@dataclass(frozen=True, slots=True)
class FixedPoint:
    """A person's word that from ``at_ms`` on the position after ``path`` (UCI) stands on the board."""

    at_ms: int
    path: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FollowedCue:
    """The board changes at ``at_ms`` to the position after ``path``.

    ``first``/``last``: the words that announce it (-1 where none do).
    ``sure``: calibrated probability in [0, 1]. ``runner_up``: address of the
    second-best reading, None when there was none; ``margin`` its distance in
    log-score (natural units, >= 0).
    """

    at_ms: int
    path: tuple[str, ...]
    address: str
    first: int
    last: int
    sure: float
    margin: float = 0.0
    runner_up: str | None = None


@dataclass(frozen=True, slots=True)
class Ask:
    """The viewer is asked for a move: the pause belongs at ``at_ms`` (after the question, before the answer)."""

    at_ms: int
    path: tuple[str, ...]
    first: int
    last: int
    spoken_pause_ms: int = 0


@dataclass(frozen=True, slots=True)
class Follow:
    """Everything that following a lesson gives, in order of time."""

    cues: tuple[FollowedCue, ...]
    readings: tuple[Reading, ...] = ()
    marks: tuple[MarkSpan, ...] = ()
    asks: tuple[Ask, ...] = ()
    findings: tuple[Finding, ...] = ()

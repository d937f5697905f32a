"""Deciding one statement in one position: True, False, or None for "not known".

Each decider takes the claim, the position it may be about, and the talk it was
made in. A phrase that fits several pieces is true if it is true of any; a side
that was not named is either.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

import chess

from timeline.checks.grammar import Claim
from timeline.checks.mate import Mate, find_mate, find_mated
from timeline.checks.nouns import Noun, parse_noun, parse_side
from timeline.score import Score

QUICK_NODES = 1_000
MATE_NODES = 30_000
ALL_MATE_NODES = 45_000


@dataclass(frozen=True, slots=True)
class Spot:
    """A position that a statement may be about. ``last`` led here from ``before``; ``path`` from the score's start."""

    board: chess.Board
    path: tuple[chess.Move, ...] = ()
    before: chess.Board | None = None
    last: chess.Move | None = None
    address: str = ""
    sure: float = 1.0


@dataclass(slots=True)
class Talk:
    """What holds for a whole lesson. ``me``: the side of a teacher who speaks as a player. ``names``: player -> side.

    Mate searches are remembered by position, and share one limit of nodes.
    """

    score: Score | None = None
    me: chess.Color | None = None
    names: dict[str, str] = field(default_factory=dict)
    nodes_left: int = ALL_MATE_NODES
    effort: int = MATE_NODES
    mates: dict[tuple[str, bool], Mate] = field(default_factory=dict)

    def mate(self, board: chess.Board, moves: int, *, attack: bool) -> Mate:
        """``find_mate`` (or ``find_mated``) within what is left of the limit, remembered."""
        key = (board.epd(), attack)
        known = self.mates.get(key)
        if known is not None and (known.decides(moves) is not None or known.nodes >= self.effort):
            return known
        look = find_mate if attack else find_mated
        found = look(board, moves, node_limit=max(200, min(self.effort, self.nodes_left)))
        self.nodes_left -= found.nodes
        self.mates[key] = found
        return found


Verdict = bool | None
Decider = Callable[[Claim, Spot, Talk], Verdict]
DECIDERS: dict[str, Decider] = {}


def decider(*kinds: str) -> Callable[[Decider], Decider]:
    def register(function: Decider) -> Decider:
        for kind in kinds:
            DECIDERS[kind] = function
        return function

    return register


def some(values: Iterable[Verdict]) -> Verdict:
    """True if any is, None if none is but one is unknown (or there is none at all), else False."""
    seen = list(values)
    if any(v is True for v in seen):
        return True
    return None if not seen or any(v is None for v in seen) else False


def every(values: Iterable[Verdict]) -> Verdict:
    """False if any is, None if one is unknown (or there is none), else True."""
    seen = list(values)
    if any(v is False for v in seen):
        return False
    return None if not seen or any(v is None for v in seen) else True


def side_of(claim: Claim, talk: Talk) -> chess.Color | None:
    side = parse_side(claim.parts.get("side"), talk.me)
    return side if side is not None else parse_side(claim.parts.get("poss"), talk.me)


def sides(claim: Claim, talk: Talk) -> list[chess.Color]:
    side = side_of(claim, talk)
    return [chess.WHITE, chess.BLACK] if side is None else [side]


def noun(claim: Claim, name: str, talk: Talk) -> Noun | None:
    text = claim.parts.get(name)
    return parse_noun(text, talk.me) if text else None


PRONOUNS = frozenset(["it", "this", "that", "which"])
"""Subjects that stand for the piece that has just moved, when nothing else is named."""


def at(claim: Claim, spot: Spot, talk: Talk, name: str, side: chess.Color | None = None) -> list[int]:
    """The squares of the piece called ``name`` in the claim; of a pronoun, where the last move went."""
    if claim.parts.get(name) in PRONOUNS:
        return [spot.last.to_square] if spot.last is not None else []
    found = noun(claim, name, talk)
    return found.found(spot.board, side) if found else []


def square(claim: Claim, name: str = "sq") -> int | None:
    text = claim.parts.get(name)
    return chess.parse_square(text) if text else None


def targets(claim: Claim, spot: Spot, talk: Talk, name: str = "b") -> list[int]:
    """Squares of a second piece, or the square itself that was named."""
    there = at(claim, spot, talk, name)
    place = square(claim)
    return there if name in claim.parts else ([place] if place is not None else [])


def file_of(claim: Claim, name: str = "file") -> int | None:
    letter = claim.parts.get(name)
    return "abcdefgh".index(letter) if letter else None

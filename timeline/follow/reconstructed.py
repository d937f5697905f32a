"""The game told from speech alone, as it is handed on: its moves with how sure each is and what else they may be."""

from __future__ import annotations

from dataclasses import dataclass

from timeline.follow.leftover import Leftover

CLOSE = 1.0
"""A second reading that falls behind by less than this (natural-log units) is asked about."""
CLOSE_CAPTURE = 2.5
"""The same for a capture of which the words say only who takes whom, or not even that, and that other moves fit as well."""


@dataclass(frozen=True, slots=True)
class ToldMoves:
    """A person's word: the words at ``at_ms`` tell these moves of the game (SAN), or none of it."""

    at_ms: int
    sans: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ply:
    """One move of the reconstructed main line.

    ``first``/``last``: the words that tell it (-1 for a move that was not told and is guessed from what follows).
    ``at_ms``: their onset; a guessed move has that of the next told one, which a person names to settle both.
    ``sure``: calibrated probability in [0, 1], given that all moves before are right. ``rival``: the move of the second
    reading (SAN), "none" when there the game does not go on here, None when nothing came near; ``margin``: how far it
    falls behind, in natural-log units. ``others``: further moves that come as near. ``open``: the words are those of a bare
    capture that other moves fit as well. ``named``: the opening, as it is named, by which a move is
    guessed.
    """

    uci: str
    san: str
    at_ms: int
    first: int
    last: int
    sure: float
    rival: str | None = None
    margin: float = 0.0
    guessed: bool = False
    settled: bool = False
    others: tuple[str, ...] = ()
    open: bool = False
    named: str = ""

    @property
    def asked(self) -> bool:
        """Whether two readings remain, so that a person should say which."""
        return not self.settled and (self.guessed or self.margin < (CLOSE_CAPTURE if self.open else CLOSE))

    @property
    def alternatives(self) -> tuple[str, ...]:
        """The moves (SAN) of the other readings, the nearest first."""
        return tuple(dict.fromkeys((*(() if self.rival in (None, "none") else (str(self.rival),)), *self.others)))


@dataclass(frozen=True, slots=True)
class ToldGame:
    """A game that the talk begins: the onset of its first move, and its first moves (SAN, with numbers)."""

    at_ms: int
    moves: str


@dataclass(frozen=True, slots=True)
class Reconstruction:
    """The main line from ``start_fen`` on. ``setup``: the words (first, last) that read a set-up aloud.

    ``games``: where the talk begins a game anew and with which moves, if it tells more than one; ``taken``: which is the main line.
    ``left``: moves told after the last one.
    ``unheeded``: numbers of the told moves that could not be played, with the moves up to there and what is legal.
    """

    start_fen: str
    plies: tuple[Ply, ...]
    setup: tuple[int, int] | None = None
    unheeded: tuple[tuple[int, str, str], ...] = ()
    chess960: bool = False
    games: tuple[ToldGame, ...] = ()
    taken: int = 0
    left: Leftover | None = None

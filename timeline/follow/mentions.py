"""Mentions: stretches of words that may name a move, with what each says of it and what hearing it so costs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from timeline.follow.lexer import Tok
from timeline.follow.result import Token


class Desc(NamedTuple):
    """What a mention says of the move; 0, -1 and "" mean "not said". ``chk``: 1 check, 2 mate;
    ``steps``: how many squares a pawn goes;
    ``flank``: k or q, whose side a piece is from ("the queen's knight");
    ``man``: some piece, no pawn."""

    piece: int = 0
    ff: str = ""
    fr: str = ""
    fsq: int = -1
    to: int = -1
    to_file: str = ""
    to_rank: str = ""
    cap: bool = False
    victim: int = 0
    promo: int = 0
    castle: str = ""
    chk: int = 0
    other: bool = False
    both: bool = False
    effect: str = ""
    steps: int = 0
    flank: str = ""
    man: bool = False


@dataclass(frozen=True, slots=True)
class Mention:
    """Tokens ``start`` to ``end`` (exclusive) read as ``desc``.

    ``kind``: full, pawn, to, capsq, cap, take, castle, check, pcheck, piece,
    other, promo, san, effect. ``hear`` is the cost of the hearing in natural-log
    units; ``prep`` the preposition before the target; ``motion`` whether a
    verb of motion was said.
    """

    start: int
    end: int
    desc: Desc
    kind: str
    hear: float
    fillers: int
    motion: bool
    prep: str
    parts: tuple[tuple[int, int, str, bool], ...]
    tail: str = ""

    def tokens(self, toks: Sequence[Tok]) -> tuple[Token, ...]:
        """The parts as word ranges with what they stand for."""
        return tuple(Token(toks[a].word, toks[b].word, written, mended) for a, b, written, mended in self.parts)

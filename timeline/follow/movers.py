"""Who moves, and at which move number, by the words before a mention."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import chess

from timeline.follow.context import Context
from timeline.follow.lexer import Tok
from timeline.follow.mentions import Mention
from timeline.follow.numbers import number_before
from timeline.follow.persons import PERSONS
from timeline.follow.vocabulary import PIECE_WORDS

ADJECTIVE_AFTER = frozenset("the a an this that every each any other poor both his her of on for".split())
"""After these words "white" and "black" describe a piece; they do not name a player."""


class Movers:
    """Lookups over one token sequence, each worked out once. ``persons``: whose moves "I" and "he" tell of."""

    def __init__(self, toks: Sequence[Tok], context: Context, persons: Mapping[str, bool]) -> None:
        self.toks, self.context, self.persons = toks, context, persons
        self._numbers: dict[int, tuple[int, bool]] = {}
        self._agents: dict[int, bool | None] = {}

    def number(self, i: int) -> tuple[int, bool]:
        """The move number announced just before token ``i`` (0 for none), and whether it was called a move."""
        known = self._numbers.get(i)
        if known is None:
            known = self._numbers[i] = number_before(self.toks, i)
        return known

    def agent(self, m: Mention) -> bool | None:
        """The colour that the words nearest before a mention name as its mover."""
        key = id(m)
        if key not in self._agents:
            self._agents[key] = self._agent(m)
        return self._agents[key]

    def _agent(self, m: Mention) -> bool | None:
        k = m.start - 1
        low = max(0, self.context.clause_start(m.start))
        while k >= low:
            word = self.toks[k].text
            if word in ("white", "black") and not (k > 0 and self.toks[k - 1].text in ADJECTIVE_AFTER):
                if k + 1 < m.start or (k + 1 == m.start and not m.desc.piece) or m.motion:
                    return chess.WHITE if word == "white" else chess.BLACK
                return None
            if self.context.chessy[k] or word in PIECE_WORDS:
                return None
            if word in ("white's", "black's") and k + 1 == m.start:
                return chess.WHITE if word == "white's" else chess.BLACK
            k -= 1
        return None

    def person(self, m: Mention) -> bool | None:
        """The colour of the person ("I", "he") named nearest before a mention, where the talk keeps persons apart."""
        k = m.start
        low = self.context.clause_start(m.start)
        while k >= low:
            who = PERSONS.get(self.toks[k].text)
            if who is not None:
                return self.persons.get(who)
            k -= 1
        return None

"""The readings of one token sequence, worked out once."""

from __future__ import annotations

import weakref
from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

import chess

from timeline.follow.context import Context
from timeline.follow.corrections import Corrections
from timeline.follow.grammar import Grammar
from timeline.follow.idling import idle_at
from timeline.follow.ladies import Ladies
from timeline.follow.lexer import Tok
from timeline.follow.mentions import Mention
from timeline.follow.motion import NOT_PAWNS
from timeline.follow.supposed import supposed
from timeline.follow.takebacks import BIDS, PUTS
from timeline.follow.unplayed import Unplayed

_PUSHES = frozenset("push pushes pushed".split())
_ON = frozenset("again on it past once more further forward".split())
"""What may stand between a push and its square."""


class Heard:
    """What may be heard at each token: the grammar's readings, each with the men that its words leave."""

    def __init__(self, toks: Sequence[Tok], context: Context) -> None:
        self.toks, self.context = toks, context
        self._grammar = Grammar(toks)
        self._readings: dict[int, list[Mention]] = {}
        self._ladies = Ladies(toks)
        me = weakref.proxy(self)  # both holding each other would outlive the talk
        self.corrections = Corrections(toks, lambda i: me.at(i))
        self._unmoved = frozenset(k for said in context.backs.values() for k in range(said.first, said.end))

    def at(self, i: int) -> list[Mention]:
        """The mentions that begin at a token."""
        if i in self._unmoved:  # "let me take that back"
            return []
        found = self._readings.get(i)
        if found is None:
            found = self._readings[i] = [hers for m in self._grammar.at(i) for hers in self._ladies.read(self._man(m))]
            found += [whole for m in found if (whole := self.corrections.completed(m)) is not None]
        return found

    def _man(self, m: Mention) -> Mention:
        """The mention as no pawn's, where its words say what pawns do not do: "swings over to h6", "the better square is c6";
        as a pawn's, where they push: "push again, e5"."""
        if m.desc.piece or m.desc.to < 0 or m.desc.cap or m.desc.promo:
            return m
        if self._pushed(m):
            return replace(m, desc=m.desc._replace(piece=chess.PAWN))
        start = self.context.clause_start(m.start)
        words = [tok.text for tok in self.toks[max(start, m.start - 4) : m.end]]
        piece = any(word in NOT_PAWNS for word in words) if m.prep else "square" in words
        return replace(m, desc=m.desc._replace(man=True)) if piece and "pawn" not in words else m

    def _pushed(self, m: Mention) -> bool:
        """Whether a mention that names no man, or what stands before it, tells of a push."""
        if m.kind == "to":
            return any(tok.text in _PUSHES for tok in self.toks[m.start : m.end - 1])
        k = m.start - 1
        while k > 0 and m.start - k < 4 and self.toks[k].text in _ON and self.toks[k].ends in ("", ","):
            k -= 1
        return k >= 0 and self.toks[k].text in _PUSHES and self.toks[k].ends in ("", ",")


class Lattice:
    """All readings of one token sequence and what stands around them; shared by several decodings."""

    def __init__(self, toks: Sequence[Tok]) -> None:
        self.toks = toks
        self.n = len(toks)
        self.context = Context(toks)
        heard = Heard(toks, self.context)
        self.readings, self.corrections = heard.at, heard.corrections
        self._names: dict[tuple[int, int], list[str]] = {}
        self._back: dict[tuple[int, int], bool] = {}
        self._put_back: dict[tuple[int, int], bool] = {}
        self.unplayed = Unplayed(toks, self.readings)
        self.supposed = supposed(toks)
        self.idle = {i: said for i in range(self.n) if self.context.may_turn(i) and (said := idle_at(toks, i)) is not None}

    def idly(self, m: Mention) -> bool:
        """Whether a mention is only a man of whom words say that it makes some move ("king somewhere")."""
        if m.desc.to >= 0 or m.kind not in ("piece", "effect"):
            return False
        return any(said.start <= m.start and m.end <= said.end for said in self.idle.values())

    def back(self, m: Mention) -> bool:
        """Whether the words of a mention, or the two before it, go "back to" its square."""
        key = (m.start, m.end)
        found = self._back.get(key) if not m.desc.cap else False  # "takes back on d4"
        if found is None:
            words = [tok.text for tok in self.toks[max(0, m.start - 2) : m.end]]
            found = self._back[key] = any(a == "back" and b in ("to", "on", "onto") for a, b in pairwise(words))
        return found

    def put_back(self, m: Mention) -> bool:
        """Whether the mention's clause tells a listener to put a man back ("put the rook back on a6"): no move."""
        key = (m.start, m.end)
        found = self._put_back.get(key)
        if found is None:
            start = self.context.clause_start(m.start)
            words = [tok.text for tok in self.toks[start : m.end + 1]]
            at = next((k for k, word in enumerate(words) if word in PUTS), None)
            found = at is not None and "back" in words and all(word in BIDS for word in words[:at])
            self._put_back[key] = found
        return found

    def names(self, m: Mention) -> list[str]:
        key = (m.start, m.end)
        found = self._names.get(key)
        if found is None:
            found = self._names[key] = self.context.before(m.start) + self.context.after(m.end)
        return found

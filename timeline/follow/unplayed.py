"""Mentions that tell of no move, by the words before them: a man that is not there or only owned, a move that was replaced, lists of ideas."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence
from typing import NamedTuple

from timeline.follow.absent import CLAUSE, denied
from timeline.follow.lexer import Tok
from timeline.follow.mentions import Desc, Mention
from timeline.follow.notmade import not_yet, ruled_out, untouched
from timeline.follow.vocabulary import PIECE_WORDS

Readings = Callable[[int], Sequence[Mention]]

_OWNED = re.compile(
    r"(?:^| )(?:i've|he's|she's|we've|you've|they've|(?:i|he|she|we|you|they|white|black|who|and|also|still|only) (?:have|has|had))(?: (?:got|also|only|still|just"
    r"|now|even|always))* (?:an?|the|one|this|that|another|my|his|her|our|your|their)(?: (?:extra|spare|passed|doubled|isolated|backward|lonely|little|good|bad|far))*$"
)
"""Before "h pawn" that somebody has: no move. What is done with a man has its verb ("he has pushed the h pawn")."""
_THE = frozenset("the his her my our your".split())
_SURE = 0.4
"""Cost of hearing under which a word names a man."""
_INSTEAD = frozenset(("instead of", "rather than", "place of"))
_THAT = frozenset("that this it them these those which what him her".split())
_IDEAS = r"(?:moves|plans|ideas|options|candidates|choices|choice|tries|continuations|possibilities|alternatives|replies|squares)"
_LIST = re.compile(
    rf"(?:^| )(?:{_IDEAS}(?: (?:here|now|for|white|black|him|her|me|you|us|of|plans|moves|ideas|to|consider|then))*"
    r" (?:are|were|would be|include|included|like|such as|among them|between)"
    r"|(?:think|thought|thinking|dream|dreamt|dreaming|speak|talk) of"
    r"|(?:choose|chose|choosing|hesitate|hesitated|torn|choice|decide|deciding) between"
    r"|(?:consider|considered|considering))$"
)
"""Before a list of moves that one side might make."""
_WISH = re.compile(
    r"(?:^| )(?:(?:really |now |also )*(?:threatens|threatened|threatening)(?: to)?"
    r"|threats? (?:is|was|are|were|here is)(?: to)?"
    r"|(?:would|[a-z]+'d) (?:like|love) to|time for|get in|gets in)$"
)
"""Before what one side would like to play, its moves one after the other without the answers."""
_PLAN = re.compile(
    r"(?:^| )(?:(?<!computer )(?<!engine )(?<!machine )(?:want|wants|wanted)(?: (?:with|as|for) (?:white|black))?(?: is| was)?(?: to (?:play|go|have|get))?"
    r"|(?:would|[a-z]+'d) (?:like|love)(?: is| to play| to go)"
    r"|(?:plan|plans|dream|dreams|aim) (?:is|was|are|were)(?: to play| to go| simply| just| now)?)"
    r"(?:(?<= is|was)(?: that)? (?P<by>i|he|she|we|you|they|white|black)(?: (?:just|simply))?(?: (?:puts?|go|goes|plays?|gets?|brings?|push|pushes)(?: (?:the|my|his|her|our|their|a))?)?)?$"
)
"""Before a plan told as several moves of one side ("what I want is queen g4, then the bishop to e4"): in 222 lessons the board moves in
3 of 19 such sentences."""
_PLAN_ENDS = frozenset("so but if say suppose when because which i he she we you they white black takes take with check mate".split())
"""Words that end the list of such a plan."""
_BETWEEN = 7
"""So many words stand at most between two moves of it."""
_THREAT = re.compile(r"(?:^| )(?:threats? (?:is|was|are|were)(?: now)?|threatens|threatened|threatening)(?: to)?$")
_TAKING = 0.5
"""Cost of hearing under which "taking" is a capture: after "instead of" it is."""
_MAY = re.compile(
    r"(?:^|.* )(?P<may>(?:i|we|you|he|she|they|white|black|one) (?:could|can|might|may))(?: (?:also|even|just|now|then))*"
    r"(?: (?:do|play|go|go for|try|have|choose|put|consider))?(?: the move)?"
)
"""Before a move that one side may make: said again with the next move, it is a list ("you can go f5, you can go h3")."""
_WHERE = re.compile(r"where(?: (?:to|else|exactly|then|now))*(?: (?:can|could|should|does|will|shall|must) (?:he|she|it|the [a-z]+)(?: [a-z]+){0,3})?")
_JOINS = frozenset("and or also even simply just maybe perhaps either with then possibly say like playing plus".split())
_SERIES = frozenset("and then next followed by later".split())
_NAMED = frozenset("full pawn to capsq cap castle san effect promo".split())
FILLERS_AT_MOST = 3
REACH_TOKENS = 9
REACH_AFTER = 5
"""So many words stand at most between a replaced move and the one in its place."""


class Replaced(NamedTuple):
    """ "instead of Y": the tokens from "instead" to the end of Y, and what Y may mean."""

    start: int
    end: int
    descs: tuple[Desc, ...]


class Unplayed:
    """Lookups over one token sequence. ``readings``: the mentions that begin at a token."""

    def __init__(self, toks: Sequence[Tok], readings: Readings) -> None:
        self.toks, self.readings = toks, readings
        self._idle: set[int] = set()
        self._threats: set[int] = set()
        self._replaced: list[Replaced] = []
        self._idle.update(untouched(toks))
        for i in range(len(toks)):
            if toks[i].text in PIECE_WORDS:
                self._absent(i)
            if i + 1 < len(toks) and not toks[i].ends and f"{toks[i].text} {toks[i + 1].text}" in _INSTEAD:
                self._instead(i)
            self._listed(i)
            self._planned(i)
            self._offered(i)
            self._owned(i)
            self._not_made(i)
            if i and _THREAT.search(self._words_before(i)):
                m = self._longest(i)
                self._threats.update(range(i, m.end if m else i))

    def threat(self, i: int) -> bool:
        """Whether a mention that begins at token ``i`` is what somebody threatens: not what the game goes on with."""
        return i in self._threats

    def at(self, i: int) -> bool:
        """Whether a mention that begins at token ``i`` tells of no move."""
        return i in self._idle

    def instead_of(self, m: Mention) -> tuple[Desc, ...]:
        """What the words around a mention say it stands in place of ("knight f3 instead of d4", "instead of d4 he chose …")."""
        for found in self._replaced:
            between = range(m.end, found.start) if found.start >= m.end else range(found.end, m.start)
            near = 2 if found.start >= m.end else REACH_AFTER
            edge = range(between.start - 1, between.stop)
            if found.start < m.end and m.start < found.end:
                continue
            if m.desc.victim and found.descs == (Desc(piece=found.descs[0].piece),):
                continue  # "takes the knight instead of the queen"
            if len(between) <= near and not any(self.toks[k].ends in (".", "?") for k in edge):
                return found.descs
        return ()

    def replaced_before(self, m: Mention) -> int:
        """The token at which words before a mention begin to say what it stands in place of; -1 where none do."""
        for found in self._replaced:
            parted = any(tok.ends in (".", "?") for tok in self.toks[found.start : m.start])
            if 0 <= m.start - found.end <= REACH_AFTER and not parted:
                return found.start
        return -1

    def _words_before(self, i: int, *, over: str = "") -> str:
        """The words before token ``i``, as far as it matters: of its clause, or ``over`` a weaker mark as well."""
        k = i
        while k > 0 and i - k < REACH_TOKENS and self.toks[k - 1].ends in ("", over):
            k -= 1
        return " ".join(tok.text for tok in self.toks[k:i])

    def _longest(self, i: int, hear: float = 0.4) -> Mention | None:
        """The longest mention heard as it stands that begins at token ``i``."""
        exact = [m for m in self.readings(i) if m.hear < hear]
        return max(exact, key=lambda m: m.end) if exact else None

    def _absent(self, i: int) -> None:
        placed = [m.end for m in self.readings(i) if m.desc.to >= 0 and m.prep in ("on", "at") and not m.motion]
        if not placed:
            return
        low = on = i
        while low > 0 and i - low < CLAUSE and not self.toks[low - 1].ends:
            low -= 1
        while on < max(placed) and self.toks[on].text not in ("on", "at"):
            on += 1
        if denied(" ".join(tok.text for tok in self.toks[low : on + 1])):
            first = i - 1 if i and self.toks[i - 1].text == "a" else i  # "a pawn" may be the a pawn
            self._idle.update(range(first, max(placed)))

    def _owned(self, i: int) -> None:
        men = [m.end for m in self.readings(i) if m.kind == "piece" and not m.desc.effect]
        if men and _OWNED.search(self._words_before(i)):
            self._idle.update(range(i, max(men)))

    def _not_made(self, i: int) -> None:
        self._idle.update(not_yet(self.toks, i, self._longest))
        m = self._longest(i)
        if m is not None and ruled_out(self.toks, m):
            self._idle.update(range(i, m.end))

    def _instead(self, i: int) -> None:
        for k in range(i + 2, min(len(self.toks), i + 3 + FILLERS_AT_MOST)):
            if self.toks[k - 1].ends or self.toks[k].text in _THAT:
                return
            m = self._longest(k, _TAKING)
            if m is not None:
                self._idle.update(range(k, m.end))
                descs = tuple(dict.fromkeys(r.desc for r in self.readings(k) if r.end == m.end and r.hear < 1.0))
                self._replaced.append(Replaced(i - 1 if self.toks[i].text == "place" and i else i, m.end, descs))
                return
            man, heard = PIECE_WORDS.get(self.toks[k].text, (0, 1.0))
            if man and heard < _SURE and k == i + 3 and self.toks[k - 1].text in _THE:  # "in place of the knight": its last move
                end = k + 1 + (not self.toks[k].ends and k + 1 < len(self.toks) and self.toks[k + 1].text == "move")
                self._replaced.append(Replaced(i - 1 if self.toks[i].text == "place" and i else i, end, (Desc(piece=man),)))
                return

    def _listed(self, i: int) -> None:
        """A list that begins at token ``i``, if one does."""
        if self._longest(i) is None:
            return
        before = self._words_before(i, over=",")
        if not before and self._where(i):
            members = self._chain(i, _JOINS, commas=True)
            if any(m.kind not in ("pawn", "to") for m in members):
                return
        elif before and _LIST.search(before):
            members = self._chain(i, _JOINS, commas=True)
        elif before and _WISH.search(before):
            members = self._chain(i, _SERIES, commas=False)
            if any(m.kind not in _NAMED for m in members):
                return
        else:
            return
        if len(members) > 1:
            for m in members:
                self._idle.update(range(m.start, m.end))

    def _planned(self, i: int) -> None:
        """Moves of one side's plan, beginning with one at token ``i``."""
        plan = _PLAN.search(self._words_before(i, over=",")) if self._longest(i) is not None else None
        if plan is None:
            return
        ends = _PLAN_ENDS - {plan["by"]}
        members: list[Mention] = []
        at: int | None = i
        while at is not None:
            m = self._longest(at)
            if m is None or m.desc.to < 0 or m.desc.cap:
                break
            members.append(m)
            at = self._next_planned(m, ends)
        if len(members) > 1:
            for m in members:
                self._idle.update(range(m.start, m.end))

    def _next_planned(self, m: Mention, ends: frozenset[str]) -> int | None:
        """Where the next move of a plan is named after ``m``; None where the plan ends with it."""
        if any(tok.text in ends for tok in self.toks[m.start : m.end]):
            return None
        for at in range(m.end, min(len(self.toks), m.end + _BETWEEN)):
            if self.toks[at - 1].ends in (".", "?") or self.toks[at].text in ends:
                return None
            if self._longest(at) is not None:
                return at
        return None

    def _where(self, i: int) -> bool:
        """Whether the question before token ``i`` asks where a man may go ("Where to? F3, a6, c4.")."""
        k = i
        while k > 0 and i - k < REACH_TOKENS and (k == i or self.toks[k - 1].ends not in (".", "?")):
            k -= 1
        asked = " ".join(tok.text for tok in self.toks[k:i])
        return i > 0 and self.toks[i - 1].ends == "?" and _WHERE.fullmatch(asked) is not None

    def _offered(self, i: int) -> None:
        """Moves that the same words offer one after the other, beginning with one at token ``i``."""
        offered = _MAY.fullmatch(self._words_before(i))
        members: list[Mention] = []
        at = i
        while offered is not None and (m := self._longest(at)) is not None:
            members.append(m)
            at = next((k for k in range(m.end, min(len(self.toks), m.end + REACH_TOKENS)) if self._longest(k)), m.end)
            again = _MAY.fullmatch(" ".join(tok.text for tok in self.toks[m.end : at]))
            if again is None or again["may"] != offered["may"] or any(tok.ends == "?" for tok in self.toks[m.end - 1 : at]):
                break
        if len(members) > 2:  # of two the second is often gone on with
            for m in members:
                self._idle.update(range(m.start, m.end))

    def _chain(self, i: int, joins: frozenset[str], *, commas: bool) -> list[Mention]:
        """The mentions from token ``i`` on that only ``joins`` (and ``commas``) keep apart."""
        found: list[Mention] = []
        at = i
        while at < len(self.toks):
            m = self._longest(at)
            if m is None:
                break
            found.append(m)
            end = self.toks[m.end - 1].ends
            at = m.end
            joined = at < len(self.toks) and self.toks[at].text in joins
            if end in (".", "?") or (end and not commas and not joined):
                break
            while at < len(self.toks) and self.toks[at].text in joins and not self.toks[at].ends:
                at += 1
            if at == m.end and not end:
                break
        return found

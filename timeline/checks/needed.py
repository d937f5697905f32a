"""What a sentence must hold, and in which order, for a pattern of the grammar to fit it.

Makes reading fast, no more: putting a regular expression together costs far
more than looking for words, and most patterns fit nothing in a lesson.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache

from timeline.checks.openings import opening_names

_WORD = re.compile(r"[a-z0-9'-]+")
_MORE_WORDS = re.compile(r"(?:[ _][a-z0-9'-]+)+(?=[ _|)]|$)")
_WHOLE = re.compile(r"(?=[ _|)]|$)")
_OPTIONAL = re.compile(r"[?*]\??|\{0[^}]*\}")
_REPEATED = re.compile(r"[+?]|\{[^}]*\}\??")
_GROUP = re.compile(r"\((?:\?:|\?P<\w+>)?")
_LOOK = re.compile(r"\(\?(?:<?[=!]|P=)")
_MACRO = re.compile(r"<[A-Z]+>")
_ADVERBS = re.compile(r"<[~,]> ?")
_NUMBERS = tuple("0123456789")
_PIECES = ("king", "queen", "rook", "bishop", "knight", "pawn")
_TIMES = ("once", "twice", "thrice", "times", "fold")
_BY_MACRO = (
    {f"<{k}>": _PIECES for k in "ABC"}
    | {f"<{k}>": _NUMBERS for k in "NMQR"}
    | {f"<{k}>": _TIMES for k in "TU"}
    | {"<V>": (*_NUMBERS, "castl"), "<PIECE>": (*_PIECES, "piece")}
)


@dataclass(frozen=True, slots=True)
class Needed:
    """``steps``: one alternative of each step must be there, each step's after the one before."""

    steps: tuple[tuple[str | Needed, ...], ...] = ()

    def met(self, text: str) -> bool:
        """Whether plain text (a space before and after each word, no commas) has it all."""
        return self.after(text, 0) >= 0

    def after(self, text: str, at: int) -> int:
        """The earliest place after ``at`` by which all steps are taken; -1 where they cannot be."""
        for step in self.steps:
            ends = [e for one in step if (e := _end(one, text, at)) >= 0]
            if not ends:
                return -1
            at = min(ends)
        return at


def _end(one: str | Needed, text: str, at: int) -> int:
    if isinstance(one, Needed):
        return one.after(text, at)
    found = text.find(one, at)
    return found + len(one) if found >= 0 else -1


@cache
def needed(template: str) -> Needed:
    """What cannot be left out of what a template fits.

    >>> needed("<S> can not (?:legally )?move(?! to)").steps
    ((' can not',), (' move',))
    """
    need, _ = _Reader(template).choice(start=True)
    return need


class _Reader:
    """A template from left to right. ``start``, here and below: whether a word begins at this place."""

    def __init__(self, template: str) -> None:
        self._text = template
        self._at = 0

    def _take(self, pattern: re.Pattern[str]) -> str:
        found = pattern.match(self._text, self._at)
        self._at = found.end() if found else self._at
        return found[0] if found else ""

    def choice(self, *, start: bool) -> tuple[Needed, bool]:
        """Alternatives up to a closing bracket or the end: what they need, and whether all end before a word."""
        needs: list[Needed] = []
        ends: list[bool] = []
        while True:
            need, end = self._sequence(start=start)
            needs.append(need)
            ends.append(end)
            if self._text[self._at : self._at + 1] != "|":
                return _one_of(needs), all(ends)
            self._at += 1

    def _sequence(self, *, start: bool) -> tuple[Needed, bool]:
        steps: list[tuple[str | Needed, ...]] = []
        while self._at < len(self._text) and self._text[self._at] not in "|)":
            need, start = self._item(start=start)
            steps += need.steps
        return Needed(tuple(steps)), start

    def _item(self, *, start: bool) -> tuple[Needed, bool]:
        if self._take(_ADVERBS):
            return Needed(), start
        if macro := self._take(_MACRO):
            words = _openings() if macro == "<OPENING>" else _BY_MACRO.get(macro, ())
            return self._counted(Needed((words,) if words else ()), before=start, after=False)
        if self._take(_LOOK):
            self.choice(start=False)
            self._at += 1
            return Needed(), start
        if self._take(_GROUP):
            need, end = self.choice(start=start)
            self._at += 1
            return self._counted(need, before=start, after=end)
        if word := self._take(_WORD):
            return self._words(word, start=start), False
        sign = self._text[self._at]
        if sign == "[":
            self._at = self._text.index("]", self._at + 2)
        self._at += 2 if sign == "\\" else 1
        return self._counted(Needed(), before=start, after=sign in " _")

    def _words(self, word: str, *, start: bool) -> Needed:
        """A word with those that follow at once, or its part before a letter that may be left out."""
        if _WHOLE.match(self._text, self._at):
            word += self._take(_MORE_WORDS).replace("_", " ")
        elif self._take(_OPTIONAL):
            word = word[:-1]
        self._take(_REPEATED)
        return Needed(((" " * start + word,),) if word else ())

    def _counted(self, need: Needed, *, before: bool, after: bool) -> tuple[Needed, bool]:
        """A sign or a group with what says how often it stands."""
        if self._take(_OPTIONAL):
            return Needed(), before and after
        self._take(_REPEATED)
        return need, after


def _one_of(needs: list[Needed]) -> Needed:
    """Alternatives: nothing is needed if one of them needs nothing."""
    if len(needs) == 1:
        return needs[0]
    if not all(need.steps for need in needs):
        return Needed()
    flat: list[str | Needed] = []
    for need in needs:
        flat += need.steps[0] if len(need.steps) == 1 else (need,)
    return Needed((tuple(dict.fromkeys(flat)),))


@cache
def _openings() -> tuple[str, ...]:
    return tuple(dict.fromkeys(name.split()[0] for name in opening_names()))

"""A sentence in plain words, each with its place in the transcript."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Token:
    """One plain word, from the transcript words ``first`` to ``last``. ``name``: the player's, if it was one."""

    text: str
    first: int
    last: int
    name: str | None = None


@dataclass(frozen=True, slots=True)
class Sentence:
    """``text`` is the tokens with a space before each and one at the end; ``end`` is ``"."``, ``"?"`` or ``""``."""

    tokens: tuple[Token, ...]
    end: str
    text: str
    starts: tuple[int, ...]

    def token_at(self, offset: int) -> int:
        """The index of the token that holds the character at ``offset``."""
        return max(0, bisect_right(self.starts, offset) - 1)


def sentence_of(tokens: Sequence[Token], end: str) -> Sentence:
    starts, at = [], 1
    for token in tokens:
        starts.append(at)
        at += len(token.text) + 1
    return Sentence(tuple(tokens), end, " " + " ".join(t.text for t in tokens) + " ", tuple(starts))

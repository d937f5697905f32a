"""A sentence in plain words, each with its place in the transcript."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

# What parts a sentence into stretches that are read by themselves; a comma does not.
_PARTS = frozenset("but because so while if when until although though whereas unless since before after then".split())
MOST_WORDS = 24  # of a stretch that is still read


@dataclass(frozen=True, slots=True)
class Token:
    """One plain word, from the transcript words ``first`` to ``last``. ``name``: the player's, if it was one."""

    text: str
    first: int
    last: int
    name: str | None = None


@dataclass(frozen=True, slots=True)
class Sentence:
    """``text`` is the tokens with a space before each and one at the end; ``end`` is ``"."``, ``"?"`` or ``""``.

    ``trails``: it breaks off ("and his bishop's hanging...").
    """

    tokens: tuple[Token, ...]
    end: str
    text: str
    starts: tuple[int, ...]
    trails: bool = False

    def token_at(self, offset: int) -> int:
        """The index of the token that holds the character at ``offset``."""
        return max(0, bisect_right(self.starts, offset) - 1)


def sentence_of(tokens: Sequence[Token], end: str, *, trails: bool = False) -> Sentence:
    starts, at = [], 1
    for token in tokens:
        starts.append(at)
        at += len(token.text) + 1
    return Sentence(tuple(tokens), end, " " + " ".join(t.text for t in tokens) + " ", tuple(starts), trails)


def stretches(sentence: Sentence) -> Iterator[tuple[int, int]]:
    """Token ranges (first, last) of a sentence that are read by themselves: parted by conjunctions, not too long."""
    start, tokens = 0, sentence.tokens
    for index, token in enumerate([*tokens, None]):
        looked = index > 0 and tokens[index - 1].text.startswith("look")  # "looking after" is one verb
        if token is None or (token.text in _PARTS and index > start and not looked):
            if 0 < index - start <= MOST_WORDS:
                yield start, index - 1
            start = index

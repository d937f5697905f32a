"""Players by name: "Anderssen takes" says "white takes" where the score names White Anderssen."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from timeline.follow.lexer import Tok
from timeline.follow.vocabulary import (
    CASTLE_WORDS,
    CHECK_WORDS,
    CLASSES,
    FILE_WORDS,
    FILLERS,
    LEADERS,
    MATE_WORDS,
    PIECE_WORDS,
    RANK_WORDS,
    TAKE_WORDS,
)
from timeline.score import Score

_PARTICLES = frozenset("von van der den ter dos della del las los the and".split())
_TAKEN = frozenset().union(
    CASTLE_WORDS, CHECK_WORDS, CLASSES, FILE_WORDS, FILLERS, LEADERS, MATE_WORDS, PIECE_WORDS, RANK_WORDS, TAKE_WORDS
)
"""Words that mean something of their own to the follower: a player called King or Short is not known by that name."""
_SHORTEST = 3
ROLES = frozenset(
    "white black first second third player players board home guest visitor opponent opponents pupil pupils student students "
    "teacher coach narrator streamer amateur master anonymous nn me you computer engine human team club round unknown allies "
    "consultants club-mate friend course".split()
)
"""Words that stand in a score where a name should: they name nobody in the talk ("of course", "my teacher")."""


def _parts(name: str) -> set[str]:
    words = name.lower().replace("’", "'").replace(",", " ").replace(".", " ").replace("-", " ").split()
    return {
        word for word in words if len(word) >= _SHORTEST and word.isalpha() and word not in _PARTICLES | _TAKEN | ROLES
    }


def with_sides(toks: Sequence[Tok], score: Score) -> list[Tok]:
    """The tokens with "white" and "black" (or their possessives) for the parts of the players' names that tell them apart."""
    white, black = _parts(score.header("White") or ""), _parts(score.header("Black") or "")
    sides = {**dict.fromkeys(white - black, "white"), **dict.fromkeys(black - white, "black")}
    if not sides:
        return list(toks)
    found = []
    for tok in toks:
        owner = tok.text.endswith("'s")
        side = sides.get(tok.text.removesuffix("'s"))
        found.append(tok if side is None else replace(tok, text=f"{side}'s" if owner else side))
    return found

"""The sentences of a lesson in plain words, with its players' names and what the follower heard put in."""

from __future__ import annotations

import re
from collections.abc import Sequence

from timeline.checks.sentence import Sentence
from timeline.checks.speech import sentences
from timeline.follow.result import Follow
from timeline.score import Score
from timeline.transcript.words import Word


def lesson_sentences(words: Sequence[Word], score: Score, follow: Follow | None) -> list[Sentence]:
    """Every sentence of a lesson, in order of time."""
    return sentences(words, mended=mended_words(follow), sides=player_sides(score))


def player_sides(score: Score) -> dict[str, str]:
    """Names of the players in lower case -> "white" or "black"; names that both share are left out."""
    found: dict[str, set[str]] = {}
    for tag, side in (("White", "white"), ("Black", "black")):
        for part in re.split(r"[\s,.]+", score.header(tag) or ""):
            name = part.lower().strip("'\"()")
            if len(name) >= 3 and name not in _NOT_NAMES:
                found.setdefault(name, set()).add(side)
    return {name: next(iter(sides)) for name, sides in found.items() if len(sides) == 1}


_NOT_NAMES = frozenset(
    "king queen rook bishop knight pawn white black check mate castle the and game jr sen anonymous amateur player "
    "student teacher guest club team board allies computer engine master grandmaster".split()
)


def mended_words(follow: Follow | None) -> dict[int, tuple[int, str]]:
    """What the follower heard instead of the transcript's words."""
    if follow is None:
        return {}
    return {t.first: (t.last, t.written) for r in follow.readings for t in r.tokens if t.mended}

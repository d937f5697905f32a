"""Punctuation by ear: where a transcript has none, the pauses between its words stand for it.

Captions of recognisers come in lower case and without marks; the talk's
clauses are then heard only in its rests. A pause never parts what belongs
together in a move's name ("knight ... f3"): speakers think there. Where the
times of single words are not known either, the words have to say it
(``borders``).
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from timeline.follow.borders import Borders, shipped_borders
from timeline.follow.lexer import Tok
from timeline.follow.vocabulary import ARTICLES, FILE_WORDS, PIECE_WORDS, PREPOSITIONS, RANK_WORDS, TAKE_WORDS

SENTENCE_MS = 340
CLAUSE_MS = 90
"""Least pauses that stand for a full stop and for a comma. Read off narrations of punctuated texts by 25 synthetic
voices: 9 of 10 full stops rest for at least 360 ms, commas for 30 to 330, other words under 15."""
PUNCTUATED = 0.02
"""Share of words with a mark from which a text counts as punctuated."""

FEW_MARKS = 0.14
"""Share of words with a mark or a pause below which the words are asked: punctuated narrations have .16 to .38 (one .10), the
same as captions without sound .05 to .13."""


def heard_punctuation(toks: Sequence[Tok], borders: Borders | None = None) -> list[Tok]:
    """The tokens with the marks that their pauses stand for, or where too few pauses are known, their words; unchanged where
    the text has marks of its own. ``borders``: another model than the one that ships."""
    found = by_pauses(toks)
    if not found or sum(1 for tok in found if tok.ends) >= FEW_MARKS * len(found):
        return found
    own = sum(1 for tok in toks if tok.ends in (".", "?")) > PUNCTUATED * len(toks)
    marks = (borders or shipped_borders()).marks([tok.text for tok in found])
    for k, mark in enumerate(marks):
        if mark and not found[k].ends and not _together(found[k].text, found[k + 1].text):
            mark = "," if own else mark  # a writer who sets full stops sets them all
            found[k] = replace(found[k], ends=mark)
            if mark == ".":
                found[k + 1] = replace(found[k + 1], starts=True)
    return found


def by_pauses(toks: Sequence[Tok]) -> list[Tok]:
    """The tokens with the marks that their pauses stand for; unchanged where the text has marks of its own."""
    found = list(toks)
    if not found or sum(1 for tok in found if tok.ends) > PUNCTUATED * len(found):
        return found
    for k in range(len(found) - 1):
        gap = found[k + 1].gap_ms
        if gap < CLAUSE_MS or found[k].ends or _together(found[k].text, found[k + 1].text):
            continue
        sentence = gap >= SENTENCE_MS
        found[k] = replace(found[k], ends="." if sentence else ",")
        if sentence:
            found[k + 1] = replace(found[k + 1], starts=True)
    return found


def _together(first: str, second: str) -> bool:
    """Whether two words are parts of one move's name."""
    square = len(second) == 2 and second[0] in FILE_WORDS and second[1] in RANK_WORDS
    leads = first in PIECE_WORDS or first in FILE_WORDS or first in TAKE_WORDS or first in PREPOSITIONS
    if leads and (square or second in FILE_WORDS or second in RANK_WORDS):
        return True
    return first in ARTICLES or first in PREPOSITIONS

"""How likely words are after one another in plain English: the trigram model in the pocketsphinx wheel.

The model (``en-us.lm.bin``, a general one of some twenty thousand words) comes
with the recogniser that aligns recordings. It knows nothing of chess, which is
the point: words that are at home in ordinary talk are probably what was said.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from math import log
from typing import Any

from timeline.captions.units import core
from timeline.transcript.pronounce import model_folder

BEGIN, END = "<s>", "</s>"
_LEAST = -20.0  # natural log: a word that the model does not hold
_TIED = 3.5  # natural log
_STEP = log(1.0001)  # the library counts in powers of 1.0001


@lru_cache(maxsize=1)
def _model() -> Any:
    import pocketsphinx

    folder = model_folder()
    path = folder / "en-us.lm.bin" if folder else None
    if path is None or not path.exists():
        raise RuntimeError("pocketsphinx is installed without its US-English model")
    return pocketsphinx.NGramModel(pocketsphinx.Config(), pocketsphinx.LogMath(1.0001), str(path))


@lru_cache(maxsize=200_000)
def chance(word: str, *before: str) -> float:
    """Natural log of the probability of a word (lower case) after up to two others, the nearest last; at least -20."""
    return max(_LEAST, float(_model().prob([word, *reversed(before[-2:])])) * _STEP)


def sets_phrase(word: str, following: str) -> bool:
    """Whether plain English ties a word to the next one: "night shift", "rock band".

    The next word must be some thirty times likelier after it than by itself; of
    731 mis-hearings in ``tests/data/lessons`` none is so tied to what follows.
    """
    alone = chance(following)
    return alone > _LEAST and chance(following, word) - alone >= _TIED


def chances(words: Sequence[str]) -> list[float]:
    """For each word how likely it is after the two before it; the first ones after the beginning of a sentence."""
    run = [BEGIN, *words]
    return [chance(run[k], *run[max(0, k - 2) : k]) for k in range(1, len(run))]


_SQUARE = re.compile("[a-h][1-8](?:'s)?")
_LIKE_A_SQUARE = "home"  # a plain word of place, for squares, which the model does not know


_LIKE_A_NAME, _RARE = "john", -13.0  # natural log, of the word by itself


def is_first_name(word: str, written: str) -> bool:
    """Whether a word (lower case) belongs to the name that is written after it: plain English hardly knows either."""
    own = core(written)
    return written[:1].isupper() and chance(own.removesuffix("'s")) < _RARE and _LEAST < chance(word) < _RARE


def is_square(word: str) -> bool:
    """Whether a word (lower case) is a square of the board, or one's ("e4's")."""
    return bool(_SQUARE.fullmatch(word))


def name_gain(before: Sequence[str], words: Sequence[str], after: Sequence[str]) -> float:
    """How much likelier plain English is with a name in place of words, natural log.

    ``before`` are up to two words before them, ``after`` the next ones; the
    sentence ends where ``after`` has fewer than two.
    """
    tail = [*after, END][:2]

    def likely(middle: Sequence[str]) -> float:
        run = [_LIKE_A_SQUARE if is_square(w) else w for w in (*before, *middle, *tail)]
        return sum(chance(run[k], *run[max(0, k - 2) : k]) for k in range(len(before), len(run)))

    return likely([_LIKE_A_NAME]) - likely(words)


def plain_words(words: Sequence[str], written: Sequence[str]) -> list[str]:
    """Words with a common first name for each name (a capital) that the model hardly knows."""
    return [
        _LIKE_A_NAME if text[:1].isupper() and chance(word.removesuffix("'s")) < _RARE else word
        for word, text in zip(words, written, strict=True)
    ]


def border_gains(words: Sequence[str]) -> list[float]:
    """For the gap before each word (the first: 0.0): how much likelier plain English is with a sentence border there.

    Natural log: the end after the two words before, the two words after as a
    beginning, against all of them running on.
    """
    words = [_LIKE_A_SQUARE if is_square(word) else word for word in words]
    found = [0.0]
    for k in range(1, len(words)):
        before, c = words[max(0, k - 2) : k], words[k]
        d = words[k + 1] if k + 1 < len(words) else END
        parted = chance(END, *before) + chance(c, BEGIN) + chance(d, BEGIN, c)
        found.append(parted - chance(c, *before) - chance(d, words[k - 1], c))
    return found

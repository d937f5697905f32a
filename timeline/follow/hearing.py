"""Words that only sound like a piece, a square, "takes", or a piece and its square in one."""

from __future__ import annotations

from functools import lru_cache

import chess

from timeline.follow import phonetics
from timeline.follow.vocabulary import FILE_WORDS, PIECE_NAMES, PIECE_WORDS, RANK_WORDS, TAKE_WORDS

COMMON = frozenset(
    """the a an and of is it that he she we i you they this in on at was with for as but so if or not no then there here what
    his her my our your their have has had be been will would could can do does did just like now very more all out up down
    one first by from about when which who how because only also than them him me us its it's that's he's i'm we're get got
    go goes going come comes know think see say said look want right really make makes good bad well""".split()
)
_NO_RANK = frozenset("file files pawn pawns rank square squares side white black mate check great".split())
"""After a file's letter these are what they are."""
_RANK_ALIKE = 0.55
_DIGITS = tuple((digit, phonetics.digit_phones(digit)) for digit in "12345678")
_HEARD_FOR = {("nine",): (chess.KNIGHT, 1.2)}
"""Before a square or a capture: no rank has that number."""
_PLAIN = frozenset("kingside queenside kingdom nightmare knightly".split())


@lru_cache(maxsize=50000)
def fuzzy_squares(words: tuple[str, ...]) -> tuple[tuple[int, float], ...]:
    """Squares that the words sound like, at most eight, with costs."""
    if len(words) == 1 and (words[0] in COMMON or len(words[0]) < 3):
        return ()
    if len(words) == 2 and words[0] in COMMON and words[1] in COMMON and words[1] not in RANK_WORDS:
        return ()
    if any(w in PIECE_WORDS and PIECE_WORDS[w][1] < 0.4 for w in words) or words[0] in TAKE_WORDS:
        return ()
    if any(w in chess.SQUARE_NAMES for w in words):
        return ()
    heard = tuple(p for w in words for p in phonetics.phones(w))
    return tuple((square, 0.9 + 5.0 * alike) for square, alike in _squares_like(heard, 0.66))[:8]


@lru_cache(maxsize=50000)
def _squares_like(heard: phonetics.Phones, limit: float) -> tuple[tuple[int, float], ...]:
    if not 2 <= len(heard) <= 9:
        return ()
    found = []
    for name, said in phonetics.SQUARE_PHONES.items():
        if abs(len(said) - len(heard)) <= 3:
            alike = phonetics.alikeness(heard, said, limit)
            if alike <= limit:
                found.append((chess.parse_square(name), alike))
    return tuple(sorted(found, key=lambda pair: pair[1]))


@lru_cache(maxsize=20000)
def fuzzy_rank(word: str) -> tuple[tuple[str, float], ...]:
    """Ranks that a word after a file's letter sounds like ("c fine"), at most two, with costs."""
    if len(word) < 3 or word in COMMON or word in RANK_WORDS or word in PIECE_WORDS or word in TAKE_WORDS or word in _NO_RANK:
        return ()
    heard = phonetics.phones(word)
    alike = {rank: phonetics.alikeness(heard, said, _RANK_ALIKE) for rank, said in _DIGITS}
    near = sorted((cost, rank) for rank, cost in alike.items() if cost <= _RANK_ALIKE)
    return tuple((rank, 0.7 + 2.5 * cost) for cost, rank in near[:2])


@lru_cache(maxsize=50000)
def fuzzy_piece(words: tuple[str, ...]) -> tuple[tuple[int, float], ...]:
    """Pieces that the words sound like, with costs."""
    if len(words) == 1 and (
        words[0] in PIECE_WORDS or len(words[0]) < 3 or words[0] in FILE_WORDS or words[0] in RANK_WORDS
    ):
        return ()
    if len(words) == 2 and (words[1] in RANK_WORDS or any(w in PIECE_WORDS for w in words) or words[0] in ("the", "a")):
        return ()
    if words in _HEARD_FOR:
        return (_HEARD_FOR[words],)
    heard = tuple(p for w in words for p in phonetics.phones(w))
    found = []
    for piece, name in PIECE_NAMES.items():
        alike = phonetics.alikeness(heard, phonetics.phones(name))
        if alike <= 0.34:
            common = 0.6 if words[0] in COMMON else 0.0
            found.append((piece, 1.0 + 4.0 * alike + common))
    return tuple(sorted(found, key=lambda pair: pair[1])[:2])


@lru_cache(maxsize=20000)
def fuzzy_take(word: str) -> float | None:
    """The cost of hearing "takes" in a word that is none of its forms; None where it does not sound so."""
    if len(word) < 4 or word in COMMON or word in TAKE_WORDS:
        return None
    alike = phonetics.alikeness(phonetics.phones(word), phonetics.phones("takes"))
    return 1.0 + 4.0 * alike if alike <= 0.3 else None


@lru_cache(maxsize=50000)
def run_together(words: tuple[str, ...]) -> tuple[tuple[int, int, float], ...]:
    """A piece and its square heard as other words ("rookie two", "nighty five"): (piece, square, cost)."""
    first = words[0]
    if len(first) < 4 or first in PIECE_WORDS or first in COMMON or first in _PLAIN:
        return ()
    heard = phonetics.phones(first)
    found: list[tuple[int, int, float]] = []
    for piece, name in PIECE_NAMES.items():
        said = phonetics.phones(name)
        if len(heard) > len(said) and heard[: len(said)] == said:
            rest = heard[len(said) :] + tuple(p for w in words[1:] for p in phonetics.phones(w))
            found.extend((piece, square, 0.9 + 5.0 * alike) for square, alike in _squares_like(rest, 0.3)[:4])
    return tuple(found)

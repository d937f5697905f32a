"""What the word or two at one token name: a square or a piece, as said, by a homophone, or by what only sounds like it."""

from __future__ import annotations

import re
from collections.abc import Sequence

import chess

from timeline.follow.hearing import fuzzy_piece, fuzzy_rank, fuzzy_squares
from timeline.follow.lexer import Tok
from timeline.follow.numbers import NTH
from timeline.follow.vocabulary import FILE_WORDS, PIECE_NAMES, PIECE_WORDS, RANK_WORDS

GLUED = re.compile(r"([a-h1-8])([a-h][1-8])")
"""Where a piece comes from and its square, written as one word ("bd2", "1e3")."""
_FILE_OF = {"king": "e", "queen": "d"}
_PAIRS = {"rook": "ah", "knight": "bg", "night": "bg", "bishop": "cf"}
"""Files on which pieces stand at first; of a pair the queen's is first."""

_ORDINALS = {word: n for word, n in NTH.items() if n <= 8} | {"square": 1}
_NOUNS = frozenset("piece pieces move hand man men file square exchange tempo".split())
_LETTER = 0.6
"""Cost of hearing up to which a word is a file's letter or a rank by itself."""
_AS_D = frozenset("the thee".split())
_TITLES = frozenset("majesty highness ladyship grace lordship".split())

Named = tuple[int, int, float, bool]
"""A square or piece, tokens used, cost of the hearing in natural-log units, and whether the words were mended."""


def squares(toks: Sequence[Tok], k: int) -> list[Named]:
    """Exact or homophone squares at ``k``: (square, tokens used, cost, mended)."""
    found = []
    word = toks[k].text
    bare = word[:-2] if word.endswith("'s") else word
    if len(bare) == 2 and bare[0] in "abcdefgh" and bare[1] in "12345678":
        return [(chess.parse_square(bare), 1, 0.0, False)]
    if len(bare) == 3 and bare[:2] in chess.SQUARE_NAMES and bare[2] == "s":
        return [(chess.parse_square(bare[:2]), 1, 0.2, False)]
    if word in FILE_WORDS and k + 1 < len(toks) and not toks[k].ends:
        following = toks[k + 1].text
        if following in RANK_WORDS and not _article(toks, k):
            file, cf = FILE_WORDS[word]
            rank, cr = RANK_WORDS[following]
            cost = cf + cr + (0.3 if word == "a" else 0.0)
            if cf > 0.4 and cr > 0.4:
                cost += 0.9
            exact = cf == 0 and cr == 0
            found.append((chess.parse_square(file + rank), 2, cost, not exact))
    return found


def _article(toks: Sequence[Tok], k: int) -> bool:
    """Whether "a" at ``k`` is the article of a piece or the like, with a word between that sounds like a rank ("a free pawn")."""
    if toks[k].text != "a" or k + 2 >= len(toks) or toks[k + 1].ends or RANK_WORDS[toks[k + 1].text][1] < 0.3:
        return False
    return toks[k + 2].text in PIECE_WORDS or toks[k + 2].text in _NOUNS


def descriptive(toks: Sequence[Tok], k: int) -> list[Named]:
    """Squares named from a player's own side ("queen's knight three", "bishop's third"), as seen from White and from Black."""
    files, j = _behind(toks, k)
    if not files or j + 1 >= len(toks) or toks[j].ends:
        return []
    rank = _own_rank(toks[j + 1].text)
    if not rank:
        return []
    cost = 0.7 if len(files) == 1 else 0.9 if toks[j].text.endswith("s") else 1.1  # "rook four" says less than "rook's four"
    return [
        (chess.parse_square(f"{file}{number}"), j + 2 - k, cost, True)
        for file in files
        for number in dict.fromkeys((rank, 9 - rank))
    ]


def own_pawn(toks: Sequence[Tok], k: int) -> tuple[str, int]:
    """(files, tokens used) of a pawn named by the piece behind it ("king's bishop's pawn", "the rook's pawn"): "" and 0 for none."""
    files, j = _behind(toks, k)
    if not files or j + 1 >= len(toks) or toks[j].ends or toks[j + 1].text != "pawn":
        return "", 0
    if len(files) > 1 and not toks[j].text.endswith("'s"):  # "a rook, pawn" is neither
        return "", 0
    return files, j + 2 - k


def _behind(toks: Sequence[Tok], k: int) -> tuple[str, int]:
    """Files of the piece named at token ``k`` where it stands at first ("king's bishop": f; "rook's": a and h), and the token that
    names it; "" where none is named."""
    j, flank = k, ""
    word = _owner(toks[j].text)
    if word in ("king", "queen") and j + 1 < len(toks) and not toks[j].ends:
        following = _owner(toks[j + 1].text)
        if following in _PAIRS:
            flank, j, word = word[0], j + 1, following
    if word in ("king", "queen"):
        return _FILE_OF[word], j
    pair = _PAIRS.get(word, "")
    return (pair["qk".index(flank)] if flank else pair), j


def _owner(word: str) -> str:
    """ "king's", "kings" or "king" as "king"."""
    bare = word.removesuffix("'s")
    return bare.removesuffix("s")


def _own_rank(word: str) -> int:
    """A rank counted from a player's own side ("four", "fourth", "square" for the first); 0 for other words."""
    if word in _ORDINALS:
        return _ORDINALS[word]
    rank = RANK_WORDS.get(word)
    return int(rank[0]) if rank is not None and rank[1] <= 0.3 and word not in "12345678" else 0


def fuzzy(toks: Sequence[Tok], k: int) -> list[Named]:
    """Squares that one or two tokens only sound like."""
    found = []
    first = toks[k].text
    for square, cost in fuzzy_squares((first,)):
        found.append((square, 1, cost, True))
    if k + 1 < len(toks) and not toks[k].ends and not toks[k + 1].san:
        exact = {s for s, n, _, _ in squares(toks, k) if n == 2}
        for square, cost in fuzzy_squares((first, toks[k + 1].text)):
            if square not in exact:
                found.append((square, 2, cost, True))
        found += _half_heard(toks, k)
    return found


def _half_heard(toks: Sequence[Tok], k: int) -> list[Named]:
    """Squares of which one half is said and the other only sounds alike: "c fine" for c5, "the three" for d3."""
    word, following = toks[k].text, toks[k + 1].text
    if word in FILE_WORDS and word != "a" and FILE_WORDS[word][1] <= _LETTER:
        file, cost = FILE_WORDS[word]
        return [(chess.parse_square(file + rank), 2, cost + more, True) for rank, more in fuzzy_rank(following)]
    counted = k + 2 < len(toks) and not toks[k + 1].ends and (toks[k + 2].text in PIECE_WORDS or toks[k + 2].text in _NOUNS)
    if word in _AS_D and following in RANK_WORDS and RANK_WORDS[following][1] <= _LETTER and not counted:  # not "the two pawns"
        rank, more = RANK_WORDS[following]
        return [(chess.parse_square("d" + rank), 2, 1.2 + more, True)]
    return []


def pieces(toks: Sequence[Tok], k: int) -> list[Named]:
    """The piece that the word at ``k`` names, by a form of its name or a homophone."""
    word = toks[k].text
    if word in PIECE_WORDS:
        piece, cost = PIECE_WORDS[word]
        return [(piece, 1, cost, cost >= 0.3 and word.rstrip("s'") != PIECE_NAMES[piece])]
    if word in _TITLES and k and toks[k - 1].text in ("her", "his"):
        return [(chess.QUEEN if toks[k - 1].text == "her" else chess.KING, 1, 0.2, False)]
    return []


def fuzzy_pieces(toks: Sequence[Tok], k: int) -> list[Named]:
    """Words before a square or a capture that only sound like a piece."""
    found = []
    for length in (1, 2):
        if k + length >= len(toks) or any(toks[k + j].ends for j in range(length)):
            break
        follows = k + length
        if not (squares(toks, follows) or toks[follows].text in ("takes", "captures")):
            continue
        words = tuple(toks[k + j].text for j in range(length))
        for piece, cost in fuzzy_piece(words):
            found.append((piece, length, cost, True))
    return found

"""Move numbers in speech: "on move nine", "twelve, rook d1"."""

from __future__ import annotations

import re
from collections.abc import Sequence

from timeline.follow.lexer import Tok

_ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen"
    " nineteen"
).split()
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80}
_UNITS = {word: n for n, word in enumerate(_ONES)}


NTH = {
    word: n
    for n, word in enumerate(
        "first second third fourth fifth sixth seventh eighth ninth tenth eleventh twelfth thirteenth fourteenth fifteenth sixteenth"
        " seventeenth eighteenth nineteenth twentieth".split(), 1,
    )
} | {"thirtieth": 30, "fortieth": 40}  # fmt: skip
_OWNERS = {"white's": "white", "black's": "black"}
_SPAN = frozenset("since until till".split())
"""Before a move's number: the talk stays where it is ("it has not moved since move twelve")."""
_ENDED = re.compile(
    r"\b(?:resign(?:s|ed)?|gave up|gives up|ended|ends|lasted|(?:it's|is|was|all) over|agreed|(?:shook|shake) hands|stops|stopped)"
    r"(?: (?:it|here|there|then|finally))* (?:on|at|by|(?<!ends )after)$"
)
"""Before a move's number: the game's length is told, no place in it."""
_SAID_BEFORE = 6


def number_at(toks: Sequence[Tok], k: int) -> tuple[int, int]:
    """(number, tokens used) of a cardinal that begins at token ``k``; (0, 0) where there is none."""
    if k >= len(toks):
        return 0, 0
    word = toks[k].text
    if word.isdecimal() and len(word) <= 3:
        return int(word), 1
    if word in _TENS:
        unit = _UNITS.get(toks[k + 1].text, 0) if k + 1 < len(toks) and not toks[k].ends else 0
        return (_TENS[word] + unit, 2) if 0 < unit < 10 else (_TENS[word], 1)
    return (_UNITS[word], 1) if _UNITS.get(word) else (0, 0)


def move_number(toks: Sequence[Tok], i: int) -> tuple[int, int]:
    """(number, tokens used) of "move twelve", "move number 12", "the twelfth move" or "Black's twelfth" at token ``i``;
    (0, 0) where there is none."""
    word = toks[i].text
    if toks[i].ends:
        return 0, 0
    if word in _OWNERS or word in NTH or (word in _TENS and i + 1 < len(toks) and toks[i + 1].text in NTH):
        return _nth_move(toks, i)
    if word not in ("move", "moves"):
        return 0, 0
    k = i + 1
    if k < len(toks) and toks[k].text == "number" and not toks[k].ends:
        k += 1
    number, used = number_at(toks, k)
    return (number, k + used - i) if number else (0, 0)


def place_number(toks: Sequence[Tok], i: int) -> tuple[int, int]:
    """``move_number`` where it names a place that the talk may go to."""
    found = move_number(toks, i)
    if found[0] and i:
        before = " ".join(f"{tok.text}{' ,' if tok.ends in ('.', '?') else ''}" for tok in toks[max(0, i - _SAID_BEFORE) : i])
        if (toks[i - 1].text in _SPAN and not toks[i - 1].ends) or _ENDED.search(before):
            return 0, 0
    return found


def moves_made(toks: Sequence[Tok], i: int) -> int:
    """How many moves are spoken of at token ``i``: "twelve moves", "the first ten full moves"; 0 where none are."""
    number, used = number_at(toks, i)
    k = i + used
    if not number or toks[k - 1].ends:
        return 0
    if k < len(toks) and toks[k].text in ("full", "opening", "quiet", "book", "natural") and not toks[k].ends:
        k += 1
    return number if k < len(toks) and toks[k].text == "moves" else 0


def mover_named(toks: Sequence[Tok], i: int) -> str:
    """Whose move a move's number at token ``i`` is: "white", "black", or "" where it is not said."""
    return _OWNERS.get(toks[i].text, "") or (_OWNERS.get(toks[i - 1].text, "") if i else "")


def _nth_move(toks: Sequence[Tok], i: int) -> tuple[int, int]:
    k = i + (toks[i].text in _OWNERS)
    if k >= len(toks):
        return 0, 0
    number = NTH.get(toks[k].text, 0)
    if toks[k].text in ("twenty", "thirty", "forty") and k + 1 < len(toks) and not toks[k].ends:
        k, number = k + 1, _TENS[toks[k].text] + NTH.get(toks[k + 1].text, 0)
        number *= toks[k].text in NTH
    if not number:
        return 0, 0
    if not toks[k].ends and k + 1 < len(toks) and toks[k + 1].text == "move":
        return number, k + 2 - i
    alone = toks[k].ends or k + 1 == len(toks)
    return (number, k + 1 - i) if alone and toks[i].text in _OWNERS else (0, 0)


def number_before(toks: Sequence[Tok], i: int) -> tuple[int, bool]:
    """The number said just before token ``i``, and whether "move" came with it; (0, False) where there is none."""
    for used in (2, 1):
        k = i - used
        if k >= 0 and number_at(toks, k)[1] == used:
            named = k > 0 and toks[k - 1].text in ("move", "number")
            if toks[k].text == "one" and k and not named and not toks[k - 1].ends:
                return 0, False  # "the greedy one, f4"
            return number_at(toks, k)[0], named
    return 0, False

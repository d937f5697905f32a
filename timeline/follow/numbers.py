"""Move numbers in speech: "on move nine", "twelve, rook d1"."""

from __future__ import annotations

from collections.abc import Sequence

from timeline.follow.lexer import Tok

_ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen"
    " nineteen"
).split()
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50, "sixty": 60, "seventy": 70, "eighty": 80}
_UNITS = {word: n for n, word in enumerate(_ONES)}


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
    """(number, tokens used) of "move twelve" or "move number 12" at token ``i``; (0, 0) where there is none."""
    if toks[i].text not in ("move", "moves") or toks[i].ends:
        return 0, 0
    k = i + 1
    if k < len(toks) and toks[k].text == "number" and not toks[k].ends:
        k += 1
    number, used = number_at(toks, k)
    return (number, k + used - i) if number else (0, 0)


def number_before(toks: Sequence[Tok], i: int) -> tuple[int, bool]:
    """The number said just before token ``i``, and whether "move" came with it; (0, False) where there is none."""
    for used in (2, 1):
        k = i - used
        if k >= 0 and number_at(toks, k)[1] == used:
            named = k > 0 and toks[k - 1].text in ("move", "number")
            return number_at(toks, k)[0], named
    return 0, False

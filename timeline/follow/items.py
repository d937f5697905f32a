"""Items of a spoken list: "One, knight f6. … Two, b5 straight away.", "To take is the first. … The second is to run past." With
each the talk is back where the first began.

Of 24 such words in sidelines of 164 lessons the board goes back with 22; numbers of moves ("two, knight f3") are told in
the game itself, where there is nothing to go back from.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from timeline.follow.lexer import Tok
from timeline.follow.takebacks import clause

FAR = 260
"""So many words lie at most between two items."""
CLAUSE = 12
"""So many words at most has a clause whose last name an item."""
NEAR = 4
"""So many lie between them at least: "one, two, three" only counts."""
_PLACE = {
    word: place
    for place, words in enumerate(("one first firstly", "two second secondly", "three third thirdly", "four fourth", "five fifth"))
    for word in words.split()
}
_OPENS = frozenset("and now so but okay right then well or the".split())
_KINDS = frozenset("number candidate option case idea try plan line possibility way choice reply version".split())
_ORDINALS = frozenset("first second secondly third thirdly fourth fifth".split())
_IS = frozenset("is was would".split())
_LAST = re.compile(r"(?:(?:and|so|now|okay|right|well) )*(?:the )?last (?:one|try|option|candidate|idea|question)")
"""A clause that says no more than this begins the last item of a list."""
UNKNOWN = -1
"""What an item has for the one before it where no words named that."""


def _item_at(toks: Sequence[Tok], i: int) -> tuple[int, int]:
    """(place, end) of the item whose words begin at token ``i``, a clause's first; place -1 where none do."""
    k = i
    while k < len(toks) - 1 and toks[k].text in _OPENS and toks[k].ends not in (".", "?") and k - i < 3:
        k += 1
    kind = k < len(toks) - 1 and not toks[k].ends and toks[k].text in _KINDS
    k += kind
    if not kind and k < len(toks) - 2 and toks[k + 1].text == "number" and _counted(toks, k):
        kind, k = True, k + 2
    place = _PLACE.get(toks[k].text, -1)
    if place < 0:
        return -1, i
    end = k + 1
    if end < len(toks) and not toks[k].ends and (toks[end].text == "one" or toks[end].text in _KINDS):
        kind, end = True, end + 1
    ordinal = toks[k].text in _ORDINALS - {"first"}
    if toks[end - 1].ends in (",", ".") or (toks[end - 1].ends == "" and kind and not ordinal):
        return place, end
    return (place, end) if _is_one(toks, k, end) else (-1, i)


def _counted(toks: Sequence[Tok], k: int) -> bool:
    """Whether the talk counts what token ``k`` names: "door number one" comes before "door number two"."""
    word = toks[k].text
    if word == "move" or toks[k].ends:
        return False
    first = next(j for j in range(k + 1) if toks[j].text == word and (j == k or (toks[j + 1].text == "number" and not toks[j].ends)))
    return first < k or toks[k + 2].text == "one"


def _is_one(toks: Sequence[Tok], k: int, end: int) -> bool:
    """Whether the ordinal at token ``k``, named up to ``end``, has "the" before it and "is" behind it ("the second way is")."""
    the = k > 0 and toks[k - 1].text == "the" and toks[k].text in _ORDINALS
    return the and end < len(toks) and not toks[end - 1].ends and toks[end].text in _IS


def _named_last(toks: Sequence[Tok], i: int) -> tuple[int, int]:
    """(place, end) of the item that the clause at token ``i`` names with its last words ("to take is the first"); place -1 where
    it names none."""
    end = next((k + 1 for k in range(i, min(len(toks), i + CLAUSE)) if toks[k].ends), i)
    words = [tok.text for tok in toks[max(i, end - 3) : end]]
    if len(words) == 3 and words[0] in _IS and words[1] == "the" and words[2] in _ORDINALS:
        return _PLACE[words[2]], end
    return -1, i


def items(toks: Sequence[Tok]) -> dict[int, int]:
    """For the first token of each item: the end of the words that named the item before it; ``UNKNOWN`` for a list's first
    ("try one"), and where only "the second is" or "last one" says that there was one."""
    found: dict[int, int] = {}
    firsts: list[tuple[int, int]] = []
    last: list[tuple[int, int]] = [(-1, -1)] * 5
    for i, tok in enumerate(toks):
        if i and not tok.starts and not toks[i - 1].ends:
            continue
        if _LAST.fullmatch(clause(toks, i, 6)):
            said, told = max(last)
            found[i] = told if said >= 0 and i - told <= FAR else UNKNOWN
        place, end = _item_at(toks, i)
        if place < 0:
            place, end = _named_last(toks, i)
        if place < 0:
            continue
        if place == 0 and toks[end - 1].ends != "." and any(tok.text in _KINDS for tok in toks[i:end]):
            firsts.append((i, end))
        before, told = last[place - 1] if place else (-1, -1)
        if place == 1:
            found.update((first, UNKNOWN) for first, done in firsts if first not in found and NEAR <= i - done <= FAR)
        if before >= 0 and NEAR <= i - told <= FAR:
            found[i] = told
        elif place and end < len(toks) and toks[end].text in _IS:
            found[i] = UNKNOWN
        last[place] = (i, end)
    return found

"""Items of a spoken list: "One, knight f6. … Two, b5 straight away." With each the talk is back where the first began.

Of 24 such words in sidelines of 164 lessons the board goes back with 22; numbers of moves ("two, knight f3") are told in
the game itself, where there is nothing to go back from.
"""

from __future__ import annotations

from collections.abc import Sequence

from timeline.follow.lexer import Tok

FAR = 260
"""So many words lie at most between two items."""
NEAR = 4
"""So many lie between them at least: "one, two, three" only counts."""
_PLACE = {
    word: place
    for place, words in enumerate(("one first firstly", "two second secondly", "three third thirdly", "four fourth", "five fifth"))
    for word in words.split()
}
_OPENS = frozenset("and now so but okay right then well or the".split())
_KINDS = frozenset("number candidate option case idea try plan line possibility way choice".split())


def _item_at(toks: Sequence[Tok], i: int) -> tuple[int, int]:
    """(place, end) of the item whose words begin at token ``i``, a clause's first; place -1 where none do."""
    k = i
    while k < len(toks) - 1 and toks[k].text in _OPENS and k - i < 3:
        k += 1
    kind = toks[k].text in _KINDS and k < len(toks) - 1 and not toks[k].ends
    k += kind
    place = _PLACE.get(toks[k].text, -1)
    if place < 0:
        return -1, i
    end = k + 1
    if end < len(toks) and not toks[k].ends and (toks[end].text == "one" or toks[end].text in _KINDS):
        kind, end = True, end + 1
    ordinal = toks[k].text in ("second", "secondly", "third", "thirdly", "fourth", "fifth")
    if toks[end - 1].ends in (",", ".") or (toks[end - 1].ends == "" and kind and not ordinal):
        return place, end
    return -1, i


def items(toks: Sequence[Tok]) -> dict[int, int]:
    """For the first token of each item but a list's first: the end of the words that named the item before it."""
    found: dict[int, int] = {}
    last: list[tuple[int, int]] = [(-1, -1)] * 5
    for i, tok in enumerate(toks):
        if i and not tok.starts and not toks[i - 1].ends:
            continue
        place, end = _item_at(toks, i)
        if place < 0:
            continue
        if place and last[place - 1][0] >= 0 and NEAR <= i - last[place - 1][1] <= FAR:
            found[i] = last[place - 1][1]
        last[place] = (i, end)
    return found

"""Borders between words that need no weighing: a greeting's end, thanks, one move after the other, a move after a breath."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import TYPE_CHECKING

from timeline.captions.breaks import names_move
from timeline.captions.clauses import begins_clause, belongs

if TYPE_CHECKING:
    from timeline.captions.punctuate import Gap

Share = tuple[float, float, float]
"""Probabilities of nothing, a comma and a full stop in a gap."""

_HELLO = frozenset("hello hi hey welcome greetings".split())
_DAYTIME = frozenset("morning evening afternoon day".split())
_GREETED = frozenset("everyone everybody all there friends folks guys again back chessfriends students".split())
_STARTERS = frozenset(
    "i i'm i've i'll we we're we've we'll it it's this that that's these here there today tonight now so my our the let let's "
    "thanks thank welcome in last as if what who you".split()
)
_TAKES = frozenset("takes captures recaptures".split())
_PIECES = frozenset("king queen rook bishop knight pawn".split())
_OWNERS = frozenset("the a an his her my your our their that this white's black's".split())
_OBJECTS = frozenset("it you him them me us".split())
_LEADING_BACK = frozenset(
    "go goes going gone went come comes came coming get gets getting got let's us me you i'm we're we and so but now then okay "
    "well right switch jump jumps move turn turned bring brings brought that's it's is are was all way straight".split()
)
_SQUARE = re.compile("[a-h][1-8]")
_LEADING_ON = frozenset("a an the and or my your our their every".split())
"""Words that something of their clause follows."""
_BREATH_MS = 500


def never_parted(words: Sequence[str], k: int) -> bool:
    """Whether no mark stands before word ``k``, however long the speaker looks for it: "knight ... d5", "and the ... long line"."""
    return names_move(words, k) or words[k - 1] in _LEADING_ON


def with_certain(
    words: Sequence[str], gaps: Sequence[Gap], loose: Sequence[bool], shares: Sequence[Share]
) -> list[Share]:
    """Shares with what is certain put in. ``shares[k - 1]`` is of the gap before word ``k``.

    ``loose[k]``: nothing ties word ``k`` to the one before it.
    """
    result = list(shares)
    greeting = _greeting(words)
    for k in range(1, len(words)):
        _, comma, stop = result[k - 1]
        if k < greeting or belongs(words, k):
            result[k - 1] = (1.0, 0.0, 0.0)
        elif k == greeting or _thanks(words, k):
            result[k - 1] = (0.0, 0.0, 1.0)
        elif (
            gaps[k].turn
            or _new_move(words, k)
            or _bare_piece(words, k)
            or _way_back(words, k)
            or _said_again(words, k)
            or begins_clause(words, k)
            or (loose[k] and gaps[k].begins and (gaps[k].pause_ms or 0) >= _BREATH_MS)
        ):
            rest = comma + stop
            result[k - 1] = (0.0, comma / rest, stop / rest) if rest > 0.02 else (0.0, 0.9, 0.1)
    return result


def _greeting(words: Sequence[str]) -> int:
    """How many words a talk greets with; 0 where it does not."""
    k = 0
    if words[:1] and words[0] in _HELLO:
        k = 1
    elif len(words) > 1 and words[0] == "good" and words[1] in _DAYTIME:
        k = 2
    while k and k < len(words) and words[k] in _GREETED:
        k += 1
    return k if k < len(words) and words[k] in _STARTERS else 0


def _new_move(words: Sequence[str], k: int) -> bool:
    """Whether a piece begins another move: "takes, knight takes" (it takes back), "takes d7, rook d1" (not "the d7 rook")."""
    if words[k] not in _PIECES or k + 1 >= len(words):
        return False
    following = words[k + 1]
    if words[k - 1] in _TAKES:
        return following in _TAKES
    if not _SQUARE.fullmatch(words[k - 1]) or (k > 1 and words[k - 2] in _OWNERS):
        return False
    return following in _TAKES or bool(_SQUARE.fullmatch(following))


def _bare_piece(words: Sequence[str], k: int) -> bool:
    """Whether a move begins without an article after a pronoun that nothing of it belongs to: "takes it, knight takes"."""
    if words[k] not in _PIECES or words[k - 1] not in _OBJECTS or k + 1 >= len(words):
        return False
    at = k + 2 if words[k + 1] in ("to", *_TAKES) and k + 2 < len(words) else k + 1
    return bool(_SQUARE.fullmatch(words[at]))


def _way_back(words: Sequence[str], k: int) -> bool:
    """Whether the talk turns back to the game here, with no word before that brings it there."""
    back = tuple(words[k : k + 4]) in (("back", "to", "the", "game"), ("back", "to", "the", "position"))
    return back and words[k - 1] not in _LEADING_BACK


def _said_again(words: Sequence[str], k: int) -> bool:
    """Whether two words are said twice: "sit down, sit down"."""
    return k > 1 and words[k - 2 : k] == words[k : k + 2] and words[k] != words[k - 1]


def _thanks(words: Sequence[str], k: int) -> bool:
    ahead = tuple(words[k : k + 3])
    if ahead[:2] == ("thanks", "for") or ahead == ("thank", "you", "for"):
        return words[k - 1] not in ("many", "and", "so", "to", "say", "well", "a", "i", "with", "but")
    return False

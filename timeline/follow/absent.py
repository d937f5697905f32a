"""A man that does not stand where it is named: "there is no knight on d7", "if only he had a rook on e1"."""

from __future__ import annotations

import re

from timeline.follow.vocabulary import PIECE_WORDS

CLAUSE = 16
"""So many words before a square can deny its man, at most."""

_MEN = "(?:" + "|".join(word for word, (_, cost) in PIECE_WORDS.items() if cost <= 0.5) + "|piece|man|anything|nothing)"
ISNT = r"(?:(?:is|are|was|were) (?:not|no longer|never)|(?:isn|aren|wasn|weren)'t|not|no longer|never)"
_ITS = (
    r"(?: (?:yet|even|really|actually|now|longer|any|a|an|the|got|more|another|second|other|own|white|black|enemy|light|dark"
    r"|squared|his|her|my|our|your))*"
)
_STANDS = r"(?: (?:yet|really|standing|sitting|left|there|now|any more|anymore|back|already))*"
_NO_MAN = re.compile(
    rf"\b(?:no|without|neither|nor|missing|lacks?|{ISNT}|(?:has|have|had|hasn't|haven't|hadn't|doesn't have|don't have) no"
    rf"|(?:hasn't|haven't|hadn't|doesn't have|don't have|didn't have)){_ITS} {_MEN}{_STANDS} (?:on|at)$"
    rf"|\b{_MEN} {ISNT}{_STANDS} (?:on|at)$|\bnothing{_STANDS} (?:on|at)$"
    rf"|\b(?:there were an?|(?:if|only) (?:he|she|i|we|you|they|white|black)(?: only)? had an?){_ITS} {_MEN}{_STANDS} (?:on|at)$"
)
_IF_MAN = re.compile(rf"\b(?:if|imagine|wish|unless|were)\b.*\b{_MEN}(?: (?:were|was|stood))?{_STANDS} (?:on|at)$")


def denied(before: str) -> bool:
    """Whether the words of a clause up to "on" say that the man does not stand on the square that follows."""
    return _NO_MAN.search(before) is not None


def imagined(before: str) -> bool:
    """Whether they put it there in a wish or a condition; it may stand there all the same."""
    return _IF_MAN.search(before) is not None

"""Words that bid the listener think for themselves before the talk goes on, and words that only help with it."""

from __future__ import annotations

import re
from collections.abc import Sequence

_FINDS = r"(?:find|spot|guess(?! what)|work out|figure out|solve|discover)"
_GOAL = (
    r"(?:(?:the|a|an|his|her|its|my|our|your|black's|white's) (?:\w+ ){0,2}?"
    r"(?:move|idea|win|mate|shot|blow|trick|answer|reply|continuation|combination|defence|defense|plan|way|point|solution)"
    r"|it(?= (?:now|yourself|before|first|please|with me|and)\b|,|$))"
)
_STILL = (
    r"(?:here|now|there|(?:the|this|your) (?:\w+ )?(?:video|film|recording|tape|clip|lesson|thing|player|talk)"
    r"|for (?:a|some|thirty|ten|twenty|one|two) (?:(?:little|short|good) )?\w+)"
)
_WHILE = r"(?:\w+ )?(?:moment|minute|minutes|second|seconds|time|while)"
_ALL = r"(?:you|everybody|everyone|all of you|somebody|someone|anybody|anyone)"
_ASIDE = (
    r"(?:(?:please|just|really|now|then|first|quickly|also|all|once more|again|yourself|yourselves|everybody"
    r"|everyone) ){0,3}"
)
_TAUGHT = (
    rf"(?:{_ALL} (?:all )?to|you(?:'ll| will| can| could| may| might| should| must| have to| want to| may want to"
    r"| need to)?|try to|try and|if you can|time to|task is to|let you)"
)
_OPENS = (
    r"(?:^|, |\b(?:and|so|now|then|okay|ok|please|but|here|well|right|alright|again|more|moment) "
    rf"|\b{_TAUGHT} )"
)

BIDS = re.compile(
    rf"{_OPENS}{_ASIDE}(?P<bid>"
    rf"(?:pause|stop) {_STILL}|pause it"
    rf"|(?:pause|stop) (?:and|to|,) (?:think|find|look)"
    rf"|{_FINDS} (?:me |for yourself |yourself )?(?:{_GOAL}|(?:white|black)'s|(?<!guess )(?:what|where|how|which) \w+)"
    rf"|think (?:very |really )*(?:hard|carefully|for (?:a|yourself|ten|thirty)|about it|it over|first|please)"
    r"|(?:have|take) (?:a|your|some|half a|ten|thirty|twenty|as much) (?:good )?"
    r"(?:think|go|guess|moment|minute|time|seconds)"
    rf"|have a (?:good |long )?look (?:yourself|for yourself)"
    rf"|(?:tell|show) me {_GOAL}"
    r")\b"
    rf"|\b(?P<ask>(?:can|could) {_ALL} (?:please )?(?:{_FINDS}|see (?:{_GOAL}|how)|tell me)"
    rf"|(?:does|do|did|will) (?:anybody|anyone|somebody|someone) (?:see|{_FINDS}|know)|(?:anybody|anyone) (?:see|sees)"
    rf"|who (?:sees|can see|finds|spots|can {_FINDS})"
    r"|wh(?:at|ich|ere|ich \w+) would you (?:\w+ )?"
    r"(?:play|do|move|go|choose|put|recommend|prefer|take|pick|answer|reply)"
    r"|(?:what|how) would you (?:answer|continue|reply|defend|proceed|win|save|stop|punish|meet)"
    r"|what's your (?:move|answer|choice|reply)|(?:which|what) move would you"
    r"|over to you|your (?:turn|move|go)(?! (?:order|number))"
    r"|(?:white|black) to (?:play|move),? (?:and (?:win|mate|draw|save)|what|how|find|which)"
    rf"|(?:i'll|i will|i|we'll|let me|i shall) give (?:you|everybody|everyone) (?:all )?(?:{_WHILE}|as long as)"
    rf"|you have (?:a|ten|twenty|thirty|sixty|five|some) {_WHILE}"
    r"|this is where i would (?:pause|stop)|see if you can (?:find|spot|see|guess)"
    r"|how do you (?:win|answer|defend|continue)"
    r")\b"
)
"""Bids: telling the listener to stop, to find or to think, or asking what they themselves would play."""

_TOLD = re.compile(
    r"\b(?:says|said|asks|asked|told|tells|wrote|writes|shouts|shouted|thinks|thought|wonders|wondered)\b[^,]{0,20},?[^,]{0,12}$"
    r"|\bused to (?:say|ask)\b"
)
_NOT_NOW = re.compile(
    r"\b(?:even if|when|whenever|never|don't|didn't|doesn't|couldn't|can't|cannot|not|nobody|was|were|had)\b"
    r"(?:(?!\b(?:and|so|but|now)\b)[^,])*$"
)
_BEFORE_CHARS = 120
_ONE_CHARS = 25
"""How far before a bid it may be taken back, and how near the next one still belongs to it."""
_NEAR = 15
"""Words between a bid and the end of its sentence, at most."""
_HINTS = re.compile(
    r"\b(?:clue|hint|tip|help|look at|remember|notice|think|take your time|seconds|minute|minutes|moment|careful"
    r"|don't be|no hurry|not a check|not a capture|please|hard|easy|difficult|wait|pause)\b"
)


def bid(sentence: str) -> tuple[int, int] | None:
    """Where the bid in a sentence stands, in characters; None where it holds none, or one that is only told of
    ("he said pause here", "even if it's your turn"). Bids close to each other are one. ``sentence``: lower case, commas
    the only marks.

    >>> bid("so pause here and find the move for white")
    (3, 31)
    """
    place: tuple[int, int] | None = None
    for found in BIDS.finditer(sentence):
        name = "bid" if found["bid"] else "ask"
        start, end = found.span(name)
        before = sentence[max(0, start - _BEFORE_CHARS) : start]
        if _TOLD.search(before) or _NOT_NOW.search(before):
            continue
        if place and start > place[1] + _ONE_CHARS:
            break
        place = (place[0], end) if place else (start, end)
    return place


def bidding_ends(texts: Sequence[str], stops: Sequence[int]) -> list[int]:
    """The words after which listeners are left to think: the last of a sentence that bids them, or of a hint after it;
    of a bid far from any of the ``stops`` (last words of sentences), its own last word."""
    found: list[int] = []
    first = 0
    for stop in stops:
        sentence = plain(texts[first : stop + 1])
        place = bid(sentence)
        after = bool(found) and found[-1] == first - 1
        if place:
            own = first + len(sentence[: place[1]].split()) - 1
            ended = texts[stop].rstrip("\"'”’)]»").endswith((".", "?", "!", "…"))
            found = [*(found[:-1] if after else found), stop if ended and stop - own <= _NEAR else own]
        elif after and _HINTS.search(sentence):
            found[-1] = stop
        first = stop + 1
    return found


def plain(texts: Sequence[str]) -> str:
    """Words as ``bid`` takes them."""
    return " ".join(re.sub(r"[^\w',]", "", text.lower().replace("’", "'")) or "," for text in texts)

"""An opening that a game is only likened to: "a Sicilian with the colours reversed", "sort of a Dragon, a tempo up".

Read from the words as they were spoken, because plain words leave out much of
what likens ("a kind of"), and because the words that turn a name round often
stand outside its statement, in a sentence of their own.
"""

# ruff: noqa: E501  (a way of speaking stands on one line)

from __future__ import annotations

import re
from collections.abc import Sequence

from timeline.transcript.words import Word

MOST_WORDS = 16  # to either side of the statement
FRAGMENT = 12  # words of a sentence beside it that may turn it round
_SIDE = "(?:white|black)"
_CHANGE = r"(?:revers(?:e|es|ed|ing)|swap(?:s|ped|ping)?|switch(?:es|ed|ing)?|flip(?:s|ped|ping)?|invert(?:ed|s)?|(?:inter)?chang(?:e|es|ed|ing)|exchang(?:e|es|ed|ing)|turn(?:s|ed|ing)?)"
_SIDES = "(?:colors?|sides?|roles?|parts|seats?|places|armies|white and black|black and white)"
_FLIP = "(?:flip|turn|rotat|spin|invert|mirror)(?:s|p?ed|p?ing|e)?"
_BOARD = "(?:board|position|diagram|screen|picture|table)"

_TURNED = re.compile(
    r"(?<![\w'])(?:"
    r"reversed?|reversal|in reverse|mirror(?:ed|s)?|mirror image|backwards|back to front|upside down|inside out|vice versa|in disguise|"
    r"(?:the )?(?:other|wrong|opposite) way (?:a?round|about|over)|(?:the other|the opposite) (?:side|end) (?:of the board )?(?:up|is playing|plays)|"
    rf"{_CHANGE}(?: \w+){{0,2}} {_SIDES}|{_SIDES}(?: \w+){{0,4}} {_CHANGE}|{_FLIP}(?: \w+){{0,2}} {_BOARD}|(?:turned|changed) (?:a?round|over|about)|"
    r"(?:with|in|but) (?:(?:only|just) )?(?:the )?(?:other|opposite|wrong|different) (?:colors?|sides?|pieces)|"
    r"from (?:the )?(?:other|opposite|wrong|far) (?:side|end)|from (?:white|black|his|her|my|our|your)(?:'s)? (?:side|view|perspective|point|eyes|seat|chair)|"
    r"through (?:white|black)(?:'s)? eyes|"
    # what the side that plays it after all has more than the one that usually does
    r"(?:an? |the |one |with )*(?:whole |full |entire )?(?:extra|additional|spare|free|more) (?:move|tempo|tempi|tempos|turn)|"
    r"(?<!is )(?<!are )(?<!was )(?<!were )(?:a|one|two|an|half a|the) (?:\w+ )?(?:move|tempo|tempi|turn)s? (?:up|more|ahead|extra|in hand|to the good|better|faster|quicker|earlier|less|down|behind|short)|"
    r"(?:move|tempo|moves|tempi) in hand|"
    # one side in the other's place
    rf"(?:only|except|just|but)(?: (?:that|this|time|it|is|here|now|with|it's|for))* {_SIDE}(?:'s| is| has| who)?(?: the one)?(?: \w+ing)? (?:play(?:s|ed|ing)?|ha(?:s|d)|do(?:es|ing)|get(?:s|ting)|got|tak(?:es|ing)|who|it|playing)(?: (?:it|the {_SIDE}|{_SIDE}|black's|white's|that))|"
    rf"(?:play(?:s|ed|ing)?|t(?:akes?|ook|aken|aking)|ha(?:s|ving)|with|in|does|doing) (?:over )?{_SIDE}(?:'s|s) (?:moves|part|role|side|seat|set-?up|system|shoes|place|clothes|job)|"
    rf"in (?:{_SIDE}|other|different|opposite|borrowed|new) (?:clothes|clothing|dress|colors|shoes|uniform|coat)"
    r")(?![\w'])"
)
"""Said anywhere near the name: the opening with the sides changed over, or with a move more or less."""
_LIKE = re.compile(
    r"(?<![\w'])(?:like|as if|as though|as it were|sort of|kind of|kinda|sorta|something of|resembl\w+|reminds?(?: \w+)? of|reminiscent of|similar to|"
    r"akin to|close to|cousin of|(?:cousin|relative|relation|brother|sister|twin|copy|shadow|echo|flavou?r|hint|touch|image|spirit|style|manner|parody|imitation) of|"
    r"related to|borrow\w* from|inspired by|pseudo|quasi|almost|nearly|more or less|in effect|à la|a la|spiritually|virtually|practically)"
    r"(?: (?:a|an|the|this|that|it|were|was|is|we|you|they|he|she|white|black|i|had|have|has|got|played|plays|playing|in|some|good|old|proper|real|typical|classic|classical|normal|ordinary|usual)){0,5}$"
)
"""Said right before the name."""
_SO_TO_SAY = re.compile(
    r"^(?:\w+ )?(?:like|ish|style|type|so to speak|in a (?:way|sense|manner of speaking)|of sorts|of a sort|if you (?:like|will|want)|as it were|in spirit|by another name|more or less|"
    rf"or (?:something|the like|so)|sort of|kind of|for {_SIDE}|as {_SIDE}|with {_SIDE} (?:pieces|men))(?![\w'])"
)
"""Said right after it."""
_STOP = (".", "!", "?", "…")


def likened(words: Sequence[Word], first: int, last: int, name: str) -> bool:
    """Whether the words around a statement (``[first, last]``) that names an opening only liken the game to it."""
    begin, end = first, last
    while begin and first - begin < MOST_WORDS and not _ends(words[begin - 1]):
        begin -= 1
    while end + 1 < len(words) and end - last < MOST_WORDS and not _ends(words[end]):
        end += 1
    own = _plain(words[begin : end + 1])
    beside = [_sentence_before(words, begin), _sentence_after(words, end)]
    if any(_TURNED.search(_plain(part)) for part in beside) or _TURNED.search(own):
        return True
    before, named, after = _spelt(own).rpartition(_spelt(name))
    return bool(named) and bool(_LIKE.search(before.strip()) or _SO_TO_SAY.search(after.strip()))


def _sentence_before(words: Sequence[Word], begin: int) -> Sequence[Word]:
    start = begin
    if not begin or not _ends(words[begin - 1]):
        return ()
    while start and not (start < begin and _ends(words[start - 1])):
        start -= 1
        if begin - start > FRAGMENT:
            return ()
    return words[start:begin]


def _sentence_after(words: Sequence[Word], end: int) -> Sequence[Word]:
    stop = end + 1
    if not _ends(words[end]):
        return ()
    while stop < len(words) and not (stop > end + 1 and _ends(words[stop - 1])):
        stop += 1
        if stop - end > FRAGMENT:
            return ()
    return words[end + 1 : stop]


def _ends(word: Word) -> bool:
    return word.text.rstrip("\"'”’)").endswith(_STOP)


def _plain(words: Sequence[Word]) -> str:
    text = " ".join(w.text for w in words).lower().replace("’", "'").replace("colour", "color").replace("-", " ")
    return re.sub(r"\s+", " ", re.sub(r"[^\w' ]", " ", text)).strip()


def _spelt(text: str) -> str:
    """A name as it is written in plain words and in speech, the same."""
    return text.replace(" 's", "s").replace("'s", "s").replace("defence", "defense").replace("-", " ")

"""Clauses that take moves back: "go back two moves", "let me put that back", "lift those two off", "put my rook back on a6".

In 210 lessons 35 clauses put moves back without counting them; the board goes back with 27, to where the last move, two moves or the
whole line began.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

import chess

from timeline.follow.lexer import Tok
from timeline.follow.naming import squares
from timeline.follow.vocabulary import PIECE_WORDS

ALL = -1
"""``Back.moves`` of a clause that takes back everything that a line has shown."""
SOME = -2
"""``Back.moves`` of one that takes back what was shown last, one move or more."""
_REACH = 12
_NUMBERS = {"pair": 1, "a": 1, "one": 1, "two": 2, "three": 3, "four": 4, "five": 5}
_COUNT = "a|one|two|three|four|five"
_COUNTED = re.compile(
    rf"(?:(?:and|so|but|no|now|okay|or|wait|sorry|please|let me|let's|let us|i'll|we|i|just|you|can|if|go|going|step|move|take|it) )*"
    rf"(?:(?:undo|rewind|back up|back|take back) (?:it |the last )?({_COUNT}) (?:more )?(?:full )?(?:moves?|steps?|pairs?|plies|ply)\b"
    rf"|(?:undo|rewind|take back) (?:it )?(one|two|three|four|five)$"
    rf"|({_COUNT}) (?:full )?(?:moves?|steps?) (?:back|earlier|ago|before)\b"
    rf"|(?:undo|take back) (?:the|that|this|his|her|my) (?:last )?(pair)\b)"
)
_LEADS = frozenset("and so but no now okay right well wait sorry hmm good please then just let me let's us i'll we'll i we you quick quickly oops oh".split())
"""Small words that such a clause begins with."""
_DENIED = frozenset("would could should must may might can do does did don't doesn't didn't can't cannot not never to if".split())
"""Words before such a clause with which it moves nothing ("how would you take it back")."""
_WHO = frozenset("he she they white black who that which it and got is are the have has had both two his her their my our your".split())
"""Before a verb by whom men are moved, not moves put back."""
_ALL = r"(?:(?:all of|all) (?:it|that|this|them)|everything|it all|the lot|the pieces|them all)"
_TWO = r"(?:both(?: moves| of (?:them|those))?|(?:the|those|these)(?: last)? two(?: moves)?)"
_ONE = r"(?:that|it|this|them|those|these|that one|this one|that move)"
_MOVED = re.compile(
    rf"(?:take|put|pull|bring|lift|clear|have) (?:(?P<all>{_ALL})|(?P<two>{_TWO})|(?P<one>{_ONE}))(?: (?:last )?moves?)? (?:back|off|away)\b"
    rf"|(?:lift|remove|undo|withdraw) (?:(?P<all2>{_ALL})|(?P<two2>{_TWO})|(?P<one2>{_ONE}))\b(?: (?:off|again))?"
    rf"|un(?:push|play|take|make|do) (?P<one3>{_ONE})\b"
    rf"|back up(?P<one4>(?: {_ONE})?)(?! (?:{_COUNT}|to)\b)\b|rewind (?P<one5>(?:that|it|this) (?:a bit|a little|again)|a bit)\b"
    r"|(?:scrap|cancel|erase) (?P<all4>(?:all (?:of )?)?(?:that|this|it|them))\b|forget (?P<all5>(?:all (?:of )?)?that)$"
    r"|(?P<all6>(?:the )?pieces back(?: (?:on|in|to|where)| please|$)|(?:everybody|everyone|everything) back (?:to (?:their|its)|where))\b"
    r"|(?P<two4>both back)\b|(?P<all3>start (?:again|over))\b(?! with)"
)
_VERBS = frozenset("take put pull bring lift clear have remove undo withdraw pieces everybody everyone everything scrap cancel erase forget unpush unplay untake unmake both rewind back start".split())
_RETAKES = re.compile(r"take it (?:back|off|away)")
"""What may be said of taking a man back, unless a word calls on somebody to do it."""
_CALLS = frozenset("so no wait sorry let let's please but okay".split())
_PLACED = re.compile(r"(?:to|on|onto|at|with|into|for) (?!the (?:board|shelf|card|table|diagram)\b|now\b|a second|a moment|me\b|us\b)")


PUTS = frozenset("put place set".split())
BIDS = frozenset("so now and but okay right please let me us let's just then first".split())
"""Before a bid to put a man back no other words stand: "he put the rook back" is a move."""


def man_put_back(toks: Sequence[Tok], i: int) -> tuple[chess.PieceType, chess.Square | None] | None:
    """The man, and the square if one is named, of a clause at token ``i`` that puts it back ("put my rook back on a6",
    "let me put the knight back", of the queen "put her back")."""
    man: chess.PieceType | None = None
    put = False
    for k in range(i, min(len(toks), i + 9)):
        word = toks[k].text
        put = put or word in PUTS
        if not put and word not in BIDS:  # "he put the rook back on a6" is a move
            return None
        if put and word in PIECE_WORDS and PIECE_WORDS[word][1] < 0.4:
            man = PIECE_WORDS[word][0]
        if put and word == "her" and not toks[k].ends and k + 1 < len(toks) and toks[k + 1].text == "back":
            man = chess.QUEEN
        if man and word == "back":
            if k < len(toks) - 2 and toks[k + 1].text in ("on", "to"):
                return next(((man, square) for square, _, cost, _ in squares(toks, k + 2) if cost < 0.4), None)
            return man, None
        if toks[k].ends:
            break
    return None


def clause(toks: Sequence[Tok], i: int, most: int = _REACH) -> str:
    """The words from token ``i`` to the clause's end."""
    words: list[str] = []
    for tok in toks[i : i + most]:
        words.append(tok.text)
        if tok.ends:
            break
    return " ".join(words)


def counted(toks: Sequence[Tok], i: int) -> int:
    """How many moves the clause that begins at ``i`` takes back ("go back two moves", "one move earlier"); 0: it does not."""
    match = _COUNTED.match(clause(toks, i, 9))
    return _NUMBERS[next(m for m in match.groups() if m)] if match else 0


class Back(NamedTuple):
    """How much a clause puts back: 2 moves, ``SOME`` or ``ALL``; the tokens (end exclusive) that say so, which name no move."""

    moves: int
    first: int
    end: int


def put_back(toks: Sequence[Tok]) -> dict[int, Back]:
    """For the first token of each clause that puts back what was shown, how much."""
    found: dict[int, Back] = {}
    for i, tok in enumerate(toks):
        if tok.text not in _VERBS:
            continue
        said = clause(toks, i)
        match = _MOVED.match(said)
        if not match or _PLACED.match(said[match.end() :].lstrip()):
            continue
        start = i
        while start and not toks[start - 1].ends and toks[start - 1].text in _LEADS:
            start -= 1
        words = {tok.text for tok in toks[start:i]}
        kind = next(name for name, text in match.groupdict().items() if text is not None).rstrip("23456")
        before = toks[start - 1].text if start else ""
        free = not start or toks[start - 1].ends or (words and before not in _DENIED) or (kind != "one" and tok.text != "start" and before not in _DENIED | _WHO)
        said_before = any(start - _REACH < other < start for other in found)  # "put it back, put it back"
        if free and not said_before and (words & _CALLS or not _RETAKES.match(said)):
            moves = {"all": ALL, "two": 2, "one": SOME}[kind]
            found[start] = Back(moves, i, i + len(match[0].split()))
    return found

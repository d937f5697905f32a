"""Words that tell a supposition without "if": "had Black castled, then …", "he could also take: …", "which loses a pawn after …"."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from timeline.follow.lexer import Tok

_WHO = r"(?:white|black|he|she|i|we|you|they|it|somebody|anybody|my opponent|(?:the|my|his|her|our|your) (?:king|queen|rook|bishop|knight|pawn|player))"
_INVERTED = re.compile(rf"(?:(?:had|should) {_WHO}|were {_WHO} to)(?: |$)")
_BEGINS = frozenset("and but so now or then because".split())
"""Before an inverted condition, where no mark stands: "and had he taken"."""
_DONE = (
    "(?:taken|retaken|captured|recaptured|played|replied|answered|gone|moved|castled|retreated|defended|pushed|advanced|tried|chosen|traded"
    "|exchanged|swapped|developed|put|brought|blocked|continued|kept|met|checked|grabbed|simplified|attacked)"
)
_DO = (
    "(?:take|retake|capture|recapture|play|reply|answer|go|move|castle|retreat|defend|push|advance|try|choose|trade|exchange|swap"
    "|develop|put|bring|block|continue|keep|check|grab|simplify|attack|do)"
)
_OTHER_CHOICE = re.compile(
    rf"(?:^| ){_WHO} (?:[a-z]+ )?(?:(?:could|can|might|may) (?:[a-z]+ )?(?:(?:also|instead) (?:[a-z]+ )?{_DO}|{_DO} (?:[a-z]+ )*(?:instead|too|as well))"
    rf"|(?:could|might|would|should) (?:[a-z]+ )?have (?:[a-z]+ )?{_DONE})(?: |$)"
)
"""A clause that announces moves in place of the game's; "he should have known, …" announces none."""
_RESULT = re.compile(
    r"(?:^| )(?:which|that|this|it|(?:this|that|the) (?:move|capture|idea|retreat))(?: (?:just|simply|only|also|even|really|of course))*"
    r" (?:loses|wins|costs|drops|sacrifices|gives|hangs|fails|falls|runs|allows|leads|works|offers)(?: [a-z']+){0,6} after$"
)
"""What comes of a move: its subject is the move, not a player ("White wins after …" may be the game)."""
_TURNS = re.compile(
    r"(?:but (?!then |now |after |not )|in (?:the game|fact|reality)|actually |however |(?:he|she|white|black|i|we|they) (?:just |simply )?(?:played|chose|went))"
)
"""Words at which the talk goes back to what was played."""
_REACH = 24
_CLAUSE = 12


def supposed(toks: Sequence[Tok]) -> frozenset[int]:
    """The tokens that stand in such a supposition: a move named there is not yet the game's."""
    return frozenset(k for i in range(len(toks)) if _announced(toks, i) for k in _reach(toks, i))


def _announced(toks: Sequence[Tok], i: int) -> bool:
    """Whether a supposition begins after token ``i``."""
    tok = toks[i]
    if tok.text in ("had", "should", "were"):
        begins = i == 0 or bool(toks[i - 1].ends) or toks[i - 1].text in _BEGINS
        return begins and not tok.ends and bool(_INVERTED.match(_words(toks[i : i + 5])))
    if tok.ends == "," or (tok.text == "after" and not tok.ends):
        first = i - 1 if tok.text == "after" and i and toks[i - 1].ends == "," else i
        while first > 0 and i - first < _CLAUSE and not toks[first - 1].ends:
            first -= 1
        clause = _words(toks[first : i + 1])
        return bool((_OTHER_CHOICE if tok.ends else _RESULT).search(clause))
    return False


def _reach(toks: Sequence[Tok], i: int) -> Iterator[int]:
    """The tokens after ``i`` up to the sentence's end, or to words that go back to the game."""
    for k in range(i + 1, min(len(toks), i + 1 + _REACH)):
        turns = k > i + 3 and _TURNS.match(_words(toks[k : k + 4]) + " ")  # "had Black played d6"
        if toks[k - 1].ends in (".", "?") or turns:
            return
        yield k


def _words(toks: Sequence[Tok]) -> str:
    return " ".join(tok.text for tok in toks)

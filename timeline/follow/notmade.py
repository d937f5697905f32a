"""Moves that the words around them say are not made: "before he played g4 it was equal", "rook g3 isn't possible", "I'm not touching
the pieces. Rook up to d3, across to g3"."""

from __future__ import annotations

import re
from collections.abc import Callable, Sequence

from timeline.follow.lexer import Tok
from timeline.follow.mentions import Mention
from timeline.follow.vocabulary import PIECE_WORDS

_REACH = 5
"""So many words stand at most between "before" and the words that tell the move."""
_PAST = frozenset("went took put brought threw chose ran came made did had swung struck hit".split())
_DOING = frozenset("playing pushing taking moving putting going castling choosing retreating capturing exchanging swapping bringing".split())
_LEADS = frozenset("right just even shortly here position moment picture move".split())
"""Before "before" that is no square: "here, before he plays g4"."""
_WHO = frozenset("he she they we i you white black".split())
_SQUARE = frozenset("on to at onto from into pawn and then plays played goes went pushes pushed puts put".split())
"""Before "before" that is b4 misheard, or may be."""
_RULED_OUT = re.compile(
    r"(?:is|was)(?:n't| not| no longer|n't really| not really) (?:even |now |quite )?(?:a (?:thing|threat)|an option|protected|defended"
    r"|guarded|covered|possible|legal|allowed|available|there)(?! (?:because|since|as|for)\b)\b"
)
"""After a move or a man on a square: no move is made. Where the reason follows, it may be shown."""

_UNTOUCHED = re.compile(
    r"\b(?:not|without|never|don't|won't|didn't) (?:going to )?(?:touch|touching|move|moving) (?:the|any|your|my) (?:pieces|men)\b"
    r"|\b(?:film|dream|daydream|picture|fantasy|movie|vision) in (?:my|his|her|their|your) head\b"
)
"""The next sentence's moves are thought of only."""


def untouched(toks: Sequence[Tok]) -> list[int]:
    """The tokens of sentences before which words say that their moves are not made on the board."""
    found: list[int] = []
    start, only_told = 0, False
    for k, tok in enumerate(toks):
        if tok.ends not in (".", "?"):
            continue
        if only_told:
            found.extend(range(start, k + 1))
        only_told = _UNTOUCHED.search(" ".join(t.text for t in toks[start : k + 1])) is not None
        start = k + 1
    return found


def not_yet(toks: Sequence[Tok], i: int, longest: Callable[[int], Mention | None]) -> range:
    """The tokens of what the word "before" at token ``i`` says was made later; empty where it says nothing of the kind."""
    before = toks[i - 1] if i else None
    if toks[i].text != "before" or toks[i].ends or i + 1 >= len(toks):
        return range(0)
    back_to = before is not None and before.text == "to" and toks[i + 1].text in _WHO  # "back to before he took it"
    led = before is None or bool(before.ends) or before.text in _LEADS or back_to
    if before is not None and not before.ends and not back_to and (before.text in _SQUARE or before.text in PIECE_WORDS):
        return range(0)
    for k in range(i + 1, min(len(toks), i + 1 + _REACH)):
        m = longest(k)
        if m is not None and (m.desc.to >= 0 or m.desc.castle or m.desc.victim):
            told = [tok.text for tok in toks[i + 1 : m.end]]
            past = any(word in _PAST or word.endswith("ed") for word in told) or told[0] in _DOING
            return range(i + 1, m.end) if past or led else range(0)
        if toks[k].ends:
            break
    return range(0)


def ruled_out(toks: Sequence[Tok], m: Mention) -> bool:
    """Whether the words after a mention say that there is no such move, or nothing good on its square."""
    if m.desc.to < 0 or toks[m.end - 1].ends:
        return False
    return _RULED_OUT.match(" ".join(tok.text for tok in toks[m.end : m.end + 8])) is not None

"""A phrase that is being read: how it grows by the next words, and which kind of mention it is when it ends."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import chess

from timeline.follow.lexer import Tok
from timeline.follow.mentions import Desc, Mention
from timeline.follow.naming import squares


@dataclass(slots=True)
class Phrase:
    """A mention as far as it is read, up to token ``k`` (exclusive). ``run``: words that say nothing, at its end."""

    k: int
    desc: Desc
    hear: float = 0.0
    fillers: int = 0
    run: int = 0
    motion: bool = False
    tail: str = ""
    prep: str = ""
    with_: bool = False
    parts: tuple[tuple[int, int, str, bool], ...] = ()


_DETERMINERS = frozenset("the a an his her my our your their that this some no it more any".split())
_NO_MEN = frozenset(
    """opposition initiative time place part care away long longer risk risks chance chances breath courage nerve turn turns hint
    point blame control over advantage break moment minute minutes hours seconds note notes stock heart square squares""".split()
)
"""What is taken or won without a capture ("takes the opposition", "takes his time", "takes away d4")."""


def _no_capture(toks: Sequence[Tok], k: int) -> bool:
    """Whether the words from token ``k`` on say that nothing on the board is taken."""
    for j in range(k, min(len(toks), k + 2)):
        if toks[j - 1].ends:
            return False
        if toks[j].text in _NO_MEN:
            return True
        if toks[j].text not in _DETERMINERS:
            return _square_itself(toks, j)
    return False


def _square_itself(toks: Sequence[Tok], k: int) -> bool:
    """Whether the words from token ``k`` on are of a square as such: "the e4 square"."""
    named = [k + length for _, length, cost, _ in squares(toks, k) if cost < 0.4 and not toks[k + length - 1].ends]
    return any(end < len(toks) and toks[end].text in ("square", "squares") for end in named)


def steps_said(toks: Sequence[Tok], k: int) -> int:
    """How many squares a pawn goes, said at token ``k``: "two squares", "one step"."""
    if k + 1 >= len(toks) or toks[k].ends or toks[k + 1].text not in ("squares", "square", "steps", "step"):
        return 0
    return {"one": 1, "1": 1, "a": 1, "two": 2, "2": 2}.get(toks[k].text, 0)


def _how_far(toks: Sequence[Tok], k: int) -> bool:
    """Whether the words around token ``k`` go on to say how far a pawn goes ("h pawn | goes up two squares")."""
    for j in range(k - 1, min(len(toks), k + 3)):
        if steps_said(toks, j):
            return True
        if toks[j].ends:
            break
    return False


def further(s: Phrase, desc: Desc, length: int, cost: float, written: str, mended: bool) -> Phrase:
    """The phrase with ``length`` tokens more, which stand for what is ``written``."""
    part = (s.k, s.k + length - 1, written, mended)
    return Phrase(s.k + length, desc, s.hear + cost, s.fillers, 0, s.motion, s.tail, s.prep, s.with_, (*s.parts, part))


def finished(toks: Sequence[Tok], i: int, s: Phrase) -> Mention | None:
    """The mention that the phrase from token ``i`` on is, ended here; None where it says too little, or is cut in two."""
    d = s.desc
    moving = d.piece and d.to < 0 and not d.cap and s.motion
    if s.run and not moving and not (d.piece and s.tail):
        return None
    if d.castle:
        kind = "castle"
    elif d.to >= 0:
        if d.cap:
            kind = "capsq"
        elif d.piece or d.fsq >= 0:
            kind = "full"
        elif d.promo:
            kind = "promo"
        elif s.prep or s.motion:
            kind = "to"
        else:
            kind = "pawn"
    elif d.steps and d.ff:
        kind = "full"
    elif d.cap:
        kind = "cap" if d.piece or d.victim or d.ff else "take"
    elif d.chk:
        kind = "pcheck" if d.piece else "check"
    elif d.promo:
        kind = "promo"
    elif d.other:
        kind = "other"
    elif d.piece and (s.motion or s.tail or d.to_file or d.to_rank or (d.piece == chess.PAWN and d.ff)):
        kind = "piece"
    else:
        return None
    if kind == "take" and _no_capture(toks, s.k):
        return None
    if kind in ("pawn", "capsq") and not s.prep and s.k < len(toks) and not toks[s.k - 1].ends and toks[s.k].text == "square":
        return None  # "f3 takes the e4 square away"
    bare = kind in ("piece", "cap", "take", "other", "pcheck") and s.k < len(toks) and not toks[s.k - 1].ends
    if bare and any(cost < 0.4 for _, _, cost, _ in squares(toks, s.k)):
        return None  # a square that follows at once belongs to the move: without it the phrase is cut in two
    if kind == "piece" and d.piece == chess.PAWN and not d.steps and _how_far(toks, s.k):
        return None  # the same of how far a pawn goes
    if kind == "piece" and d.piece == chess.PAWN and d.ff == "a" and not s.motion and not s.tail:
        return None
    return Mention(i, s.k, d, kind, s.hear, s.fillers, s.motion, s.prep, s.parts, s.tail if kind == "piece" else "")

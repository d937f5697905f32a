"""Slips put right at once: "the knight goes to d4, no, to e7", "knight f6, or rather bishop e7", "bishop g5, sorry, f4"."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import NamedTuple

from timeline.follow.lexer import Tok
from timeline.follow.mentions import Mention
from timeline.follow.vocabulary import SORRY_WORDS

Readings = Callable[[int], Sequence[Mention]]

_PHRASES = frozenset(
    """i mean|i meant|i should say|i'm sorry|i am sorry|excuse me|pardon me|forgive me|or rather|make that|make it|scratch that
    |strike that|what am i saying|what am i talking about|my mistake|my bad|my fault|no no|or no|that's wrong|that is wrong|not that|better said|or better""".replace("\n", "")
    .replace("    ", "")
    .split("|")
)
_PLAIN = frozenset("no nope nah".split())
"""Said alone these put right only what stands in the same sentence."""
_SIGHS = frozenset("ah oh uh um er erm hm hmm mm well".split())
_MORE = _SIGHS | frozenset("no nope not wait sorry oops yes of course actually rather".split())
_LEADS = frozenset(
    """the a he she it i we you they white black it's that's it'll was is of course he's she's goes went plays played should be
    must have has been did does actually first rather uh um er oh ah well yes just in this game with to on let me say of""".split()
)
"""Words between the word that puts right and the move."""
_TRAILS = frozenset("here now first then there check again".split())
_JUDGED = frozenset("better best stronger possible impossible works work loses lose wins bad good fails instead".split())
LEADS_AT_MOST = 5
REACH_TOKENS = 9


class Slip(NamedTuple):
    """The wrong words: tokens ``start`` to ``end``; ``cue`` is the token at which they are taken back."""

    start: int
    end: int
    cue: int


class Corrections:
    """Lookups over one token sequence. ``readings``: the mentions that begin at a token."""

    def __init__(self, toks: Sequence[Tok], readings: Readings) -> None:
        self.toks, self.readings = toks, readings
        self._slips: dict[int, Slip | None] = {}
        self._cues: dict[int, tuple[int, bool]] = {}
        i = 1
        while i < len(toks):
            end, plain = self._cue(i)
            if end == i:
                i += 1
                continue
            k = end
            while k < len(toks) and k - end <= LEADS_AT_MOST:
                self._cues[k] = (i, plain)
                if toks[k].text not in _LEADS or toks[k].ends in (".", "?"):
                    break
                k += 1
            i = end

    def by(self, m: Mention) -> Slip | None:
        """What a mention puts right, if anything: one that names a square, castling, or who takes."""
        d = m.desc
        return self.slip(m.start) if d.to >= 0 or d.castle or (d.cap and d.piece) else None

    def slip(self, i: int) -> Slip | None:
        """What a mention that begins at token ``i`` may put right, if anything."""
        if i not in self._cues:
            return None
        if i not in self._slips:
            cue, plain = self._cues[i]
            wrong = self._before(cue)
            said = plain and wrong is not None and self._judged(i)
            self._slips[i] = None if wrong is None or said else Slip(wrong.start, wrong.end, cue)
        return self._slips[i]

    def completed(self, m: Mention) -> Mention | None:
        """A mention with the piece of the move that it puts right: "the knight goes to d4, no, to e7"."""
        d = m.desc
        if d.to < 0 or d.piece or d.fsq >= 0 or d.ff or d.promo or m.kind not in ("pawn", "to", "capsq"):
            return None
        slip = self.by(m)
        wrong = self._before(slip.cue) if slip is not None else None
        if wrong is None or not wrong.desc.piece or wrong.desc.to == d.to or wrong.desc.to < 0:
            return None
        taking = d.cap or wrong.desc.cap
        desc = d._replace(piece=wrong.desc.piece, cap=taking, man=False)
        return replace(m, desc=desc, kind="capsq" if taking else "full")

    def _cue(self, i: int) -> tuple[int, bool]:
        """The token after the words from ``i`` on that take something back (``i`` for none); whether they are a plain "no"."""
        toks = self.toks
        before = toks[i - 1].ends
        if before == "?":
            return i, False
        k, plain = i, True
        while k < len(toks) and k - i < 2 and toks[k].text in _SIGHS and toks[k].ends != "?":
            k += 1
        sighs = k
        while k < len(toks) and k - sighs < 6:
            word = toks[k].text
            if k > sighs and toks[k - 1].ends == "?":
                return i, False
            said = next((size for size in (4, 3, 2) if self._text(k, size) in _PHRASES), 0)
            if said:
                k, plain = k + said, False
            elif word in SORRY_WORDS:
                k, plain = k + 1, False
            elif word in _PLAIN or (k > sighs and word in _MORE):
                k += 1
            else:
                break
        if k == sighs or (plain and before == "."):
            return i, False
        return k, plain

    def _text(self, k: int, size: int) -> str:
        """So many words from token ``k`` on, if no mark parts them."""
        toks = self.toks[k : k + size]
        return "" if any(tok.ends for tok in toks[:-1]) else " ".join(tok.text for tok in toks)

    def _before(self, cue: int) -> Mention | None:
        """The longest mention, heard as it stands, that ends where it is taken back."""
        found: list[Mention] = []
        end = cue
        while not found and end > 0 and cue - end <= 2:
            for k in range(max(0, end - REACH_TOKENS), end):
                found += [m for m in self.readings(k) if m.end == end and m.hear < 1.0]
            end -= 1
            if self.toks[end].text not in _TRAILS:
                break
        return min(found, key=lambda m: (m.start, m.hear), default=None)

    def _judged(self, i: int) -> bool:
        """Whether the words after the mention at token ``i`` only judge it ("no, knight c6 is better")."""
        ends = [m.end for m in self.readings(i)]
        for k in range(max(ends, default=i), min(len(self.toks), max(ends, default=i) + 4)):
            if self.toks[k - 1].ends:
                return False
            if self.toks[k].text in _JUDGED:
                return True
        return False

"""What the words around a mention say of how it is meant: by the game, in a sideline, or only as talk."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import pairwise

import chess

from timeline.follow import phonetics
from timeline.follow.lattice import Lattice
from timeline.follow.mentions import Mention
from timeline.follow.vocabulary import PIECE_WORDS

WAYS = ("main", "side", "ign")

_UNITS = (
    "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen".split()
)
_NUMBERS = {word: n for n, word in enumerate((*_UNITS, "eighteen", "nineteen"), 1)}
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fifty": 50}

SIDELINE_MARKS = frozenset("IF MODAL CAN WANT THREAT NEG INSTEAD OR ALSO".split())
"""Classes of words before a mention by which a sideline is known."""
_WHO = frozenset("i he she we you they white black it".split())
_PASSING = ("en passant", "in passing", "on passant", "in passant", "en passent", "e.p")


def number_before(lattice: Lattice, i: int) -> int:
    """The move number announced just before token ``i``: "seven, a3", "move twelve, …", "7. a3"; 0 for none."""
    if i == 0:
        return 0
    tok = lattice.toks[i - 1]
    before = lattice.toks[i - 2].text if i > 1 else ""
    tens = _TENS.get(before, 0)
    number = int(tok.text) if tok.text.isascii() and tok.text.isdigit() and len(tok.text) < 3 else 0
    number = number or (tens + _NUMBERS[tok.text] if _NUMBERS.get(tok.text, 99) < 10 else _NUMBERS.get(tok.text, 0))
    number = number or _TENS.get(tok.text, 0)
    if tens:
        before = lattice.toks[i - 3].text if i > 2 else ""
    return number if tok.ends or before in ("move", "number") else 0


def marked(lattice: Lattice, m: Mention) -> bool:
    """Whether words before a mention make it one of a sideline."""
    return m.start in lattice.supposed or not SIDELINE_MARKS.isdisjoint(name.removeprefix("p:") for name in lattice.names(m))


def parted(lattice: Lattice, a: Mention, b: Mention) -> bool:
    """Whether a sentence ends between two mentions."""
    return any(tok.ends in (".", "?") for tok in lattice.toks[a.end - 1 : b.start])


def compared(lattice: Lattice, m: Mention) -> bool:
    """Whether words before a mention make it one of a sideline, or tell what comes "after" a choice."""
    return marked(lattice, m) or not {"AFTER", "WITHOUT"}.isdisjoint(lattice.names(m))


def in_passing(lattice: Lattice, i: int) -> bool:
    """Whether the words from token ``i`` on say that the capture just named is made in passing."""
    if not 0 < i < lattice.n or lattice.toks[i - 1].ends in (".", "?"):
        return False
    words = " ".join(tok.text for tok in lattice.toks[i : i + 4])
    return words.removeprefix("it ").removeprefix("the pawn ").startswith(_PASSING)


def later(lattice: Lattice, i: int) -> bool:
    """Whether the words before token ``i`` put its move off: "his bishop comes out before he plays e6"."""
    words = [tok.text for tok in lattice.toks[max(0, i - 4) : i]]
    ends = [tok.ends for tok in lattice.toks[max(0, i - 4) : i]]
    return any(
        a == "before" and b in _WHO and not any(ends[k:]) for k, (a, b) in enumerate(pairwise(words))
    )


def state_features(gap: int, last: str, since: int, aside: bool) -> list[str]:
    """What the way so far says: ``gap`` tokens since the last mention used, ``since`` since the board last changed."""
    bucket = "0" if gap <= 0 else "1" if gap <= 2 else "2" if gap <= 6 else "3" if gap <= 15 else "4"
    found = [f"h:{last}{bucket}", f"in:{'s' if aside else 'm'}"]
    if aside:
        found.append(f"since:{'0' if since <= 6 else '1' if since <= 20 else '2' if since <= 50 else '3'}")
    return found


def mention_features(lattice: Lattice, m: Mention, aside: bool) -> list[tuple[str, float]]:
    """What the words say about how a mention is meant, inside a sideline (``aside``) or not."""
    place = "s" if aside else "m"
    found = [(name, 1.0) for name in lattice.names(m)]
    found += [(f"{name}|{place}", 1.0) for name in lattice.names(m)]
    found.append((f"k:{m.kind}", 1.0))
    found.append((f"k:{m.kind}|{place}", 1.0))
    if m.prep:
        found.append((f"prep:{m.prep}:{'p' if m.desc.piece else '-'}{'m' if m.motion else '-'}", 1.0))
    if m.hear:
        found.append(("hear", m.hear))
    if m.fillers:
        found.append(("fillers", float(m.fillers)))
    return found


def turn_features(lattice: Lattice, i: int, gap: int, last: str, since: int) -> list[str]:
    """What speaks for a return to the game at token ``i`` without a move."""
    bucket = "0" if gap <= 0 else "1" if gap <= 4 else "2" if gap <= 12 else "3" if gap <= 30 else "4"
    far = "1" if since <= 20 else "2" if since <= 50 else "3"
    return [*lattice.context.turn(i), f"h:{last}{bucket}", f"since:{far}", "bias"]


def set_aside(readings: Sequence[Mention]) -> Mention:
    """The reading that stands for a place when its words are only talk: the longest that is heard as it stands."""
    exact = [m for m in readings if m.hear < 0.4]
    return max(exact, key=lambda m: m.end) if exact else max(readings, key=lambda m: (m.end, -m.hear))


@lru_cache(maxsize=20000)
def sounds_like(words: tuple[str, ...], to_square: int, piece: int) -> float:
    """How much unused words speak for a move: a like-sounding square, its piece's name. 0 to about 2.4."""
    best = 0.0
    target = phonetics.SQUARE_PHONES[chess.square_name(to_square)]
    for k, word in enumerate(words):
        named = PIECE_WORDS.get(word)
        if named is not None and named[0] == piece:
            best = max(best, 1.0)
        alone = phonetics.phones(word)
        for heard in (alone, phonetics.phones(words[k - 1]) + alone if k else ()):
            if 2 <= len(heard) <= 8:
                best = max(best, 3.0 * (0.8 - phonetics.alikeness(heard, target)))
    return best

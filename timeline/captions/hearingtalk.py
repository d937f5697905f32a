"""The talk as mended so far, and what it says of a stretch: how likely it is, and what is said again near by."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass

from timeline.captions.chesstalk import BORDER, TalkModel, classed
from timeline.captions.corrections import Pad
from timeline.captions.english import chance, chances
from timeline.captions.everyday import CHESS
from timeline.captions.hearingscore import group
from timeline.captions.hearingwords import PIECES, WORDS
from timeline.follow.phonetics import SQUARE_PHONES

USUAL = -5.0  # words likelier than this, all plain, and not where a square or a chess word is due, are left alone
_TERMS = (CHESS - {"white", "black"}) | frozenset(PIECES) | frozenset(WORDS) | {"piece", "tempi"}
_COUNTS = frozenset(
    "first second third fourth fifth sixth seventh eighth twenty thirty forty fifty sixty seventy eighty ninety hundred".split()
)
_FAR, _CLOSE = 60, 15  # pieces of talk within which the same word counts as said again


@dataclass(slots=True)
class Talk:
    """The talk as mended so far, in pieces: cores, whether a breath ends after each, first words, what is free to change."""

    cores: list[str]
    ends: list[bool]
    places: list[int]
    free: list[bool]
    times: list[int]


def talk_of(pad: Pad, near: set[int] | None = None) -> Talk:
    """The talk as mended so far; free to change are the words ``near``, where that is given."""
    cores, ends, places = pad.mended()
    changed = {c.first for c in pad.found}
    free = [
        not pad.held[place]
        and place not in changed
        and core not in SQUARE_PHONES
        and not is_term(core)
        and (near is None or place in near)
        and not pad.in_phrase(place)
        for core, place in zip(cores, places, strict=True)
    ]
    return Talk(cores, ends, places, free, [pad.words[place].onset_ms for place in places])


def is_term(core: str) -> bool:
    """Whether a piece of talk says what it says: a word of the game, one with a hyphen and such a part, a large number."""
    first, *others = core.split("-")
    if first in _COUNTS or any(part in _TERMS or part.removesuffix("s") in _TERMS for part in others):
        return True
    return any(word in _TERMS for word in (core, core.removesuffix("'s"), core.removesuffix("s"), first))


def likelihood(cores: Sequence[str]) -> list[list[float]]:
    """For each piece of talk how likely its words are after those before; after words of the game by themselves, if likelier."""
    flat = [w for core in cores for w in core.split()]
    values = chances(flat)
    for k in range(1, len(flat)):
        if group(flat[k - 1]) in ("square", "piece", "pawn", "take", "check", "letter"):
            values[k] = max(values[k], chance(flat[k]))
        if group(flat[k]) in ("square", "piece", "pawn", "take", "check", "letter"):
            values[k] = max(values[k], USUAL)
    found, at = [], 0
    for core in cores:
        size = len(core.split())
        found.append(values[at : at + size])
        at += size
    return found


def gain(talk: Talk, first: int, last: int, written: str, heard: float) -> float:
    """How much likelier plain English finds the written word in place of the heard ones, the word after included."""
    before = [w for k in range(max(0, first - 2), first) for w in talk.cores[k].split()][-2:]
    ahead = 0.0
    if last + 1 < len(talk.cores) and not talk.ends[last]:
        ahead = max(USUAL if group(talk.cores[last + 1].split()[0]) else -20.0,
                    chance(talk.cores[last + 1].split()[0], *[*before, written][-2:]))  # fmt: skip
    return chance(written, *before) + ahead - heard


class Sense:
    """What talk about chess makes of the stretches of one talk, and which words are said again near by."""

    def __init__(self, talk: Talk, model: TalkModel) -> None:
        self._model = model
        self._flat: list[str] = [BORDER]
        self._begin: list[int] = []
        self._end: list[int] = []
        self._said: dict[str, list[int]] = {}
        for k, core in enumerate(talk.cores):
            self._begin.append(len(self._flat))
            for word in core.split():
                self._flat.append(classed(word))
                self._said.setdefault(word, []).append(k)
            self._end.append(len(self._flat))
            if talk.ends[k]:
                self._flat.append(BORDER)
        self._sum = [0.0]
        for k, word in enumerate(self._flat):
            self._sum.append(self._sum[-1] + (model.chance(word, *self._flat[max(0, k - 2) : k]) if k else 0.0))
        self._memo: dict[tuple[int, int, str], float] = {}

    def gain(self, first: int, last: int, written: str) -> float:
        """How much likelier talk about chess is with the written words in the stretch's place; natural log, two words on."""
        words = [classed(word) for word in written.split()]
        key = (first, last, " ".join(words))
        if key not in self._memo:
            begin, end = self._begin[first], self._end[last]
            before, ahead = self._flat[max(0, begin - 2) : begin], self._flat[end : end + 2]
            heard = self._sum[end + len(ahead)] - self._sum[begin]
            self._memo[key] = self._model.run([*before, *words, *ahead], len(before)) - heard
        return self._memo[key]

    def rare(self, first: int, last: int) -> float:
        """Mean likelihood of a stretch as it was heard, the word after it included."""
        begin, end = self._begin[first], min(self._end[last] + 1, len(self._flat))
        return (self._sum[end] - self._sum[begin]) / (end - begin)

    def echo(self, first: int, last: int, word: str) -> int:
        """Whether a word is said near a stretch too: 0 no, 1 in some distance, 2 close by."""
        places = self._said.get(word, ())
        best = _FAR + 1
        at = bisect_left(places, first)
        if at:
            best = first - places[at - 1]
        after = bisect_left(places, last + 1)
        if after < len(places):
            best = min(best, places[after] - last)
        return 2 if best <= _CLOSE else 1 if best <= _FAR else 0

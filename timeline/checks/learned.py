"""Statements that no rule foresees, read by learned weights: which fact it is, and what is named in the stretch.

``kinds`` says how likely each fact is. Where words could mean several facts, or
its parts could be filled in several ways, all are kept, and the statement is
wrong only if it is wrong in every one: a reading too many accuses nobody.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace

from timeline.checks.abstract import abstract
from timeline.checks.filling import FILLERS, NEEDS, Reading
from timeline.checks.grammar import Claim
from timeline.checks.guards import barred
from timeline.checks.kinds import NONE, kind_weights
from timeline.checks.sentence import MOST_WORDS, Sentence, stretches

LEAST_FACT = 0.3  # how sure it must be that a fact is stated at all; its parts must be named as well
LEAST_IN_PART = 0.7  # ... where only a part of the stretch is read
LEAST_WORDS = 2  # of such a part
LEAST_SHARPER = 0.5  # how sure of its kind a reading must be to take the place of a vaguer one
MOST_PARTS = 6  # that a stretch is parted into
LEAST_KIND = 0.05  # a kind less likely than this is not thought of
COVER = 0.97  # the kinds kept make up this share of all facts it may be


def read_learned(sentence: Sentence, found: Sequence[Claim]) -> Iterator[Claim]:
    """Statements of a sentence in stretches where the grammar ``found`` none."""
    for first, last in stretches(sentence):
        whole = _claims(sentence, found, first, last, LEAST_FACT)
        yield from whole
        if not whole:
            read: list[Claim] = []
            for start, end in _parts(sentence, first, last):
                read += _claims(sentence, [*found, *read], start, end, LEAST_IN_PART)
            yield from read
            found = [*found, *read]
        found = [*found, *whole]
    joined = _joined(sentence)
    if joined is not None:
        yield from _claims(sentence, found, *joined, LEAST_IN_PART)


def _joined(sentence: Sentence) -> tuple[int, int] | None:
    """The whole of a sentence that is parted by reasons only ("..., so that's a battery")."""
    words = [t.text for t in sentence.tokens]
    parts = sum(1 for _ in stretches(sentence))
    if parts < 2 or len(words) > MOST_WORDS or _APART & set(words):
        return None
    return 0, len(words) - 1


_APART = frozenset("but while if when until although though whereas unless before after then".split())


def sharpened(sentence: Sentence, claim: Claim) -> Claim:
    """A claim that passes over what is named beside it ("a battery, rook on d8 and queen on e7") with these as parts.

    Only where the weights read the same kind in the whole stretch, and fill it with more places than the claim has.
    """
    if claim.others or claim.kind not in FILLERS or claim.kind == "standing":
        return claim
    where = next((r for r in stretches(sentence) if r[0] <= claim.first and claim.last <= r[1]), None)
    if where is None:
        return claim
    text = " " + " ".join(t.text for t in sentence.tokens[where[0] : where[1] + 1]) + " "
    things = abstract(text)
    readings = FILLERS[claim.kind](things)
    if not readings or min(_places(parts) for _, parts in readings) <= _places(claim.parts) or barred(claim.kind, text):
        return claim
    if kind_weights().shares(things)[claim.kind] < LEAST_SHARPER:
        return claim
    first, *more = (Claim(kind, parts, claim.first, claim.last) for kind, parts in readings)
    return replace(first, others=tuple(more))


def _places(parts: Mapping[str, str]) -> int:
    """How many different squares and files are among the parts."""
    return len({word for text in parts.values() for word in text.split() if _PLACE.fullmatch(word)})


_PLACE = re.compile("[a-h][1-8]?")


def _claims(sentence: Sentence, found: Sequence[Claim], first: int, last: int, least: float) -> list[Claim]:
    """The statement in the tokens ``[first, last]``, if they make one and none is ``found`` there."""
    if any(c.kind != "standing" and c.first <= last and c.last >= first for c in found):
        return []
    readings = _readings(" " + " ".join(t.text for t in sentence.tokens[first : last + 1]) + " ", least)
    if least == LEAST_IN_PART and any(kind in _OF_ALL for kind, _ in readings):
        return []
    claims = [Claim(kind, parts, first, last) for kind, parts in readings]
    return [replace(claims[0], others=tuple(claims[1:]))] if claims else []


def _parts(sentence: Sentence, first: int, last: int) -> Iterator[tuple[int, int]]:
    """Token ranges of a stretch that begin and end at its commas, "and" and "that", the longest first."""
    cuts = [first - 1]
    cuts += [i for i in range(first, last + 1) if sentence.tokens[i].text in _BETWEEN_PARTS]
    cuts = [*cuts[:MOST_PARTS], last + 1]
    ranges = [(a + 1, b - 1) for n, a in enumerate(cuts) for b in cuts[n + 1 :]]
    for start, end in sorted(ranges, key=lambda r: r[0] - r[1]):
        if LEAST_WORDS <= end - start + 1 <= last - first:
            yield start, end


_BETWEEN_PARTS = frozenset([",", "and", "that"])
_OF_ALL = frozenset(["piece_count"])
"""Read in whole stretches only: "two pawns and a dream" counts nothing."""


def _readings(text: str, least: float) -> list[Reading]:
    """All that the stretch may state, the likeliest first; empty when it may well be nothing, or cannot be filled."""
    things = abstract(text)
    shares = kind_weights().shares(things)
    fact = 1 - shares.pop(NONE)
    if fact < least:
        return []
    readings: list[Reading] = []
    covered = 0.0
    for kind, share in sorted(shares.items(), key=lambda item: -item[1]):
        if share < LEAST_KIND:
            break
        if kind not in FILLERS or barred(kind, text):
            return []  # it may be something that is not judged
        filled = FILLERS[kind](things)
        if kind in NEEDS and not NEEDS[kind].search(text):
            filled = []
        if not filled and not readings:
            return []
        readings += filled
        covered += share
        if covered >= COVER * fact:
            return readings
    return readings

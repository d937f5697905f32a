"""Statements that no rule foresees, read by learned weights: which fact it is, and what is named in the stretch.

``kinds`` says how likely each fact is. Where words could mean several facts, or
its parts could be filled in several ways, all are kept, and the statement is
wrong only if it is wrong in every one: a reading too many accuses nobody.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from timeline.checks.abstract import abstract
from timeline.checks.filling import FILLERS, NEEDS, Reading
from timeline.checks.grammar import Claim
from timeline.checks.guards import barred
from timeline.checks.kinds import NONE, kind_weights
from timeline.checks.sentence import Sentence, stretches

LEAST_FACT = 0.7  # how sure it must be that a fact is stated at all
LEAST_KIND = 0.05  # a kind less likely than this is not thought of
COVER = 0.97  # the kinds kept make up this share of all facts it may be


def read_learned(sentence: Sentence, found: Sequence[Claim]) -> Iterator[Claim]:
    """Statements of a sentence in stretches where the grammar ``found`` none."""
    for first, last in stretches(sentence):
        if any(c.kind != "standing" and c.first <= last and c.last >= first for c in found):
            continue
        readings = _readings(" " + " ".join(t.text for t in sentence.tokens[first : last + 1]) + " ")
        if readings:
            claims = [Claim(kind, parts, first, last) for kind, parts in readings]
            yield Claim(*readings[0], first, last, tuple(claims[1:]))


def _readings(text: str) -> list[Reading]:
    """All that the stretch may state, the likeliest first; empty when it may well be nothing, or cannot be filled."""
    things = abstract(text)
    shares = kind_weights().shares(things)
    fact = 1 - shares.pop(NONE)
    if fact < LEAST_FACT:
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

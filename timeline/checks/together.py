"""A question and its answer read as one by learned weights: "What is the rook doing there? It holds the pawn on b7".

``answers`` joins the short answers that it knows; here the words of both stand
beside each other, and the weights, which have learned from such pairs, say
which fact they state together.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

from timeline.checks.abstract import abstract
from timeline.checks.filling import FILLERS, fillings
from timeline.checks.grammar import Claim
from timeline.checks.kinds import NONE, shares
from timeline.checks.sentence import MOST_WORDS, Sentence, Token, sentence_of

LEAST_FACT = 0.95  # how sure it must be that the two state a fact
LEAST_KIND = 0.85  # ... and of its kind
BESIDE = 0.05  # a kind as likely as this may be meant as well
_BY_ONE = frozenset(["mate_in", "threat_mate"])
_SUFFERS = frozenset("worry worried mated danger nothing afraid fear facing face careful about against".split())
"""Words with which the side named may be the one that is mated: "what does White have to worry about?"."""
_OTHER = {"white": "black", "black": "white"}


def asked_and_answered(talk: Sequence[Sentence]) -> Iterator[Sentence]:
    """Each question with the sentence after it, as one sentence that asks nothing."""
    for question, answer in pairwise(talk):
        if question.end != "?" or answer.end == "?" or not (question.tokens and answer.tokens):
            continue
        if len(question.tokens) + len(answer.tokens) <= MOST_WORDS:
            at = question.tokens[-1].last
            tokens = [*question.tokens, Token(",", at, at), *answer.tokens]
            yield sentence_of(tokens, ".", trails=answer.trails)


def read_together(joined: Sentence) -> list[Claim]:
    """What a question and its answer state together, all readings in one claim; nothing unless it is sure."""
    found = abstract(joined.text)
    told = shares(found)
    if 1 - told.pop(NONE) < LEAST_FACT:
        return []
    kind = max(told, key=told.__getitem__)
    if told[kind] < LEAST_KIND or any(share >= BESIDE and other not in FILLERS for other, share in told.items()):
        return []
    filled = fillings(joined.text, found)
    readings = [r for other in filled if told.get(other, 0.0) >= BESIDE for r in filled[other]]
    if not filled.get(kind):
        return []
    if kind in _BY_ONE and _SUFFERS & set(found.words):
        readings += [(name, {**parts, "side": _OTHER[parts["side"]]}) for name, parts in readings if "side" in parts]
    last = len(joined.tokens) - 1
    first, *more = (Claim(name, parts, 0, last, (), told[kind]) for name, parts in readings)
    return [Claim(first.kind, first.parts, 0, last, tuple(more), told[kind])]

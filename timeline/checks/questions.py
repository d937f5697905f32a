"""Questions put so that their answers fit: the thing asked of moved to its place, what is stated before a tag parted off.

"The rook on c3, can the pawn take it?" asks whether the pawn can take the rook
on c3. "White threatens mate, did you see it?" states the first half. "The pawn
on e7? Pinned." states that the pawn on e7 is pinned.
"""

# ruff: noqa: E501  (a pattern stands on one line)

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

from timeline.checks.abstract import abstract
from timeline.checks.sentence import Sentence, Token, sentence_of

_LEAD = r"(?:(?:,|and|so|but|well|okay|now|oh|here|then|right|guys|look|see|hey|listen|yes|no|alright|take|about|as for|what about|how about) )*"
_MAN = "(?:king|queen|rook|bishop|knight|pawn)"
_DET = r"(?:(?:the|this|that|his|her|their|my|our|your|white 's|black 's|white|black) )+"
_PLACED = rf"{_DET}(?:[a-z-]+ ){{0,2}}?{_MAN} (?:on|at) [a-h][1-8]"
_FRONTED = re.compile(
    rf"^ {_LEAD}({_PLACED}|(?:(?:the|this|that) )?(?:square )?[a-h][1-8]|{_DET}[a-h] (?:file|pawn)) , "
    r"(?=(?:who|what|which|how many|how often|is|are|can|could|does|do|has|have) )"
)
_PRONOUN = re.compile(r"(?<= )(?:it|him|her|this 1|that 1)(?= )")
_TAIL = re.compile(
    r"^ (?:(?:so|and|but|now|well|okay|right) )*"
    r"(?:(?:did|do|can|could|have|would|will) (?:you|we|anybody|anyone|everybody|everyone|somebody|someone|any of you|i)|(?<=so )(?:what|how|why|who|which)|"
    r"(?<=and )(?:what|how|why|who|which)|(?<=but )(?:what|how|why|who|which))(?: |$)"
)
_OPEN = re.compile(
    rf"^ {_LEAD}(?:(?:can|could|would|will|do|did|does|is|are|was|were|has|have|had|may|might|shall|should|must|am) |"
    r"(?:what|who|whom|whose|which|why|how|where|when|if|whenever|suppose|supposing|imagine|assume|assuming|say|let|let us|guess|tell) )"
)
"""A first half that asks or supposes itself."""
MOST_ELLIPTIC = 5  # words of an answer that leaves its subject to the question
_RULING = re.compile(
    r"^ (?:(?:,|no|yes|yep|yeah|nope|nah|sure|well|sorry|sadly) )*(?=(?:(?:not|perfectly|totally|quite|completely|simply) )*(?:il)?legal )"
)


def fronted(sentence: Sentence) -> Sentence:
    """A question with the thing it begins with in the place of its pronoun."""
    head = _FRONTED.match(sentence.text) if sentence.end == "?" else None
    pronoun = _PRONOUN.search(sentence.text, head.end() - 1) if head is not None else None
    if head is None or pronoun is None or _PRONOUN.search(sentence.text, pronoun.end()):
        return sentence
    start, at = sentence.token_at(head.end()), sentence.token_at(pronoun.start())
    last = sentence.token_at(pronoun.end() - 1)
    words = [Token(w, sentence.tokens[at].first, sentence.tokens[last].last) for w in head[1].split()]
    tokens = [*sentence.tokens[start:at], *words, *sentence.tokens[last + 1 :]]
    return sentence_of(tokens, sentence.end, trails=sentence.trails)


def parted(talk: Iterable[Sentence]) -> Iterator[Sentence]:
    """The talk with each statement before a question tag as a sentence of its own."""
    for sentence in talk:
        cut = _before_tail(sentence) if sentence.end == "?" else None
        if cut is None:
            yield sentence
        else:
            yield sentence_of(sentence.tokens[:cut], ".")
            yield sentence_of(sentence.tokens[cut + 1 :], "?", trails=sentence.trails)


def _before_tail(sentence: Sentence) -> int | None:
    """The index of the comma after which only the tag asks."""
    texts = [t.text for t in sentence.tokens]
    commas = [i for i, text in enumerate(texts) if text == ","]
    if not commas or not commas[-1] or _OPEN.match(sentence.text):
        return None
    return commas[-1] if _TAIL.match(" " + " ".join(texts[commas[-1] + 1 :]) + " ") else None


def with_subject(sentence: Sentence, thing: str, *, move: bool) -> Sentence:
    """An answer of a few words that names nothing, said of the ``thing`` (or ``move``) that was asked about."""
    found = abstract(sentence.text)
    named = found.men or found.squares or found.moves or found.files or found.pawns or found.pieces
    if named or len(sentence.tokens) > MOST_ELLIPTIC:
        return sentence
    ruling = _RULING.match(sentence.text)
    if move and ruling is None:
        return sentence
    if not move and {t.text for t in sentence.tokens} & _OWN_SUBJECT:
        return sentence
    start = sentence.token_at(ruling.end()) if ruling is not None else 0
    first, last = sentence.tokens[start].first, sentence.tokens[-1].last
    words = [Token(w, first, last) for w in (*thing.split(), "is")]
    return sentence_of([*words, *sentence.tokens[start:]], sentence.end, trails=sentence.trails)


_OWN_SUBJECT = frozenset(
    "it he she they we you i there that this what who white black nothing nobody no yes let not is are has can does "
    "gone okay good exactly look watch wait think see".split()
)

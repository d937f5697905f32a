"""Whom "it" means: a sentence said again with the piece in the place of its pronoun, when few can be meant."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from timeline.checks.abstract import abstract
from timeline.checks.guards import conditional
from timeline.checks.sentence import Sentence, Token, sentence_of

_PIECE_AT = re.compile(
    r"(?<= )(?:the |this |that |his |her |my |our |your |white 's |black 's |white |black |an? (?:[a-z]+ )?)+"
    r"(?:(?:(?:[a-h] )?(?:king|queen|rook|bishop|knight|pawn)) (?:on|at) [a-h][1-8]|[a-h][1-8]? pawn)(?= )"
)
_PRONOUN = re.compile(
    r"(?<= )(?:it|he|she)(?= (?:is|was|has been|can not move because it is) "
    r"(?:[a-z]+ly |now |also |still |just |even |not )*"
    r"(?:pinned|hanging|en-prise|undefended|unprotected|unguarded|isolated|passed|backward|defended|protected|guarded|"
    r"attacked|under attack|loose|fianchettoed|on an? (?:\w+ )?outpost|"
    r"an? (?:\w+ )?(?:isolated|passed|backward|isolani) ))"
)
_KING = re.compile(r" (?:(white|black) 's|(?:the|a) (white|black)) king(?= )")
_KING_IT = re.compile(
    r"(?<= )(?:it|he|she)(?= (?:is|stands|was|has been|got|gets) (?:[a-z]+ly |now |still |just |standing |sitting )*"
    r"(?:in check|under check|mated|checkmated|checked) )"
)
ABOUT_ONE = frozenset(
    "undefended hanging pinned pinned_to isolated passed backward outpost attackers defenders attack_defend".split()
)
"""Kinds that say something of one piece: what "it" may be said to be."""
ABOUT_TWO = frozenset("attacks attacked_by defends defended_by pins can_capture".split())
"""Kinds that say what a piece does to "it"."""
_IT = frozenset(["it"])
BACK = 2  # sentences that are looked back
MOST = 2  # pieces that may be meant


def with_antecedents(sentence: Sentence, before: Sentence | None) -> Sentence:
    """ "The knight on f6, it is pinned": the pronoun gets the piece's words, when just one piece can be meant."""
    sentence = _with_file(_with_king(sentence))
    tokens = list(sentence.tokens)
    for match in reversed(list(_PRONOUN.finditer(sentence.text))):
        named = [m[0] for m in _PIECE_AT.finditer(sentence.text[: match.start()])]
        if not named and before is not None and match.start() < 12:
            named = [m[0] for m in _PIECE_AT.finditer(before.text)]
        if len(set(named)) != 1:
            continue
        index = sentence.token_at(match.start())
        where = tokens[index]
        tokens[index : index + 1] = [Token(word, where.first, where.last) for word in named[0].split()]
    return (
        sentence if len(tokens) == len(sentence.tokens) else sentence_of(tokens, sentence.end, trails=sentence.trails)
    )


_HEAD = re.compile(
    r"^ (?:(?:and|so|but|now|well|here|okay|then|,) )*"
    r"(white|black|(?:the|this|that|his|her|my|our|white 's|black 's) "
    r"(?:king|queen|rook|bishop|knight|pawn) (?:on|at) [a-h][1-8])"
    r"(?= (?!'s )[a-z]+)"
)
_SECOND = re.compile(r"(?<= )(?:and|but)(?= (?:also |now |still |so |therefore )*(?:is|has|was|remains|stays|stands) )")


def second_halves(sentence: Sentence) -> Iterator[Sentence]:
    """ "White gave a piece and is a piece down": the subject said again before what follows "and"."""
    head = _HEAD.match(sentence.text)
    if head is None or conditional(t.text for t in sentence.tokens):
        return
    first, last = sentence.token_at(head.start(1)), sentence.token_at(head.end(1) - 1)
    for match in _SECOND.finditer(sentence.text):
        index = sentence.token_at(match.start())
        if index > last + 1:
            where = sentence.tokens[index]
            subject = [Token(t.text, where.first, where.last) for t in sentence.tokens[first : last + 1]]
            yield sentence_of([*subject, *sentence.tokens[index + 1 :]], sentence.end, trails=sentence.trails)


_FILE = re.compile(r" (?:([b-h])|(?<= the )a|(?<= this )a|(?<= that )a) file(?= )")
"""Of "a file" only "the a file" is that of the rook: else it is any file."""
_FILE_IT = re.compile(
    r"(?<= )(?:it|that|this)(?= (?:is|was|stands) (?:an? |the |now |completely |wide |fully |what [a-z]+ call )*"
    r"(?:half-open|open)(?: file| 1)? (?:$|,|for|now|here))"
)


def _with_file(sentence: Sentence) -> Sentence:
    """ "White has no pawn on the c file, so it's half-open": the only file named before is meant."""
    match = _FILE_IT.search(sentence.text)
    files = {m[1] or "a" for m in _FILE.finditer(sentence.text[: match.start()])} if match else set()
    if match is None or len(files) != 1:
        return sentence
    index = sentence.token_at(match.start())
    where = sentence.tokens[index]
    words = [Token(word, where.first, where.last) for word in ("the", files.pop(), "file")]
    return sentence_of(
        [*sentence.tokens[:index], *words, *sentence.tokens[index + 1 :]], sentence.end, trails=sentence.trails
    )


def _with_king(sentence: Sentence) -> Sentence:
    """ "White's king isn't safe, it stands in check": the only king named before is meant."""
    match = _KING_IT.search(sentence.text)
    if match is None:
        return sentence
    kings = {m[1] or m[2] for m in _KING.finditer(sentence.text[: match.start()])}
    if len(kings) != 1:
        return sentence
    index = sentence.token_at(match.start())
    where = sentence.tokens[index]
    words = [Token(w, where.first, where.last) for w in (kings.pop(), "'s", "king")]
    tokens = [*sentence.tokens[:index], *words, *sentence.tokens[index + 1 :]]
    return sentence_of(tokens, sentence.end, trails=sentence.trails)


def restated(sentence: Sentence, before: Sequence[Sentence]) -> Iterator[list[Sentence]]:
    """The sentence from a phrase with "it" on, once for each piece that may be meant.

    The piece is one of those named with their squares earlier in the sentence,
    else in the nearest of the sentences ``before`` that names anything; nothing
    when something else is named there, too, that "it" might be.
    """
    for start, pronoun in _phrases(sentence):
        earlier = sentence.tokens[:start]
        if conditional(t.text for t in earlier):
            continue
        texts = [" " + " ".join(t.text for t in earlier) + " ", *(s.text for s in reversed(before[-BACK:]))]
        men = next((m for m in map(_named, texts) if m is not None), [])
        doer = _DOER.search(" " + " ".join(t.text for t in sentence.tokens[start:]) + " ")
        if doer is not None:
            men = [man for man in men if man.split()[-1] != doer[1]]
        if not 1 <= len(men) <= MOST:
            continue
        said = []
        for man in men:
            where = sentence.tokens[pronoun]
            tokens = [
                *sentence.tokens[start:pronoun],
                *(Token(word, where.first, where.last) for word in man.split()),
                *sentence.tokens[pronoun + 1 :],
            ]
            said.append(sentence_of(tokens, sentence.end, trails=sentence.trails))
        yield said


def _phrases(sentence: Sentence) -> Iterator[tuple[int, int]]:
    """(first token, token of the pronoun) of the first phrase between commas that has "it" and no piece's place."""
    start = 0
    tokens = sentence.tokens
    for index, token in enumerate([*tokens, None]):
        if token is not None and token.text != ",":
            continue
        phrase = [t.text for t in tokens[start:index]]
        pronoun = next((n for n, word in enumerate(phrase) if word in _IT), None)
        told = " " + " ".join(phrase) + " "
        if pronoun is not None and (_named(told) is None or _DOER.search(told)):
            yield start, start + pronoun
            return
        start = index + 1


_DOER = re.compile(
    r"(?<= )(?:(?:the|this|that|his|her|my|our|white 's|black 's) )+(?:king|queen|rook|bishop|knight|pawn) "
    r"(?:on|at) ([a-h][1-8]) (?:[a-z]+ly |also |still |now |already |just |can |is )*"
    r"(?:guards?|defends?|protects?|covers?|supports?|attacks?|hits?|pins?|takes?|captures?|"
    r"guarding|defending|protecting|covering|supporting|attacking|hitting|pinning|"
    r"(?:has|have|keeps?|holds?)(?: got)?(?= it (?:[a-z]+ly |well )?"
    r"(?:covered|protected|defended|guarded|pinned|under))) it(?= )"
)


def _named(text: str) -> list[str] | None:
    """The men that a text names with their squares; empty when it names more than these, None when nothing at all."""
    found = abstract(text)
    men = list(dict.fromkeys(f"the {man} on {place}" for man, place in found.men))
    others = found.squares or found.moves or found.pawns or found.pieces
    if others:
        return []
    return men or None

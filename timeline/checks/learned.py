"""Statements that no rule foresees, read by learned weights: which fact it is, and what is named in the stretch.

``kinds`` says how likely each fact is. Where words could mean several facts, or
its parts could be filled in several ways, all are kept, and the statement is
wrong only if it is wrong in every one: a reading too many accuses nobody.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Iterator, Mapping, Sequence
from dataclasses import replace

from timeline.checks.abstract import Abstract, abstract
from timeline.checks.barring import barred, only_thought, supposes
from timeline.checks.filling import FILLERS, Reading, bare, fillings
from timeline.checks.grammar import Claim
from timeline.checks.guards import OF_MOVES
from timeline.checks.kinds import NONE, kind_weights, shares, shares_by_words
from timeline.checks.sentence import MOST_WORDS, Sentence, stretches

LEAST_FACT = 0.75  # how sure it must be that a fact is stated at all; its parts must be named as well
SURE_FACT = 0.93  # so sure, words like "may" or "not" are taken for part of the fact ("we may call it passed")
SURE_KIND = 0.8  # ... and of its kind
OUTRIGHT = 0.993  # so sure of a whole sentence, no word in it bars the fact ("if you look, ...")
OUTRIGHT_KIND = 0.95  # ... and of its kind
LEAST_BESIDE = 0.8  # ... where what it leaves out is taken from the rest of the sentence
LEAST_IN_PART = 0.8  # ... where only a part of the stretch is read
SURE_OTHER = 0.9  # how sure the weights must be of another fact to be believed before a rule
LEAST_OWN = 0.02  # ... and how little they must think of the rule's own
RUNS_ON = 10  # words of a stretch that may well state more than one thing
BELIEVED = 0.5  # so likely by its words alone, a rule's fact is not held against the slower model
LEAST_WORDS = 2  # of such a part
MOST_AT_ONCE = 48  # words of a sentence that is read as one only where the weights are sure of it
LEAST_SHARPER = 0.5  # how sure of its kind a reading must be to take the place of a vaguer one
MOST_PARTS = 6  # that a stretch is parted into
LEAST_FILLED = 0.4  # share of the kinds whose parts are all named
LEAST_KIND = 0.05  # a kind less likely than this is not thought of
COVER = 0.97  # the kinds kept make up this share of all facts it may be


def read_learned(sentence: Sentence, found: Sequence[Claim], all_found: Sequence[Claim]) -> Iterator[Claim]:
    """Statements of a sentence in stretches where the grammar ``found`` none that stands.

    Where it found one that does not stand (``all_found``), only a reading that is sure counts.
    """
    yield from (c for c in _read(sentence, found) if c.sure >= SURE_FACT or not _touches(c, all_found))


def _touches(claim: Claim, found: Sequence[Claim]) -> bool:
    return any(c.kind != "standing" and c.first <= claim.last and c.last >= claim.first for c in found)


def _read(sentence: Sentence, found: Sequence[Claim]) -> Iterator[Claim]:
    for first, last in stretches(sentence):
        whole = _claims(sentence, found, first, last, LEAST_FACT, whole=True)
        yield from whole
        if not whole:
            read: list[Claim] = []
            beside = SURE_FACT if _touches(Claim("", {}, first, last), found) else LEAST_IN_PART
            for start, end in parts(sentence, first, last):
                read += _claims(sentence, [*found, *read], start, end, beside)
            yield from read
            found = [*found, *read]
        found = [*found, *whole]
    joined = _joined(sentence)
    if joined is not None:
        yield from _claims(sentence, found, *joined, LEAST_IN_PART)
    elif len(sentence.tokens) <= MOST_AT_ONCE:
        yield from _claims(sentence, found, 0, len(sentence.tokens) - 1, OUTRIGHT)


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
    if claim.kind == "skewer" and "a" not in claim.parts:
        return _with_skewering(sentence, claim)
    where = next((r for r in stretches(sentence) if r[0] <= claim.first and claim.last <= r[1]), None)
    if where is None:
        return claim
    text = " " + " ".join(t.text for t in sentence.tokens[where[0] : where[1] + 1]) + " "
    things = abstract(text)
    filled = fillings(text, things)
    readings = filled.get(claim.kind, [])
    if not readings or min(_places(parts) for _, parts in readings) <= _places(claim.parts) or barred(claim.kind, text):
        return claim
    if shares(things)[claim.kind] < LEAST_SHARPER:
        return claim
    first, *more = (Claim(kind, parts, claim.first, claim.last) for kind, parts in readings)
    return replace(first, others=tuple(more))


def contradicted(sentence: Sentence, claim: Claim) -> bool:
    """Whether the weights are sure that the words around a claim of the rules state another kind of fact."""
    kinds = _ALSO.get(claim.kind, frozenset()) | {claim.kind}
    where = next((r for r in stretches(sentence) if r[0] <= claim.first and claim.last <= r[1]), None)
    if claim.sure or where is None or claim.kind == "standing" or not kinds & set(kind_weights().kinds):
        return False
    text = " " + " ".join(t.text for t in sentence.tokens[where[0] : where[1] + 1]) + " "
    things = abstract(text)
    if _of(kinds, shares_by_words(things)) >= BELIEVED:
        return False
    told = shares(things)
    other = max((kind for kind in told if kind not in {NONE, "standing", *kinds}), key=told.__getitem__)
    if told[other] <= SURE_OTHER or _of(kinds, told) >= LEAST_OWN:
        return False
    return not _said_beside(sentence, claim, where, other)


def _said_beside(sentence: Sentence, claim: Claim, where: tuple[int, int], other: str) -> bool:
    """Whether the words beside a claim state that other fact by themselves, where talk runs on without a stop."""
    if sentence.end or where[1] - where[0] < RUNS_ON:
        return False
    words = [t.text for t in sentence.tokens]
    beside = [words[where[0] : claim.first], words[claim.last + 1 : where[1] + 1]]
    return any(shares(abstract(f" {' '.join(part)} "))[other] > SURE_OTHER for part in beside if part)


def _of(kinds: Collection[str], told: Mapping[str, float]) -> float:
    return sum(told.get(kind, 0.0) for kind in kinds)


_ALSO = {
    kind: frozenset(others.split())
    for kind, others in {
        "attacked_by": "attacks", "attacks": "fork attackers", "attackers": "attack_defend",
        "defended_by": "defends", "defenders": "attack_defend", "undefended": "hanging defends",
        "hanging": "undefended can_capture", "pins": "pinned", "pinned": "pins", "pinned_to": "pinned pins",
        "xray": "skewer", "skewer": "xray pins", "discovered_attack": "discovered_check xray",
        "check": "double_check discovered_check checkmate", "checkmate": "mate_in threat_mate stalemate",
        "exchange_up": "material", "material_lead": "material", "move_number_played": "move_number in_the_game",
        "castled": "uncastled", "uncastled": "castled castle_right castle_lost",
        "castle_lost": "castle_right uncastled", "castle_right": "castle_lost uncastled",
        "legal": "illegal", "illegal": "legal", "shade": "shade_bishop",
        "open_file": "half_open", "half_open": "open_file", "outpost": "weak_square", "weak_square": "outpost",
    }.items()
}  # fmt: skip
"""Kinds that one and the same wording may state beside it, or that the weights have by another name."""


def outright(sentence: Sentence, claim: Claim) -> bool:
    """Whether the weights are sure that a sentence, taken whole, states the claim's kind of fact."""
    kinds = _ALSO.get(claim.kind, frozenset()) | {claim.kind}
    told = shares(abstract(sentence.text))
    return _of(kinds, told) > OUTRIGHT


def _with_skewering(sentence: Sentence, claim: Claim) -> Claim:
    """A skewer of two pieces where the sentence names three: any of them may be the one that skewers."""
    readings = FILLERS["skewer"](abstract(sentence.text))
    if not readings or "a" not in readings[0][1]:
        return claim
    first, *more = (Claim(kind, parts, claim.first, claim.last) for kind, parts in readings)
    return replace(first, others=tuple(more))


def _places(parts: Mapping[str, str]) -> int:
    """How many different squares and files are among the parts."""
    return len({word for text in parts.values() for word in text.split() if _PLACE.fullmatch(word)})


_PLACE = re.compile("[a-h][1-8]?")


def _claims(
    sentence: Sentence, found: Sequence[Claim], first: int, last: int, least: float, *, whole: bool = False
) -> list[Claim]:
    """The statement in the tokens ``[first, last]``, if they make one and none is ``found`` there."""
    if _touches(Claim("", {}, first, last), found):
        return []
    text = " " + " ".join(t.text for t in sentence.tokens[first : last + 1]) + " "
    things = abstract(text)
    sure, readings = _readings(text, things, least)
    if not readings and (first or last < len(sentence.tokens) - 1):
        fuller = _with_neighbours(things, sentence, first, last)
        sure, readings = _readings(text, fuller, LEAST_BESIDE) if fuller is not None else (0.0, [])
        if any(kind in _OWN_WORDS_ONLY for kind, _ in readings):
            readings = []
    if not whole and any(kind in OF_ALL for kind, _ in readings):
        return []
    claims = [Claim(kind, parts, first, last, (), sure) for kind, parts in readings]
    return [replace(claims[0], others=tuple(claims[1:]))] if claims else []


def parts(sentence: Sentence, first: int, last: int) -> Iterator[tuple[int, int]]:
    """Token ranges of a stretch that begin and end at its commas, "and" and "that", the longest first."""
    cuts = [first - 1]
    cuts += [i for i in range(first, last + 1) if sentence.tokens[i].text in _BETWEEN_PARTS]
    cuts = [*cuts[:MOST_PARTS], last + 1]
    ranges = [(a + 1, b - 1) for n, a in enumerate(cuts) for b in cuts[n + 1 :]]
    for start, end in sorted(ranges, key=lambda r: r[0] - r[1]):
        if LEAST_WORDS <= end - start + 1 <= last - first:
            yield start, end


_THAT_FILE = frozenset("file files pawn pawns it".split())
_IT = frozenset("it him her itself he she".split())
_OWN_WORDS_ONLY = frozenset("standing check checkmate stalemate turn result".split())
"""Whose men or sides must be named in the stretch itself."""
_BETWEEN_PARTS = frozenset([",", "and", "that"])
OF_ALL = frozenset(["piece_count"])
"""Read in whole stretches only: "two pawns and a dream" counts nothing."""


def _with_neighbours(things: Abstract, sentence: Sentence, first: int, last: int) -> Abstract | None:
    """A stretch's things and what it leaves out: the only side or man that the rest of its sentence names."""
    before, after = sentence.tokens[:first], sentence.tokens[last + 1 :]
    around = abstract(" " + " ".join(t.text for t in [*before, *after]) + " ")
    told: dict[str, tuple] = {}  # type: ignore[type-arg]
    if not things.sides and len(set(around.sides)) == 1:
        told["sides"] = around.sides[:1]
    if not (things.men or things.squares or things.files or things.pawns or things.pieces):
        if len(set(around.men)) == 1 and not around.squares:
            told["men"] = around.men[:1]
        elif not around.men and len(set(around.squares)) == 1:
            told["squares"] = around.squares[:1]
        elif not around.men and len({*around.files, *around.pawns}) == 1 and _THAT_FILE & set(things.words):
            told["files"] = (*around.files, *around.pawns)[:1]
    elif not (things.squares or around.squares) and _IT & set(things.words):
        named, others = set(things.men), set(around.men) - set(things.men)
        if len(named) == len(others) == 1:
            told["men"] = (*others, *named)  # "... is safe, for it is covered by the bishop on b5"
    return replace(things, **told) if told else None


def _readings(text: str, things: Abstract, least: float) -> tuple[float, list[Reading]]:
    """How likely the stretch states a fact, and all that it may state, the likeliest first.

    Nothing is read when it may well be no fact, or cannot be filled.
    """
    filled = fillings(text, things)
    if not filled:
        return 0.0, []
    told = shares(things)
    fact = 1 - told.pop(NONE)
    if fact < least:
        return fact, []
    if sum(told[kind] for kind in filled if kind in told) < LEAST_FILLED * fact:
        return fact, []  # it may be something that is not judged
    readings: list[Reading] = []
    covered = 0.0
    for kind, share in sorted(told.items(), key=lambda item: -item[1]):
        if share < LEAST_KIND:
            break
        if kind not in FILLERS:
            return fact, []
        coming = kind in OF_MOVES and bare(things)  # "that's called a discovered attack": perhaps still to come
        doubt = fact < SURE_FACT or share < SURE_KIND or only_thought(text) or coming
        if doubt and not (fact > OUTRIGHT and share > OUTRIGHT_KIND and not supposes(text)) and barred(kind, text):
            return fact, []
        readings += filled.get(kind, [])
        covered += share
        if covered >= COVER * fact:
            break
    return fact, readings

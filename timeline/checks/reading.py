"""What a sentence states: every statement in it, in its second half, and about "it", with the parts that it leaves out.

Nothing is decided here (see ``statements``). A statement's side, move or subject
is looked for in the words around it; where several may be meant, all are kept.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import replace
from functools import partial

from timeline.checks.abstract import abstract
from timeline.checks.answers import answered
from timeline.checks.antecedents import ABOUT_ONE, ABOUT_TWO, restated, second_halves, with_antecedents
from timeline.checks.barring import denied_whole, only_thought
from timeline.checks.claims import PRONOUNS
from timeline.checks.grammar import Claim
from timeline.checks.guards import OF_MOVES, elsewhere_between, recipe, unreal, why_not
from timeline.checks.kinds import shares
from timeline.checks.learned import SURE_FACT, contradicted, outright, read_learned, sharpened
from timeline.checks.loose import read_loosely
from timeline.checks.remarks import without_remarks
from timeline.checks.sayings import GRAMMAR, PLAYERS
from timeline.checks.sentence import Sentence, Token, sentence_of
from timeline.checks.together import asked_and_answered, read_together

_PLACE = re.compile("(?:on|at) [a-h][1-8]")


def read_statements(talk: Sequence[Sentence]) -> Iterator[tuple[Sentence, Claim, Sentence | None]]:
    """Every statement that is to be judged, with its sentence and the one before."""
    read: list[tuple[int, int]] = []
    for sentence, claim, previous in _one_by_one(answered(talk)):
        if claim.kind != "standing":
            read.append((sentence.tokens[claim.first].first, sentence.tokens[claim.last].last))
        yield sentence, claim, previous
    for joined in asked_and_answered(talk):
        if any(a <= joined.tokens[-1].last and b >= joined.tokens[0].first for a, b in read):
            continue
        for claim in [*read_together(joined), *_seated_in(joined)]:
            yield joined, _with_side(joined, claim), None


def _seated_in(sentence: Sentence) -> list[Claim]:
    """Who plays whom, where players are named."""
    names = {t.name for t in sentence.tokens if t.name}
    if not names:
        return []
    named = [Token(t.name or t.text, t.first, t.last) for t in sentence.tokens]
    told = shares(abstract(sentence.text)).get("players", 0.0) > SURE_SEATED
    return seated(sentence_of(named, sentence.end), names, told=told)


def _one_by_one(talk: Sequence[Sentence]) -> Iterator[tuple[Sentence, Claim, Sentence | None]]:
    """The statements of single sentences; one in which nothing is read is read again without its remarks."""
    for number, sentence in enumerate(talk):
        found = [*_of_one(talk, number, sentence)]
        if not any(claim.kind != "standing" for _, claim, _ in found):
            bare = without_remarks(sentence)
            found += _of_one(talk, number, bare) if bare is not None else ()
        yield from found


def _of_one(
    talk: Sequence[Sentence], number: int, sentence: Sentence
) -> Iterator[tuple[Sentence, Claim, Sentence | None]]:
    """The statements of a sentence that stands at ``number`` in the talk, answers made statements before."""
    following = talk[number + 1] if number + 1 < len(talk) else None
    previous = talk[number - 1] if number else None
    sentence = with_antecedents(sentence, previous)
    claims = _read(sentence, following, previous)
    claims += _seated_in(sentence)
    yield from _about_it(sentence, claims, talk[max(0, number - 2) : number], following)
    yield from _said_second(sentence, claims, previous, following)
    for claim in map(partial(_with_side, sentence), map(partial(_with_move, sentence), claims)):
        if claim.parts.get("a") in PRONOUNS:
            if previous is not None and (previous.end == "?" or unreal(previous.text)):
                continue  # "it" may be what was only thought of
            claim = _with_subjects(claim, sentence, talk[max(0, number - 2) : number])
        if _judged(sentence, claim, following, previous) and not _runs_into_move(sentence, claim):
            yield sentence, claim, previous


_OUTWEIGHED = frozenset(
    "perhaps a question;not said as a fact;denied;spoken of in general;about another time or board;an opinion".split(
        ";"
    )
)


_TO_COME = "the answer to what could be played"
_FORESEEING = re.compile(
    r" (?:could|would|should|may|might|what if|why not|what about|how about|what happens|suppose|if|play|plays|"
    r"threat[a-z]*) "
)
_ASKED = frozenset(["a question", _TO_COME])
_BEATEN = (_OUTWEIGHED | _ASKED) - {"about another time or board", "denied"}
"""Guards that a sentence beats of which the weights are sure as a whole."""


_SEATED = re.compile(
    r" (?:pieces|men|army|forces|troops|side|seat|chair|end|plays?|played|playing|handl(?:es|ed|ing)|dressed|wearing|"
    r"command(?:s|ed|ing)|conduct(?:s|ed|ing)|le(?:d|ads|ading)|behind|colors?|took|takes|charge|sat|sits|sitting|with|"
    r"had|has|having|drew) "
)
_NOT_SEATED = re.compile(
    r" (?:won|wins?|lost|loses?|beat|beaten|draws?|resign(?:s|ed)|move|turn|next|now|to|against|versus|"
    r"king|queen|rook|bishop|knight|pawn|piece(?!s)|square|if|would|not|never|no|usually|often|always|opponent|"
    r"opening|defense|gambit|castled|check|mate|\d+|[a-h][1-8])s? "
)


def seated(sentence: Sentence, names: set[str], *, told: bool = False) -> list[Claim]:
    """Who plays whom, where players keep their ``names``: by the rules, else the one name and the one colour.

    ``told``: the weights say that this is what the sentence states.
    """
    claims = [c for c in PLAYERS.read(sentence) if c.parts.get("who") in names]
    texts = [t.text for t in sentence.tokens]
    at = [i for i, text in enumerate(texts) if text in names]
    seats = [i for i, text in enumerate(texts) if text in ("white", "black")]
    one = len({texts[i] for i in at}) == 1 and len({texts[i] for i in seats}) == 1
    if claims or len(texts) > (MOST_SEATED if one else 2 * MOST_SEATED):
        return claims
    text = re.sub(" no other| the (?:first |second )?1(?= [a-z]+(?:ing)? )", "", sentence.text)
    if not (told and one) and (_SEATED.search(sentence.text) is None or _NOT_SEATED.search(text)):
        return claims
    if not one:
        return [*_two_seated(texts, sorted([*at, *seats]), names)]
    ends = (min(at[0], seats[0]), max(at[-1], seats[-1]))
    return [Claim("players", {"who": texts[at[0]], "seat": texts[seats[0]]}, *ends)]


def _two_seated(texts: Sequence[str], at: Sequence[int], names: set[str]) -> Iterator[Claim]:
    """ "White is handled by Roe, and Tern has the black ones": two names and two colours that go in pairs."""
    pairs = list(zip(at[::2], at[1::2], strict=False))
    mixed = all((texts[i] in names) != (texts[k] in names) for i, k in pairs)
    if len(at) != 4 or len({texts[i] for i in at}) != 4 or not mixed:
        return
    for first, last in pairs:
        who, seat = (first, last) if texts[first] in names else (last, first)
        yield Claim("players", {"who": texts[who], "seat": texts[seat]}, first, last)


MOST_SEATED = 14  # words
SURE_SEATED = 0.9
SURE_ENOUGH = 0.8  # of a fact that "who" or "how" in it asks nothing


def _judged(sentence: Sentence, claim: Claim, following: Sentence | None, previous: Sentence | None) -> bool:
    """Whether a statement is to be judged: no guard speaks against it, or only one that its own words outweigh."""
    if elsewhere_between(sentence, claim):
        return False
    why = why_not(sentence, claim, following, previous)
    foreseen = why == _TO_COME and previous is not None and _FORESEEING.search(previous.text)
    if why in _BEATEN and not foreseen and _said_outright(sentence, claim, why):
        return True
    if why not in _OUTWEIGHED or only_thought(sentence.text):
        return why is None
    if claim.kind in OF_MOVES and not claim.parts.keys() & {"a", "side"}:
        return False  # "that's called a discovered attack": of moves that may be still to come
    words = [t.text for t in sentence.tokens[: claim.first]]
    if recipe(words) or unreal(" " + " ".join(words) + " "):
        return False
    return claim.sure >= (SURE_ENOUGH if why == "perhaps a question" else SURE_FACT)


def _said_outright(sentence: Sentence, claim: Claim, why: str) -> bool:
    """Whether a guard errs, because the weights are sure of the whole sentence ("if you look, the rook is pinned")."""
    if sentence.end == "?" or denied_whole(sentence.text) or (why in _ASKED and abstract(sentence.text).moves):
        return False
    words = [t.text for t in sentence.tokens]
    begins = max((i + 1 for i in range(claim.first) if words[i] in _BEGINS_CLAUSE), default=0)
    if only_thought(" " + " ".join(words[begins : claim.last + 1]) + " "):
        return False  # a condition binds the clause in which it stands
    named = claim.kind in OF_MOVES and not claim.parts.keys() & {"a", "side"} and _NAMING & set(sentence.text.split())
    return not named and outright(sentence, claim)


_BEGINS_CLAUSE = frozenset(", that but because so and".split())
_NAMING = frozenset("call called calls name named word term means like".split())
"""Words by which a term is told, not a fact."""


def _read(sentence: Sentence, following: Sentence | None, previous: Sentence | None) -> list[Claim]:
    """Every statement in a sentence: by the rules, then in other words, then by learned weights.

    Where a guard speaks against what the rules read, the weights are asked, too.
    """
    claims = [*GRAMMAR.read(sentence)]
    claims += read_loosely(sentence, claims)
    kept = [c for c in claims if why_not(sentence, c, following, previous) not in _OUTWEIGHED]
    claims += read_learned(sentence, kept, claims)
    claims = [claim for claim in claims if not contradicted(sentence, claim)]
    claims = [sharpened(sentence, claim) for claim in claims]
    return [_beside(sentence, _or_pins(sentence, claim)) for claim in claims]


_NEXT_TO = re.compile(
    r" (king|queen|rook|bishop|knight|pawn) (?:right |just )?(?:behind|before|beside|under|above|near|next to|"
    r"in front of|opposite|against|supporting|guarding|protecting|facing|chasing) "
    r"(?:(?:the|this|that|his|her|my|our|a|an) )*$"
)


def _beside(sentence: Sentence, claim: Claim) -> Claim:
    """ "The rook behind the pawn on a1": the square may be that of either."""
    if claim.kind != "standing" or "ar" not in claim.parts:
        return claim
    one = _NEXT_TO.search(" " + " ".join(t.text for t in sentence.tokens[: claim.first]) + " ")
    if one is None:
        return claim
    there = {"a": f"the {one[1]} on {claim.parts['ar']}", "ar": claim.parts["ar"]}
    return replace(claim, others=(*claim.others, Claim("standing", there, claim.first, claim.last)))


def _or_pins(sentence: Sentence, claim: Claim) -> Claim:
    """ "A pin, the bishop on g5 against the knight on f6": the second piece may be the one that is pinned."""
    after = [t.text for t in sentence.tokens[claim.last + 1 : claim.last + 3]]
    if claim.kind != "pinned_to" or "piece" not in claim.parts or not _PLACE.fullmatch(" ".join(after)):
        return claim
    one, two = claim.parts["a"], f"the {claim.parts['piece']} on {after[1]}"
    pins = tuple(Claim("pins", {"a": a, "b": b}, claim.first, claim.last) for a, b in ((one, two), (two, one)))
    return replace(claim, others=(*claim.others, *pins))


def _said_second(
    sentence: Sentence, claims: Sequence[Claim], previous: Sentence | None, following: Sentence | None
) -> Iterator[tuple[Sentence, Claim, Sentence | None]]:
    """Statements of a second half that leaves its subject out, where nothing else was read."""
    for half in second_halves(sentence):
        start = half.tokens[0].first
        if any(c.kind != "standing" and sentence.tokens[c.last].last >= start for c in claims):
            continue
        for claim in _read(half, following, previous):
            if claim.kind != "standing" and _judged(half, claim, following, previous):
                yield half, _with_side(half, claim), previous


def _about_it(
    sentence: Sentence, claims: Sequence[Claim], before: Sequence[Sentence], following: Sentence | None
) -> Iterator[tuple[Sentence, Claim, Sentence | None]]:
    """Statements about "it", said of each piece that may be meant: wrong only if wrong of all."""
    for said in restated(sentence, before):
        start = said[0].tokens[0].first
        if any(c.kind != "standing" and sentence.tokens[c.last].last >= start for c in claims):
            continue
        previous = before[-1] if before else None
        read = [_read(again, following, previous) for again in said]
        told = [{c.kind: c for c in claims_of if c.kind in ABOUT_ONE | ABOUT_TWO} for claims_of in read]
        for kind in told[0]:
            if all(kind in each for each in told):
                claim = replace(told[0][kind], others=tuple(each[kind] for each in told[1:]))
                if claim.parts.get("a") in PRONOUNS:
                    continue  # "which defends it": of two things only one is known
                if _judged(said[0], claim, following, previous):
                    yield said[0], claim, previous


def _runs_into_move(sentence: Sentence, claim: Claim) -> bool:
    """ "..., guarding, well, queen h8 mate": the last piece of the claim is the first word of a move."""
    texts = [t.text for t in sentence.tokens]
    if not re.fullmatch("king|queen|rook|bishop|knight|pawn", texts[claim.last]) or claim.last == claim.first:
        return False
    if claim.last > 1 and texts[claim.last - 1] == "'s" and [*texts, ""][claim.last + 1].isdecimal():
        return True  # "to queen's knight two": a square, as old books name it
    return (
        texts[claim.last - 1] == ","
        and re.fullmatch("[a-h][1-8]|takes|to|captures", [*texts, ""][claim.last + 1]) is not None
    )


_ANY_PIECE = re.compile(
    r"(?<= )(?:(?:the|this|that|his|her|my|our|your|white 's|black 's|white|black) )*(?:[a-h] )?"
    r"(?:king|queen|rook|bishop|knight|pawn)(?: (?:on|at) [a-h][1-8])?(?= )"
)


def _with_subjects(claim: Claim, sentence: Sentence, before: Sequence[Sentence]) -> Claim:
    """ "It hits the queen": what moved last, or any piece named before; wrong only if wrong of each."""
    text = " ".join(t.text for t in sentence.tokens[: claim.first])
    texts = [*(s.text for s in before), f" {text} "]
    named = dict.fromkeys(m[0] for t in texts for m in _ANY_PIECE.finditer(t))
    return replace(claim, others=tuple(replace(claim, parts={**claim.parts, "a": noun}) for noun in named))


_SUBJECT = re.compile(r"^ (?:(?:and|so|but|now|well|here|okay|then|, ?) )*(white|black)(?= (?:'s )?[a-z]+)")
_OWNER = re.compile(r"^ (?:(?:and|so|but|now|well|here|okay|then|,) )*(white|black) (?:has|have|is|gets|had)(?= )")
MOST_BEFORE = 5
_HE = frozenset("he she they his her their".split())


_FOR_SIDE = re.compile(r"^ (?:for|of|by) (white|black)(?= (?:$|,|and|here|now|at|in))")
_CASTLING = frozenset(["castle_lost", "castle_right", "castled", "uncastled"])
_HAS_SIDE = frozenset(["castle_lost", "castle_right", "castled", "uncastled", "bishop_pair", "only_legal", "stalemate"])


def _with_side(sentence: Sentence, claim: Claim) -> Claim:
    """ "White has won a rook, he is a rook up": the only side named, at the sentence's head, is meant."""
    if claim.kind in _HAS_SIDE and "side" not in claim.parts and claim.parts.get("poss", "the") in ("the", "a", "an"):
        after = " " + " ".join(t.text for t in sentence.tokens[claim.last + 1 :]) + " "
        side = _FOR_SIDE.match(after) or (_OWNER.match(sentence.text) if claim.first < MOST_BEFORE else None)
        named = {t.text for t in sentence.tokens} & {"white", "black"}
        if side is not None or (claim.kind in _CASTLING and len(named) == 1):
            return replace(claim, parts={**claim.parts, "side": side[1] if side is not None else named.pop()})
    if claim.kind in ("attackers", "defenders") and not claim.parts.keys() & {"side", "a"}:
        after = " " + " ".join(t.text for t in sentence.tokens[claim.last + 1 :]) + " "
        if (side := _FOR_SIDE.match(after)) is not None:
            return replace(claim, parts={**claim.parts, "side": side[1]}, others=())
    parts = {part: claim.parts[part] for part in ("side", "poss") if claim.parts.get(part) in _HE}
    subject = _SUBJECT.match(sentence.text)
    before = " " + " ".join(t.text for t in sentence.tokens[: claim.first]) + " "
    if not parts or subject is None or len(set(re.findall(r" (white|black|opponent)(?= )", before))) != 1:
        return claim
    return replace(claim, parts={**claim.parts, **{p: subject[1] + (" 's" if p == "poss" else "") for p in parts}})


def _with_move(sentence: Sentence, claim: Claim) -> Claim:
    """A bare "with check" or "mate" gets the square of the move named just before it."""
    if claim.kind not in ("check", "checkmate") or "sq" in claim.parts or "aq" in claim.parts or "side" in claim.parts:
        return claim
    before = [t.text for t in sentence.tokens[max(0, claim.first - 4) : claim.first]]
    for word in reversed(before):
        if re.fullmatch("[a-h][1-8]", word):
            return Claim(claim.kind, {**claim.parts, "by": word}, claim.first, claim.last)
        if word in ("check", "takes", "but", "because"):
            break
    return claim

"""Where English grammar says that a clause begins, and where two words belong to one, in talk without marks.

From general grammar: a question puts its verb before its subject ("on b2 | is
it poisoned"); after a verb of asking or denying the next one is not finite
("can he go", so "what he can | he goes"); "why" alone asks, and "because"
answers. Counted in ``tests/data/lessons``: of the places that
``begins_clause`` names more than nine in ten have a mark there, of those that
``belongs`` names one in thirty.
"""

from __future__ import annotations

import re
from collections.abc import Sequence

from timeline.captions.language import ENGLISH

_SQUARE = re.compile("[a-h][1-8]")
_PIECES = frozenset("king queen rook bishop knight pawn".split())
_TAKES = frozenset("takes captures recaptures".split())
_SUBJECTS = frozenset("i he she we they you it".split())
_PLAYERS = _SUBJECTS - {"it"} | {"white", "black"}
_ASKING = frozenset(
    "what who where why how which when whose what's who's where's how's whether what'd you'd would've".split()
)
_BE = frozenset("is are was were isn't aren't wasn't weren't".split())
_DO = frozenset("do does did don't doesn't didn't".split())
_VERBS = (
    _BE | _DO | frozenset("can could will would should can't couldn't won't wouldn't shouldn't".split())
)
_LEADS = frozenset(
    "so nor neither only never ever not even and but or than as then now if that this there here well okay because hm uh um".split()
)
_FINITE = frozenset(
    "goes takes plays has is was does wants gives makes says thinks gets comes can could moves pushes castles resigns sees knows "
    "loses wins grabs attacks defends offers puts".split()
)
_PAST = frozenset("went took saw had was were gave came got said did made knew thought found won lost kept told left felt".split())
_ANNOUNCING = frozenset("go goes went play plays played wanted want".split())
_HAVING = frozenset(
    "guards protects defends attacks hits covers controls watches blocks stops pins forks wins loses keeps gives makes wants needs "
    "leaves holds traps threatens".split()
)
_HAVING_ING = frozenset(
    "attacking defending guarding threatening covering hitting pinning blocking taking doing playing making giving winning".split()
)
_DETERMINERS = frozenset("the a an this that these those mine his her my your our their every each another".split())
_OWNERS = frozenset("the a an my his our your her their every".split())
_BEFORE_BARE = frozenset(
    "to will can could would must should might may me us i'll he'll we'll you'll i'd he'd we'd you'd let's".split()
)
"""What a verb in its bare form follows: "to | bother", "let me | repeat"."""
_NO_OBJECT = (
    ENGLISH.articles | ENGLISH.prepositions | ENGLISH.conjunctions | ENGLISH.pronouns | ENGLISH.auxiliaries | ENGLISH.relatives
    | ENGLISH.particles | ENGLISH.modifiers | _TAKES
    | frozenset(
        "take move castle resign play come capture recapture go here now again too just only then think know say win lose".split()
    )
)  # fmt: skip
"""Words that are no verb, and verbs that chess talk often leaves without an object: "he wants to take, the rook ..."."""
_AWAY = frozenset("back off up in down away out there".split())
_COUNTED = frozenset("move moves rank number round board game chapter part".split())
NUMBERS = frozenset(
    "one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen "
    "twenty thirty forty fifty".split()
)
_ENDING = frozenset("is was this his us it's that's takes captures across as always perhaps unless".split())
_JOINING = frozenset("and but so now then or well also".split())
_CONDITIONS = frozenset("if when unless although though whenever until".split())
_CONDITION_WORDS = 8  # longer ones mostly hold what follows, too
_REACH = 4  # words in which a word of asking still leads the verb ("which rook did he")


def begins_clause(words: Sequence[str], k: int) -> bool:
    """Whether a clause surely begins with word ``k`` (cores; ``k`` at least 1): a comma or a full stop stands before it."""
    word, before = words[k], words[k - 1]
    after = words[k + 1] if k + 1 < len(words) else ""
    if word == "because" and before == "why":
        return True
    if word in ("better", "best") and after in ("was", "is"):
        return bool(_SQUARE.fullmatch(before)) or before in _TAKES
    asked = any(w in _ASKING for w in words[max(0, k - _REACH) : k])
    if word in _VERBS and after in _SUBJECTS and not (word in _DO and after == "it"):
        return not asked and before not in _LEADS | _SUBJECTS | _VERBS and not before.endswith("ing")
    if word in _SUBJECTS and before in _VERBS:
        return (word in ("he", "she", "it") and after in _FINITE) or (before not in _BE and after in _PAST)
    return False


def belongs(words: Sequence[str], k: int) -> bool:
    """Whether word ``k`` surely belongs to the one before it: "he played | knight c3", "round | two"."""
    word, before = words[k], words[k - 1]
    after = words[k + 1] if k + 1 < len(words) else ""
    if before in _ANNOUNCING and _is_move(word, after):
        subject = words[k - 2] if k > 1 else ""
        led = words[k - 3] if k > 2 else ""  # "back he goes"
        return subject in _PLAYERS and led not in _AWAY and not any(w in _ASKING for w in words[max(0, k - _REACH - 1) : k - 2])
    return counted(words, k) or _has_subject(words, k) or _has_object(words, k)


def _has_subject(words: Sequence[str], k: int) -> bool:
    """Whether word ``k`` is the verb of the subject before it: "he | took it" (no mark in 1,400), "White | plays" (1 in 500)."""
    return words[k - 1] in _PLAYERS - {"you"} and words[k] in _FINITE | _PAST


def _has_object(words: Sequence[str], k: int) -> bool:
    """Whether word ``k`` begins what the verb before it has: "guards | these three", "attacks | e5", "let me repeat | the idea".

    Of 535 such places 11 have a mark. "As good | as new" belongs together likewise.
    """
    before, word = words[k - 1], words[k]
    if before in _HAVING:
        return word in _DETERMINERS or bool(_SQUARE.fullmatch(word))
    if before in _HAVING_ING:
        return word in _DETERMINERS or word == "about"
    if k < 2:
        return False
    led = words[k - 2] in _BEFORE_BARE and (word in _OWNERS or word in NUMBERS)
    if led and len(before) > 2 and not before.endswith("ly") and before not in _NO_OBJECT:
        return word in _OWNERS or (k + 1 < len(words) and words[k + 1].endswith("s"))
    return word == "as" == words[k - 2] and before != "as"


def is_condition(words: Sequence[str]) -> bool:
    """Whether words are a condition and no more: "and if the king runs" waits for what happens then."""
    said = list(words)
    while said and said[0] in _JOINING:
        del said[0]
    if len(said) < 2 or said[0] not in _CONDITIONS or len(said) > _CONDITION_WORDS:
        return False
    actors = sum(w in _PLAYERS or w == "it" or w.startswith(("i'", "he'", "you'", "we'", "they'", "it's", "that's")) for w in said)
    moves = sum(w in _TAKES or bool(_SQUARE.fullmatch(w)) or w in _FINITE for w in said)
    return actors <= 1 and moves <= 1


def counted(words: Sequence[str], k: int) -> bool:
    """Whether word ``k`` is the number of what stands before it: "board three", but not "to move, three checks"."""
    if words[k - 1] not in _COUNTED or words[k] not in NUMBERS or (k > 1 and words[k - 2] in ("to", "a", "single", "whole")):
        return False
    after = words[k + 1] if k + 1 < len(words) else ""
    return words[k] != "one" and not (after.endswith("s") and after not in _ENDING)


def _is_move(word: str, after: str) -> bool:
    return bool(_SQUARE.fullmatch(word)) or (word in _PIECES and (after in _TAKES or bool(_SQUARE.fullmatch(after))))

"""Which words keep a statement that is read by learned weights from being one: wishes, denials, questions, reports.

Some kinds are denials themselves ("nothing guards it"), some are told with "can"
or "next"; these words are their own. See ``guards`` for what stands around.
"""

# ruff: noqa: E501  (a pattern stands on one line)

from __future__ import annotations

import re

from timeline.checks.guards import CONDITION, INVERTED, MODAL, NEGATION, OWN, UNREAL, UNTIL_THEN

_THOUGHT = frozenset(
    "if unless when whenever until till once suppose supposing imagine imagining assume assuming lest whether pretend hypothetically theoretically "
    "otherwise would should might maybe perhaps possibly probably potentially practically virtually almost nearly "
    "hope hoped hopes hoping wish wished wishes want wanted wants wanting dream dreams dreamed dreaming fear fears "
    "feared idea ideas aim aims goal goals plan plans planning intends intend intending tries try trying beginners novices amateurs pupils students "
    "supposedly allegedly apparently generally usually typically normally often rarely sometimes tomorrow yesterday".split()
)
"""Of all words that bar a statement those that no fact is told with."""


_NOT_SO = re.compile(r" (?:not|never) (?:the case|true|right|correct|so|as if|like|as though)(?: that)? | no way that ")
"""What follows is denied as a whole."""


_NOT_WITHOUT = re.compile(
    r" (?:not|never|hardly) (?:exactly |really |at all )?(?:lack|lacking|short of|without|undefended|unprotected|unguarded|unsupported|loose|alone)(?= )"
)
"""Denied twice: "it does not lack cover"."""


def denied_whole(text: str) -> bool:
    """Whether plain words deny all that follows ("it is not the case that ..."), or deny it twice."""
    return _NOT_SO.search(text) is not None or _NOT_WITHOUT.search(text) is not None


def only_thought(text: str) -> bool:
    """Whether plain words tell a wish, a plan, a guess or a rule, however much they sound like a fact."""
    if denied_whole(text) or INVERTED.match(text):
        return True
    bound = not _THOUGHT.isdisjoint(text.split()) or UNTIL_THEN.search(text) is not None
    return bound or text.startswith((" do not ", " never ")) or _ASKING_FIRST.match(text) is not None


def supposes(text: str) -> bool:
    """Whether plain words begin with what makes the clause a condition, a wish or advice, or deny the whole."""
    if denied_whole(text):
        return True
    return any(p is not None for p in (_SUPPOSING.match(text), INVERTED.match(text), _IF_BETWEEN.search(text)))


_SUPPOSING = re.compile(
    rf" (?:(?:and|so|but|because|now|well|,) )*(?:{'|'.join(sorted(CONDITION))}|as soon as|as long as|the (?:moment|minute|day)|do not|never|"
    r"(?:i|we|you|he|she|they|white|black) (?:wants?|hopes?|wish|wishes|would)) "
)


_IF_BETWEEN = re.compile(
    r" , (?:if|unless|until|once) (?:he|she|it|they|we|you|i|white|black|the) "
    r"(?:(?!see |look |looks |count |counted |know |follow |followed |remember |like |have |'ve )[a-z0-9'-]+ ){1,7}, (?=is |are |has |can |gives |attacks |defends )"
)
"""A condition between subject and verb: "the knight, if we leave it there, is pinned"."""
_ASKING_FIRST = re.compile(
    r" (?:(?:and|so|but|well|now|,) )*(?:what|who|whom|why|how|where|whose|which) (?:is|are|was|were|does|do|did|can|could|has|have) "
)


_DENIALS = frozenset("undefended castle_lost uncastled illegal open_file weak_square only_legal stalemate".split())
_OWN_WORDS = {
    "legal": frozenset("can could may".split()), "can_capture": frozenset("can could may".split()),
    "castle_right": frozenset("can could may able allowed".split()),
    "castle_lost": frozenset("can may will able allowed".split()),
    "weak_square": frozenset("can will".split()), "illegal": frozenset("can may could".split()),
    "stalemate": frozenset(["can"]), "undefended": frozenset(["can"]), "hanging": frozenset("can could".split()),
    "threat_mate": frozenset(["next"]),
}  # fmt: skip
_ALREADY_NO = frozenset("undefended unprotected unguarded uncastled illegal loose forbidden".split())


_NO = r"(?:no|not|never|nothing|nobody|none|without|hardly)"
_SAYS_SO = {
    "isolated": re.compile(
        rf" (?:{_NO} |does not have )(?:\w+ ){{0,2}}(?:friends?|neighbou?rs?|companions?|pawns?|company|partners?)(?= )"
    ),
    "passed": re.compile(
        rf" (?:{_NO} )(?:\w+ ){{0,3}}(?:(?:can|could|will|to|that) )?(?:(?:ever|still) )?(?:stops?|in front|in (?:its|the|his) way|ahead|blocks?|blocking|hinders?|catch|pawns?)(?= )"
    ),
    "outpost": re.compile(
        rf" (?:{_NO} )(?:\w+ ){{0,3}}(?:can|could|will) (?:ever )?(?:kick|chase|drive|attack|dislodge|disturb|evict|bother|touch|hit|remove|challenge|harass)(?= )|"
        r" can (?:not|never) (?:ever )?be (?:kicked|chased|driven|dislodged|evicted|attacked|disturbed|touched)(?= )"
    ),
    "pinned": re.compile(
        r" (?:can|may|could|must|dare|dares|does|is|will|should) not (?:ever |really |legally |even |dare to |be allowed to |allowed to |able to |free to )*"
        r"(?:move|leave|budge|go|going|step|stir|run|moving|move away|allowed|able)(?= )"
    ),
    "checkmate": re.compile(
        rf" (?:{_NO} )(?:\w+ ){{0,2}}(?:escape|escapes|way out|exit|squares?|defense|flight|help|run|hide|go)(?= )|nowhere"
    ),
    "open_file": re.compile(rf" (?:{_NO} )(?:\w+ ){{0,3}}pawns?(?= )"),
    "half_open": re.compile(rf" (?:{_NO} )(?:\w+ ){{0,3}}pawns?(?= )"),
    "backward": re.compile(rf" (?:{_NO} )(?:\w+ ){{0,3}}(?:pawns?|neighbou?rs?|help|support)(?= )"),
    "double_check": re.compile(
        r" (?:can not|never|not) (?:be )?(?:block|blocked|capture|captured|interpose|help|helps)(?= )|not just 1|not 1 but"
    ),
    "opposite_bishops": re.compile(r" (?:never|not) (?:ever )?(?:meet|touch|see|attack)(?= )"),
    "only_legal": re.compile(rf" (?:{_NO} )(?:\w+ )?(?:choice|other|else|alternative|option|options)(?= )"),
}
"""Denials that say just what the kind says: "no pawn can chase it away" is an outpost."""


_KEPT = re.compile(r" (?:not|never) (?:yet |been |ever |at all |quite )*(?:lost|forfeited|gone|given (?:up|away)|thrown away|wasted|spent|surrendered|lose|forfeit) ")
"""The right to castle is still there."""


_UNDER_WAY = re.compile(r" going(?! to )(?= )")
"""No plan: "a battery going"."""


def barred(kind: str, text: str) -> bool:
    """Whether a stretch read by weights holds a word that makes it a wish, a question, a report, or denies the kind.

    ``text`` is plain words. Some kinds are denials ("nothing guards it"); a word of its own denies it again.
    """
    if kind in _SAYS_SO:
        text = _SAYS_SO[kind].sub(" ", text)
    words = set(_UNDER_WAY.sub(" ", text).split())
    own = OWN.get(kind, frozenset()) | _OWN_WORDS.get(kind, frozenset())
    if text.startswith((" do not ", " never ")) or _ASKING_FIRST.match(text) or _NOT_SO.search(text):
        return True
    if words & (CONDITION | UNREAL | (MODAL - {"to"})) - own:
        return True
    if kind == "castle_lost" and _KEPT.search(text):
        return True
    denied = words & (NEGATION | {"no"})
    return bool(denied) and (kind not in _DENIALS or bool(words & _ALREADY_NO))

"""When a statement is not to be judged: questions, negations, hypotheticals, opinions, rules, and slips taken back."""

# ruff: noqa: E501  (a pattern stands on one line)

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence

from timeline.checks.grammar import Claim
from timeline.checks.sentence import Sentence
from timeline.checks.terms import DONE_TO

# Said before the statement in its sentence, these make all that follows hypothetical.
CONDITION = frozenset(
    "if unless suppose supposing imagine imagining assume assuming when until till whenever lest whether once after "
    "pretend hypothetically theoretically otherwise say".split()
)
# Said before the statement in its clause, these make it a wish, a plan, a report or a rule.
UNREAL = frozenset(
    "compare compared comparing remind reminds unlike beginners novices amateurs pupils students kids children folks "
    "able afraid ago aims allegedly allow allowing allows almost apparently appear appears ask asked asks attempt "
    "attempts avoid avoiding avoids believe believed believes called careful chance claim claimed claims coming "
    "could definition does dream dreaming dreams earlier eventually every example expect expecting expects fear "
    "feared fears feel feels felt generally going guess hope hoped hopefully hopes hoping idea intending intends "
    "later likely looks love maybe mean means might nearly next normally often ought people perhaps plan planning "
    "plans possibly potential potentially practically prepare prepared prepares preparing prevent preventing "
    "prevents previously probably rarely ready rule said saw saying says seem seemed seems seen shall should "
    "somebody someone sometimes soon stop stopped stopping stops supposed supposedly think thinking thinks "
    "thought threat threaten threatening threatens threats tomorrow trying typically unlikely usually virtually "
    "want wanted wanting wants week weeks will wish wished wishes without wonder wonders worried would "
    "yesterday".split()
)
MODAL = frozenset("can could may might must would should will shall to".split())
NEGATION = frozenset(
    "not no never nothing nobody neither nor hardly barely scarcely none nowhere without isn't".split()
)
_SUBJECTS = frozenset(
    "anybody anyone somebody someone everybody everyone nobody "
    "white black he she it we you they i there this that the".split()
)
_REPORTED = re.compile(
    r" (?:in another|in a different|in (?:most|many|some|a few|several|other|all|these|those|such|similar) "
    r"(?:[a-z]+ )?(?:games|positions|lines|cases|openings|endings|endgames)|they say|i think|i believe|i guess|i suppose|i hope|or so|perhaps|maybe|apparently|supposedly|if) "
)
_OTHER_GAMES = re.compile(
    r" in (?:most|many|some|a few|several|other|all|these|those|such|similar|different) (?:[a-z]+ )?"
    r"(?:games|positions|lines|cases|openings|endings|endgames|structures|situations) "
)
_COMMA_DOING = re.compile(r" , [a-z]+ing ")
_ASKED = frozenset("what who why how where".split())
_AFTERWARDS = frozenset("if unless when after until once otherwise would soon later next provided assuming".split())
_ASKING = frozenset("is are was were am does do did can could has have had will would should shall may might".split())
_BREAKS = frozenset(", and but because so now".split())
_TAKEN_BACK = re.compile(
    r"^(?: ,| well| oh| uh| um| er)*(?: no(?: wait| no| sorry| i mean|(?= ,| it is| he is| that is not))| sorry| i mean(?! (?:,|that|come|do|i|just|look|seriously|really|what|who|how|why|like|by|if|to|in|on|(?:it|this|there|you|we|he|she|they)(?! (?:is|was|are|has|have|can|does|do) not)) )|"
    r" excuse me| or rather| silly me| wait| hang on| hold on| correction| pardon| my mistake| i am sorry|"
    r" not really| my bad| that is wrong| that is not true|"
    r" actually no| apologies| scratch that| i misspoke| rather| i should say)(?= )"
)
_NO_MORE = re.compile(r" used to (?:be|have|hit|attack|defend|guard|protect|cover|stand|pin) ")
_HEARSAY = re.compile(
    r"(?<! i)(?<! i will)(?<! i can)(?<! i must)(?<! let me) (?:tell|tells|told|telling|say to|assured?|assures|convinced?|promised?|shout(?:s|ed)?) (?:me|us|you|him|her|them|everybody|people)(?: [a-z]+ly)?(?: that)? "
)
_NO_WAIT = re.compile(r" , no(?: ,| wait| sorry|(?= $))")
_COMPOUND = re.compile(
    r"[a-z]+(?:ion|ity|ancy|ency|ness|ment|ure|ound|pell|pot)|mic|rain|background|blunder|status|health|fact"
)
"""A word that makes of "check" something else: a sanity check, a sound check."""
_GENERAL = re.compile(
    r"(?:^| )(?:in a|every|any|of a|about a|about|into a|into|like a|a typical|what is a|word|of|by a)$"
)
_DENYING = frozenset(
    "undefended castle_lost uncastled castle_right illegal legal weak_square pinned pinned_to stalemate "
    "side_moves king_squares piece_moves".split()
)
_NAMED_IN_GENERAL = frozenset("double_check discovered_check fork skewer battery stalemate mate_in".split())
_ONE_WING = re.compile(r" on (?:the|that|this) (?:queenside|kingside|side|wing|other side)| effectively | in effect ")
OF_MOVES = frozenset("check checkmate stalemate double_check discovered_check discovered_attack fork skewer".split())
_OVER_WITH_IT = frozenset(["checkmate", "stalemate"])
_TOLD_ON = re.compile(
    r" (?:king|queen|rook|bishop|knight|pawn) (?:takes|captures|to|on|[a-h][1-8])(?= )| takes (?:on )?[a-h][1-8] "
)
_ADVISED = re.compile(
    r" (?:king|queen|rook|bishop|knight|pawn) (?:takes|captures|to|[a-h][1-8])(?= )| takes (?:on )?[a-h][1-8] "
)
_PUT = re.compile(
    r" (?:put|puts|putting|place|places|placing|bring|brings|bringing|brought|play|plays|move|moves|moving|get|gets|"
    r"getting|land|lands|park|swing|drop|route|transfer|plant|plants|planting|(?:room|space|place|way|square) for) "
    r"(?:(?:the|his|her|my|our|a) )?$"
)
_PLAN = re.compile(
    r" (?:plan|plans|idea|ideas|dream|aim|goal|intention|recipe|wish|hope|target) "
    r"(?:here |now |of (?:white|black) )?(?:is|was|are|were|would|'s) "
)
_MEN = frozenset("king queen rook bishop knight pawn".split())
_NEARLY = frozenset(
    "always often usually sometimes nearly almost practically virtually said says thought believed claimed".split()
)
_RULE = re.compile(
    r"^ (?:is|are|can be|may be|was|were) (?:what|always|often|never|not always|not (?:usually|often)|sometimes|usually|when|how|"
    r"the (?:idea|plan|point|aim|goal|threat|reason|most|strongest|best|worst)|one of|1 of)(?= )"
)
_EVENTUAL = re.compile(r" (?:any|every|each|next) time ")
_AS_WELL = re.compile(r" (?:moves? )?(?:, )?(?:as well|too|also)(?: |$)")
_COULD = re.compile(
    r" (?:can|could|would|should|may|might|what if|why not|what about|how about|what happens|suppose|if|threat|"
    r"threats|threaten|threatens|threatening|threatened) "
)
# Said after it, these make it a thing of the future: "there is a fork coming".
_COMING = re.compile(
    r"^ (?:coming|looming|brewing|lurking|hiding|hidden|waiting|somewhere|around the corner|to find|to be found|possible|available|threatened|on the cards|in the air|to come|to be had|"
    r"on the way|next)(?= )"
)
_FORETOLD = re.compile(r" (?:going to|about to|will|would|could|threatens to|wants to) (?:[a-z]+ )")
"""Said in the sentence before: "the queen is going to check behind it. Discovered check."."""
NEAR_WORDS = 16  # so far back stands what "he" means
MOST_BARE = 3  # words of a sentence that is only a term
_MATE_COMING = re.compile(
    r"^ (?:coming|looming|brewing|around the corner|threatened|on the cards|in the air|to come|on the way|next)(?= )"
)
"""Of a mate in so many: one that hides somewhere, or is to be found, is there."""
_DOING = frozenset(
    "guards defends protects covers supports attacks hits pins takes captures guarding defending protecting covering "
    "supporting attacking hitting pinning taking capturing".split()
)
_DEFINED = re.compile(r"^ (?:is|means|works|happens) (?:an?|like|when|where|as|by|if|that) ")
"""A definition: "discovered check is a sleeping ..."."""
_SOME_OF = re.compile(
    r"^ (?:, )?(?:1 (?:behind|on|in|here|above|below)|(?:[a-z]+ )?(?:behind|beside|next to|on top of|in front of) |on (?:the )?[a-h][1-8]? )"
)
_WORDS = re.compile(r" (?:word|term|language|fianchetto|zugzwang|zwischenzug|translat[a-z]+|means) ")
_EITHER_FIRST = re.compile(r" who (?:always |usually )?(?:moves|goes|starts|begins) (?:always )?(?:first|second|1st|2nd|after)(?= )")
_ON_A_FILE = re.compile(r" (?:on|of|along) (?:the|that|this) (?:[a-h]|half-open|open) file (?:[a-z]+ ){0,2}$")
_ATTACKS = re.compile(r" [a-h][1-8] (?:[a-z]+ly |now |also )?(?:attacks|hits|eyes|targets|forks) (?:[a-z]+ )?\d+ ")
_BESIDE_IT = re.compile(r" (?:behind|before|beside|under|above|near|of) (?:(?:the|his|her|a|this|that) )*[a-z]+ $")
_FROM_THERE = re.compile(r" from (?:the )?(?:square )?[a-h][1-8] (?:the|this|that|his|her|it|she|he) ")
_INSTEAD = re.compile(
    r" (?:but|except|only this time|just) (?:this time |now )?$|(?:^| )(?:same|exactly|identical|mirrored)(?: [a-z]+)* "
)
_ANY_ONE = re.compile(
    r"^ (?:(?:and|but|so|well|now|,) )*(?:an?|any|every) (?:[a-z]+ )?(?:king|queen|rook|bishop|knight|pawn) "
    r"(?!on |at |takes |captures |goes |comes |to |[a-h][1-8] )"
)
_SHE_DOES = re.compile(r"^ (?:(?:and|but|so|,) )*(?:she|he|it|they) ")
_KIN = (
    "uncle|aunt|father|mother|dad|mum|mom|brother|sister|cousin|grandfather|grandmother|grandpa|grandma|granddad|wife|"
    "husband|son|daughter|neighbo[u]?r|teacher|coach|trainer|boss|friend|pupil|student|colleague|roommate|flatmate"
)
_STORY = re.compile(
    rf"^ (?:(?:and|but|so|well|once|,) )*(?:my|his|her|our|an?|1 of my) (?:[a-z-]+ ){{0,2}}(?:{_KIN})s? (?:once |also |even )?(?:[a-z]+ed|lost|won|had|got|took|gave|went|made|did) "
)
"""A sentence that tells what somebody else once did."""
# Kinds whose own words hold what would otherwise be a bar.
OWN = {
    "mate_in": frozenset("will going".split()),
    "threat_mate": frozenset("threatens threaten threatening threat threats".split()),
    "can_capture": frozenset("next ready able".split()),
    "castle_right": frozenset("able ready allowed still".split()),
    "result": frozenset("would eventually later called".split()),
    "opening": frozenset("called once".split()),
    "in_the_game": frozenset("against next".split()),
    "players": frozenset("against".split()),
    "undefended": frozenset("without nothing nobody no none".split()),
    "outpost": frozenset("nothing nobody no".split()),
    "move_number": frozenset("once".split()),
    "move_number_played": frozenset("once".split()),
}


# A recipe: "take the pawn and you are a pawn up".
_DO_THIS = frozenset(
    "take move erase remove put place give add swap trade exchange play push wait sacrifice picture delete drop capture "
    "castle recapture retreat step open close advance attack lose win".split()
)
_SEE_THIS = frozenset("a look note notice care your attention it this that".split())
_SOME_TIME = re.compile(
    r"^ (?:(?:and|but|so|well|,) )*(?:later(?: on)?|earlier(?: on)?|in (?:the|my|our|your|his|her) (?:first|last|previous|second|old|other|earlier) (?:1|one|recording|lesson|video|take|lecture|attempt|try|time|class|session|episode)|eventually|afterwards|ultimately|then|once|yesterday|tomorrow|"
    r"(?:a (?:bit|little|few moves|move) (?:later|earlier))|(?:\d+|a few|several|some|many) (?:weeks|months|years|seasons|rounds|games|lessons) (?:back|ago|later|before)|in the (?:endgame|end|middlegame|long run|other game|next game|game before)|in (?:yesterday|last [a-z]+) 's [a-z]+|in (?:another|1 other|the other|a different) [a-z]+|"
    r"at some point|(?:by|at|on|after) move \d+|(?:\d+|a few|several|some|many) moves (?:later|earlier|ago|before)|after \d+ moves|"
    r"last (?:week|time|month|year|winter|spring|summer|autumn|fall|season|night|lesson)|next (?:week|time|month|year)|on an? (?:empty|other|different) board|in an? (?:ideal|perfect|normal) world) "
)
UNTIL_THEN = re.compile(
    r" (?:(?:remember|recall) (?:that|the) (?:time|day|game|evening)|as soon as|as long as|(?<!at )the moment(?! (?:is|,))|the minute|the day) "
)
INVERTED = re.compile(
    r" (?:(?:and|so|but|,) )*(?:had|should|were) (?:white|black|he|she|it|they|we|you|i|1|the|this|that|his|her|any[a-z]+|some[a-z]+) "
)
"""A condition without "if": "should Black take it, ..."."""
_BETWEEN_COMMAS = re.compile(
    r" , (?:in (?:another|a different|1 other|some other|the other|most|many) [a-z]+|in (?:a|1) (?:moment|minute|second|while|move|few moves)|"
    r"(?:next|last) (?:move|time|week|year)|soon|later|eventually|1 day|a (?:move|moment) (?:later|ago|before)) , "
)
_BETWEEN = re.compile(r" (?:in between|in the way|blocked|blocks|blocking|obstructed|shut out|cut off|closed off) ")
_EXAMINE = frozenset("me us i to we you would please should must will can let".split())
_OF_THE_GAME = frozenset("result players players_black opening in_the_game move_number move_number_played".split())
_SIGHT = frozenset("attacks attacked_by defends defended_by xray pins attackers".split())


def _elsewhere(sentence: Sentence, claim: Claim, before: list[str], after: list[str]) -> bool:
    """Whether the words around set another time, another board, or a recipe for one."""
    texts = [t.text for t in sentence.tokens]
    whole = before == texts[: claim.first]  # not a cut from speech without stops
    if whole and recipe(before):
        return True
    if whole and _SOME_TIME.match(" " + " ".join(texts[: claim.last + 1]) + " "):
        return True
    lone = before and before[-1] == "," and not _ADVISED.search(" " + " ".join(before) + " ")
    if whole and not lone and " ".join(before[:3]).removeprefix("please ").startswith(("do not", "never")):
        return True  # advice
    if (
        claim.kind == "doubled"
        and texts[claim.first].startswith("doubl")
        and before
        and re.fullmatch("[a-h][1-8]", before[-1])
    ):
        return True  # what a move would do
    now = before[len(before) - before[::-1].index("but") :] if "but" in before else before
    if UNTIL_THEN.search(" " + " ".join(now) + " "):
        return True
    if claim.kind == "turn" and before[-1:] == ["with"] and _INSTEAD.search(" " + " ".join(before[:-1]) + " "):
        return True  # "the same position, but with Black to move"
    if _STORY.match(sentence.text):
        return True
    if whole and not before and texts[claim.first] == "with" and after and claim.kind not in OF_MOVES:
        return True  # "with opposite-coloured bishops the attacker ..."
    if claim.kind in _SIGHT - {"xray"} and _BETWEEN.search(" " + " ".join(after[:9]) + " "):
        return True
    return claim.kind == "double_check" and bool(before) and before[-1] in _EXAMINE


def _of_the_king(before: Sequence[str], inner: Sequence[str]) -> bool:
    """Whether the nearest man named before "he has one square" is a king, or a check is nearer; pawns count no squares."""
    if inner[0] in ("white", "black"):
        return True
    near = next((w for w in reversed(before[-NEAR_WORDS:]) if w in _MEN - {"pawn"} or w.removesuffix("s") == "check"), "")
    return near == "king" or near.startswith("check")


def recipe(before: Sequence[str]) -> bool:
    """Whether the words before a statement tell what to do first ("move the pawn and ...")."""
    return len(before) > 1 and before[0] in _DO_THIS and "and" in before and before[1] not in _SEE_THIS


def unreal(text: str) -> bool:
    """Whether a stretch holds any word that makes it a wish, a denial, a report or a question."""
    words = set(text.split())
    return bool(words & (CONDITION | UNREAL | (MODAL - {"to"}) | NEGATION | {"threat", "threats", "no"}))


def elsewhere_between(sentence: Sentence, claim: Claim) -> bool:
    """Whether another time or board is named in the middle: "Black, in another game, is in check"."""
    said = " " + " ".join(t.text for t in sentence.tokens[: claim.last + 1]) + " "
    return claim.kind not in _OF_THE_GAME and _BETWEEN_COMMAS.search(said) is not None


def conditional(words: Iterable[str]) -> bool:
    """Whether what follows these words is only supposed."""
    return any(word in CONDITION for word in words)


_ANEW = re.compile(r"(?<! as)(?<! so)(?<! very)(?<! quite)(?<! pretty) (?:well|okay|anyway|right) (?:so|if|when|now|what|let) ")


def _till_anew(words: list[str]) -> list[str]:
    """The words up to "well, if ...", "okay, now ...", which begin something new where nobody set a stop."""
    text = " " + " ".join(words) + " "
    new = _ANEW.search(text)
    return words if new is None else text[: new.start()].split()


def _same_clause(words: list[str]) -> list[str]:
    """The words before a comma that begins something new ("..., and what would you play")."""
    for index in range(len(words) - 1):
        if words[index] == "," and words[index + 1] in ("and", "but", "so", "what", "now", "can"):
            return words[:index]
        if words[index] == "and" and words[index + 1] in ("i", "we", "you"):
            return words[:index]
    return words


_RETURN = frozenset(["again", "back", "return", "returning", "remember"])


def _clause_after(words: list[str]) -> list[str]:
    """The words up to what begins something new."""
    return next((words[:i] for i, word in enumerate(words) if word in _BREAKS), words)


def _clause(words: list[str]) -> list[str]:
    """The words after the last comma."""
    return words[len(words) - words[::-1].index(",") :] if "," in words else words


def _after_and(words: list[str]) -> list[str]:
    """The words after the last "and": a denial does not reach over it."""
    return words[len(words) - words[::-1].index("and") :] if "and" in words else words


def why_not(
    sentence: Sentence, claim: Claim, following: Sentence | None = None, previous: Sentence | None = None
) -> str | None:
    """The reason why a statement is not judged, or None when it is to be judged."""
    texts = [t.text for t in sentence.tokens]
    before, after = texts[: claim.first], texts[claim.last + 1 :]
    if not sentence.end:  # no punctuation: a sentence may run on for ever
        before, after = before[-12:], _till_anew(after[:12])
    if sentence.end == "?":
        return "a question"
    if before and before[-1] in _ASKING and (len(before) == 1 or before[-2] in _BREAKS):
        return "a question"
    lead = [w for w in before if w != ","]
    for index in range(len(before) - 1, -1, -1):
        if before[index] in _BREAKS:
            lead = before[index + 1 :]
            break
    if len(lead) > 1 and lead[0] in _ASKING and lead[1] in _SUBJECTS:
        return "a question"
    asked = set(_clause(before)[-4:] if claim.kind in OF_MOVES else ()) | set(texts[claim.first + 1 : claim.last + 1])
    if asked & _ASKED and claim.kind not in _OF_THE_GAME:
        return "perhaps a question"
    if claim.kind in OF_MOVES and "then" in before[-4:]:
        return "still to come"
    inner = texts[claim.first : claim.last + 1]
    if claim.kind in _SIGHT and before and before[-1] not in _BREAKS and _COMMA_DOING.search(" ".join(inner)):
        return "done by whoever the sentence began with"
    if sentence.trails and not after:
        return "not said to the end"
    if claim.kind in _OVER_WITH_IT and _TOLD_ON.search(" " + " ".join(after) + " "):
        return "moves follow: it is still to come"
    because = bool(texts) and texts[0] == "because"
    asked_before = previous is not None and previous.end == "?" and not because
    if claim.kind in OF_MOVES and previous is not None and asked_before and _COULD.search(previous.text):
        return "the answer to what could be played"
    bare_term = claim.kind in OF_MOVES and not claim.parts and len(texts) <= MOST_BARE
    if bare_term and previous is not None and _FORETOLD.search(previous.text):
        return "the name of what was foretold"
    if claim.kind in OF_MOVES and _COMING.match(" " + " ".join(after) + " "):
        return "still to come"
    if (
        claim.kind not in _OF_THE_GAME
        and previous is not None
        and _ANY_ONE.match(previous.text)
        and _SHE_DOES.match(sentence.text)
    ):
        return "spoken of in general"
    if claim.kind == "check" and not claim.parts and any(map(_COMPOUND.fullmatch, [*before[-1:], *inner])):
        return "another sense of the word"
    if claim.kind == "threat_mate" and inner[0] == "threatening" and not before and "side" not in claim.parts:
        return "no sentence of its own"
    if claim.kind == "mate_in" and _MATE_COMING.match(" " + " ".join(after) + " "):
        return "a threat, not a mate"
    if claim.kind in _SIGHT and before and before[-1] in _DOING and "a" in claim.parts and inner[:1] != ["it"]:
        return "what something else is done to"
    if claim.parts.get("a") in ("which", "that", "who") and before[-2:-1] and before[-2] in ("a", "any", "some", "no"):
        return "of any piece, not of one"
    if claim.parts.get("a") in ("which", "that", "who") and before[-1:] and before[-1].endswith("s"):
        return "of several pieces, not of one"
    if "checked" in claim.parts and not _of_the_king([*(previous.text.split() if previous else ()), *before], inner):
        return "perhaps another piece's"
    if claim.kind == "opening" and _WORDS.search(sentence.text):
        return "the name of a language"
    if claim.kind == "turn" and _EITHER_FIRST.search(sentence.text):
        return "spoken of in general"
    if claim.kind == "standing" and "from" in inner and before[-1:] and before[-1].endswith(("ing", "s")):
        return "from where it is done"
    if claim.kind == "standing" and inner[0] in ("on", "at") and before[-1:] and before[-1] in _MEN:
        return "where the piece named before stands"
    if claim.kind == "undefended" and inner[:1] and inner[0] in ("nobody", "nothing") and inner[1:2] == [","]:
        return "two things said one after the other"
    if claim.kind in _NAMED_IN_GENERAL and not claim.parts and _DEFINED.match(" " + " ".join(after[:3]) + " "):
        return "a definition"
    if claim.kind == "double_check" and inner[-1:] == ["checks"] and after[:1] and after[0] in ("on", "in", "from"):
        return "checks that there may be"
    if claim.kind == "piece_count" and (
        _SOME_OF.match(" " + " ".join(after[:6]) + " ") or _ON_A_FILE.search(" " + " ".join(before) + " ")
    ):
        return "some of them, not all"
    if claim.kind == "standing" and _BESIDE_IT.search(" " + " ".join(before[-3:]) + " ") and inner[0] in ("on", "at"):
        return "beside what stands there"
    if claim.kind in ("pinned", "pinned_to") and f" by {claim.parts.get('a')} " in sentence.text:
        return "what pins, not what is pinned"
    if claim.kind == "standing" and "side" in claim.parts and after[:1] and after[0] in DONE_TO:
        return "whose piece does something to it"
    if claim.kind in ("attackers", "attacks", "attack_defend") and _FROM_THERE.search(
        " " + " ".join(texts[: claim.last + 1])
    ):
        return "where the attack comes from"
    if claim.kind == "attackers" and _ATTACKS.search(" " + " ".join(inner) + " "):
        return "how many it attacks, not by how many it is attacked"
    if claim.kind == "attackers" and after[:1] and after[0].startswith(("defender", "guard", "protector")):
        return "how many defend is said, too"
    if claim.kind == "mate_in" and {"threat", "threats", "threatens", "threatening"} & set(before[-5:]):
        return "a threat, not a mate"
    if claim.kind == "mate_in" and (
        {"also", "another", "slower"} & set(before[-5:]) or _AS_WELL.match(" " + " ".join(after))
    ):
        return "beside a quicker one"
    if claim.kind == "standing" and _DOING & set(claim.parts.get("a", "").split()):
        return "what something does to it"
    if claim.kind == "standing" and {"remember", "recall", "recalling"} & set(before[-2:]):
        return "a look back"
    if claim.kind == "standing" and _PUT.search(" " + " ".join(before[-3:]) + " "):
        return "a move, not a place"
    told = " " + " ".join(before) + " "
    if after[:1] == ["nowhere"]:
        return "denied"
    if claim.kind == "check" and not claim.parts and texts.count("check") > 1 and "is" not in inner:
        return "a rhythm of checks, none of them now"
    if _NO_MORE.search(" " + " ".join(texts[: claim.last + 1]) + " ") or _HEARSAY.search(told):
        return "not said as a fact"
    if _EVENTUAL.search(told) or _OTHER_GAMES.search(told):
        return "spoken of in general"
    if _PLAN.search(told):
        return "not said as a fact"
    if claim.kind not in _OF_THE_GAME and _elsewhere(sentence, claim, before, after):
        return "about another time or board"
    own = OWN.get(claim.kind, frozenset())
    clause = before
    for index in range(len(before) - 1, -1, -1):
        if before[index] in (",", "but", "because", "so") or before[index : index + 2] in (
            ["and", "now"],
            ["and", "here"],
        ):
            clause = before[index + 1 :]
            break
    # Where things stand is often part of a longer wish: there the whole sentence counts.
    scope = before if claim.kind == "standing" else clause
    if any(word in CONDITION for word in before) or any(word in UNREAL - own for word in scope):
        return "not said as a fact"
    if before[:1] == ["had"] or INVERTED.match(sentence.text):
        return "not said as a fact"
    moved = before[-1:] == ["to"] and before[-2:-1] and before[-2] in _MEN  # "rook to h1 is mate"
    if before and before[-1] in MODAL and not moved:
        return "not said as a fact"
    if len(before) > 1 and before[-2] in MODAL - {"to"}:
        return "not said as a fact"
    if any(word in NEGATION - own for word in _after_and(clause)):
        return "denied"
    inside = set(texts[claim.first : claim.last + 1])
    if claim.kind not in _DENYING and inside & {"not", "never"}:
        return "denied"
    if inside & _NEARLY - ({"always"} if claim.kind == "can_capture" else set()):
        return "not said as a fact"
    if _RULE.match(" " + " ".join(after[:6]) + " "):
        return "spoken of in general"
    later = _same_clause(after[:7])
    if any(w in _AFTERWARDS and not ahead.startswith(("look", "like")) for w, ahead in zip(later, ["", *later], strict=False)):
        return "not said as a fact"
    if claim.kind in ("double_check", "discovered_check") and before and before[-1] in ("the", "any", "some", "this"):
        return "spoken of, not said"
    if claim.kind in _NAMED_IN_GENERAL and _GENERAL.search(" ".join(before[-3:])):
        return "spoken of in general"
    if claim.kind == "move_number" and _RETURN & {*before, *inner, *_clause_after(after)}:
        return "about a return"
    if claim.kind in ("material", "exchange_up", "material_lead") and _ONE_WING.search(sentence.text):
        return "about one side of the board"
    if _REPORTED.search(" " + " ".join(after[:8]) + " "):
        return "an opinion"
    rest = " " + " ".join(after[:6]) + " "
    if _TAKEN_BACK.match(rest) or _NO_WAIT.search(" " + " ".join(after[:10]) + " "):
        return "taken back"
    if following is not None and (len(after) <= 3 or sentence.trails) and _TAKEN_BACK.match(following.text):
        return "taken back"
    return None

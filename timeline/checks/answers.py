"""Questions that the speaker answers: "Whose move is it? White's." states what the two say together.

A question says nothing that could be wrong; with its answer it does. Answered
are: whose turn it is, how many there are, what does a thing ("what holds the
pawn? The bishop does"), and yes. A question that only names a piece ("see the
bishop on e7?"), and a statement with a tag ("it's pinned, right?"), are no
questions.
"""

# ruff: noqa: E501  (a pattern stands on one line)

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from timeline.checks.questions import fronted, parted, with_subject
from timeline.checks.sentence import Sentence, Token, sentence_of

_LEAD = r"(?:(?:,|uh|um|er|hey|listen|tell me|ask yourself|ask yourselves|guess|quick|question|no|yes|and|so|but|well|okay|now|oh|here|then|wait|hang|on|alright|right) )*"
_MAN = "(?:king|queen|rook|bishop|knight|pawn)"
_THE = "(?:the|this|that|these|those|his|her|their|my|our|your|white 's|black 's|white|black|1|a|an)"
_NOUN = rf"(?:{_THE} )+(?:[a-h] |[a-z]+ ){{0,2}}?{_MAN}s?(?: (?:over )?(?:there )?(?:on|at) [a-h][1-8])?"
_IT = re.compile(r"^ (?:(?:,|and|so|but|well|now|because|yes|no) )*(it|he|she|(?:that|this)(?= is an? ))(?= [a-z])")
_TAG = re.compile(
    r"(?: , (?:right|okay|ok|yes|see|you see|agreed|huh|eh|correct|is it not|does it not|is not it|does not it|is not he|"
    r"does not he|has not he|have not we|are not they)|(?<= )right)(?= $)"
)
_NAMES_ONE = re.compile(
    rf"^ {_LEAD}(?:(?:do|did|can) you )?(?:(?:see|notice|noticed|remember|spot|spotted|recall|what about|how about|got|and) )?"
    rf"{_NOUN}(?: (?:here|there|over there|sitting there|standing there))? $"
)
_ABOUT = re.compile(
    rf"^ {_LEAD}(?:what|(?:do |can )?you (?:see|know|notice|remember)|see|look|and|how) .* (?:on|at) [a-h][1-8] "
    rf"|^ (?:[a-z]+ ){{1,2}}{_NOUN} (?:is|looks|stands) $"
)
"""A question that asks after one piece: the answer's "it" is that piece."""
_A_MOVE_ASKED = re.compile(
    rf"^ {_LEAD}(?:(?:what|how) about |can (?:white|black) play )?((?:{_MAN} (?:to |takes |takes on )?|[a-h] takes )?[a-h][1-8]|castles(?: kingside| queenside)?) $"
)
_OF_RULES = re.compile(
    r"(?<= )(?:it|that|this)(?= (?:is|was) (?:(?:not|an?|simply|just|perfectly|quite|entirely|of course) )*(?:il)?legal )"
)
_A_NAME = re.compile(rf"(?<= ){_NOUN}(?= )")
_WHOSE = re.compile(
    rf"^ {_LEAD}(?:[a-z ,]{{0,40}} )??(?:whose (?:move|turn|go)|who is (?:moving|to move|to play|on move|on the move|next|it|up|playing(?! (?:with )?(?:the )?(?:white|black) )|turn)|who (?:has|'s|is) (?:got )?the (?:move|turn))(?: [a-z]+){{0,8}} $"
)
_A_SIDE = re.compile(
    r"^ (?:(?:,|it|is|that|would|be|oh|still|again|of course|now|ah|well|yes|right|correct|exactly) )*(white|black)(?: 's)?(?: (?:turn|move|is|has|does|of course))* $"
)
_HOW_MANY = re.compile(rf"^ {_LEAD}(?:[a-z]+ ){{0,3}}?how many (.+) $")
_HOW_OFTEN = re.compile(rf"^ {_LEAD}(?:[a-z]+ ){{0,3}}?how (?:often|many times) (?:(?P<is>is|does|do|has|are) )?(.+) $")
_TIMES = re.compile(
    r"^ (?:(?:,|exactly|only|just|it|is|that|i|we|make|makes|well) )*(once|twice|thrice|\d+)(?: times)? $"
)
_REPLY = re.compile(
    r"^ (?:(?:,|well|so|and|oh|okay|yes|no|now|then) )*(?:(?:the|my|our|your) (?:[a-z]+ ){0,2}?(?:answer|solution|result|count|total|reply|sum)"
    r"(?: (?:here|to that|to this|of course|in this case|then|i get|you get))* (?:(?:is|was|would be|must be|will be|comes to|has to be|can only be|should be|,) )+"
    r"|(?:you|we|i) (?:(?:should|will|would|can|must|may|might|are|be|going|to|able|have|soon|easily|quickly|always|simply) )*"
    r"(?:find|get|name|see|arrive at|come to|say|point to|point at|end up with|end up at|discover|reach|notice|make it|get to|got|got to|answer)(?: that)? (?:(?:it|the answer) is )?)"
    r"(?:(?:simply|just|clearly|exactly|obviously|plainly) )*"
)
"""What an answer begins with that says no more than that it is one."""
_A_NUMBER = re.compile(
    r"^ (?:(?:,|exactly|only|just|there|is|are|i|we|count|make|makes|get|got|have|you|it|that|see|of|course|well|precisely|about) )*(\d+|none|no 1)(?: (?:of|them|in|total|all|told|altogether|do|does))* $"
)
_TELL = r"(?:(?:do|did|can|shall|will|may) (?:you|i|we) (?:[a-z]+ )?(?:know|see|tell (?:you|me)|say|remember|guess|recall) )?"
_WHAT_DOES = re.compile(
    rf"^ {_LEAD}{_TELL}(?:(?:what|who|which (?:piece|man|1|unit|pawn|of (?:the|its|his|her|these|those|our|their|all) (?:[a-z]+ )??[a-z]+)) )(.+) $"
)
_WHAT_MOVE = re.compile(
    rf"^ {_LEAD}{_TELL}(?:(?:what|which move|what move) (?:did |does )?(?=(?:white|black) (?:do|did|play|played|plays|choose|chose|go for|went for|find|found)(?: [a-z]+){{0,4}} $)"
    rf"|(?:our )?(?=(?:white|black) (?:'s (?:next|own|actual) (?:move|choice)|, what (?:did|does|do) (?:he|she|they) (?:do|play|choose)) ))(white|black) .+ $"
)
_A_MOVE = re.compile(
    rf"^ (?:(?:,|it|that|he|she|they|was|is|played|plays|chose|went|goes|moved|pushed|for|to|with|well|oh|simply|just) )*((?:{_MAN} (?:to |takes |takes on )?|[a-h] takes )?[a-h][1-8]|castles(?: kingside| queenside)?) $"
)
_A_NOUN = re.compile(
    rf"^ (?:(?:,|well|it|that|of course|why|oh|absolutely|only|just) (?:is |was )?)*({_NOUN}|white|black|nothing|nobody|no 1|none)(?: of (?:them|these|those))?(?: (?:is|are|does|do|did|has|can|could|was|of course|here|there|at all|whatsoever|indeed|alone|now|so far|again|right|sadly|all|by (?:itself|himself|herself)))* $"
)
_A_DEED = re.compile(
    rf"^ {_LEAD}(?:(?:what|how) about |and |has (?:white|black) thought of )?castling(?: (?:then|here|now|yet))? $"
)
_DID_IT = re.compile(r"(?<= )(?:(done)|did|do|does|doing) (?:it|that|so)(?= )")
_WHO_IS = re.compile(rf"^ {_LEAD}{_TELL}who (is|has) ([a-z]+(?: [a-z]+){{0,3}}) $")
_BY_HOW_MUCH = re.compile(
    r"^ (?:(?:,|well|oh|it|that|is|of course) )*(white|black)(?: (?:is|has))?(?: ,)? ((?:by|with) [a-z0-9 ]+) $"
)
""" "Who is ahead? Black is, by a rook"."""
_TERM = re.compile(
    r"(?<= )(pin|outpost|fork|skewer|battery|(?:isolated|passed|backward) pawn)(?:s|ies)?(?= (?:,|$|look|again|here|and|remember|we|i|from))"
)
"""A term that is asked about: the answer's "one" is an example of it."""
_IS_ONE = re.compile(r"(?<=(?: in| on|has| is) )1(?= (?:$|,|on the|here|there|now|too|of them))")
_RIGHT = re.compile(r"^ (?:(?:that is|you are|quite|absolutely) )?(?:right|correct|exactly|true)(?: ,)? ")
_NO_ONE = frozenset(["none", "nobody", "no 1"])
_AGAIN = re.compile(r" (?:does |is |can )?([a-z]+) (?:it|him|her|that|this|them)(?= $)")
"""The question's verb said again: "who holds it? The rook holds it"."""
_ANY_ONE = re.compile(
    rf"^ {_LEAD}(?:(?:is there|does|do|is|can|has|you see|see|find) )*(?:(?:anything|anyone|anybody|any|a single|a|1|piece|man|pawn|soul|"
    r"of (?:his|her|the|white 's|black 's) (?:[a-z]+ )?(?:pieces|men)|that|which|who|here|around|to|at all|still) )*"
    rf"((?:defend|protect|guard|cover|support)(?:s|ing)? {_NOUN}) $"
)
_WHERE_IT = re.compile(
    r"^ (.+?)(?: ,)? (?:where|on (?:which|what) (?:file|square)|which (?:1|file|square))(?: (?:is it|exactly|though))? $"
)
_AT_PLACE = re.compile(
    r"^ (?:(?:,|it|is|that|well|right|here) )*(on (?:the )?(?:[a-h] file|[a-h][1-8])|the [a-h] (?:file|pawn))(?: (?:of course|here|there))* $"
)
_HOW_MUCH = re.compile(
    rf"^ {_LEAD}{_TELL}(?:by )?(?:how much|how far|what)(?: material)? is (white|black) (up|down|ahead|behind)(?: (?:by|here|now|in material))* $"
)
_UNITS = re.compile(
    r"^ (?:(?:,|it|that|is|just|only|exactly|well|by|about|he|she) )*((?:an?|\d+|the) (?:(?:clear|whole|full|clean|solid) )?(?:pawn|piece|rook|queen|knight|bishop|exchange|minor piece)s?) $"
)
_YES = re.compile(
    r"^ (?:(?:,|well|oh|of course|why) )*(?:yes|yeah|yep|sure|indeed|absolutely|certainly|exactly|definitely|correct|"
    r"(?:yes )?(?:and )?(?:it|he|she|that|they|you|we|white|black) (?:is|does|can|could|has|was|did|are|do))(?: (?:,|indeed|here|sadly|certainly|of course|already|done|long ago|he|it|she|is|does|can|has))* $"
)
_NO = re.compile(
    r"^ (?:(?:,|well|oh|and|but|sadly|i am afraid|alas) )*(?:(?:no|nope|not at all|not yet|not any more|not anymore|not now|not here|not so|never|of course not|certainly not|"
    r"(?:no ,? )?(?:white|black|it|he|she|they|that|there) (?:has|can|could|is|are|does|do|did|have|was|will) not(?: yet)?)(?: (?:,|indeed|sadly|sir|of course|here|now|yet|at all|any more|anymore))*)(?= (?:$|,))"
    r"(?!.* (?:but|if|unless|only|except) )"
)
_SUBJECT = (
    rf"{_NOUN}|there|it|this|that|he|she|white|black|castling|(?:white|black) 's [a-z]+|the [a-h] file|the file|the square [a-h][1-8]|(?:the )?square|[a-h][1-8]|(?:the |white 's |black 's )?position|the game|"
    rf"{_MAN} (?:to |takes |takes on )?[a-h][1-8]|[a-h] takes [a-h][1-8]"
)
_IS_IT = re.compile(
    rf"^ {_LEAD}(?:[a-z ]{{0,24}}, )?(is|are|was|were|can|could|may|does|do|did|has|have) ({_SUBJECT}) (.+?)(?: ,(?: [a-z]+){{1,3}})? $"
)
_COLOR = re.compile(
    rf"^ {_LEAD}{_TELL}(?:what|which) (?:color|kind of square|sort of square|color of square) (?:is|does|has|of square is) (?:(?:the|this|that) )?(?:square )?([a-h][1-8])(?: (?:on|have|here|then|again|stand on|sit on))*(?: , where [a-z ]+)? $"
)
_A_COLOR = re.compile(
    r"^ (?:(?:,|it|that|is|a|of course|well|plainly|clearly|always|oh|yes|definitely) )*(light|dark|white|black)(?: (?:square|1|color|of course))* $"
)
_WHERE_IS = re.compile(
    rf"^ {_LEAD}{_TELL}(?:where|which square|on which square|what square) (?:is|are|does|do|has|did) ({_NOUN}|(?:white|black) 's {_MAN})(?: (?:on|at|live|lives|stand|standing|sit|sitting|now|gone|go|get to|find itself|hide|hiding|stay|then|again|here|at the moment))* $"
)
_A_PLACE = re.compile(
    r"^ (?:(?:,|it|he|she|is|are|sits|stands|lives|right|over|there|well|of course|just|still) )*(?:on |at )?([a-h][1-8])(?: (?:of course|now|here))* $"
)
_WHAT_MOVE_NUMBER = re.compile(
    rf"^ {_LEAD}{_TELL}(?:what|which) (?:move|move number|number|turn)(?: number)? (?:is (?:it|this|that)|are (?:we|you)(?: on| at| in)?|do we have|have we reached|did we reach)(?: [a-z]+){{0,3}} $"
)
_A_NTH = re.compile(
    r"^ (?:(?:,|it|this|is|we|are|at|on|the|move|number|well|of course|already|that|makes|it's) )*(\d+)(?:th)?(?: move)? $"
)
_WHAT_OPENING = re.compile(
    rf"^ {_LEAD}{_TELL}(?:what|which) (?:opening|defense|gambit|opening is|is)(?: (?:is|do|did|does|we|you|they|it|this|that|have|call|called|the|named|opening|here|on the board|again|name of))* $"
)
_HOW_ENDED = re.compile(
    rf"^ {_LEAD}{_TELL}(?:(?:and )?how (?:did|does|has) (?:it|this|that|the|this game|the game|game|things)(?: [a-z]+){{0,4}}|what (?:was|is) the (?:final )?(?:result|outcome|score)(?: [a-z]+){{0,4}}) $"
)
_WHAT_OBJECT = re.compile(
    rf"^ {_LEAD}{_TELL}(?:what|who|whom|which [a-z]+) (does|do|is|are|can|has) ({_NOUN}|white|black) ([a-z]+(?: (?:at|on|to|after|over))?)(?: (?:here|there|now|then|exactly))* $"
)
_AN_OBJECT = re.compile(
    rf"^ (?:(?:,|well|it|of course|why|that|nothing less than|just|only|oh) )*((?:{_NOUN}|(?:check)?mate(?: in \d+| next move)?|(?:to )?(?:give )?(?:check)?mate|[a-h][1-8]))(?: (?:for (?:1|instance|example|starters)|of course|here|there|now))* $"
)
_IF_IT = re.compile(
    rf"^ {_LEAD}(?:[a-z]+ ){{0,6}}?(?:if|whether) ({_NOUN}|white|black) (is|can|has|was|could|may) (.+) $"
)

_ASKS = re.compile(
    rf"^ {_LEAD}(?:(?:and|now|just|let us|let me|i|you|we) )*(?:guess |tell me |count |ask (?:yourself )?|see |look |check )?"
    r"(?:how many|how often|whose|who|what|which|is|are|can|does|has) "
)
"""How a sentence begins that may ask; only then are its commas tried."""


def answered(talk: Sequence[Sentence]) -> list[Sentence]:
    """The talk with every answer made a statement, in the place of the answer."""
    found: list[Sentence] = []
    asked: Sentence | None = None
    named: str | None = None
    elliptic: str | None = None
    for sentence in parted(map(fronted, talk)):
        if named is not None and (pronoun := _IT.match(sentence.text)):
            sentence = _with_noun(sentence, sentence.token_at(pronoun.start(1)), named)
        elif elliptic is not None and sentence.end != "?":
            sentence = with_subject(sentence, elliptic, move=False)
        named = elliptic = None
        move = _A_MOVE_ASKED.match(asked.text) if asked is not None else None
        if move is not None and sentence.end != "?" and (rules := _OF_RULES.search(sentence.text)):
            sentence = _with_noun(sentence, sentence.token_at(rules.start()), move[1])
        elif move is not None and sentence.end != "?":
            sentence = with_subject(sentence, move[1], move=True)
        if sentence.end == "?" and _NAMES_ONE.match(sentence.text):
            sentence = replace(sentence, end=".")
            named = elliptic = next(m[0] for m in _A_NAME.finditer(sentence.text))
        elif sentence.end == "?" and (tag := _TAG.search(sentence.text)):
            kept = sentence.tokens[: sentence.text[: tag.start()].count(" ")]
            sentence = sentence_of(kept, ".", trails=False) if kept else sentence
        did = _DID_IT.search(sentence.text) if asked is not None and _A_DEED.match(asked.text) else None
        if did is not None and sentence.end != "?":
            ends = (sentence.token_at(did.start()), sentence.token_at(did.end() - 1))
            sentence = replaced(sentence, *ends, "castled" if did[1] else "castle")
        term = _TERM.search(asked.text) if asked is not None and sentence.end != "?" else None
        if term is not None and (one := _IS_ONE.search(sentence.text)):
            sentence = _with_noun(sentence, sentence.token_at(one.start()), f"a {term[1]}")
        own = _own_words(sentence) if asked is not None and sentence.end != "?" else None
        if own is not None:
            sentence = own
        elif asked is not None and sentence.end != "?":
            told = _replied(asked.text, sentence.text) or _replied(asked.text, _head(sentence.text))
            if told is not None:
                sentence = _said(told, asked, sentence)
        elif sentence.end != "?":
            sentence = _answered_inside(sentence)
        asked = sentence if sentence.end == "?" else None
        if asked is not None and _ABOUT.match(asked.text):
            placed = {m[0] for m in _A_NAME.finditer(asked.text)}
            named = placed.pop() if len(placed) == 1 else None
        found.append(sentence)
    return found


_YES_OR_NO = re.compile(r"^ (?:(?:,|well|oh|yes|yeah|yep|no|nope|indeed|sure|of course|right) )+")
_SAYS_ITSELF = re.compile(
    rf"^ (?:so |and |because |but )?(?:(?:{_NOUN}|white|black|castling) (?!does |did |do |has $|is $|can $)(?:[a-z]+ )+[a-z]+ |it is (?:an? |the )?[a-z]+ [a-z]+ )"
)


def _own_words(answer: Sentence) -> Sentence | None:
    """An answer that states everything itself ("yes, White can still castle") without its yes or no."""
    lead = _YES_OR_NO.match(answer.text)
    if lead is None or not _SAYS_ITSELF.match(answer.text[lead.end() - 1 :]):
        return None
    return sentence_of(answer.tokens[answer.text[: lead.end() - 1].count(" ") :], answer.end, trails=answer.trails)


_ALOUD = re.compile(r" \d+ ,? ?\d+ ")


def _head(answer: str) -> str:
    """An answer up to its first comma ("dark, and I want that known"); counting aloud ("one, two, three") has none."""
    if _ALOUD.search(answer):
        return answer
    return answer.removeprefix(" ,").split(" ,")[0].rstrip() + " "


def _answered_inside(sentence: Sentence) -> Sentence:
    """A question with its answer after a comma ("how many attack it, I make it two") as what the two say together."""
    if not _ASKS.match(sentence.text):
        return sentence
    for index, token in enumerate(sentence.tokens):
        if token.text == "," and 0 < index < len(sentence.tokens) - 1:
            question = " " + " ".join(t.text for t in sentence.tokens[:index]) + " "
            answer = " " + " ".join(t.text for t in sentence.tokens[index + 1 :]) + " "
            told = _replied(question, answer)
            if told is not None:
                return _said(told, sentence, sentence)
    return sentence


def _with_noun(sentence: Sentence, index: int, noun: str) -> Sentence:
    """The sentence with the noun in the place of the pronoun at ``index``."""
    return replaced(sentence, index, index, noun)


def replaced(sentence: Sentence, first: int, last: int, told: str) -> Sentence:
    """The sentence with ``told`` in the place of the tokens from ``first`` to ``last``."""
    tokens = sentence.tokens
    words = [Token(word, tokens[first].first, tokens[last].last) for word in told.split()]
    return sentence_of([*tokens[:first], *words, *tokens[last + 1 :]], sentence.end, trails=sentence.trails)


def _replied(question: str, answer: str) -> str | None:
    """The same as ``_together``, also of an answer that calls itself one ("the honest answer is none of them")."""
    told = _together(question, answer) or _together(question, _REPLY.sub(" ", answer))
    return told or _together(question, _RIGHT.sub(" ", answer))


def _together(question: str, answer: str) -> str | None:
    """What question and answer state, in plain words; None when the answer is no short one."""
    side = _A_SIDE.match(answer)
    if side is not None and _WHOSE.match(question):
        return f"it is {side[1]} 's turn"
    number, many = _A_NUMBER.match(answer), _HOW_MANY.match(question)
    if number is not None and many is not None:
        return _counted(number[1] if number[1].isdecimal() else "0", many[1])
    times, often = _TIMES.match(answer), _HOW_OFTEN.match(question)
    if times is not None and often is not None:
        return _so_often(often["is"], often[2], times[1])
    move, asked = _A_MOVE.match(answer), _WHAT_MOVE.match(question)
    if move is not None and asked is not None:
        return f"{asked[1]} played {move[1]} in the game"
    told = _named(question, answer)
    if told is not None:
        return told
    what = _WHAT_DOES.match(question)
    noun = _A_NOUN.match(_AGAIN.sub("", answer) if what is not None and _same_verb(what[1], answer) else answer)
    if noun is not None and what is not None:
        return f"{'nothing' if noun[1] in _NO_ONE else noun[1]} {what[1]}"
    if _NO.match(answer) and (any_one := _ANY_ONE.match(question)) is not None:
        return f"nothing {any_one[1]}"
    where = _WHERE_IT.match(question)
    if where is not None and (place := _AT_PLACE.match(answer)) is not None:
        return f"{where[1]} {place[1]}"
    much, units = _HOW_MUCH.match(question), _UNITS.match(answer)
    if much is not None and units is not None:
        return f"{much[1]} is {units[1]} {much[2]}"
    who, lead = _WHO_IS.match(question), _BY_HOW_MUCH.match(answer)
    if who is not None and lead is not None:
        return f"{lead[1]} {who[1]} {who[2]} {lead[2]}"
    asks = _IS_IT.match(question)
    if asks is not None and (no := _NO.match(answer)):
        verb = {"could": "can", "may": "can"}.get(asks[1], asks[1])
        if asks[3] in ("defended", "protected", "guarded") and verb in ("is", "are"):
            return f"{asks[2]} {verb} undefended{answer[no.end() :]}"
        return f"{asks[2]} {verb} not {asks[3]}{answer[no.end() :]}"  # "..., and that means checkmate"
    if asks is not None and _YES.match(answer):
        verb = {"does": "", "do": "", "did": "", "could": "can "}.get(asks[1], f"{asks[1]} ")
        return f"{asks[2]} {verb}{_past(asks[3]) if asks[1] == 'did' else asks[3]}"
    return None


def _same_verb(asked: str, answer: str) -> bool:
    """Whether an answer ends by saying the question's verb again ("... holds it")."""
    said = _AGAIN.search(answer)
    return said is not None and asked.split()[0][:4] == said[1][:4]


def _past(words: str) -> str:
    """ "Castle early" as "castled early"; verbs with a past of their own stay."""
    verb, _, rest = words.partition(" ")
    return f"{verb}{'d' if verb.endswith('e') else 'ed'} {rest}".strip() if verb in _REGULAR else words


_REGULAR = frozenset("castle play resign attack defend capture develop move".split())


def _named(question: str, answer: str) -> str | None:
    """The same for questions after a colour, a place, a number, a name or what a piece does."""
    for asks, tells, form in _ASKED_FOR:
        what, that = asks.match(question), tells.match(answer)
        if what is not None and that is not None:
            return form.format(*(g or "" for g in what.groups()), answer=that[1])
    does, thing = _WHAT_OBJECT.match(question), _AN_OBJECT.match(answer)
    if does is None or thing is None:
        return None
    verb, _, rest = does[3].partition(" ")
    if does[1] in ("does", "do"):
        return f"{does[2]} {verb}{'es' if verb.endswith(('ch', 's')) else 's'} {rest} {thing[1]}"
    return f"{does[2]} {does[1]} {does[3]} {thing[1]}"


_ASKED_FOR = (
    (_COLOR, _A_COLOR, "{0} is a {answer} square"),
    (_WHERE_IS, _A_PLACE, "{0} is on {answer}"),
    (_WHAT_MOVE_NUMBER, _A_NTH, "it is move {answer}"),
    (
        _WHAT_OPENING,
        re.compile(
            r"^ (?:(?:,|it|this|that|is|of course|well|why) )*((?:the |an? )?(?:[a-z']+ ){1,5}?(?:defense|game|gambit|opening|attack|system|indian|sicilian)) $"
        ),
        "this opening is {answer}",
    ),
    (
        _HOW_ENDED,
        re.compile(r"^ (?:(?:,|it|this|in|was|is|with|the|game|result|well|ended|finished) )*(an? draw|drawn|drew) $"),
        "the result is a draw",
    ),
    (
        _HOW_ENDED,
        re.compile(r"^ (?:(?:,|well|in the end) )*((?:white|black) (?:won|lost|resigned|wins|loses|resigns)) $"),
        "{answer}",
    ),
)
"""Question, answer, what the two say together."""


def _counted(number: str, rest: str) -> str:
    """ "Pawns does White have" becomes "White has 3 pawns"."""
    has = re.match(r"(.+?) (?:does|do|has|have|did) (white|black|he|she) (?:have|got|has)?(.*)", rest)
    if has is not None:
        return f"{has[2]} has {number} {has[1]} {has[3].strip()}".strip()
    there = re.match(r"(.+?) are (?:there )?(.*)", rest)
    if there is not None:
        return f"there are {number} {there[1]} {there[2]}".strip()
    return f"{number} {rest}"


def _so_often(verb: str | None, rest: str, number: str) -> str | None:
    """ "Is f7 attacked" and "3" become "f7 is attacked 3 times"."""
    times = number if number in ("once", "twice", "thrice") else f"{number} times"
    if verb not in ("is", "are"):
        return f"{rest} {times}"
    subject = re.match(rf"({_NOUN}|(?:the square )?[a-h][1-8]) (.+)", rest)
    return f"{subject[1]} {verb} {subject[2]} {times}" if subject is not None else None


def _said(told: str, question: Sentence, answer: Sentence) -> Sentence:
    """A sentence whose words all stand for the whole of question and answer."""
    first, last = question.tokens[0].first, answer.tokens[-1].last
    return sentence_of([Token(word, first, last) for word in told.split()], ".", trails=answer.trails)

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

from timeline.checks.sentence import Sentence, Token, sentence_of

_LEAD = r"(?:(?:,|and|so|but|well|okay|now|oh|here|then|wait|hang|on|alright|right) )*"
_MAN = "(?:king|queen|rook|bishop|knight|pawn)"
_THE = "(?:the|this|that|these|those|his|her|their|my|our|your|white 's|black 's|white|black|1|a|an)"
_NOUN = rf"(?:{_THE} )+(?:[a-h] |[a-z]+ ){{0,2}}?{_MAN}s?(?: (?:over )?(?:there )?(?:on|at) [a-h][1-8])?"
_IT = re.compile(r"^ (?:(?:,|and|so|but|well|now|because|yes|no) )*(it|he|she)(?= [a-z])")
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
)
"""A question that asks after one piece: the answer's "it" is that piece."""
_A_NAME = re.compile(rf"(?<= ){_NOUN}(?= )")
_WHOSE = re.compile(
    rf"^ {_LEAD}(?:[a-z ,]{{0,40}} )??(?:whose (?:move|turn|go)|who is (?:moving|to move|to play|on move|on the move|next|it|up|playing|turn)|who (?:has|'s|is) (?:got )?the (?:move|turn))(?: [a-z]+){{0,4}} $"
)
_A_SIDE = re.compile(
    r"^ (?:(?:,|it|is|that|would|be|oh|still|again|of course|now|ah|well) )*(white|black)(?: 's)?(?: (?:turn|move|is|has|does|of course))* $"
)
_HOW_MANY = re.compile(rf"^ {_LEAD}(?:[a-z]+ ){{0,3}}?how many (.+) $")
_A_NUMBER = re.compile(
    r"^ (?:(?:,|exactly|only|just|there|is|are|i|we|count|make|makes|get|got|have|you|it|that|see|of|course|well|precisely|about) )*(\d+|none|no 1)(?: (?:of|them|in|total|all|told|altogether|do|does))* $"
)
_TELL = r"(?:(?:do|did|can|shall|will|may) (?:you|i|we) (?:[a-z]+ )?(?:know|see|tell (?:you|me)|say|remember|guess|recall) )?"
_WHAT_DOES = re.compile(rf"^ {_LEAD}{_TELL}(?:(?:what|who|which (?:piece|man|1|unit|pawn)) )(.+) $")
_WHAT_MOVE = re.compile(
    rf"^ {_LEAD}{_TELL}(?:what|which move|what move) (?:did )?(white|black) (?:do|did|play|played|choose|chose|go for|went for|find|found)(?: [a-z]+){{0,4}} $"
)
_A_MOVE = re.compile(
    rf"^ (?:(?:,|it|that|he|she|was|is|played|chose|well|oh|simply|just) )*((?:{_MAN} (?:to |takes |takes on )?|[a-h] takes )?[a-h][1-8]|castles(?: kingside| queenside)?) $"
)
_A_NOUN = re.compile(
    rf"^ (?:(?:,|well|it|that|of course|why|oh|absolutely) (?:is )?)*({_NOUN}|white|black|nothing|nobody|no 1)(?: (?:is|does|did|has|can|of course|here))* $"
)
_YES = re.compile(
    r"^ (?:(?:,|well|oh|of course|why) )*(?:yes|yeah|yep|sure|indeed|absolutely|certainly|exactly|definitely|correct|"
    r"(?:yes )?(?:and )?(?:it|he|she|that|they|you|we|white|black) (?:is|does|can|could|has|was|did|are|do))(?: (?:,|indeed|here|sadly|certainly|of course|he|it|she|is|does|can))* $"
)
_NO = re.compile(
    r"^ (?:(?:,|well|oh|and|but) )*(?:no|nope|not at all|(?:white|black|it|he|she) (?:has|can|is) not)(?= (?:$|,))(?!.* (?:but|if|unless|only|except|yet) )"
)
_IS_IT = re.compile(rf"^ {_LEAD}(is|are|was|can|could|does|do|did|has) ({_NOUN}|there|it|white|black) (.+) $")
_IF_IT = re.compile(
    rf"^ {_LEAD}(?:[a-z]+ ){{0,6}}?(?:if|whether) ({_NOUN}|white|black) (is|can|has|was|could|may) (.+) $"
)

_ASKS = re.compile(
    rf"^ {_LEAD}(?:(?:and|now|just|let us|let me|i|you|we) )*(?:guess |tell me |count |ask (?:yourself )?|see |look |check )?"
    r"(?:how many|whose|who|what|which|is|are|can|does|has) "
)
"""How a sentence begins that may ask; only then are its commas tried."""


def answered(talk: Sequence[Sentence]) -> list[Sentence]:
    """The talk with every answer made a statement, in the place of the answer."""
    found: list[Sentence] = []
    asked: Sentence | None = None
    named: str | None = None
    for sentence in talk:
        if named is not None and (pronoun := _IT.match(sentence.text)):
            sentence = _with_noun(sentence, sentence.token_at(pronoun.start(1)), named)
        named = None
        if sentence.end == "?" and _NAMES_ONE.match(sentence.text):
            sentence = replace(sentence, end=".")
            named = next(m[0] for m in _A_NAME.finditer(sentence.text))
        elif sentence.end == "?" and (tag := _TAG.search(sentence.text)):
            kept = sentence.tokens[: sentence.text[: tag.start()].count(" ")]
            sentence = sentence_of(kept, ".", trails=False) if kept else sentence
        if asked is not None and sentence.end != "?":
            told = _together(asked.text, sentence.text)
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


def _answered_inside(sentence: Sentence) -> Sentence:
    """A question with its answer after a comma ("how many attack it, I make it two") as what the two say together."""
    if not _ASKS.match(sentence.text):
        return sentence
    for index, token in enumerate(sentence.tokens):
        if token.text == "," and 0 < index < len(sentence.tokens) - 1:
            question = " " + " ".join(t.text for t in sentence.tokens[:index]) + " "
            answer = " " + " ".join(t.text for t in sentence.tokens[index + 1 :]) + " "
            told = _together(question, answer)
            if told is not None:
                return _said(told, sentence, sentence)
    return sentence


def _with_noun(sentence: Sentence, index: int, noun: str) -> Sentence:
    """The sentence with the noun in the place of the pronoun at ``index``."""
    where = sentence.tokens[index]
    words = [Token(word, where.first, where.last) for word in noun.split()]
    return sentence_of(
        [*sentence.tokens[:index], *words, *sentence.tokens[index + 1 :]], sentence.end, trails=sentence.trails
    )


def _together(question: str, answer: str) -> str | None:
    """What question and answer state, in plain words; None when the answer is no short one."""
    side = _A_SIDE.match(answer)
    if side is not None and _WHOSE.match(question):
        return f"it is {side[1]} 's turn"
    number, many = _A_NUMBER.match(answer), _HOW_MANY.match(question)
    if number is not None and many is not None:
        return _counted(number[1] if number[1].isdecimal() else "0", many[1])
    noun, what = _A_NOUN.match(answer), _WHAT_DOES.match(question)
    if noun is not None and what is not None:
        return f"{noun[1]} {what[1]}"
    move, asked = _A_MOVE.match(answer), _WHAT_MOVE.match(question)
    if move is not None and asked is not None:
        return f"{asked[1]} played {move[1]} in the game"
    asks = _IS_IT.match(question)
    if asks is not None and asks[1] in ("is", "can", "has") and _NO.match(answer):
        return f"{asks[2]} {asks[1]} not {asks[3]}"
    if asks is not None and _YES.match(answer):
        verb = "" if asks[1] in ("does", "do", "did") else f"{asks[1]} "
        return f"{asks[2]} {verb}{asks[3]}"
    return None


def _counted(number: str, rest: str) -> str:
    """ "Pawns does White have" becomes "White has 3 pawns"."""
    has = re.match(r"(.+?) (?:does|do|has|have|did) (white|black|he|she) (?:have|got|has)?(.*)", rest)
    if has is not None:
        return f"{has[2]} has {number} {has[1]}{has[3]}"
    there = re.match(r"(.+?) are (?:there )?(.*)", rest)
    if there is not None:
        return f"there are {number} {there[1]} {there[2]}".strip()
    return f"{number} {rest}"


def _said(told: str, question: Sentence, answer: Sentence) -> Sentence:
    """A sentence whose words all stand for the whole of question and answer."""
    first, last = question.tokens[0].first, answer.tokens[-1].last
    return sentence_of([Token(word, first, last) for word in told.split()], ".")

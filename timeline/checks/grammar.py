"""A small grammar for statements about a position: patterns over plain sentences (see ``speech``).

A pattern is a regular expression in which a space also matches a comma between
words, and ``<...>`` stands for a part of speech:

    <S>  a side ("white", "he", "opponent")     <P>  whose ("white 's", "his", "the black")
    <A> <B> <C>  a piece, with its square or not ("the knight on f3", "her e pawn")
    <Q> <R>  a square       <F> <G>  a file letter      <N> <M>  a number      <T> <U>  how often
    <IS>  a form of "to be"     <HAS>  a form of "to have"     <~>  adverbs, or nothing
    <V>  a move ("knight takes e5", "castles kingside")     <OPENING>  an opening's name
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cache

from timeline.checks.needed import needed
from timeline.checks.openings import opening_names
from timeline.checks.sentence import Sentence

PIECE = "king|queen|rook|bishop|knight|pawn"
SQUARE = "[a-h][1-8]"
SIDE = "white|black|he|she|they|we|i|you|opponent|both"
_DET = (
    "the|a|an|this|that|these|those|his|her|their|my|our|your|its|(?:white|black|opponent|queen|king) 's|white|black|"
    "either|each|one|other|same|both|two|all|another|only|own|[123]"
)
_NO_ADJECTIVE = (
    f"(?:{PIECE})s?|and|or|but|of|on|at|to|from|in|by|with|for|is|are|was|has|have|had|does|do|can|will|not|no|"
    "takes?|captures?|attacks?|defends?|protects?|pins?|forks?|hits?|checks?|which|who|that|goes|moves|plays|[a-h]|[a-h][1-8]"
)
# "The poor, lonely knight": after a determiner up to three words that cannot be anything else colour the piece.
_COLOURED = rf"(?:(?:{_DET})_)+(?:(?!(?:{_NO_ADJECTIVE})_)[a-z-]+_){{0,3}}?"
_WHERE = (
    "(?:(?:(?:that|which)_(?:is|stands|sits)|over|standing|sitting|placed|posted|there|here|(?:way|right)_over|down|up|parked|"
    "living|stationed|deep|back|out|all_the_way|still|of_white|of_black|in_front_of_the_king)_)?(?:on|at|from)"
)
_ADVERB = (
    "[a-z]+ly|now|just|already|still|also|here|there|indeed|very|quite|therefore|of course|at the moment|"
    "right(?: now)?|"
    "in (?:fact|reality|this position)|always|again|all|well|so|even|only|once again|once more|then|at once|both|"
    "though|"
    "more or less|as well|too|for now|by (?:now|the way)|today|at this (?:point|moment)|on the board|however|notice|"
    "see|got|kind of|sort of|twice over|straight(?: away)?|you see|does|do|did|earlier|long ago"
)
_IS = "is|are|was|were|'s|'re|am|has been|have been|have become|has become|becomes|became|remains|remain|stays|stands"
_HAS = (
    "has|have|had|'s got|has got|have got|gets|got|owns|possesses|keeps|holds|enjoys|obtains|retains|is left with|"
    "are left with|am left with|is saddled with|are saddled with|ends up with|is stuck with|was left with|"
    "is playing with|plays with|is suffering from|suffers from|there is|with|boasts|is blessed with|carries|possess|"
    "keep|retain|own|"
    "is burdened with|comes out with|emerges with|must live with|lives with"
)
_STRESS = (
    "really|actually|now|still|certainly|clearly|indeed|definitely|simply|just|also|"
    "of course|surely|truly|already|currently|obviously|does|do|did|suddenly|again"
)
_COMMON = (
    "[a-z]+ly|now|just|already|still|also|here|there|indeed|very|quite|suddenly|again|all|well|even|only|then|both|too|"
    "however|does|do|did|right now|in fact|at the moment|for now|by now|at once|has|have"
)
"""The adverbs (and helping verbs) that may stand after any subject or verb."""
_NUMBER = r"\d+"
_TIMES = r"\d+ times|\d+ fold|twice|once|thrice"


def _np(k: str) -> str:
    """A noun phrase; its words are not parted by commas ("_" is such a space)."""
    # A square may follow without a preposition ("the knight f3") only where the phrase is the subject.
    bare = rf"(?<!s)_(?P<{k}q>{SQUARE})|" if k == "a" else ""
    before = r"(?<=the |his |her |.my |.'s |hat )"
    return (
        rf"(?P<{k}>(?!(?:her|his|its)_(?:the|a|an|this|that)_)(?:{_COLOURED})?(?:(?P<{k}f>[a-h])(?:_file)?_|{before}(?P<{k}q0>{SQUARE})_)?"
        rf"(?:{PIECE})s?"
        rf"(?:{bare}_{_WHERE}_(?:the_)?(?P<{k}r>{SQUARE})|(?:_{_WHERE})?_the_(?P<{k}g>[a-h])_file)?)"
    )


_VERB_MOVE = (
    rf"(?:(?:the |his |her |my |our |your |white 's |black 's )?(?:{PIECE})(?: (?:from )?(?:{SQUARE}|[a-h]))?"
    rf"(?: (?:to|takes|takes on|captures|captures on|capturing on|taking on|take|take on|capture|goes to|back to|"
    rf"comes to|moves to|move to|going to|jumps to|into|on))?"
    rf" (?:the (?:{PIECE}) on )?{SQUARE}|(?:[a-h] )?(?:takes|captures|takes on) {SQUARE}|"
    rf"castles(?: kingside| queenside)?|castling(?: kingside| queenside)?|{SQUARE}|(?:the |a )?pawn to {SQUARE})"
)

_MACROS = {
    "<S>": rf"(?P<side>{SIDE})(?: king| side| player)?",
    "<P>": r"(?P<poss>white 's|black 's|opponent 's|his|her|their|my|our|your|(?:the )?(?:white|black)|the|a|an)",
    "<A>": _np("a"),
    "<B>": _np("b"),
    "<C>": _np("c"),
    "<Q>": rf"(?P<sq>{SQUARE})(?: square(?!s))?",
    "<R>": rf"(?P<sq2>{SQUARE})",
    "<F>": r"(?P<file>[a-h])",
    "<G>": r"(?P<file2>[a-h])",
    "<N>": rf"(?P<n>{_NUMBER})",
    "<M>": rf"(?P<n2>{_NUMBER})",
    "<T>": rf"(?P<t>{_TIMES})",
    "<U>": rf"(?P<u>{_TIMES})",
    "<IS>": rf"(?:(?:{_STRESS}) )*(?:{_IS})",
    "<HAS>": rf"(?:(?:{_STRESS}) )*(?:{_HAS})",
    "<~>": rf"(?:(?:{_ADVERB}) )*",
    "<,>": rf"(?:(?:{_COMMON}) )*",
    "<V>": rf"(?P<move>{_VERB_MOVE})",
    "<OPENING>": "(?P<opening>" + "|".join(sorted(opening_names(), key=len, reverse=True)) + ")",
    "<PIECE>": rf"(?P<piece>{PIECE}|piece|minor piece)",
}


@cache
def expand(template: str) -> re.Pattern[str]:
    """The regular expression of a template, put together when it is first needed."""
    # Adverbs may stand after every subject and verb.
    pattern = re.sub(r"(<(?:S|A|B|C|IS|HAS)>) (?!<~>)", r"\1 <,> ", template)
    for name, text in _MACROS.items():
        pattern = pattern.replace(name + " " if name in ("<~>", "<,>") else name, text)
    # A comma may stand between any two words; not inside a character class, a look-behind or a negative look-ahead.
    pattern = re.sub(r"\(\?! \(\?:([^()]*)\)\)", r"(?!_(?:\1)(?= ))", pattern).replace("(?! ", "(?!_")
    parts = re.split(r"(\[[^\]]*\]|\(\?<[=!](?:\[[^\]]*\]|[^)\[])*\))", pattern)
    pattern = "".join(part if k % 2 else part.replace(" ", "(?: ,)? ") for k, part in enumerate(parts))
    return re.compile(r"(?<= )(?:" + pattern.replace("_", " ") + r")(?= )")


@dataclass(frozen=True, slots=True)
class Rule:
    """One way of saying one kind of statement. ``keys``: the sentence must hold one of them."""

    kind: str
    keys: tuple[str, ...]
    template: str
    fixed: dict[str, str] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class Claim:
    """A statement found in a sentence: ``parts`` by name, token range ``[first, last]``.

    Parts: ``side``, ``poss``, ``a``/``b``/``c`` (noun phrases), ``sq``, ``sq2``, ``file``,
    ``file2``, ``n``, ``n2``, ``move``, ``piece``, and what the rule fixes.
    ``others``: further readings, when the words do not settle the parts, or the kind.
    ``sure``: how likely it states a fact at all, where learned weights say so.
    """

    kind: str
    parts: dict[str, str]
    first: int
    last: int
    others: tuple[Claim, ...] = ()
    sure: float = 0.0

    def number(self, name: str = "n") -> int | None:
        if name in self.parts:
            return int(self.parts[name])
        said = self.parts.get({"n": "t", "n2": "u"}.get(name, ""), "")
        if said in ("once", "twice", "thrice"):
            return ("once", "twice", "thrice").index(said) + 1
        return int(said.split()[0]) if said else None


class Grammar:
    """Rules compiled, in order: an earlier rule's words are not read again by a later one."""

    def __init__(self, rules: list[Rule]) -> None:
        self.rules = rules
        self._by_key: dict[str, list[int]] = {}
        for number, rule in enumerate(rules):
            for key in rule.keys:
                self._by_key.setdefault(key, []).append(number)

    def may_fit(self, text: str) -> Iterator[Rule]:
        """The rules whose words, those that they cannot do without, are there."""
        told = {number for key, numbers in self._by_key.items() if key in text for number in numbers}
        words = text.replace(" ,", "")
        yield from (self.rules[n] for n in sorted(told) if needed(self.rules[n].template).met(words))

    def read(self, sentence: Sentence) -> Iterator[Claim]:
        """Every statement in a sentence, as it stands; nothing is judged here."""
        text = sentence.text
        taken: list[tuple[int, int]] = []
        for rule in self.may_fit(text):
            pattern = expand(rule.template)
            at = 0
            while match := pattern.search(text, at):
                at = max(match.end() - 1, match.start() + 1)
                if any(match.start() < end and start < match.end() for start, end in taken):
                    continue
                taken.append((match.start(), match.end()))
                parts = {k: v.replace(" , ", " ") for k, v in match.groupdict().items() if v is not None}
                yield Claim(
                    rule.kind,
                    {**parts, **rule.fixed},
                    sentence.token_at(match.start()),
                    sentence.token_at(match.end() - 1),
                )

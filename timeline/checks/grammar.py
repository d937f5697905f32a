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

from timeline.checks.openings import opening_names
from timeline.checks.speech import Sentence

PIECE = "king|queen|rook|bishop|knight|pawn"
SQUARE = "[a-h][1-8]"
SIDE = "white|black|he|she|they|we|i|you|opponent|both"
_DET = (
    "the|a|an|this|that|these|those|his|her|their|my|our|your|its|white 's|black 's|opponent 's|white|black|enemy|"
    "opposing|either|each|one|other|same|poor|little|strong|weak|lonely|lone|good|bad|beautiful|lovely|nice|only|"
    "last|first|second|third|extra|advanced|active|passive|powerful|important|remaining|whole|queen 's|king 's|"
    "light-squared|dark-squared|kingside|queenside|famous|unfortunate|trapped|pinned|loose|defending|attacking|big|small|brave|old|"
    "new|isolated|passed|doubled|backward|great|ugly|sad|mighty|back|outside|protected|connected|central|center|"
    "dangerous|wonderful|fantastic|monster|monstrous|amazing|invading|annoying|nasty|well-placed|centralized|"
    "centralised|innocent|very|really|so|undefended|unprotected|hanging|overloaded|final|single|b|former|"
    "important|black-squared|huge|tiny|mean|crazy|clever|sleepy|naughty|greedy|hungry|happy|own|both|two|2|3|all"
)
_WHERE = (
    "on|at|from|over on|standing on|sitting on|placed on|posted on|there on|here on|down on|up on|way over on|"
    "that is on|which is on|over there on|that stands on|that sits on|which stands on|that 's on|parked on|living on|"
    "stationed on|in front of the king on|deep on|back on|out on|all the way on|of white on|of black on|still on"
)
_ADVERB = (
    "now|just|already|clearly|actually|really|simply|completely|totally|still|currently|also|absolutely|basically|here|"
    "there|indeed|very|quite|therefore|suddenly|obviously|immediately|always|again|all|well|so|of course|at the moment|"
    "right now|in fact|right|even|only|once again|once more|effectively|practically|literally|nicely|firmly|badly|"
    "terribly|horribly|perfectly|fully|safely|firmly|directly|then|finally|at once|both|more or less|as well|too|"
    "definitely|certainly|truly|genuinely|officially|technically|undoubtedly|surely|for now|by now|today|at this point|"
    "at this moment|in this position|on the board|unfortunately|luckily|sadly|however|notice|see|got|kind of|sort of|"
    "solidly|properly|adequately|sufficiently|permanently|hopelessly|doubly|twice over|straight|straight away|"
    "exactly|in reality|as you can see|you see|as we can see|by the way|though|does|do|did|[a-z]+ly|earlier|long ago"
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
_NUMBER = r"\d+"
_TIMES = r"\d+ times|\d+ fold|twice|once|thrice"


def _np(k: str) -> str:
    """A noun phrase; its words are not parted by commas ("_" is such a space)."""
    det, where = _DET.replace(" ", "_"), _WHERE.replace(" ", "_")
    placed = rf"_(?:{where})_(?:the_)?"
    # A square may follow without a preposition ("the knight f3") only where the phrase is the subject.
    bare = rf"(?<!s)_(?P<{k}q>{SQUARE})|" if k == "a" else ""
    before = "|".join(f"(?<={word} )" for word in ("the", "his", "her", "my", "'s", "that", "this"))
    return (
        rf"(?P<{k}>(?:(?:{det})_)*(?:(?P<{k}f>[a-h])(?:_file)?_|(?:{before})(?P<{k}q0>{SQUARE})_)?(?:{PIECE})s?"
        rf"(?:{bare}{placed}(?P<{k}r>{SQUARE})|(?:_(?:{where}))?_the_(?P<{k}g>[a-h])_file)?)"
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
    "<Q>": rf"(?P<sq>{SQUARE})",
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
    "<V>": rf"(?P<move>{_VERB_MOVE})",
    "<OPENING>": "(?P<opening>" + "|".join(sorted(opening_names(), key=len, reverse=True)) + ")",
    "<PIECE>": rf"(?P<piece>{PIECE}|piece|minor piece)",
}


def expand(template: str) -> re.Pattern[str]:
    """The regular expression of a template."""
    # Adverbs may stand after every subject and verb.
    pattern = re.sub(r"(<(?:S|A|B|C|IS|HAS)>) (?!<~>)", r"\1 <~> ", template)
    for name, text in _MACROS.items():
        pattern = pattern.replace(name + " " if name == "<~>" else name, text)
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
    ``others``: further readings, when the words do not settle the parts.
    """

    kind: str
    parts: dict[str, str]
    first: int
    last: int
    others: tuple[dict[str, str], ...] = ()

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
        self.rules = [(rule, expand(rule.template)) for rule in rules]

    def read(self, sentence: Sentence) -> Iterator[Claim]:
        """Every statement in a sentence, as it stands; nothing is judged here."""
        text = sentence.text
        taken: list[tuple[int, int]] = []
        for rule, pattern in self.rules:
            if not any(key in text for key in rule.keys):
                continue
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

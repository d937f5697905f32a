"""How the words around a mention frame it: as supposed in place of what was played, as what follows a condition, as refused, as
another choice, as a move that takes back, as one that leaves no move.

The words alone say it, so a frame is worked out once a mention; what it says for a move is asked for every way to play it.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import NamedTuple

from timeline.follow.hypotheses import Feature, Hyp
from timeline.follow.lexer import Tok
from timeline.follow.matching import led
from timeline.follow.mentions import Mention
from timeline.follow.tree import Legal, Node, Tree

_WHO = r"(?:white|black|he|she|i|we|you|they|somebody|anybody|one|(?:my|his|her|our|your|the) (?:opponent|player|king|queen|rook|bishop|knight|pawn))"
_SMALL = r"(?:not|only|just|simply|instead|first|now|here|at once|immediately|really|actually|even|also|then|already)"
_PARTICIPLE = r"(?:[a-z]+ed|taken|gone|gone for|put|brought|chosen|retaken|eaten|won|hit|shut|swung|kept|left|let|moved up|stepped up)"
_SUPPOSED = re.compile(
    rf"(?:^| )(?:had {_WHO}|(?:if|suppose|supposing|imagine) (?:only )?{_WHO} had|if (?:he|she|i|we|you|they)'d)(?: {_SMALL})*(?: (?P<done>{_PARTICIPLE})(?: for| with| to)?)?$"
)
"""Before a move that was not played: "had White recaptured", "if he had gone"."""
_DONE = re.compile(_PARTICIPLE)
_IF = re.compile(rf"(?:if|unless|suppose|supposing|what if|in case|(?:should|were|had) {_WHO})(?: |$)")
_ONLY_THEN = re.compile(r"(?:^| )only (?:then|after that|after this|now)$")
_TURNS = frozenset("so but that's which hence therefore instead because as when where white's black's and".split())
"""A clause that begins so is no consequence of the condition before it ("so d5 was played")."""
_REFUSED = re.compile(
    rf"(?:^| )(?:but|no|of course|obviously|however) (?:[a-z]+ )*?{_WHO} (?:[a-z]+ )?"
    r"(?:won't|wouldn't|will not|would not|doesn't|does not|needn't|need not|isn't going to|is not going to)(?! (?:like|want)\b)"
    rf"(?: [a-z']+){{0,4}} (?:{_WHO}|he'll|she'll|they'll|he'd|she'd|they'd|it's)(?: [a-z]+){{0,3}}$"
)
_VERB = (
    r"(?: (?:play|go|go for|put|move|push|try|choose|like|love|want|need|recommend|believe in|care for|allow|permit|think of|hang on by"
    r"|playing|going|to play|to go|to see|with|for|the|the move|the idea of|by))*"
)
_DENIED = re.compile(
    r"(?:^| )(?:(?:do|did|does|must|should|can|could|may|would|will)(?: not|n't)|cannot|won't|can't|never|not|nor|under no circumstances)"
    rf"(?: (?:ever|just|simply|really|immediately|at once|even|yet|here|now|much))*{_VERB}$"
)
"""Before a move that is told not to be played or that cannot be: "please don't play", "you must not", "I do not like"."""
_ASKS = re.compile(r"(?:^| )(?:why|not only|whether)(?: |$)")
_WISHED = re.compile(
    r"(?:^| )(?:want(?:s|ed)?|hop(?:e|es|ed)|intend(?:s|ed)?|plan(?:s|ned)?|aim(?:s|ed)?|dream(?:s|ed|t)? of|(?:is|was|are) (?:hoping|planning|aiming)"
    r"|prepar(?:es?|ed|ing))(?: (?:to|for))?(?: (?:play|go|go for|have|get|put|follow with|continue with))?(?: for)?$"
)
"""Before a move that somebody would like to play: "White wants", "he hopes for"."""
_OR = re.compile(r"or(?: (?:else|even|maybe|perhaps|simply|just|also|possibly|alternatively|say))*")
_BACK = re.compile(r"(?:recaptur|retak)[a-z]+|(?:takes?|taken|took|taking|captures?|captured) (?:it |him )?back")
_NO_MOVE = re.compile(
    r"(?:(?:now|here|then|there|and|it|that|which|this) )*(?:is|it's|that's|was|would be|will be|'s|gives|means|leads to|with)?"
    r"(?: (?:only|just|simply|a|already|immediately|now|dead|plain|suddenly|at once))*(?: |^)?(?:stalemate|stale mate)(?: |$)"
)
_PASSING = re.compile(r"(?:(?:it|the pawn|that|him|her) )?(?:en|in|on) (?:passant|passent|passing)(?: |$)")
_BEEN = re.compile(r"(?:^| )(?:has|have|had) (?:just|already)(?: |$)")
_REACH = 14
_NOTHING_SAID: tuple[Feature, ...] = ()


class Frame(NamedTuple):
    """``follows``: the token at which the condition begins whose consequence a mention is; -1: it is none."""

    supposed: bool
    follows: int
    then: bool
    refused: bool
    other: bool
    instead: bool
    back: bool
    no_move: bool
    been: bool
    after: bool
    denied: bool
    wished: bool
    passing: bool


class Framing:
    """Frames over one token sequence."""

    def __init__(self, toks: Sequence[Tok], tree: Tree) -> None:
        self.toks, self.tree = toks, tree
        self._known: dict[tuple[int, int], Frame | None] = {}

    def grounds(self, hyp: Hyp, m: Mention, base: Node, legal: Legal, act: str) -> Sequence[Feature]:
        """What the words around a mention say for playing it as one move."""
        key = (m.start, m.end)
        if key not in self._known:
            frame = self.frame(m)
            self._known[key] = frame if any(frame._replace(follows=frame.follows + 1)) else None
        found = self._known[key]
        return _NOTHING_SAID if found is None else self._of(found, hyp, m, base, legal, act)

    def _of(self, f: Frame, hyp: Hyp, m: Mention, base: Node, legal: Legal, act: str) -> list[Feature]:
        feats: list[Feature] = []
        aside = act in ("cont", "open", "alt", "jopen")
        if f.supposed and act != "open":
            feats.append(("supposed:ok" if aside and act != "cont" else "supposed:bad", 1.0))
        leaves = act in ("ret", "retG", "rskip", "tele", "jump", "jfrom")
        if hyp.node.depth and leaves and (f.then or (f.follows >= 0 and hyp.moved > f.follows)):
            feats.append(("follows:bad", 1.0))
        if f.then and act == "cont":
            feats.append(("follows:ok", 1.0))
        if f.refused and hyp.node.depth and act in ("cont", "alt"):
            feats.append((f"refused:{act}", 1.0))
        if f.other and act == "alt" and hyp.node.depth and (not base.main or base.ply == hyp.node.shared):
            feats.append(("other:ok", 1.0))
        if f.instead and act == "alt" and legal.victim and _taken_otherwise(hyp.node, base, legal):
            feats.append(("instead:take", 1.0))
        if f.back and aside and (base.move is None or base.move.to_square != legal.to_sq):
            feats.append(("back:bad", 1.0))
        if f.denied:
            feats.append(("denied", 1.0))
        if f.wished:
            feats.append(("wished", 1.0))
        if f.passing:
            feats.append((f"passing:{'ok' if base.board.is_en_passant(legal.move) else 'bad'}", 1.0))
        again = f.been or (f.after and act == "cont" and self._by_doing(hyp))
        if again and led(hyp.node, m.desc):
            feats.append(("said again", 1.0))
        if f.no_move:
            after = self.tree.child(base, legal.move)
            feats.append(("stalemate:bad" if after.legal or after.board.is_check() else "stalemate:ok", 1.0))
        return feats

    def _by_doing(self, hyp: Hyp) -> bool:
        """Whether the last move was told as what doing it would bring: "taking on e4 costs a piece, because after knight takes"."""
        told: Hyp | None = hyp
        while told is not None and (told.mention is None or told.node is not hyp.node or told.act in ("ign", "step")):
            told = told.prev
        return told is not None and told.mention is not None and self.toks[told.mention.start].text.endswith("ing")

    def frame(self, m: Mention) -> Frame:
        """What the words around a mention say of it."""
        toks = self.toks
        clause = sentence = m.start
        while clause > 0 and m.start - clause < _REACH and not toks[clause - 1].ends:
            clause -= 1
        while sentence > 0 and m.start - sentence < 3 * _REACH and toks[sentence - 1].ends not in (".", "?"):
            sentence -= 1
        before = " ".join(tok.text for tok in toks[clause : m.start])
        end = m.end
        while end < len(toks) and end - m.end < 6 and toks[end - 1].ends not in (".", "?"):
            end += 1
        after = " ".join(tok.text for tok in toks[m.end : end])
        told = _SUPPOSED.search(before)
        supposed = told is not None and bool(told["done"] or _DONE.fullmatch(toks[m.start].text))
        earlier = " ".join(tok.text for tok in toks[max(sentence, m.start - 2 * _REACH) : m.start])
        other = clause == sentence and m.start - clause <= 4 and bool(_OR.fullmatch(before))
        last = m.end
        while last < min(len(toks), m.end + 2) and not toks[last - 1].ends:
            last += 1
        alone = [tok.text for tok in toks[clause:last]]
        instead = "instead" in alone and "of" not in alone
        placed = m.desc.to >= 0 or bool(m.desc.castle)  # "he doesn't take" says more of what comes instead
        back = bool(_BACK.search(" ".join(tok.text for tok in toks[m.start : min(len(toks), m.end + 1)])))
        answers = sentence > 0 and toks[sentence - 1].ends == "?" and toks[sentence].text in ("no", "nope")  # not of the last move
        return Frame(
            supposed, self._condition(sentence, clause, m.start), bool(_ONLY_THEN.search(before)),
            bool(_REFUSED.search(earlier)) and not answers, other, instead, back, bool(_NO_MOVE.match(after)), bool(_BEEN.search(before)),
            before.endswith("after"), placed and bool(_DENIED.search(before)) and not _ASKS.search(before),
            bool(_WISHED.search(before)), m.desc.cap and bool(_PASSING.match(after)),
        )  # fmt: skip

    def _condition(self, sentence: int, clause: int, start: int) -> int:
        """The token at which the condition begins that a clause of the same sentence is the consequence of; -1: none."""
        if clause <= sentence:
            return -1
        first = next((tok.text for tok in self.toks[clause:start] if tok.text != "then"), "")
        if first in _TURNS or any(tok.text in ("game", "played", "actually", "fact") for tok in self.toks[clause:start]):
            return -1
        for k in range(clause - 1, sentence - 1, -1):
            begins = k == sentence or self.toks[k - 1].ends or self.toks[k - 1].text in ("and", "but", "so", "now")
            if begins and _IF.match(" ".join(tok.text for tok in self.toks[k : k + 4])):
                return k
        return -1


def _taken_otherwise(node: Node, base: Node, legal: Legal) -> bool:
    """Whether another man took on the same square in ``base`` on the way to ``node``."""
    left: Node | None = node
    while left is not None and left.parent is not base:
        left = left.parent
    move = left.move if left is not None else None
    return move is not None and move.to_square == legal.to_sq and move != legal.move

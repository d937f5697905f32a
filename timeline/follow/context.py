"""What the words around a mention say about it: closed classes of steering words, by place."""

from __future__ import annotations

import re
from collections.abc import Sequence

from timeline.follow.lexer import Tok
from timeline.follow.takebacks import put_back
from timeline.follow.vocabulary import (
    CHECK_WORDS,
    CLASSES,
    LEADERS,
    MATE_WORDS,
    PIECE_WORDS,
    SENTENCE_OPENERS,
    TAKE_WORDS,
    VAGUE,
)

_REACH = 9
_PLAYED = re.compile(
    r"(?:was|is|were) (?:what (?:was|he|she|they|white|black|i|we) )?(?:played|chosen|the game|what happened|the move played)\b"
    r"|(?:was|is) the (?:game|choice|actual move)\b|(?:as|he|she|they|white|black|i|we) (?:played|chose)(?: here| now| instead|$)"
    r"|(?:happened|in the game|in fact|in reality)\b"
)
"""After a move: it is the game's ("d6 was played")."""
CHECK_LEADERS = frozenset("with and it's that's it is which a this comes discovered double another".split())


_NO_CONDITION = re.compile(
    r"if (?:(?:my |the )?memory (?:serves|is|does)|(?:i|we) (?:remember|recall|recollect)\b|i may(?: say| add| so|$)|(?:i'm|i am|we're|we are) (?:not )?"
    r"(?:mistaken|wrong|right|correct|honest)|i (?:say so|have it right|got it right)|you (?:ask me|know what i mean|remember|recall)\b"
    r"|anything\b|you (?:like|will|please|wish|want)$)"
)
"""Set phrases that put no condition on what is told: "if memory serves", "a gambit, if you like"."""


_PEOPLE = re.compile(
    r"(?:(?:and|but|so|now|here|well|because|you know|of course|the) )*(?:(?:some|most|many|half|few|lots|plenty|a lot|a few)(?: of)?(?: (?:sensible|young|strong|good|club))?"
    r" (?:people|players|pupils|students|children|kids|beginners|amateurs|folks|you|them)|everybody|everyone|beginners|people)\b"
)
"""Who does what the game did not, or did as well ("some people get nervous and push past, d5")."""
_GO_ON = frozenset("they and so".split())
_SENTENCE = 14
_SHORT = 6


def _unconditional(toks: Sequence[Tok], k: int) -> bool:
    words = []
    for tok in toks[k : k + 5]:
        words.append(tok.text)
        if tok.ends:
            break
    return bool(_NO_CONDITION.match(" ".join(words)))


class Context:
    """Class lookups over one token sequence, each worked out once."""

    def __init__(self, toks: Sequence[Tok]) -> None:
        self.toks = toks
        self.n = len(toks)
        self.classes: list[tuple[str, ...]] = []
        self.chessy: list[bool] = []
        for k, tok in enumerate(toks):
            found = []
            one = CLASSES.get(tok.text)
            if one and not (tok.text == "if" and _unconditional(toks, k)):
                found.append(one)
            if k + 1 < self.n and not tok.ends:
                two = CLASSES.get(f"{tok.text} {toks[k + 1].text}")
                if two and two != one:
                    found.append(two)
            self.classes.append(tuple(found))
            bare = tok.text[:2]
            self.chessy.append(
                bool(tok.san)
                or (len(tok.text) == 2 and bare[0] in "abcdefgh" and bare[1] in "12345678")
                or TAKE_WORDS.get(tok.text, 1.0) <= 0.2
            )
        self.backs = put_back(toks)
        self._clause: dict[int, int] = {}

    def clause_start(self, i: int) -> int:
        """The first token of the clause that leads to token ``i`` (itself when it stands first)."""
        known = self._clause.get(i)
        if known is not None:
            return known
        k = i
        while k > 0 and i - k < _REACH:
            before = self.toks[k - 1]
            if before.ends or self.chessy[k - 1] or (self.toks[k].gap_ms > 900 and k < i):
                break
            k -= 1
            if before.text in SENTENCE_OPENERS and not (k > 0 and self.toks[k - 1].text in SENTENCE_OPENERS):
                break
        self._clause[i] = k
        return k

    def before(self, i: int) -> list[str]:
        """Classes of the clause before ``i``, then of what stands before that clause in the sentence (``p:``)."""
        start = self.clause_start(i)
        found = dict.fromkeys(c for k in range(start, i) for c in self.classes[k])
        names = list(found)
        k, seen = start, 0
        earlier: dict[str, None] = {}
        while k > 0 and seen < 8:
            if self.toks[k - 1].ends in (".", "?"):
                break
            k -= 1
            seen += 1
            for c in self.classes[k]:
                earlier.setdefault("p:" + c)
        names.extend(earlier)
        if i > 0 and not self.toks[i - 1].ends:
            names.extend("1:" + c for c in self.classes[i - 1])
            if self.toks[i - 1].text in PIECE_WORDS:
                names.append("1:PIECE")
        if start == i:
            names.append("first")
        if self.toks[start].starts:
            names.append("sentence")
        if "HABIT" not in found and self._people(i):
            names.append("HABIT")
        return names

    def _people(self, i: int) -> bool:
        """Whether token ``i`` is the first move of what "some people" or "most of you" do: of a sentence that begins with them, or of
        the one after a short such sentence."""
        start = self._sentence(i)
        if any(self.chessy[start:i]):
            return False
        if self._begins_with_people(start, i):
            return True
        before = self._sentence(start - 1) if start > 0 and self.toks[start].text in _GO_ON else start
        return 0 < start - before <= _SHORT and self._begins_with_people(before, start)

    def _sentence(self, i: int) -> int:
        """The first token of the sentence in which token ``i`` stands, some words back at most."""
        k = i
        while k > 0 and i - k < _SENTENCE and self.toks[k - 1].ends not in (".", "?"):
            k -= 1
        return k

    def _begins_with_people(self, start: int, end: int) -> bool:
        return bool(_PEOPLE.match(" ".join(tok.text for tok in self.toks[start : min(end, start + 8)])))

    def after(self, end: int) -> list[str]:
        """Classes of up to five words after token ``end - 1``, to the next punctuation (``q:``)."""
        found: dict[str, None] = {}
        if end > 0:
            last = self.toks[end - 1].ends
            found["q" + (last or "_")] = None
            if last in (".", "?"):
                return list(found)
        if self._played_after(end):
            found["q:PLAYED"] = None
        for k in range(end, min(self.n, end + 5)):
            if self.chessy[k]:
                break
            for c in self.classes[k]:
                found.setdefault("q:" + c)
            if self.toks[k].ends:
                break
        return list(found)

    def _played_after(self, end: int) -> bool:
        words: list[str] = []
        for k in range(end, min(self.n, end + 5)):
            words.append(self.toks[k].text)
            if self.toks[k].ends:
                break
        return bool(_PLAYED.match(" ".join(words)))

    def check_follows(self, end: int) -> bool:
        """Whether the words from ``end`` on say that the move before them gives check ("and it's check")."""
        for k in range(end, min(self.n, end + 6)):
            if self.toks[k].text in CHECK_WORDS or self.toks[k].text in MATE_WORDS:
                return True
            if self.chessy[k] or self.toks[k].text not in CHECK_LEADERS:
                return False
        return False

    def lead(self, i: int, reach: int = 6) -> int:
        """Where the phrase that announces a mention at ``i`` begins: leading small words included."""
        k = i
        while k > 0 and i - k < reach:
            before = self.toks[k - 1]
            if before.ends or before.text not in LEADERS or self.toks[k].gap_ms > 700 or self.chessy[k - 1]:
                break
            k -= 1
        return k

    def may_turn(self, i: int) -> bool:
        """Whether a return to the game may be spoken from token ``i`` on."""
        tok = self.toks[i]
        if tok.starts or i == 0 or self.toks[i - 1].ends or tok.gap_ms > 350 or i in self.backs:
            return True
        if tok.text in SENTENCE_OPENERS:
            return True
        if tok.text in ("move", "final", "from"):
            return True
        return any(c in ("BACK", "GAME", "LET", "NOW", "BUT", "SO") for c in self.classes[i])

    def turn(self, i: int) -> list[str]:
        """Features of a return spoken at ``i``: classes of the words that follow, up to the clause's end."""
        tok = self.toks[i]
        found: dict[str, None] = {}
        for k in range(i, min(self.n, i + 8)):
            if self.chessy[k] and k > i:
                found.setdefault("b:move")
                break
            for c in self.classes[k]:
                found.setdefault(("b0:" if k == i else "b:") + c)
            if self.toks[k].ends in (".", "?"):
                if k - i < 3:
                    found.setdefault("b:short")
                break
        if tok.starts:
            found["b:starts"] = None
        if tok.gap_ms > 700:
            found["b:gap"] = None
        if i > 0 and self.toks[i - 1].ends == "?":
            found["b:after?"] = None
        return list(found)

    def _named_after(self, j: int) -> bool:
        """Whether the next three words of the clause after token ``j`` name a square."""
        for k in range(j, min(self.n - 1, j + 3)):
            if self.toks[k].ends:
                return False
            if self.chessy[k + 1]:
                return True
        return False

    def vague(self, i: int) -> str:
        """Whether a clause at ``i`` tells of some move without naming it ("he hides"): the verb's kind, or ""."""
        k = i
        if (
            self.toks[k].text in ("and", "so", "then", "but", "now", "okay", "here")
            and k + 1 < self.n
            and not self.toks[k].ends
        ):
            k += 1
        if k + 1 >= self.n or self.toks[k].ends:
            return ""
        if self.toks[k].text not in ("he", "she", "i", "we", "they", "white", "black", "you"):
            return ""
        for j in range(k + 1, min(self.n, k + 3)):
            word = self.toks[j].text
            if word in VAGUE:
                if self._named_after(j):
                    return ""
                return "gen" if word in ("goes", "went", "plays", "played", "moves", "moved") else "verb"
            if word not in ("just", "simply", "now", "then", "also", "quickly", "already", "has", "had", "calmly"):
                break
        return ""

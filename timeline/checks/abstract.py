"""A stretch of talk with its pieces, squares, sides and numbers taken out: what is left says which fact is meant.

"The knight on f6 is feeling the heat from the bishop on g5" becomes the words
``MAN is feeling heat from MAN`` and the two men. The words go to learned weights
(see ``kinds``), the things taken out become the parts of the statement.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from itertools import combinations, pairwise

from timeline.checks.openings import opening_names

_MAN = "king|queen|rook|bishop|knight|pawn"
_SQ = "[a-h][1-8]"
_A_FILE = "(?:" + "|".join(rf"(?<=[ ]{word} )" for word in ("the", "his", "her", "my", "our", "your", "'s")) + ")a"
"""The a pawn; "a pawn" is any."""
_STANDING = (
    r"(?: (?:which|that|who|over|out|up|down|there|here|right|still|now|just|sitting|standing|sits|stands|is|parked|"
    r"placed|posted|living)){0,4}"
)
_THERE_IS = r"(?: ,)? (?:there (?:is|stands|sits)|(?:we|you|i) (?:have|see|find)|(?:you|we) will (?:find|see)|1 finds)"
_OTHERS = ("the", "this", "that", "which", "each", "every", "any", "other")
_ONE = (
    "(?:" + "|".join(rf"(?<= {word} )" for word in _OTHERS) + ")1"
    r"(?= (?:who|which|that|on|in|of|with|we|you|he|she|they|to|is|are|can|may|must|behind|at|white|black|here|"
    r"there|has|,) )"
    r"|1(?= (?:of|finds|sees|must|may|should|might|would|ought|asks|counts|could|looks|searches|reads|knows|learns|"
    r"says) )"
)
"""No number: "the one on h6", "one must see"."""


@dataclass(frozen=True, slots=True)
class Abstract:
    """``words`` left over; what was taken out, in order: men ("pawn", "e5"), bare ``pieces``, squares, files, ..."""

    words: tuple[str, ...]
    men: tuple[tuple[str, str], ...] = ()
    pieces: tuple[str, ...] = ()
    squares: tuple[str, ...] = ()
    files: tuple[str, ...] = ()
    pawns: tuple[str, ...] = ()
    sides: tuple[str, ...] = ()
    numbers: tuple[str, ...] = ()
    moves: tuple[str, ...] = ()
    openings: tuple[str, ...] = ()
    spoken: tuple[str, ...] = ()
    """``words`` with articles and commas."""


@cache
def _openings() -> dict[str, re.Pattern[str]]:
    """First word -> the openings whose names begin with it: no other word is tried."""
    by_word: dict[str, list[str]] = {}
    for name in sorted(opening_names(), key=len, reverse=True):
        by_word.setdefault(name.split()[0], []).append(re.escape(name))
    return {word: re.compile(f"(?:{'|'.join(names)})(?= )") for word, names in by_word.items()}


@cache
def _things() -> re.Pattern[str]:
    return re.compile(
        rf"(?P<man>{_MAN}){_STANDING} (?:on|at) (?P<place>{_SQ})(?= )"
        rf"|(?P<of>{_MAN}) from (?P<where>{_SQ})(?= )(?! (?:to|goes|comes|came|went|jumps|onto|into|takes|captures) )"
        rf"|(?P<square>{_SQ}) (?P<named>{_MAN})(?= )(?! (?:to|takes|captures|on|at) )"
        rf"|(?:from (?P<before>{_SQ})(?: there is| by)?|(?:on|at) (?P<seat>{_SQ}){_THERE_IS})"
        rf"(?: (?:the|a|an|his|her|this|that))* (?P<after>{_MAN})(?= )(?! (?:to|takes|captures|on|at) )"
        rf"|(?P<move>(?:{_MAN}) (?:(?:to|takes|takes on|captures|goes to) )?{_SQ}|[a-h] takes (?:on )?{_SQ}|"
        rf"castles(?: kingside| queenside)?)(?= )"
        r"|(?P<one>[a-h])(?: file)? and (?:the )?(?P<two>[b-h]) (?:files?|pawns?)(?= )"
        rf"|(?P<pawn>[b-h]|{_A_FILE}) pawns?(?= )|(?P<file>[a-h]) file(?= )"
        r"|(?P<first>[b-g])(?: ,)? and (?P<second>[b-h])(?= )"
        rf"|(?P<pronoun>{_ONE})(?= )"
        rf"|(?P<sq>{_SQ})(?= )|(?P<side>white|black)(?= )|(?P<nth>\d+th)(?= )|(?P<number>\d+|twice|thrice)(?= )"
        rf"|(?P<piece>{_MAN})(?P<plural>s?)(?= )"
    )


_TWICE = {"twice": "2", "thrice": "3"}
_LEFT_OUT = frozenset("the a an ,".split())


@lru_cache(maxsize=4096)  # a stretch is looked at in several ways
def abstract(text: str) -> Abstract:
    """``text``: plain words with a space before and after each."""
    words: list[str] = []
    men: list[tuple[str, str]] = []
    lists: dict[str, list[str]] = {
        k: [] for k in ("pieces", "squares", "files", "pawns", "sides", "numbers", "moves", "openings")
    }
    at = 1
    pattern, openings = _things(), _openings()
    while at < len(text):
        end = text.index(" ", at)
        opening = openings.get(text[at:end])
        named = opening.match(text, at) if opening is not None else None
        if named is not None:
            lists["openings"].append(named.group())
            words.append("OPENING")
            at = named.end() + 1
            continue
        match = pattern.match(text, at)
        if match is None:
            words.append(text[at:end])
            at = end + 1
            continue
        got = match.groupdict()
        words.extend(_taken(got, men, lists, match.group()))
        at = match.end() + 1
    kept = tuple(w for w in words if w not in _LEFT_OUT)
    return Abstract(kept, tuple(men), **{k: tuple(v) for k, v in lists.items()}, spoken=tuple(words))


def _taken(
    got: dict[str, str | None], men: list[tuple[str, str]], lists: dict[str, list[str]], whole: str
) -> Iterator[str]:
    """Files one thing; yields the word that stands for it."""
    if got["pronoun"]:
        yield "one"
        return
    man = got["man"] or got["named"] or got["after"] or got["of"]
    place = got["place"] or got["square"] or got["before"] or got["seat"] or got["where"]
    if man and place:
        men.append((man, place))
        yield from ("there", "is", "a", "MAN") if got["seat"] else ("MAN",)
    elif got["move"]:
        lists["moves"].append(whole)
        yield "MOVE"
    elif got["one"] and got["two"]:
        lists["files"] += [got["one"], got["two"]]
        yield from ("FILE", "and", "FILE")
    elif got["first"] and got["second"]:
        lists["files"] += [got["first"], got["second"]]
        yield from ("FILE", "and", "FILE")
    elif got["pawn"]:
        lists["pawns"].append(got["pawn"])
        yield "FPAWN"
    elif got["file"]:
        lists["files"].append(got["file"])
        yield "FILE"
    elif got["sq"]:
        lists["squares"].append(got["sq"])
        yield "SQ"
    elif got["side"]:
        lists["sides"].append(got["side"])
        yield "SIDE"
    elif got["nth"]:
        lists["numbers"].append(got["nth"].removesuffix("th"))
        yield "NTH"
    elif got["number"]:
        lists["numbers"].append(_TWICE.get(got["number"], got["number"]))
        yield got["number"] if got["number"] in _TWICE else "NUM"
    elif got["piece"]:
        lists["pieces"].append(got["piece"])
        yield got["piece"] + (got["plural"] or "")


_SENSES = {
    "HIT": "attack hit strik struck assault target eye eying aim point stare staring gaz glar threat menac pressur "
    "harass bother shoot shot fire firing hunt chas pester tickl annoy challeng heat crosshair sights gun trained "
    "bear bore breath nibbl peck bite biting jab poke poking focus zero hom bully torment worry",
    "GUARD": "defend defen protect guard cover support watch hold held back shield secur babysit nurs mind car insur "
    "bolster prop rescue safe look after keep kept bodyguard overprotect underpin shore",
    "NOT": "no not nobody nothing none never without lack missing zero neither nowhere hardly",
    "FREE": "free gift grab taking prise hang hung loos drop charity present",
    "BOUND": "pin stuck nail glue froz freez paraly tied bound chain immobil trap budge shackl handcuff",
    "ALONE": "alone isolat lone orphan neighbo friend companion",
    "AWAY": "gone left cleared clear vanish disappear empty swept exchanged traded",
    "WIN": "won win wins winn victor prevail triumph beat",
    "LOSE": "lose lost loses losing loss resign defeat surrender capitul",
    "TAKE": "take took tak captur snap grab eat snatch gobbl pick chop remov",
    "ALLOW": "can may able allow free legal possible permitted entitled right",
    "OUT": "develop out play action battle active mobil",
    "HAS": "has have had own possess keep hold enjoy retain boast got get",
    "NEXT": "turn next move go",
}
"""General senses, by how their words begin: what a teacher may put one of for another."""
_BY_SENSE = {sense: tuple(words.split()) for sense, words in _SENSES.items()}


@cache
def sense(word: str) -> str:
    """The sense of a word, the word itself where it has none; the first that fits."""
    if not word.islower() or len(word) < 2:
        return word
    for name, beginnings in _BY_SENSE.items():
        if word.startswith(tuple(b for b in beginnings if len(b) > 3)) or word in beginnings:
            return name
    return word


SHORTEST, LONGEST = 3, 5  # letters of a part of a word
LEAST_MEANING = 3  # letters of a word that is too short to be paired wherever it stands


@cache
def letters(word: str) -> frozenset[str]:
    """The parts of a word, its ends marked: what words of one root share ("guards", "guardian", "unguarded")."""
    if not word.islower() or len(word) < SHORTEST:
        return frozenset()
    marked = f"<{word}>"
    return frozenset(f"~{marked[i : i + n]}" for n in range(SHORTEST, LONGEST + 1) for i in range(len(marked) - n + 1))


_PIECES = frozenset("king queen rook bishop knight".split())


def features(found: Abstract) -> set[str]:
    """What the weights look at: words, their parts, neighbours, pairs anywhere, and how many things there are."""
    words = found.words
    wide = [("PIECE" + "s" * w.endswith("s") if w.removesuffix("s") in _PIECES else w) for w in words]
    told: set[str] = set()
    for row in (words, wide, [sense(w) for w in wide]):
        ends = ["<", *row, ">"]
        told.update(row)
        told.update(f"{a} {b}" for a, b in pairwise(ends))
        told.update(f"{a} {b} {c}" for a, b, c in zip(ends, ends[1:], ends[2:], strict=False))
        told.update(f"{a} _ {c}" for a, c in zip(ends, ends[2:], strict=False))
    told.update(f"{w[:5]}~" for w in words if len(w) > 5 and w.islower())
    for word in words:
        told |= letters(word)
    meant = sorted({w for w in map(sense, wide) if len(w) > LEAST_MEANING or w.isupper()})
    told.update(f"&{a} {b}" for a, b in combinations(meant, 2))
    counts = {
        "men": len(set(found.men)), "pieces": len(set(found.pieces)), "squares": len(set(found.squares)),
        "files": len(set(found.files)), "pawns": len(set(found.pawns)), "sides": len(set(found.sides)),
        "numbers": len(found.numbers), "moves": len(found.moves), "openings": len(found.openings),
    }  # fmt: skip
    told.update(f"#{k}{min(n, 3)}" for k, n in counts.items())
    shape = " ".join(f"{k}{min(n, 3)}" for k, n in counts.items() if n and k != "pieces")
    told.add(f"#{shape}")
    told.update(f"#{shape} {w[:5]}" for w in words if w.islower() and len(w) > 2)
    told.update(f"m:{man}" for man, _ in found.men)
    told.add(f"#long{min(len(words) // 4, 6)}")
    return told

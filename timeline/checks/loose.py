"""Statements in words that no rule foresees: the term of the trade, the pieces and sides around it, in any order.

Where the grammar found nothing, a stretch of a sentence with one term ("pin",
"defended", "outpost") is read with the pieces that are named in it, in every
part they could play: "the pin comes from the bishop on g5 against the knight on
f6" may say that either pins the other. Such a statement is wrong only when it is
wrong in every reading, so that a reading too many never accuses anybody.
"""

# ruff: noqa: E501  (a pattern stands on one line)

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cache
from itertools import permutations

from timeline.checks.grammar import Claim, expand
from timeline.checks.guards import unreal
from timeline.checks.loosefacts import Found, read_facts, unguarded
from timeline.checks.sentence import Sentence, stretches


@dataclass(frozen=True, slots=True)
class Frame:
    """``term``: pattern of the words that name the fact. ``men``: how many pieces it needs, at least and at most.

    ``placed``: whether each must be named with its square. ``parts``: names of
    the roles that the pieces take in turn.
    """

    kind: str
    term: str
    parts: str
    men: tuple[int, int]
    placed: bool = True
    only: str = ""


_ATTACK = r"assault(?:s|ed|ing)?|str(?:ikes?|iking|uck) at|menac(?:es|ed|ing)|harass(?:es|ed|ing)?|bother(?:s|ed|ing)?|pester(?:s|ed|ing)?|breathing down|zero(?:es|ed|ing) in|hom(?:es|ed|ing) in|hunt(?:s|ed|ing)?|chas(?:es|ed|ing)|firing line|line of fire|crosshairs|trained on|bear(?:s|ing) down|gun(?:s|ning) for|(?:goes|going) after|attack(?:s|ed|ing|er)?|under (?:fire|pressure)|pressur(?:e|es|ed|ing)|hits|hitting|target(?:s|ed|ing)?|aim(?:s|ed|ing)?|eye(?:s|d|ing)|sights"
_DEFEND = (
    r"bodyguards?|babysit(?:s|ting|ter)?|prop(?:s|ped|ping) up|bolster(?:s|ed|ing)?|reinforc(?:es|ed|ing)|backed up|backs up|look(?:s|ing|ed) after|watch(?:es|ing) over|minder|"
    r"defend(?:s|ed|ing|er)|defense|protect(?:s|ed|ing|ion|or)?|guard(?:s|ed|ing|ian)|cover(?:s|ed|ing)|support(?:s|ed|ing)?"
)
FRAMES = (
    Frame("skewer", r"skewer(?:s|ed|ing)?", "abc", (2, 3), placed=False),
    Frame("fork", r"fork(?:s|ed|ing)?|double attack", "abc", (2, 3), placed=False),
    Frame("battery", r"batter(?:y|ies)", "ab", (2, 2)),
    Frame("pins", r"pin(?:s|ned|ning)?", "ab", (2, 2)),
    Frame("pinned", r"pinned|pin", "a", (1, 1)),
    Frame("undefended", r"undefended|unprotected|unguarded", "a", (1, 1)),
    Frame("hanging", r"hanging|hangs|en-prise|for free|for nothing", "a", (1, 1)),
    Frame("attacks", _ATTACK, "ab", (2, 2)),
    Frame("defends", _DEFEND, "ab", (2, 2)),
    Frame("isolated", r"isolated|isolani", "a", (1, 1), only="pawn"),
    Frame("passed", r"passed|passer", "a", (1, 1), only="pawn"),
    Frame("backward", r"backward", "a", (1, 1), only="pawn"),
    Frame("outpost", r"outpost", "a", (1, 1)),
    Frame("fianchetto", r"fianchettoed|fianchetto", "a", (1, 1), only="bishop"),
)
"""Tried in this order; the first that a stretch fits is taken."""


_PLACED = re.compile(r" (?:on|at) [a-h][1-8]$")
# A term that is left, gone or named in general says nothing of the pieces beside it.
_ELSEWHERE = re.compile(
    r" (?:out of|no longer|without|breaks|breaking|broke|escapes?|any|every|after|before|against|instead of|unlike) "
)


@cache
def _noun_phrase() -> re.Pattern[str]:
    return expand("<A>")


_SIDES = re.compile(r"(?<= )(white|black)(?= )(?! (?:king|queen|rook|bishop|knight|pawn|square))")
_WHOLE = (
    ("double_check", re.compile(r"(?<= )(?:double check|2 checks)(?= )")),
    ("opposite_bishops", re.compile(r"(?<= )(?:opposite-colored bishops|bishops (?:\w+ ){1,3}opposite colors?)(?= )")),
)
_OF_SIDE = (
    ("bishop_pair", re.compile(r"(?<= )(?:bishop pair|pair of bishops|(?:the )?2 bishops|both (?:the |his |her )?bishops)(?= )(?! (?:on|at|are|and) )")),
    ("check", re.compile(r"(?<= )(?:in|under) check(?= )(?! mate)")),
    ("turn", re.compile(r"(?<= )(?:to (?:move|play)|on (?:the )?move|turn to (?:move|play)|turn)(?= (?:,|here|now|next|$)|(?= $))")),
)  # fmt: skip
_FILE = re.compile(r"(?<= )([a-h]) file(?= )")
_OPEN = re.compile(
    r"(?<= )(?:(?:is|are|lies|lie|stays|remains|stands|wide|completely|fully|totally|now) open|open file|been opened)(?= )(?! up)"
)
_HALF = re.compile(r"(?<= )half-open(?= )")


def read_loosely(sentence: Sentence, found: Sequence[Claim]) -> Iterator[Claim]:
    """Statements of a sentence beside those that the grammar ``found`` in it."""
    for first, last in stretches(sentence):
        known = {c.kind for c in found if c.first <= last and c.last >= first and c.kind != "standing"}
        text = " " + " ".join(t.text for t in sentence.tokens[first : last + 1]) + " "
        if unreal(text):
            claim = unguarded(text, known)
            if claim is None:
                continue
            yield _claim(claim, text, first)
            continue
        claim = _men(text, known) or _whole(text, known) or next(read_facts(text, known), None)
        if claim is not None:
            yield _claim(claim, text, first)


def _claim(found: Found, text: str, first: int) -> Claim:
    """The claim of what was found in ``text``, a stretch that begins at the token ``first``."""
    kind, readings, (start, end) = found
    told = first + text[:start].count(" ") - 1, first + text[: end - 1].count(" ") - 1
    return Claim(kind, readings[0], *told, tuple(Claim(kind, parts, *told) for parts in readings[1:]))


_SAME = {"pins": {"pins", "pinned", "pinned_to"}, "pinned": {"pins", "pinned", "pinned_to"}}
_OF_TWO = frozenset(["attacks", "defends", "pins"])
_SIDE_BY_SIDE = re.compile(
    r" (?:on|at) [a-h][1-8] and (?:also )?(?:the |his |her |a |that |white 's |black 's )?(?:king|queen|rook|bishop|knight|pawn) (?:on|at) "
)
_GUARDING = {"defends", "defended_by", "defenders", "attack_defend", "undefended"}
_HITTING = {"attacks", "attacked_by", "attackers", "attack_defend", "fork", "can_capture", "discovered_attack", "xray"}
_SAME |= {"defends": _GUARDING | _HITTING, "attacks": _HITTING | _GUARDING, "undefended": _GUARDING | {"hanging"}}
_SAME |= {"hanging": {"hanging", "hanging_pawns", "undefended", "can_capture"}}


def _men(text: str, known: set[str]) -> Found | None:
    for frame in FRAMES:
        if known & _SAME.get(frame.kind, {frame.kind}):
            continue
        term = re.search(rf"(?<= )(?:{frame.term})(?= )", text)
        if term is None or _ELSEWHERE.search(text):
            continue
        named = list(_noun_phrase().finditer(text))
        if any(m["aq"] for m in named):
            continue  # "rook e6": moves are being told
        if frame.placed:
            named = [m for m in named if _PLACED.search(m.group())]
        if frame.only:
            named = [m for m in named if frame.only in m.group()]
        men = list(dict.fromkeys(m.group() for m in named))
        if frame.kind in _OF_TWO and _SIDE_BY_SIDE.search(text):
            continue  # "the rook on h7 and the pawn on c3 under attack": both of them, by others
        least, most = frame.men
        if not least <= len(men) <= most:
            continue
        readings = [dict(zip(frame.parts, order, strict=False)) for order in permutations(men)]
        edges = [*(m.span() for m in named), term.span()]
        return frame.kind, readings, (min(a for a, _ in edges), max(b for _, b in edges))
    return None


def _around(text: str, match: re.Match[str]) -> tuple[int, int]:
    """A match together with the file that is named in the stretch."""
    file = _FILE.search(text)
    edges = [match.span(), file.span() if file else match.span()]
    return min(a for a, _ in edges), max(b for _, b in edges)


def _whole(text: str, known: set[str]) -> Found | None:
    for kind, pattern in _WHOLE:
        match = pattern.search(text)
        if match and kind not in known:
            return kind, [{}], match.span()
    sides = {m[1] for m in _SIDES.finditer(text)}
    for kind, pattern in _OF_SIDE:
        match = pattern.search(text)
        if match and kind not in known and len(sides) == 1:
            return kind, [{"side": next(iter(sides))}], match.span()
    files = {m[1] for m in _FILE.finditer(text)}
    if len(files) == 1 and not known & {"open_file", "half_open"}:
        file = {"file": next(iter(files))}
        half, whole = _HALF.search(text), _OPEN.search(text)
        if half and len(sides) < 2:
            return "half_open", [file | ({"side": next(iter(sides))} if sides else {})], _around(text, half)
        if whole:
            return "open_file", [file], _around(text, whole)
    return None

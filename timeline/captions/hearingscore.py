"""How sure it is that heard words stand for a chess word, a square or a move: a learned weighing of all evidence.

Logistic regression: how alike the sounds are, what the board near the words
allows, what the follower read, how likely the words are in plain English, and
the words around. Weights (``hearing.json``) come from
``tests/benchmarks/train_hearing.py``.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from typing import Literal

from timeline.captions.everyday import CHESS
from timeline.follow.vocabulary import FILE_WORDS, RANK_WORDS

What = Literal["square", "move", "link", "capture", "letter", "word"]
"""A square; a piece and its square; "to", "on" or "takes" and a square; a file's letter and "takes", "file" or "pawn"; the
letter alone; a word or set phrase of chess."""


@dataclass(frozen=True, slots=True)
class Reading:
    """Pieces of talk ``first`` to ``last`` may stand for ``written``.

    ``alike``: distance of their sounds by ``phonetics.alikeness``. ``level``:
    3 the board shows it about then, 2 it can be played, 1 the piece stands
    there, 0 nothing. ``told``: what the follower read there ("same", "near",
    "other", ""). ``plain``: all heard words are words of their own.
    ``rare``: mean and least likelihood of the heard words in plain English
    (natural logs), ``next_rare`` that of the word after them; ``gain``: how
    much likelier the chess word is there (words only). ``lead``: how much nearer
    its sound is than that of the next thing that the stretch may stand for.
    ``talk``: how much likelier talk about chess is with the written words;
    ``odd``: mean likelihood of the heard ones there (natural logs). ``echo``:
    the square or word is said again close by (2) or not far (1). ``beaten``:
    the boards speak more for something that sounds about as near. ``outshown``:
    the board shows another square about then that sounds a little less near
    (letters that rhyme, b and e). ``away``:
    how far off the board moves to that square (``Evidence.away``). ``doubt``:
    how well the talk was heard so far (natural log of the share of chess words
    that are misheard usually, over that of this talk).
    """

    first: int
    last: int
    written: str
    what: What
    alike: float
    level: int
    told: str
    plain: bool
    rare: tuple[float, float]
    next_rare: float
    gain: float = 0.0
    lead: float = 1.0
    talk: float = 0.0
    odd: float = -6.0
    echo: int = 0
    beaten: bool = False
    outshown: bool = False
    away: int = 9
    doubt: float = 0.0


_SQUARE = re.compile("[a-h][1-8](?:'s)?")
_GROUPS: dict[str, str] = {
    word: name
    for name, words in {
        "piece": "king queen rook bishop knight horse tower king's queen's",
        "pieces": "kings queens rooks bishops knights pieces",
        "pawn": "pawn pawns",
        "take": "takes take taking took captures capture recaptures grabs",
        "check": "check checkmate mate checks",
        "castle": "castles castle castling",
        "line": "file files rank ranks diagonal diagonals square squares pair side",
        "to": "to onto into toward",
        "on": "on at from of by in via along",
        "with": "with for against behind over",
        "and": "and or but then so because now if when",
        "the": "the a an",
        "my": "my his her your our their its this that those these black's white's",
        "i": "i he she we you they it who white black",
        "is": "is was it's that's he's are were be i'm there's isn't",
        "go": "goes go plays play played comes moves went push pushes pushed play came move gives retreats runs",
        "can": "can could would will should must may might i'd he'd you'd he'll i'll i've",
        "want": "attacks guards guard covers protects defends eyes hits attacking hitting threatening weak",
        "number": "one two three four five six seven eight nine ten twenty thirty forty",
    }.items()
    for word in words.split()
}


def group(word: str) -> str:
    """The class of a neighbouring word; "" where it has none."""
    if _SQUARE.fullmatch(word):
        return "square"
    if len(word) == 1 and word in "bcdefgh":
        return "letter"
    return _GROUPS.get(word) or ("chess" if word in CHESS else "")


def features(one: Reading, cores: Sequence[str], ends: Sequence[bool]) -> list[tuple[str, float]]:
    """Names of what holds for a reading, with their values. ``cores``, ``ends``: the pieces of talk, and where breaths end."""
    what, heard = one.what, [w for k in range(one.first, one.last + 1) for w in cores[k].split()]
    begins = one.first == 0 or ends[one.first - 1]
    stops = one.last + 1 >= len(cores) or ends[one.last]
    before = "^" if begins else group(cores[one.first - 1].split()[-1])
    after = "$" if one.last + 1 >= len(cores) else group(cores[one.last + 1].split()[0])
    number = RANK_WORDS.get(heard[-1])
    letter = FILE_WORDS.get(heard[0])
    rank = "" if number is None else "exact" if number[1] == 0 and number[0] in one.written else "like"
    file = (
        "" if letter is None or len(heard) < 2 else "exact" if letter[1] == 0 and letter[0] in one.written else "like"
    )
    spoken = sum(group(cores[k].split()[0]) not in ("", "the", "and", "i", "is", "to", "on", "my", "with", "can", "want")
                 for k in range(max(0, one.first - 4), min(len(cores), one.last + 5)) if not one.first <= k <= one.last)  # fmt: skip
    level = f"{what}{one.level}"
    names = [
        what,
        f"level={level}",
        f"told={one.told}",
        f"told={one.told}|{level}",
        f"plain={one.plain}|{what}",
        f"plain={one.plain}|{len(heard)}|{what in ('word', 'capture', 'letter')}",
        f"before={before}|{what}",
        f"after={after}|{what}",
        f"around={before}|{after}|{what}",
        f"stops={stops}|{what}",
        f"rank={rank}|{what}",
        f"file={file}|{rank}|{what in ('word', 'capture', 'letter')}",
        f"rare={_step(one.rare[0])}",
        f"rare={_step(one.rare[0])}|{what}",
        f"rarest={_step(one.rare[1])}|{one.plain}",
        f"next={_step(one.next_rare)}|{stops}",
        f"spoken={min(spoken, 5)}|{what}",
        f"{before}|{level}",
        f"{after}|{level}",
        f"lead={_third(one.lead)}|{what}",
        f"near={_third(one.alike)}|{one.plain}|{what}",
        f"near={_third(one.alike)}|{level}",
        f"near={_third(one.alike)}|{_step(one.rare[0])}",
        f"told={one.told}|{what}|{one.plain}",
        f"told={one.told}|{level}|{_third(one.alike)}",
        f"talk={_talk(one.talk)}|{what}",
        f"talk={_talk(one.talk)}|{_third(one.alike)}",
        f"talk={_talk(one.talk)}|{one.plain}",
        f"talk={_talk(one.talk)}|{level}",
        f"odd={_step(one.odd)}|{what}",
        f"odd={_step(one.odd)}|{one.plain}",
        f"echo={one.echo}|{what}",
        f"echo={one.echo}|{level}",
        f"beaten={one.beaten}|{what}",
        f"beaten={one.beaten}|{one.told}",
        f"outshown={one.outshown}|{what}",
        f"outshown={one.outshown}|{one.told}|{level}",
        f"away={one.away}|{what}",
        f"away={one.away}|{one.told}",
        f"away={one.away}|{one.plain}|{_third(one.alike)}",
    ]
    if what == "word":
        names += [
            f"word={one.written}",
            f"gain={_step(-one.gain - 6)}",
            f"gain={_step(-one.gain - 6)}|{_third(one.alike)}",
            f"word={one.written}|{before}",
            f"word={one.written}|{after}",
            f"word={one.written}|{one.told}",
        ]
    values = [(name, 1.0) for name in names]
    alike = one.alike
    values += [
        (f"alike|{what}", alike * 4),
        (f"alike|{level}", alike * 4),
        (f"alike|{one.plain}", alike * 4),
        (f"alike2|{what}", (alike * 4) ** 2),
        ("rareness", one.rare[0] / 4),
        (f"talk|{what}", one.talk / 8),
        (f"talk|{one.plain}", one.talk / 8),
        ("talk", one.talk / 8),
        ("doubt", one.doubt),
        (f"doubt|{what}", one.doubt),
        (f"doubt|{one.plain}", one.doubt),
    ]
    return values


def _third(alike: float) -> int:
    return -1 if alike < 0 else 0 if alike < 0.02 else 1 + min(6, int(alike * 12))


def _talk(gain: float) -> int:
    return min(10, max(-2, int(gain // 2)))


def _step(chance: float) -> int:
    return min(7, max(0, int(-chance / 2)))


@lru_cache(maxsize=1)
def shipped() -> dict[str, float]:
    """The weights that come with the package."""
    found: dict[str, float] = json.loads(
        files("timeline.captions").joinpath("hearing.json").read_text(encoding="utf-8")
    )
    return found


def odds(one: Reading, cores: Sequence[str], ends: Sequence[bool], weights: Mapping[str, float]) -> float:
    """Log-odds that the reading is what was said."""
    return sum(weights.get(name, 0.0) * value for name, value in features(one, cores, ends))

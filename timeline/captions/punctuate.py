"""Sentence borders, commas and capitals for transcripts that have none, as caption recognisers write them.

Between every two words a small linear model (multinomial logistic regression
over the words around, the pause, and where the follower read moves) weighs
nothing, a comma and a full stop. Its weights (``punctuation.json``) come from
``tests/benchmarks/punctuation.py``, trained on the narrations in
``tests/data/lessons`` with pauses drawn at random, so that no speaker's pauses
are learnt. What is put in is marked as restored in the units. Question marks
come from the form of the sentence; in languages other than English only the
pauses speak.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from importlib.resources import files
from math import exp, log

from timeline.captions.breaks import break_costs
from timeline.captions.capitals import capital, with_capitals
from timeline.captions.certain import never_parted, with_certain
from timeline.captions.clauses import is_condition
from timeline.captions.compose import is_notation
from timeline.captions.english import border_gains, is_first_name, plain_words
from timeline.captions.questions import INVERTED, QUESTION_WORDS, ends_asking, is_question
from timeline.captions.units import Unit, core, ends_clause, ends_sentence, is_wordless

LABELS = ("", ",", ".")
_SQUARE = re.compile(r"[a-h][1-8](?:'s)?")
_PIECE = re.compile(r"(?:king|queen|rook|bishop|knight|pawn)(?:s|'s)?")
_TAKES = frozenset("takes captures recaptures grabs takes".split())
_SUFFIXES = ("'s", "n't", "'ve", "'ll", "'re", "ing", "ed", "ly", "er", "s")
_PAUSE_STEPS_MS = (60, 150, 300, 550, 1000)
_GAIN_STEPS = (-14.0, -11.5, -9.5, -8.0, -6.5, -5.0, -3.5, -2.0, 0.0, 2.0)
_LONGEST_WORDS = 34  # without a border: the likeliest place is taken (ours)
_LEAST_LIKE = 0.5
_LEAST_STOP = -0.6  # log-odds of a full stop at a border; on lessons left out of the weights as many are put as there are
_BY_PLACE = 0.5  # the share that the place alone (full stop against comma) has in these; the rest goes by the clauses around
_SURE_BORDER = 0.8  # without known pauses a full stop needs a border this likely: a comma there is the smaller mistake
_BOND, _HESITATION_MS = 78, 350  # words this close are parted only by a pause
_TINY = 1e-6
_NOTHING = (1.0, 0.0, 0.0)
_FEW_STOPS = 1 / 45  # of words; prose has about one in twelve
_FEW_CAPITALS = 1 / 50


@dataclass(frozen=True, slots=True)
class Gap:
    """What is known between two words: silence in ms (None: the transcript does not say), and the move phrases.

    ``turn``: one move ends and another one begins, with no word between.
    ``gain``: how much likelier plain English is with a border there (``english.border_gains``).
    """

    pause_ms: int | None
    inside: bool
    begins: bool
    ends: bool
    turn: bool = False
    gain: float = 0.0


def _gained(gap: Gap) -> int:
    return sum(gap.gain >= limit for limit in _GAIN_STEPS)


def word_class(word: str) -> str:
    """A word as the model sees it in pairs: squares, pieces and endings each in one class; little words themselves."""
    if _SQUARE.fullmatch(word):
        return "SQ"
    if _PIECE.fullmatch(word):
        return "PC"
    if word in _TAKES:
        return "TK"
    if word.isdigit():
        return "NU"
    if len(word) <= 4 and word.isalpha():
        return word
    for suffix in _SUFFIXES:
        if word.endswith(suffix):
            return "-" + suffix
    return "w"


def features(words: Sequence[str], k: int, gap: Gap) -> list[str]:
    """Names of what holds at the gap before word ``k`` (``words`` are cores; ``k`` at least 1)."""
    b, c = words[k - 1], words[k]
    a = words[k - 2] if k > 1 else "^"
    d = words[k + 1] if k + 1 < len(words) else "$"
    ka, kb, kc, kd = word_class(a), word_class(b), word_class(c), word_class(d)
    found = [
        "bias",
        f"b={b}",
        f"c={c}",
        f"B={kb}",
        f"C={kc}",
        f"BC={kb}|{kc}",
        f"AB={ka}|{kb}",
        f"CD={kc}|{kd}",
        f"D={kd}",
    ]
    gained = _gained(gap)
    found += [f"a={a}", f"d={d}", f"g={gained}", f"g={gained}|C={kc}", f"g={gained}|B={kb}"]
    if gap.pause_ms is None:
        found.append("p=?")
    else:
        step = sum(gap.pause_ms >= limit for limit in _PAUSE_STEPS_MS)
        found += [f"p={step}", f"p={step}|C={kc}" if kc in _OPENERS else f"p={step}|B={kb in ('SQ', 'PC', 'TK')}"]
        found.append(f"p={step}|g={gained}")
    if gap.inside:
        found.append("inside")
    state = ("B" if gap.ends else "") + ("C" if gap.begins else "")
    if state:
        found += [f"m={state}", f"m={state}|C={kc}", f"m={state}|B={kb}"]
    return found


_OPENERS = frozenset(
    "so and but now then okay here this that what if he she it i we you they the let well or yes no".split()
)


@lru_cache(maxsize=1)
def shipped() -> tuple[dict[str, tuple[float, float, float]], dict[str, float]]:
    """The weights that come with the package: of the marks in a gap, and of a full stop at a border (log-odds)."""
    data = json.loads(files("timeline.captions").joinpath("punctuation.json").read_text(encoding="utf-8"))
    return {name: (row[0], row[1], row[2]) for name, row in data["marks"].items()}, data["stops"]


def label_shares(
    words: Sequence[str], gaps: Sequence[Gap], weights: dict[str, tuple[float, float, float]]
) -> list[tuple[float, float, float]]:
    """For the gap before each word from the second on: probabilities of nothing, a comma, a full stop."""
    shares = []
    for k in range(1, len(words)):
        none = comma = stop = 0.0
        for name in features(words, k, gaps[k]):
            row = weights.get(name)
            if row:
                none += row[0]
                comma += row[1]
                stop += row[2]
        top = max(none, comma, stop)
        e0, e1, e2 = exp(none - top), exp(comma - top), exp(stop - top)
        whole = e0 + e1 + e2
        shares.append((e0 / whole, e1 / whole, e2 / whole))
    return shares


def border_features(words: Sequence[str], first: int, last: int, following: int, since: int, gap: Gap) -> list[str]:
    """Names of what holds at a border after the chunk ``first`` to ``last - 1``, before the chunk to ``following - 1``.

    ``since``: words since the last full stop. Used to tell a full stop from a comma.
    """
    chunk, ahead = words[first:last], words[last:following]
    kinds = [word_class(w) for w in chunk]
    moves = all(kind in _MOVE_KINDS for kind in kinds)
    moves_ahead = bool(ahead) and all(word_class(w) in _MOVE_KINDS for w in ahead)
    opener = ahead[0] if ahead else "$"
    found = [
        "bias",
        f"next={opener}",
        f"next2={' '.join(ahead[:2])}",
        f"first={chunk[0]}",
        f"last={kinds[-1]}",
        f"length={_step(len(chunk))}",
        f"ahead={_step(len(ahead))}",
        f"since={_step(since)}",
        f"moves={moves}{moves_ahead}",
        f"subject={any(w in _SUBJECTS_SAID for w in chunk)}{any(w in _SUBJECTS_SAID for w in ahead)}",
        f"subject-since={_step(since)}{any(w in _SUBJECTS_SAID for w in ahead[:2])}",
        f"asks={chunk[0] in QUESTION_WORDS or chunk[0] in INVERTED}",
        f"if={chunk[0] in _SUBORDINATE}",
        f"g={_gained(gap)}",
        f"g={_gained(gap)}|{_step(since)}",
    ]
    if gap.pause_ms is None:
        found.append("p=?")
    else:
        step = sum(gap.pause_ms >= limit for limit in _PAUSE_STEPS_MS)
        found += [f"p={step}", f"p={step}|moves={moves}{moves_ahead}"]
    return found


_MOVE_KINDS = frozenset(("SQ", "PC", "TK", "to", "f", "d", "c", "b", "e", "g", "h", "on"))
_SUBJECTS_SAID = frozenset("i he she it we they you that's it's he's she's i'm we're there's this that".split())
_SUBORDINATE = frozenset("if when because although while unless since after before as".split())


def _step(count: int) -> int:
    return sum(count >= limit for limit in (2, 3, 4, 6, 9, 13, 18, 26))


_LEADING_WORDS = frozenset("well oh ah".split())
"""Words that are no sentence by themselves and have a comma after them."""
_NEVER_ALONE = frozenset("now so and but then if because when or as with the a an to of".split())
"""Words that are no sentence by themselves."""
_ADVERBS = frozenset(
    "first second third fourth firstly secondly thirdly finally lastly instead already still again also too soon later earlier "
    "meanwhile afterwards eventually suddenly immediately unfortunately fortunately otherwise therefore however tonight today "
    "tomorrow usually normally sometimes often maybe perhaps".split()
)
"""Adverbs of a whole sentence: by themselves they are none, and open the next one or close the last one."""
_LEADING = frozenset("on in at by after before with without from during until since here there still meanwhile".split())
"""Words that begin what leads into a sentence ("on Monday", "here"): so short it is none by itself."""
_LEAD_WORDS = 2


def choose_marks(
    words: Sequence[str], gaps: Sequence[Gap], shares: Sequence[tuple[float, float, float]], stops: dict[str, float]
) -> list[str]:
    """The mark in each gap: first where a border is, then whether it ends a sentence."""
    borders = [k for k, (_, comma, stop) in enumerate(shares, 1) if comma + stop >= _LEAST_LIKE]
    borders = _cut_long(borders, shares, len(words))
    marks = [""] * len(shares)
    first = begun = 0
    for n, k in enumerate(borders):
        following = borders[n + 1] if n + 1 < len(borders) else len(words)
        names = border_features(words, first, k, following, k - begun, gaps[k])
        nothing, comma, stop = shares[k - 1]
        weight = (1 - _BY_PLACE) * sum(stops.get(name, 0.0) for name in names)
        weight += _BY_PLACE * log((stop + _TINY) / (comma + _TINY))
        open_if = words[k] == "then" and "if" in words[begun:k]
        sure = gaps[k].pause_ms is not None or nothing <= 1 - _SURE_BORDER
        ends = (weight > _LEAST_STOP and sure and not open_if) or k - begun > _LONGEST_WORDS or stop >= 1.0
        if ends and k - begun == 1 and words[begun] in _NEVER_ALONE:
            continue
        ends = ends and not (k - begun == 1 and words[begun] in _LEADING_WORDS)
        alone = words[begun:k]
        if ends and ((len(alone) == 1 and alone[0] in _ADVERBS) or (first == begun and is_condition(alone))):
            if not begun or shares[begun - 1][0] <= nothing:
                ends = False
            else:
                marks[begun - 1] = "" if len(alone) == 1 else ","  # it belongs rather to what stands before
        ends = ends and not (k - begun <= _LEAD_WORDS and words[begun] in _LEADING and stop < 1.0)
        marks[k - 1] = "." if ends else ","
        first = k
        begun = k if ends else begun
    return marks


def _cut_long(borders: Sequence[int], shares: Sequence[tuple[float, float, float]], count: int) -> list[int]:
    """Borders with more set where a stretch without one is too long to read."""
    found: list[int] = []
    for k in [*borders, count]:
        while k - (found[-1] if found else 0) > _LONGEST_WORDS:
            begun = found[-1] if found else 0
            inner = range(begun + 4, min(begun + _LONGEST_WORDS, k - 3))
            found.append(max(inner, key=lambda n: shares[n - 1][1] + shares[n - 1][2]))
        if k < count:
            found.append(k)
    return found


def is_bare(texts: Sequence[str]) -> tuple[bool, bool]:
    """Whether a transcript (its words as heard) lacks full stops, and whether it lacks capitals."""
    spoken = [t for t in texts if core(t)]
    if not spoken:
        return False, False
    stops = sum(ends_sentence(t) for t in spoken)
    letters = [t for t in spoken if t[:1].isalpha() and not is_notation(t)]
    capitals = sum(t[:1].isupper() for t in letters)
    return stops <= len(spoken) * _FEW_STOPS, capitals <= len(letters) * _FEW_CAPITALS


def restore(
    units: Sequence[Unit],
    language: str,
    *,
    pauses_known: bool,
    blocks: Sequence[int] = (),
    heard: Sequence[str] | None = None,
    moves: Mapping[int, str] | None = None,
) -> list[Unit]:
    """Units with what their transcript lacks; those that have it are returned as they are.

    ``pauses_known``: whether silences between words can be trusted.
    ``blocks[w]``: the transcript's block of word ``w``; inside a block
    without known pauses nothing is known of silence. ``heard``: the
    transcript's words, where the units are no longer those: names that were
    put right bring capitals of their own. ``moves``: the phrases (``Unit.phrase``)
    that are moves, and which.
    """
    no_stops, no_capitals = is_bare([u.text for u in units if u.source == "word"] if heard is None else heard)
    result = list(units)
    english = language.split("-")[0].lower() == "en"
    if no_stops:
        result = _with_marks(result, english, pauses_known, blocks, moves or {})
    if no_capitals or (no_stops and _begins_small(result)):
        result = with_capitals(result, english)
    return result


def _begins_small(units: Sequence[Unit]) -> bool:
    """Whether most sentences begin with a small letter: a few names with capitals do not make a transcript cased."""
    begins = [units[0], *(b for a, b in zip(units, units[1:], strict=False) if ends_sentence(a.text))]
    letters = [u.text for u in begins if u.text[:1].isalpha() and not is_notation(u.text)]
    return 2 * sum(text[0].islower() for text in letters) > len(letters)


def as_restored(units: Sequence[Unit], model: Sequence[Unit]) -> list[Unit]:
    """Units with the marks and capitals that were restored in ``model``: the same words, perhaps written otherwise."""
    opened = {u.first: u for u in reversed(model) if not is_wordless(u.text)}
    closed = {u.last: u for u in model if not is_wordless(u.text)}
    result = []
    for n, unit in enumerate(units):
        text, put_in = unit.text, []
        first = n == 0 or units[n - 1].last != unit.last or is_wordless(units[n - 1].text)
        if first and "capital" in opened.get(unit.first, unit).restored and not is_notation(text):
            text = capital(text)
            put_in += ["capital"] if text != unit.text else []
        last = n + 1 == len(units) or units[n + 1].last != unit.last or is_wordless(units[n + 1].text)
        marks = [m for m in closed.get(unit.last, unit).restored if m != "capital"] if last else []
        if marks and not is_wordless(text) and not ends_sentence(text) and not ends_clause(text):
            text += marks[-1]
            put_in.append(marks[-1])
        result.append(unit.with_text(text, *put_in) if put_in else unit)
    return result


def gaps_of(
    units: Sequence[Unit],
    pauses_known: bool,
    blocks: Sequence[int],
    moves: Mapping[int, str],
    gains: Sequence[float],
) -> list[Gap]:
    """What is known before each unit; the first has nothing before it."""
    found = [Gap(None, False, False, False)]
    for before, after, gain in zip(units, units[1:], gains[1:], strict=False):
        silence = max(0, after.onset_ms - before.end_ms)
        other_block = (
            bool(blocks) and before.last >= 0 and after.first >= 0 and blocks[before.last] != blocks[after.first]
        )
        known = pauses_known or (other_block and silence >= _PAUSE_STEPS_MS[2])
        inside = before.phrase >= 0 and before.phrase == after.phrase
        found.append(
            Gap(
                silence if known else None,
                inside,
                after.phrase >= 0 and not inside,
                before.phrase >= 0 and not inside,
                not inside
                and before.phrase in moves
                and after.phrase in moves
                and moves[before.phrase] != moves[after.phrase]
                and not (_PIECE.fullmatch(core(before.text)) and _SQUARE.fullmatch(core(after.text))),
                gain,
            )
        )
    return found


def _is_one(before: Unit, after: Unit) -> bool:
    """Whether two units were put right as one: a name, a move."""
    return before.last > before.first and (before.first, before.last) == (after.first, after.last)


def english_marks(
    units: Sequence[Unit],
    gaps: Sequence[Gap],
    weights: dict[str, tuple[float, float, float]],
    stops: dict[str, float],
) -> list[str]:
    """The mark ("", "," or ".") in the gap before each unit from the second on."""
    words = [core(u.text) for u in units]
    shares = label_shares(words, gaps, weights)
    bonds = break_costs(units, "en")
    held = []
    for k in range(1, len(units)):
        whole = _is_one(units[k - 1], units[k]) or is_first_name(words[k - 1], units[k].text) or never_parted(words, k)
        held.append(whole and units[k - 1].speaker == units[k].speaker)
        if held[-1] or (bonds[k] >= _BOND and (gaps[k].pause_ms or 0) < _HESITATION_MS):
            shares[k - 1] = _NOTHING
        elif units[k - 1].speaker != units[k].speaker:
            shares[k - 1] = (0.0, 0.0, 1.0)
    shares = with_certain(words, gaps, [bond < _BOND for bond in bonds], shares)
    shares = [_NOTHING if whole else share for whole, share in zip(held, shares, strict=True)]
    return choose_marks(words, gaps, shares, stops)


def _with_marks(
    units: list[Unit], english: bool, pauses_known: bool, blocks: Sequence[int], moves: Mapping[int, str]
) -> list[Unit]:
    words = [core(u.text) for u in units]
    gains = border_gains(plain_words(words, [u.text for u in units])) if english else [0.0] * len(words)
    gaps = gaps_of(units, pauses_known, blocks, moves, gains)
    if english:
        marks = english_marks(units, gaps, *shipped())
    else:
        marks = [
            "." if (g.pause_ms or 0) >= 700 or b.speaker != a.speaker else "," if (g.pause_ms or 0) >= 300 else ""
            for g, b, a in zip(gaps[1:], units, units[1:], strict=False)
        ]
    result = list(units)
    said = 0  # the last unit with letters: marks stand before an emoji
    for k, mark in enumerate([*marks, "."]):
        said = said if is_wordless(result[k].text) else k
        unit = result[said]
        if unit.source == "word" and mark and not ends_sentence(unit.text) and not ends_clause(unit.text):
            result[said] = unit.with_text(unit.text + mark, mark)
    return _with_questions(result) if english else result


def _with_questions(units: list[Unit]) -> list[Unit]:
    result, begun, clause = list(units), 0, 0
    for k, unit in enumerate(units):
        if not ends_sentence(unit.text):
            clause = k + 1 if ends_clause(unit.text) else clause
            continue
        said = [core(u.text) for u in units[begun : k + 1]]
        if "." in unit.restored and (is_question(said) or ends_asking(said[clause - begun :])):
            result[k] = Unit(
                unit.text[:-1] + "?", unit.first, unit.last, unit.onset_ms, unit.end_ms, unit.speaker,
                tuple("?" if r == "." else r for r in unit.restored), unit.phrase, unit.fixed, unit.source,
            )  # fmt: skip
        begun = clause = k + 1
    return result

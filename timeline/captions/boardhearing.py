"""Squares, moves and chess words that heard words sound like, where the evidence speaks for them: "rookie won" for rook e1.

The follower reads a move where it needs one; this goes over what is left.
Every stretch of up to four words is compared by sound with all squares, with
each piece and its squares, and with the words of the game
(``soundgrid.py``); what comes near is weighed with the boards about that time,
the words around and how likely the stretch is as plain English
(``hearingscore.py``). The surest come first; a stretch is used once.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from math import log

from timeline.captions import chesstalk
from timeline.captions.chesstalk import TalkModel
from timeline.captions.corrections import Pad, counts
from timeline.captions.everyday import is_plain
from timeline.captions.hearingevidence import Evidence
from timeline.captions.hearingscore import Reading, What, group, odds, shipped
from timeline.captions.hearingtalk import USUAL, Sense, Talk, gain, likelihood, talk_of
from timeline.captions.soundgrid import SoundGrid
from timeline.captions.soundings import soundings
from timeline.follow.result import Follow
from timeline.follow.vocabulary import FILE_WORDS, RANK_WORDS
from timeline.score import Score

LEAST_ODDS = -1.0
"""Log-odds asked for: set on lessons left out of the weights, where about .05 % of the right words became wrong."""
# Of chess words that are misheard: in lessons learned from, and added to what is seen.
_USUAL_SHARE, _NO_SHARE = 0.06, 0.004
_STRICTER = 0.5  # how much more is asked for where a talk was heard better than usual: talks without a mis-hearing stay
_ROUNDS, _REACH = 2, 4
_LONGER = 0.7  # log-odds for each word more that a reading explains
_LONGEST = 4
_AS_NEAR = 0.12  # a rival this much farther in sound may still be what was said
_RHYMING = 0.3  # one that the board shows, this much: "b" for "e"
_DUE = frozenset(("piece", "take", "on", "to", "want", "go", "^", "pawn", "letter", "check", "with", "and"))


def from_board(
    pad: Pad,
    follow: Follow,
    score: Score,
    *,
    weights: Mapping[str, float] | None = None,
    model: TalkModel | None = None,
    least: float = LEAST_ODDS,
) -> None:
    """Lay changes over what is left of the talk, the surest first: others that share words give way.

    What was put right speaks for its neighbours, so they are gone over again.
    ``weights`` and ``model`` in place of those that ship, and other log-odds to
    ask for: for judging on talks that were left out of both.
    """
    if not follow.cues:
        return
    evidence = Evidence(follow, score)
    doubt = doubt_of(pad)
    near: set[int] | None = None
    for _ in range(_ROUNDS):
        talk = talk_of(pad, near)
        laid = _lay(pad, talk, evidence, doubt, weights or shipped(), model or chesstalk.shipped(), least)
        near = {k for place in laid for k in range(place - _REACH, place + _REACH + 1)}
        if not near:
            break


def doubt_of(pad: Pad) -> float:
    """How much better than usual a talk was heard so far: then odd words are probably meant."""
    spoken = sum(group(word) in ("square", "piece", "pieces", "pawn", "take", "check", "castle") for word in pad.cores)
    mended = sum(c.mends_hearing and c.kind in ("move", "term") for c in pad.found)
    share = mended / max(1, spoken + mended) + _NO_SHARE
    return log(_USUAL_SHARE / share)


def _lay(
    pad: Pad, talk: Talk, evidence: Evidence, doubt: float, weights: Mapping[str, float], model: TalkModel, least: float
) -> list[int]:
    """Make the changes that are sure enough; the first word of each."""
    found = readings(talk, pad, evidence, doubt, model)
    weighed = [(odds(one, talk.cores, talk.ends, weights), one) for one in found]
    least += _STRICTER * max(0.0, doubt)
    sure = [(o + _LONGER * (one.last - one.first), one) for o, one in weighed if o >= least]
    made = []
    for _, one in sorted(sure, key=lambda row: (-row[0], row[1].first)):
        first = talk.places[one.first]
        stop = talk.places[one.last + 1] - 1 if one.last + 1 < len(talk.places) else len(pad.cores) - 1
        if pad.free(first, stop) and pad.change(first, stop, one.written, _why(one), "board"):
            made.append(first)
    return made


def _why(one: Reading) -> str:
    if one.what in ("word", "letter", "capture"):
        return f"it sounds like the chess {'letter' if one.what == 'letter' else 'word'}, which fits here"
    shown = _is_shown(one.level)
    coming = one.level == 3 or one.level >= 16
    stands = one.level in (1, 11)
    return "it sounds like it, and " + (
        "the board shows it about then" if shown else "the game brings it soon" if coming
        else "it stands on the board" if stands else "it can be played" if one.level not in (0, 10) else "nothing else does"
    )  # fmt: skip


def _is_shown(level: int) -> bool:
    return level == 4 or level >= 18


_ARTICLES = frozenset("a an the".split())


def readings(talk: Talk, pad: Pad, evidence: Evidence, doubt: float, model: TalkModel) -> list[Reading]:
    """Everything that the free stretches of the talk come near to."""
    likely = likelihood(talk.cores)
    windows = [w for w in _windows(talk) if _is_odd(talk, likely, *w)]
    if not windows:
        return []
    wanted = [False] * len(talk.cores)
    for first, last in windows:
        wanted[first : last + 1] = [True] * (last + 1 - first)
    nearest: dict[tuple[int, int], dict[str, tuple[float, What, int, int]]] = {}
    for first, last, what, written, alike, piece, square in soundings(
        talk, SoundGrid(talk.cores, wanted), windows, evidence.boards
    ):
        if what in ("word", "capture", "letter") or not counts(pad, talk.places[last]):
            near = nearest.setdefault((first, last), {})
            if written not in near or alike < near[written][0]:
                near[written] = (alike, what, piece, square)
    found = []
    sense = Sense(talk, model)
    for (first, last), near in nearest.items():
        odd = sense.rare(first, last)
        words = [w for k in range(first, last + 1) for w in talk.cores[k].split()]
        rare = [v for k in range(first, last + 1) for v in likely[k]]
        after = 0.0 if last + 1 == len(talk.cores) or talk.ends[last] else likely[last + 1][0]
        levels = {w: evidence.level(talk, first, last, kind, w, p, s) for w, (_, kind, p, s) in near.items()}
        for written, (alike, what, _, square) in near.items():
            if any(
                shorter in nearest and nearest[shorter].get(written, (2.0,))[0] <= alike
                for article, shorter in ((last, (first, last - 1)), (first, (first + 1, last)))
                if last > first and talk.cores[article] in _ARTICLES
            ):
                continue  # "night f3 is made | a smothered mate": the article is no part of the sound
            rivals = [(a, levels[w] % 10) for w, (a, *_) in near.items() if w != written]
            rival = min((a for a, _ in rivals), default=1.0)
            beaten = any(a <= alike + _AS_NEAR and v > levels[written] % 10 for a, v in rivals)
            outshown = not _is_shown(levels[written]) and any(
                a <= alike + _RHYMING and _is_shown(levels[w])
                for w, (a, *_) in near.items()
                if w.split()[:-1] == written.split()[:-1]
            )
            gained = sense.gain(first, last, written)
            found.append(
                Reading(
                    first,
                    last,
                    written,
                    what,
                    alike,
                    levels[written],
                    evidence.told(talk, first, last, what, written, square),
                    all(map(is_plain, words)),
                    (sum(rare) / len(rare), min(rare)),
                    after,
                    gain(talk, first, last, written, sum(rare) + after) if what == "word" else 0.0,
                    rival - alike,
                    gained,
                    odd,
                    sense.echo(first, last, written.split()[-1]),
                    beaten,
                    outshown,
                    evidence.away(talk, first, square),
                    doubt,
                )  # fmt: skip
            )
    return found


def _windows(talk: Talk) -> Iterator[tuple[int, int]]:
    for first in range(len(talk.cores)):
        for last in range(first, min(first + _LONGEST, len(talk.cores))):
            if not talk.free[last] or (last > first and talk.ends[last - 1]):
                break
            yield first, last


def _is_odd(talk: Talk, likely: Sequence[Sequence[float]], first: int, last: int) -> bool:
    """Whether a stretch is worth a look: no everyday words, unlikely ones, or a number's sound where a square is due."""
    if not all(is_plain(w) for k in range(first, last + 1) for w in talk.cores[k].split()):
        return True
    before = "^" if first == 0 or talk.ends[first - 1] else group(talk.cores[first - 1].split()[-1])
    values = [v for k in range(first, last + 1) for v in likely[k]]
    if last == first + 1 and talk.cores[first] in FILE_WORDS and talk.cores[last] in RANK_WORDS:
        return True
    return min(values) <= USUAL or (before in _DUE and talk.cores[last] in RANK_WORDS)

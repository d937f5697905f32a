"""Squares, moves and chess words that heard words sound like, where the evidence speaks for them: "rookie won" for rook e1.

The follower reads a move where it needs one; this goes over what is left.
Every stretch of up to four words is compared by sound with all squares, with
each piece and its squares, and with the words of the game
(``soundgrid.py``); what comes near is weighed with the boards about that time,
the words around and how likely the stretch is as plain English
(``hearingscore.py``). The surest come first; a stretch is used once.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import log

import chess
import numpy as np

from timeline.captions.boardfacts import Boards, Facts
from timeline.captions.corrections import Pad, counts
from timeline.captions.english import chance, chances
from timeline.captions.everyday import CHESS, is_plain
from timeline.captions.hearingscore import Reading, What, group, odds, shipped
from timeline.captions.soundgrid import SQUARES, Ints, SoundGrid
from timeline.follow.phonetics import SQUARE_PHONES, Phones, letter_phones, phones
from timeline.follow.result import Follow
from timeline.follow.vocabulary import RANK_WORDS
from timeline.score import Score

# Log-odds asked for, of squares and moves and of single words: set on lessons left out of the weights.
LEAST_ODDS, LEAST_WORD_ODDS = -1.0, 0.0
_USUAL_SHARE, _NO_SHARE = (
    0.06,
    0.004,
)  # of chess words that are misheard: in lessons learned from, and added to what is seen
_MILDER, _STRICTER = -0.5, 2.2  # how far a talk heard worse or better than usual moves what is asked for
_SQUARE_ALIKE, _MOVE_ALIKE, _WORD_ALIKE = 0.56, 0.5, 0.54  # beyond these nothing is weighed
_ROUNDS, _REACH = 2, 4
_LONGER = 0.7  # log-odds for each word more that a reading explains
_MOST = 3  # readings of one stretch that are weighed
_LONGEST = 4
_USUAL = -5.0  # words likelier than this, all plain, and not where a square or a chess word is due, are left alone
_PIECES = {"king": 6, "queen": 5, "rook": 4, "bishop": 3, "knight": 2, "pawn": 1, "horse": 2, "horsie": 2, "tower": 4}
_SAN = {"king": "K", "queen": "Q", "rook": "R", "bishop": "B", "knight": "N"}
_LINKS = frozenset("to on at from takes take captures into".split())
_PREFIXES = ("king", "queen", "rook", "bishop", "knight")
_JOINTS = ("to", "takes")
_WORDS = tuple(
    "king queen rook bishop knight pawn kings queens rooks bishops knights pawns takes check checkmate mate castles castle file "
    "rank ranks diagonal square squares fork pin pins pinned skewer sacrifice sacrifices attack attacks threat threats threatens "
    "defend defends endgame exchange tempo gambit kingside queenside promotes captures".split()
)
_TERMS = (CHESS - {"white", "black"}) | frozenset(_PIECES) | frozenset(_WORDS) | {"piece"}
_COUNTS = frozenset(
    "first second third fourth fifth sixth seventh eighth twenty thirty forty fifty sixty seventy eighty ninety hundred".split()
)
_LETTERED = frozenset("pawn pawns file files takes knight rook".split())
_DUE = frozenset(("piece", "take", "on", "to", "want", "go", "^", "pawn", "letter", "check", "with", "and"))


_SIZES = np.array([len(SQUARE_PHONES[s]) for s in SQUARES], np.float32)
Near = tuple[int, int, What, str, float, int, int]
"""First, last, what, written, alikeness, piece (0: none is named), square (-1: none)."""
Spans = tuple[Ints, Ints, Ints, Ints]
"""First and last pieces of talk, first phone and number of phones, of many stretches."""


@dataclass(slots=True)
class Talk:
    """The talk as mended so far, in pieces: cores, whether a breath ends after each, first words, what is free to change."""

    cores: list[str]
    ends: list[bool]
    places: list[int]
    free: list[bool]
    times: list[int]


def from_board(pad: Pad, follow: Follow, score: Score) -> None:
    """Lay changes over what is left of the talk, the surest first: others that share words give way.

    What was put right speaks for its neighbours, so they are gone over again.
    """
    if not follow.cues:
        return
    evidence = Evidence(follow, score)
    shift = doubt(pad)
    near: set[int] | None = None
    for _ in range(_ROUNDS):
        talk = talk_of(pad, near)
        near = {k for place in _lay(pad, talk, evidence, shift) for k in range(place - _REACH, place + _REACH + 1)}
        if not near:
            break


def doubt(pad: Pad) -> float:
    """What is asked for above the usual: in a talk that was heard well so far, odd words are probably meant."""
    spoken = sum(group(word) in ("square", "piece", "pieces", "pawn", "take", "check", "castle") for word in pad.cores)
    mended = sum(c.mends_hearing and c.kind in ("move", "term") for c in pad.found)
    share = mended / max(1, spoken + mended) + _NO_SHARE
    return min(_STRICTER, max(_MILDER, log(_USUAL_SHARE / share)))


def _lay(pad: Pad, talk: Talk, evidence: Evidence, shift: float) -> list[int]:
    """Make the changes that are sure enough; the first word of each."""
    weights = shipped()
    weighed = [(odds(one, talk.cores, talk.ends, weights), one) for one in readings(talk, pad, evidence)]
    sure = [(o + _LONGER * (one.last - one.first), one) for o, one in weighed if o >= _least(one) + shift]
    made = []
    for _, one in sorted(sure, key=lambda row: (-row[0], row[1].first)):
        first = talk.places[one.first]
        stop = talk.places[one.last + 1] - 1 if one.last + 1 < len(talk.places) else len(pad.cores) - 1
        if pad.free(first, stop) and pad.change(first, stop, one.written, _why(one), "board"):
            made.append(first)
    return made


def _least(one: Reading) -> float:
    return LEAST_WORD_ODDS if one.what == "word" else LEAST_ODDS


def talk_of(pad: Pad, near: set[int] | None = None) -> Talk:
    """The talk as mended so far; free to change are the words ``near``, where that is given."""
    cores, ends, places = pad.mended()
    changed = {c.first for c in pad.found}
    free = [
        not pad.held[place]
        and place not in changed
        and core not in SQUARE_PHONES
        and not _is_term(core)
        and (near is None or place in near)
        for core, place in zip(cores, places, strict=True)
    ]
    return Talk(cores, ends, places, free, [pad.words[place].onset_ms for place in places])


def _is_term(core: str) -> bool:
    """Whether a piece of talk says what it says: a word of the game, one with a hyphen and such a part, a large number."""
    first, *others = core.split("-")
    if first in _COUNTS or any(part in _TERMS or part.removesuffix("s") in _TERMS for part in others):
        return True
    return any(word in _TERMS for word in (core, core.removesuffix("'s"), core.removesuffix("s"), first))


def _why(one: Reading) -> str:
    if one.what in ("word", "letter"):
        return f"it sounds like the chess {one.what}, which fits here"
    shown = one.level == 4 or one.level >= 18
    coming = one.level == 3 or one.level >= 16
    stands = one.level in (1, 11)
    return "it sounds like it, and " + (
        "the board shows it about then" if shown else "the game brings it soon" if coming
        else "it stands on the board" if stands else "it can be played" if one.level not in (0, 10) else "nothing else does"
    )  # fmt: skip


def readings(talk: Talk, pad: Pad, evidence: Evidence) -> list[Reading]:
    """Everything that the free stretches of the talk come near to."""
    likely = _likelihood(talk.cores)
    windows = [w for w in _windows(talk) if _is_odd(talk, likely, *w)]
    if not windows:
        return []
    wanted = [False] * len(talk.cores)
    for first, last in windows:
        wanted[first : last + 1] = [True] * (last + 1 - first)
    nearest: dict[tuple[int, int], dict[str, tuple[float, What, int, int]]] = {}
    for first, last, what, written, alike, piece, square in _sounding(
        talk, SoundGrid(talk.cores, wanted), windows, evidence.boards
    ):
        if what in ("word", "capture", "letter") or not counts(pad, talk.places[last]):
            near = nearest.setdefault((first, last), {})
            if written not in near or alike < near[written][0]:
                near[written] = (alike, what, piece, square)
    found = []
    for (first, last), near in nearest.items():
        words = [w for k in range(first, last + 1) for w in talk.cores[k].split()]
        rare = [v for k in range(first, last + 1) for v in likely[k]]
        after = 0.0 if last + 1 == len(talk.cores) or talk.ends[last] else likely[last + 1][0]
        for written, (alike, what, piece, square) in near.items():
            rival = min((a for w, (a, *_) in near.items() if w != written), default=1.0)
            found.append(
                Reading(
                    first,
                    last,
                    written,
                    what,
                    alike,
                    evidence.level(talk, first, last, what, written, piece, square),
                    evidence.told(talk, first, last, what, written, square),
                    all(map(is_plain, words)),
                    (sum(rare) / len(rare), min(rare)),
                    after,
                    _gain(talk, first, last, written, sum(rare) + after) if what == "word" else 0.0,
                    rival - alike,
                )  # fmt: skip
            )
    return found


def _likelihood(cores: Sequence[str]) -> list[list[float]]:
    """For each piece of talk how likely its words are after those before; after words of the game by themselves, if likelier."""
    flat = [w for core in cores for w in core.split()]
    values = chances(flat)
    for k in range(1, len(flat)):
        if group(flat[k - 1]) in ("square", "piece", "pawn", "take", "check", "letter"):
            values[k] = max(values[k], chance(flat[k]))
        if group(flat[k]) in ("square", "piece", "pawn", "take", "check", "letter"):
            values[k] = max(values[k], _USUAL)
    found, at = [], 0
    for core in cores:
        size = len(core.split())
        found.append(values[at : at + size])
        at += size
    return found


def _gain(talk: Talk, first: int, last: int, written: str, heard: float) -> float:
    """How much likelier plain English finds the written word in place of the heard ones, the word after included."""
    before = [w for k in range(max(0, first - 2), first) for w in talk.cores[k].split()][-2:]
    ahead = 0.0
    if last + 1 < len(talk.cores) and not talk.ends[last]:
        ahead = max(_USUAL if group(talk.cores[last + 1].split()[0]) else -20.0,
                    chance(talk.cores[last + 1].split()[0], *[*before, written][-2:]))  # fmt: skip
    return chance(written, *before) + ahead - heard


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
    return min(values) <= _USUAL or (before in _DUE and talk.cores[last] in RANK_WORDS)


def _is_lettered(talk: Talk, last: int) -> bool:
    """Whether a word comes next that a file's letter may belong to."""
    return not talk.ends[last] and last + 1 < len(talk.cores) and talk.cores[last + 1].split()[0] in _LETTERED


@lru_cache(maxsize=1)
def _units() -> tuple[list[tuple[str, Phones]], ...]:
    """The words of the game, the captures by a pawn and the letters of the files, with their phones."""
    takes = phones("takes")
    files = [(f, letter_phones(f)) for f in "bcdefgh"]
    captures = [(f"{f} takes", sound + takes) for f, sound in (("a", ("EY",)), *files)]
    return [(w, phones(w)) for w in _WORDS], captures, files


def _sounding(talk: Talk, grid: SoundGrid, windows: Sequence[tuple[int, int]], boards: Boards) -> Iterator[Near]:
    """All that comes near enough."""
    first = np.array([w[0] for w in windows], np.int32)
    last = np.array([w[1] for w in windows], np.int32)
    at = grid.starts[first]
    spans = (first, last, at, grid.starts[last + 1] - at)
    yield from _squares(talk, grid, spans, boards)
    yield from _moves(talk, grid, spans, boards)
    terms, captures, letters = _units()
    yield from _single(grid, spans, "word", terms)
    yield from _single(grid, spans, "capture", captures)
    lettered = np.array([_is_lettered(talk, w) for _, w in windows])
    yield from _single(grid, (first[lettered], last[lettered], at[lettered], spans[3][lettered]), "letter", letters)


def _squares(talk: Talk, grid: SoundGrid, spans: Spans, boards: Boards) -> Iterator[Near]:
    first, last, at, length = spans
    near = np.flatnonzero((length >= 2) & (length <= 9))
    far = grid.squares(at[near], length[near])
    alike = far / np.sqrt((length[near][:, None] + _SIZES) / 2)
    for row in np.flatnonzero(alike.min(axis=1) <= _SQUARE_ALIKE):
        k = near[row]
        facts = boards.facts(talk.times[first[k]])
        order = sorted(
            (alike[row, s] - 0.05 * _best_level(facts, chess.parse_square(SQUARES[s])), s)
            for s in np.flatnonzero(alike[row] <= _SQUARE_ALIKE)
        )
        for _, s in order[:_MOST]:
            yield (
                int(first[k]),
                int(last[k]),
                "square",
                SQUARES[s],
                float(alike[row, s]),
                0,
                chess.parse_square(SQUARES[s]),
            )


def _moves(talk: Talk, grid: SoundGrid, spans: Spans, boards: Boards) -> Iterator[Near]:
    """A piece and its square, or "to" or "takes" and a square after a piece."""
    first, last, at, length = spans
    units = [phones(w) for w in (*_PREFIXES, *_JOINTS)]
    starts, back = np.unique(first, return_inverse=True)
    heads = grid.units(units, grid.starts[starts])
    for split in range(1, 7):
        rest = length - split
        head = heads[back, :, split] if split < heads.shape[2] else None
        if head is None:
            break
        near = np.flatnonzero((rest >= 2) & (rest <= 9) & (head.min(axis=1) <= 1.0))
        if not len(near):
            continue
        far = grid.squares(at[near] + split, rest[near])
        for n, prefix in enumerate((*_PREFIXES, *_JOINTS)):
            whole = (head[near, n][:, None] + far) / np.sqrt((length[near][:, None] + _SIZES + len(units[n])) / 2)
            for row in np.flatnonzero(whole.min(axis=1) <= _MOVE_ALIKE):
                k = near[row]
                piece = _PIECES.get(prefix, 0) or _piece_before(talk, int(first[k]))
                if not piece:
                    continue
                facts = boards.facts(talk.times[first[k]])
                for s in np.flatnonzero(whole[row] <= _MOVE_ALIKE):
                    square = chess.parse_square(SQUARES[s])
                    if facts.level(piece, square) >= 1 and (prefix != "takes" or square in facts.captures):
                        what: What = "link" if prefix in _JOINTS else "move"
                        yield (
                            int(first[k]),
                            int(last[k]),
                            what,
                            f"{prefix} {SQUARES[s]}",
                            float(whole[row, s]),
                            piece,
                            square,
                        )


def _single(grid: SoundGrid, spans: Spans, what: What, units: Sequence[tuple[str, Phones]]) -> Iterator[Near]:
    first, last, at, length = spans
    order = sorted(units, key=lambda pair: len(pair[1]))
    for size in sorted({len(sound) for _, sound in order}):
        group_ = [(word, sound) for word, sound in order if len(sound) == size]
        near = np.flatnonzero((length >= max(1 if what == "letter" else 2, size - 2)) & (length <= size + 2))
        if not len(near):
            continue
        starts, back = np.unique(at[near], return_inverse=True)
        far = grid.units([sound for _, sound in group_], starts.astype(np.int32))[back, :, length[near]]
        alike = far / np.sqrt((length[near][:, None] + size) / 2)
        for row, n in zip(*np.nonzero(alike <= _WORD_ALIKE), strict=True):
            yield int(first[near[row]]), int(last[near[row]]), what, group_[n][0], float(alike[row, n]), 0, -1


def _piece_before(talk: Talk, first: int) -> int:
    if first == 0 or talk.ends[first - 1]:
        return 0
    before = talk.cores[first - 1].split()[-1]
    if before in _LINKS and first > 1 and not talk.ends[first - 2]:
        before = talk.cores[first - 2].split()[-1]
    return _PIECES.get(before, 0)


def _best_level(facts: Facts, square: int) -> int:
    return max(facts.level(piece, square) for piece in range(1, 7))


class Evidence:
    """What the boards and the follower say of a reading."""

    def __init__(self, follow: Follow, score: Score) -> None:
        self.boards = Boards(follow, score)
        self._squares: dict[int, set[str]] = {}
        self._played: dict[int, int] = {}
        self._san: dict[int, str] = {}
        for reading in follow.readings:
            for token in reading.tokens:
                if token.written in SQUARE_PHONES:
                    for k in range(token.first, token.last + 1):
                        self._squares.setdefault(k, set()).add(token.written)
            if reading.san:
                for k in range(reading.first, reading.last + 1):
                    self._san[k] = reading.san
        for cue in follow.cues:
            if cue.path:
                for k in range(cue.first, cue.last + 1):
                    self._played[k] = chess.Move.from_uci(cue.path[-1]).to_square

    def told(self, talk: Talk, first: int, last: int, what: str, written: str, square: int) -> str:
        """What the follower read there: the same square, another; for words whether the move read there or next has it."""
        begin, end = talk.places[first], talk.places[last]
        if square < 0:
            san = next((self._san[k] for k in range(begin, end + 2) if k in self._san), "")
            if what == "letter":
                return "" if not san else "same" if written in (san[0], san[1:2]) else "other"
            if not san or what == "capture":
                return "" if not san else "same" if "x" in san and san[0] == written[0] else "other"
            if written in _PIECES:
                return "same" if san[0] == _SAN.get(written, "?") else "other"
            sign = {"takes": "x", "check": "+", "mate": "#", "checkmate": "#"}.get(written)
            return "" if sign is None else "same" if sign in san else "other"
        name = chess.square_name(square)
        read = set().union(*(self._squares.get(k, set()) for k in range(begin, end + 1)))
        if read:
            return "same" if name in read else "other"
        near = {self._played[k] for k in range(begin - 2, end + 3) if k in self._played}
        return ("near" if square in near else "else") if near else ""

    def level(self, talk: Talk, first: int, last: int, what: str, written: str, piece: int, square: int) -> int:
        """What the board says: 0 to 4 of a piece that is named; from 10 on of a square alone (from 16 on one that is coming, from 18 on one shown)."""
        facts = self.boards.facts(talk.times[first])
        if square < 0:
            ahead = _square_ahead(talk, last)
            if what == "letter":
                return self._stands(facts, written, talk.cores[last + 1].split()[0])
            if ahead is None:
                return 7
            if written in _PIECES:
                return facts.level(_PIECES[written], ahead)
            return (5 if ahead in facts.captures else 6) if what == "capture" or written == "takes" else 7
        piece = piece or _piece_before(talk, first)
        if piece:
            return facts.level(piece, square)
        pawn, others = facts.level(1, square), max(facts.level(kind, square) for kind in range(2, 7))
        if pawn >= 3 or others >= 3:
            return 10 + 2 * max(pawn, others) + (others > pawn)
        taken = first > 0 and talk.cores[first - 1].split()[-1] in ("takes", "captures") and square in facts.captures
        return 13 if taken else 12 if pawn == 2 else 11 if others or pawn else 10

    @staticmethod
    def _stands(facts: Facts, file: str, word: str) -> int:
        """1 where the piece that a letter belongs to stands on that file, or a line is meant; else 0."""
        piece = _PIECES.get(word.removesuffix("s"), 1)
        return int(any(kind == piece and chess.FILE_NAMES[chess.square_file(at)] == file for kind, at in facts.stands))


def _square_ahead(talk: Talk, last: int) -> int | None:
    """The square that the next words name, "to" or "takes" between."""
    ahead = [] if talk.ends[last] else [w for core in talk.cores[last + 1 : last + 3] for w in core.split()]
    for word in ahead[:2]:
        if word in SQUARE_PHONES:
            return chess.parse_square(word)
        if word not in _LINKS:
            return None
    return None

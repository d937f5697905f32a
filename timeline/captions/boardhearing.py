"""Squares and moves that the words sound like and the board allows: "look a date" where a rook can go to a8.

The follower reads a move where it needs one; this goes over what is left.
A stretch is taken for a square only where the board near it speaks for it: a
move shown about then, a move some piece could make, a piece that stands
there. The weaker that evidence, the closer the sound has to be. Sounds are
compared as in ``follow.phonetics``; the limits are ours, set on development
narrations so that hardly a right word is touched.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from functools import lru_cache

import chess

from timeline.captions.corrections import Pad, counts
from timeline.captions.everyday import CHESS, is_plain
from timeline.captions.hearing import hearings
from timeline.follow.phonetics import SQUARE_PHONES, Phones, alikeness, digit_phones, distance, phones, substitution
from timeline.follow.result import Follow, FollowedCue
from timeline.follow.vocabulary import FILE_WORDS, RANK_WORDS
from timeline.score import Score

_NEAR_MS = 9_000  # a board change this near to a word may be what it speaks of
_SHOWN, _LEGAL, _STANDS = 0.62, 0.46, 0.36  # alikeness up to which a square after its piece is believed
_WHOLE_SHOWN, _WHOLE_LEGAL = 0.5, 0.33  # of piece and square together
_SPACED = 0.26  # two words, of which one is no word of its own and one sounds like a digit, whatever stands there
_BARE = 0.52  # a pawn's square alone, only where it is shown
_AFTER_WORD, _AFTER_LEGAL = 0.3, 0.36  # a square after "on" or "guards", where something stands, or can go
_BARE_ON = 0.3  # and where the sentence goes on
_BARE_PLAIN = 0.12  # and where its sound is a word of its own ("before")
_WHOLE_STANDS, _NO_BOARD = (
    0.26,
    0.17,
)  # a piece that only stands there; no board speaks for it, the sound is all but the same
_SURE_RANK = 0.12  # more is believed where the last word is a number
_CLOSE = 0.25  # everyday words are taken for a move shown there only this near to it
_LONGER = 0.2  # a reading that explains the piece too is preferred
_SAME_START = 0.46
_LAST_PART = 0.5  # how near the end of a stretch must come to a digit
_PIECES = {
    "king": 6,
    "queen": 5,
    "rook": 4,
    "bishop": 3,
    "knight": 2,
    "pawn": 1,
    "horse": 2,
    "horsie": 2,
    "tower": 4,
    "lady": 5,
}
_LINKS = frozenset("to on at from takes take captures into".split())
_POINTERS = frozenset(
    "on to from at guards attacks covers hits defends controls eyes takes captures square squares".split()
)
_ANNOUNCERS = frozenset(
    "goes go plays play played with reply replies to then and so now is was by chose choose want wanted move moves on push "
    "pushes pushed".split()
)
_CAPTURES = frozenset(["takes", "captures"])
_NUMBERS = frozenset("one two three four five six seven eight ate heaven".split())
_BUSY = frozenset(["before"])  # often b4 misheard, but no square where the sentence goes on
_NUMBER_LETTERS = frozenset("eight ate aid".split())  # the letters a and h
_WANT_SQUARE = frozenset("guards attacks covers hits defends controls eyes".split())
_TERMS = (CHESS - {"white", "black"}) | frozenset(_PIECES)
_OTHERWISE: dict[str, Phones] = {"the": ("DH", "IY"), "a": ("EY",)}  # as they are said before a pause or a vowel
_LITTLE = frozenset(
    "to too two for four the a an of it is i he she we you they this that and or but so if in on at as be was one then there".split()
)


@dataclass(frozen=True, slots=True)
class _Facts:
    """What the boards near a word allow: (piece, square) pairs, and squares alone."""

    shown: frozenset[tuple[int, int]]
    legal: frozenset[tuple[int, int]]
    stands: frozenset[tuple[int, int]]
    captures: frozenset[int]

    def level(self, piece: int, square: int) -> int:
        """3 for a move shown about now, 2 for one that could be made, 1 for a piece that stands there, 0 for none."""
        pair = (piece, square)
        return 3 if pair in self.shown else 2 if pair in self.legal else 1 if pair in self.stands else 0


class _Boards:
    """Facts by place in the followed line, worked out when first asked for."""

    def __init__(self, follow: Follow, score: Score) -> None:
        self.score = score
        self.cues: Sequence[FollowedCue] = follow.cues
        self.times = [c.at_ms for c in self.cues]
        self._facts: dict[tuple[int, int, int], _Facts] = {}
        self._boards: dict[tuple[str, ...], chess.Board] = {}
        self._moves: dict[
            tuple[str, ...], tuple[frozenset[tuple[int, int]], frozenset[tuple[int, int]], frozenset[int]]
        ] = {}

    def facts(self, ms: int) -> _Facts:
        """What the boards from some seconds before to some seconds after allow."""
        here = bisect_right(self.times, ms + 300) - 1
        first, last = here, here
        while first > 0 and ms - self.times[first] < _NEAR_MS and here - first < 2:
            first -= 1
        while last + 1 < len(self.cues) and self.times[last + 1] - ms < _NEAR_MS and last - here < 2:
            last += 1
        key = (first, here, last)
        if key not in self._facts:
            self._facts[key] = self._collect(first, last)
        return self._facts[key]

    def _collect(self, first: int, last: int) -> _Facts:
        shown: set[tuple[int, int]] = set()
        legal: set[tuple[int, int]] = set()
        stands: set[tuple[int, int]] = set()
        captures: set[int] = set()
        before: tuple[str, ...] = self.cues[first].path if first >= 0 else ()
        paths = [before]
        for n in range(max(0, first), last + 1):
            path = self.cues[n].path
            same = 0
            while same < min(len(path), len(before)) and path[same] == before[same]:
                same += 1
            fresh = path[same:] if n > first or first <= 0 else path[-1:]
            for k in range(len(path) - len(fresh), len(path)):
                board = self._board(path[:k])
                move = chess.Move.from_uci(path[k])
                piece = board.piece_type_at(move.from_square)
                if piece:
                    shown.add((piece, move.to_square))
                paths.append(path[:k])
            paths.append(path)
            before = path
        for path in dict.fromkeys(paths):
            moves, placed, taken = self._at(path)
            legal |= moves
            stands |= placed
            captures |= taken
        return _Facts(frozenset(shown), frozenset(legal), frozenset(stands), frozenset(captures))

    def _board(self, path: tuple[str, ...]) -> chess.Board:
        if path not in self._boards:
            self._boards[path] = self.score.board_at([chess.Move.from_uci(u) for u in path])
        return self._boards[path]

    def _at(
        self, path: tuple[str, ...]
    ) -> tuple[frozenset[tuple[int, int]], frozenset[tuple[int, int]], frozenset[int]]:
        """Moves of both sides, pieces and captures in one position."""
        if path not in self._moves:
            board = self._board(path)
            moves, taken = set(), set()
            for turn in (board.turn, not board.turn):
                other = board.copy(stack=False)
                other.turn = turn
                if turn != board.turn:
                    other.ep_square = None
                for move in other.pseudo_legal_moves:
                    piece = other.piece_type_at(move.from_square)
                    if piece:
                        moves.add((piece, move.to_square))
                    if other.is_capture(move):
                        taken.add(move.to_square)
            placed = frozenset((piece.piece_type, square) for square, piece in board.piece_map().items())
            self._moves[path] = (frozenset(moves), placed, frozenset(taken))
        return self._moves[path]


@lru_cache(maxsize=1)
def piece_like() -> frozenset[str]:
    """Words that the table knows as hearings of a piece's name."""
    return frozenset(word for word, rows in hearings().items() if any(row.written in _PIECES for row in rows))


@lru_cache(maxsize=20_000)
def _ranks(word: str) -> tuple[str, ...]:
    """Digits that the end of a word sounds like."""
    if word in RANK_WORDS:
        return (RANK_WORDS[word][0],)
    sound = phones(word)
    if len(word) < 3:
        return ()
    found = []
    for digit in "12345678":
        said = digit_phones(digit)
        best = min(
            (
                distance(sound[-size:], said) / len(said) ** 0.5
                for size in range(len(said) - 1, len(said) + 2)
                if 0 < size <= len(sound)
            ),
            default=9.0,
        )
        if best <= _LAST_PART:
            found.append(digit)
    return tuple(found)


@dataclass(slots=True)
class _Talk:
    """The talk as mended so far, in pieces."""

    cores: list[str]
    ends: list[bool]
    places: list[int]
    free: list[bool] = field(default_factory=list)

    def sounds(self, first: int, last: int) -> list[Phones]:
        """The phones of some pieces; a second way where the first of them can be said in two."""
        parts = [part for k in range(first, last + 1) for part in self.cores[k].split()]
        rest = tuple(p for part in parts[1:] for p in phones(part))
        other = _OTHERWISE.get(parts[0]) if len(parts) > 1 else None
        return [phones(parts[0]) + rest, *([other + rest] if other else [])]


def from_board(pad: Pad, follow: Follow, score: Score) -> None:
    """Lay changes over what is left of the talk, from its start to its end."""
    if not follow.cues:
        return
    boards = _Boards(follow, score)
    cores, ends, places = pad.mended()
    changed = {c.first for c in pad.found}
    talk = _Talk(cores, ends, places)
    talk.free = [
        not pad.held[place] and place not in changed and core not in SQUARE_PHONES
        for core, place in zip(cores, places, strict=True)
    ]
    readings = [r for r in (_read(talk, k, boards, pad) for k in range(len(cores))) if r]
    for _, first, last, written, why in sorted(readings):  # the surest first: others that share words give way
        stop = places[last + 1] - 1 if last + 1 < len(places) else len(pad.cores) - 1
        if pad.free(places[first], stop):
            pad.change(places[first], stop, written, f"sounds like it, and {why}", "board")


def _read(talk: _Talk, last: int, boards: _Boards, pad: Pad) -> tuple[float, int, int, str, str] | None:
    """The best reading of some pieces that end with ``last``: cost, first, last, what is written, what speaks for it."""
    if not talk.free[last]:
        return None
    digits = _ranks(talk.cores[last])
    if not digits or counts(pad, talk.places[last]):
        return None
    begin = last
    while begin > 0 and last - begin < 3 and talk.free[begin - 1] and not talk.ends[begin - 1]:
        begin -= 1
    facts = boards.facts(pad.words[talk.places[last]].onset_ms)
    best: tuple[float, int, str, str] | None = None
    for first in range(last, begin - 1, -1):
        for cost, written, why in _options(talk, first, last, digits, facts):
            if best is None or cost < best[0]:
                best = (cost, first, written, why)
    return (best[0], best[1], last, best[2], best[3]) if best else None


def _options(
    talk: _Talk, first: int, last: int, digits: tuple[str, ...], facts: _Facts
) -> Iterator[tuple[float, str, str]]:
    """Readings of the pieces ``first`` to ``last`` with what is left of their limit of alikeness (less is better)."""
    heard = talk.cores[first : last + 1]
    if set(heard) & _TERMS:
        return
    for sound in talk.sounds(first, last):
        if len(sound) > 1:
            yield from _sounding(talk, first, last, digits, facts, sound)


def _sounding(
    talk: _Talk, first: int, last: int, digits: tuple[str, ...], facts: _Facts, sound: Phones
) -> Iterator[tuple[float, str, str]]:
    heard = talk.cores[first : last + 1]
    opened = first == 0 or talk.ends[first - 1]
    before = "" if opened else talk.cores[first - 1]
    piece, link = _PIECES.get(before, 0), ""
    if before in _LINKS and first > 1 and not talk.ends[first - 2]:
        piece, link = _PIECES.get(talk.cores[first - 2], 0), before
    going_on = frozenset() if talk.ends[last] else _BUSY
    plain = all(is_plain(word) or word in going_on for word in heard)
    spelled = _spells(heard)
    exact_rank = heard[-1] in _NUMBERS and len(heard) > 1
    spaced = len(heard) == 2 and heard[1] in RANK_WORDS and heard[1] not in _LITTLE and not is_plain(heard[0])
    if piece and (not plain or spelled or exact_rank or len(heard) > 1):
        bonus = _SURE_RANK if exact_rank or spelled else 0.0
        sure = not plain or spelled or exact_rank
        for option in _after_piece(sound, digits, facts, piece, link, bonus=bonus):
            if sure or option[0] <= _CLOSE - _SHOWN:
                yield option
    elif before in _POINTERS and (
        not plain
        or spelled
        or (len(heard) == 2 and _spells(heard, before) and talk.ends[last])
        or (exact_rank and before in _CAPTURES)
    ):
        for square, name in _squares(sound, digits):
            alike = alikeness(sound, SQUARE_PHONES[name])
            there = [facts.level(kind, square) for kind in range(1, 7)]
            close = 3 in there or (before in _CAPTURES and square in facts.captures)
            limit = _LEGAL if close else _AFTER_LEGAL if 2 in there else _AFTER_WORD
            if exact_rank and before in _CAPTURES:
                limit += _SURE_RANK
            if (any(there) or (spaced and alike <= _SPACED)) and alike <= limit:
                yield alike - limit, name, f"{name} is in play there"
    if not piece and (opened or before in _ANNOUNCERS):
        limit = _BARE if not plain or spelled else _BARE_PLAIN
        if not talk.ends[last]:  # the words go on: only what is no word of its own
            limit = 0.0 if plain else _BARE_ON
        for square, name in _squares(sound, digits):
            alike = alikeness(sound, SQUARE_PHONES[name])
            if (1, square) in facts.shown and alike <= limit:
                yield alike - _BARE, name, f"pawn {name} is shown there"
    if not plain or spelled or (exact_rank and heard[0] in piece_like()):
        yield from _whole(sound, digits, facts, heard)


def _after_piece(
    sound: Phones, digits: tuple[str, ...], facts: _Facts, piece: int, link: str, *, bonus: float
) -> Iterator[tuple[float, str, str]]:
    """Squares after a piece's name, with a "to" or "takes" that the stretch may have swallowed."""
    swallowed = [("", ())] if link else [("", ()), ("to ", phones("to")), ("takes ", phones("takes"))]
    for square, name in _squares(sound, digits):
        level = facts.level(piece, square)
        limit = (_NO_BOARD, _STANDS + bonus, _LEGAL + bonus, _SHOWN + bonus)[level]
        for word, said in swallowed:
            if word == "takes " and square not in facts.captures:
                continue
            alike = alikeness(sound, said + SQUARE_PHONES[name])
            if alike <= limit:
                yield alike - limit, word + name, _reason(level, piece, name)


def _whole(
    sound: Phones, digits: tuple[str, ...], facts: _Facts, heard: Sequence[str]
) -> Iterator[tuple[float, str, str]]:
    """A piece and its square in words of which none names the piece."""
    if any(word in _PIECES for word in heard) or heard[0] in _LITTLE:
        return
    for kind, square, form, said in (row for digit in digits for row in _forms(digit)):
        if abs(len(said) - len(sound)) > 3 or substitution(sound[0], said[0]) > _SAME_START:
            continue
        if " takes " in form and square not in facts.captures:
            continue
        level = facts.level(kind, square)
        limit = (_NO_BOARD, _WHOLE_STANDS, _WHOLE_LEGAL, _WHOLE_SHOWN)[level]
        alike = alikeness(sound, said)
        if alike <= limit:
            yield alike - limit - _LONGER, form, _reason(level, kind, chess.square_name(square))


def _spells(heard: Sequence[str], before: str = "") -> bool:
    """Whether two little words are a letter and a digit by their sound alone; "if six" only after a verb that wants a square."""
    if len(heard) != 2 or heard[1] not in RANK_WORDS:
        return False
    if heard[0] in _NUMBER_LETTERS or (before in _WANT_SQUARE and heard[1] in _NUMBERS):
        return heard[0] in FILE_WORDS or heard[0] in _NUMBER_LETTERS
    return heard[0] in FILE_WORDS and heard[0] not in ("a", "be", "he", "if")


def _reason(level: int, piece: int, name: str) -> str:
    what = f"{chess.piece_name(piece)} {name}"
    return (
        "no other word is near",
        f"{what}: it stands there",
        f"{what} can be played there",
        f"{what} is shown there",
    )[level]


def _squares(sound: Phones, digits: tuple[str, ...]) -> Iterator[tuple[int, str]]:
    """Squares of those ranks that are about as long."""
    for name, said in SQUARE_PHONES.items():
        if name[1] in digits and abs(len(said) - len(sound)) <= 5:
            yield chess.parse_square(name), name


@lru_cache(maxsize=8)
def _forms(digit: str) -> tuple[tuple[int, int, str, Phones], ...]:
    """Every piece with every square of a rank, as they are spoken."""
    found = []
    for kind in range(chess.KNIGHT, chess.KING + 1):
        for square in chess.SQUARES:
            name = chess.square_name(square)
            if name[1] == digit:
                for link in (" ", " to ", " takes "):
                    form = f"{chess.piece_name(kind)}{link}{name}"
                    found.append((kind, square, form, tuple(p for word in form.split() for p in phones(word))))
    return tuple(found)

"""Everything that stretches of a talk come near to by sound: squares, moves, chess words, letters of files."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import lru_cache

import chess
import numpy as np

from timeline.captions.boardfacts import Boards, Facts
from timeline.captions.hearingscore import What
from timeline.captions.hearingtalk import Talk
from timeline.captions.hearingwords import JOINTS, LETTERED, LINKS, PHRASES, PIECES, PREFIXES, WORDS
from timeline.captions.soundgrid import SQUARES, Ints, SoundGrid
from timeline.follow.phonetics import SQUARE_PHONES, Phones, letter_phones, phones

_SQUARE_ALIKE, _MOVE_ALIKE, _WORD_ALIKE = 0.56, 0.5, 0.54  # beyond these nothing is weighed
_MOVE_NEAR = 0.3  # and a move that no board near by knows only this near
_MOST = 4  # squares of one stretch that are weighed
_LETTERED = frozenset("pawn pawns file files takes knight rook".split())
_SIZES = np.array([len(SQUARE_PHONES[s]) for s in SQUARES], np.float32)
Near = tuple[int, int, What, str, float, int, int]
"""First, last, what, written, alikeness, piece (0: none is named), square (-1: none)."""
Spans = tuple[Ints, Ints, Ints, Ints]
"""First and last pieces of talk, first phone and number of phones, of many stretches."""


def _is_lettered(talk: Talk, last: int) -> bool:
    """Whether a word comes next that a file's letter may belong to."""
    return not talk.ends[last] and last + 1 < len(talk.cores) and talk.cores[last + 1].split()[0] in _LETTERED


@lru_cache(maxsize=1)
def _units() -> tuple[list[tuple[str, Phones]], ...]:
    """The words of the game, a file's letter and what it belongs to, and the letters alone, with their phones."""
    files = [(f, letter_phones(f)) for f in "bcdefgh"]
    lettered = [(f"{f} {w}", sound + phones(w)) for f, sound in (("a", ("EY",)), *files) for w in LETTERED]
    phrases = [(phrase, tuple(p for w in phrase.split() for p in phones(w))) for phrase in PHRASES]
    return [(w, phones(w)) for w in WORDS] + phrases, lettered, files


def soundings(talk: Talk, grid: SoundGrid, windows: Sequence[tuple[int, int]], boards: Boards) -> Iterator[Near]:
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
    units = [phones(w) for w in (*PREFIXES, *JOINTS)]
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
        for n, prefix in enumerate((*PREFIXES, *JOINTS)):
            whole = (head[near, n][:, None] + far) / np.sqrt((length[near][:, None] + _SIZES + len(units[n])) / 2)
            for row in np.flatnonzero(whole.min(axis=1) <= _MOVE_ALIKE):
                k = near[row]
                piece = PIECES.get(prefix, 0) or piece_before(talk, int(first[k]))
                if not piece and prefix == "takes":
                    continue
                facts = boards.facts(talk.times[first[k]])
                for s in np.flatnonzero(whole[row] <= _MOVE_ALIKE):
                    square = chess.parse_square(SQUARES[s])
                    known = facts.level(piece, square) if piece else _best_level(facts, square)
                    if (known >= 1 or whole[row, s] <= _MOVE_NEAR) and (prefix != "takes" or square in facts.captures):
                        what: What = "link" if prefix in JOINTS else "move"
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


def piece_before(talk: Talk, first: int) -> int:
    """The type of the piece that is named right before, a link between; 0 for none."""
    if first == 0 or talk.ends[first - 1]:
        return 0
    before = talk.cores[first - 1].split()[-1]
    if before in LINKS and first > 1 and not talk.ends[first - 2]:
        before = talk.cores[first - 2].split()[-1]
    return PIECES.get(before, 0)


def _best_level(facts: Facts, square: int) -> int:
    return max(facts.level(piece, square) for piece in range(1, 7))

"""What the boards near a word allow: moves shown about then, moves that could be made, pieces that stand there."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

import chess

from timeline.follow.result import Follow, FollowedCue
from timeline.score import Score

_NEAR_MS = 9_000  # a board change this near to a word may be what it speaks of
_SOON = 4  # plies of the game from there on


@dataclass(frozen=True, slots=True)
class Facts:
    """What the boards near a word allow: (piece, square) pairs, and squares alone; whether a move shown mates or checks."""

    shown: frozenset[tuple[int, int]]
    legal: frozenset[tuple[int, int]]
    stands: frozenset[tuple[int, int]]
    captures: frozenset[int]
    coming: frozenset[tuple[int, int]]
    mates: bool
    checks: bool

    def level(self, piece: int, square: int) -> int:
        """4 for a move shown about now, 3 for one that the game brings soon, 2 for one that could be made, 1 for a piece that stands there."""
        pair = (piece, square)
        if pair in self.shown:
            return 4
        return 3 if pair in self.coming else 2 if pair in self.legal else 1 if pair in self.stands else 0


class Boards:
    """Facts by place in the followed line, worked out when first asked for."""

    def __init__(self, follow: Follow, score: Score) -> None:
        self.score = score
        self.cues: Sequence[FollowedCue] = follow.cues
        self.times = [c.at_ms for c in self.cues]
        self._facts: dict[tuple[int, int, int], Facts] = {}
        self._boards: dict[tuple[str, ...], chess.Board] = {}
        self._moves: dict[
            tuple[str, ...], tuple[frozenset[tuple[int, int]], frozenset[tuple[int, int]], frozenset[int]]
        ] = {}

    def facts(self, ms: int) -> Facts:
        """What the boards from some seconds before to some seconds after allow."""
        here = bisect_right(self.times, ms + 300) - 1
        first, last = here, here
        while first > 0 and ms - self.times[first] < _NEAR_MS and here - first < 2:
            first -= 1
        while last + 1 < len(self.cues) and self.times[last + 1] - ms < _NEAR_MS and last - here < 2:
            last += 1
        key = (first, here, last)
        if key not in self._facts:
            self._facts[key] = self._collect(first, last, self._coming(here))
        return self._facts[key]

    def _coming(self, here: int) -> frozenset[tuple[int, int]]:
        """The game's next moves from where the line on the board leaves it."""
        path = self.cues[here].path if here >= 0 else ()
        main = self.score.moves
        ply = 0
        while ply < min(len(path), len(main)) and main[ply].uci() == path[ply]:
            ply += 1
        soon = range(ply, min(ply + _SOON, len(main)))
        return frozenset(
            (self.score.boards[n].piece_type_at(main[n].from_square) or 0, main[n].to_square) for n in soon
        )

    def _collect(self, first: int, last: int, coming: frozenset[tuple[int, int]]) -> Facts:
        shown: set[tuple[int, int]] = set()
        legal: set[tuple[int, int]] = set()
        stands: set[tuple[int, int]] = set()
        captures: set[int] = set()
        mates = checks = False
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
                after = self._board(path[: k + 1])
                checks, mates = checks or after.is_check(), mates or after.is_checkmate()
                paths.append(path[:k])
            paths.append(path)
            before = path
        for path in dict.fromkeys(paths):
            moves, placed, taken = self._at(path)
            legal |= moves
            stands |= placed
            captures |= taken
        return Facts(frozenset(shown), frozenset(legal), frozenset(stands), frozenset(captures), coming, mates, checks)

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

"""The positions that a statement may be about: those on the board around its time, and those spoken of."""

from __future__ import annotations

import contextlib
from collections.abc import Iterator, Sequence
from dataclasses import replace

import chess

from timeline.checks.claims import Spot
from timeline.follow.result import Follow, Reading
from timeline.problems import AddressError
from timeline.score import Score
from timeline.tracks import BoardTrack
from timeline.transcript.words import Word

NEAR_MS = 3000
WIDE_MS = 15_000
WIDE_PLIES = 4
FLOOR = 0.6
"""Nobody is called wrong on a board that is less sure than this."""
STALE_SURE, STALE_MS, LOST, SIDELINE_SURE = 0.92, 20_000, 0.3, 0.85


class Positions:
    """The positions of a lesson by time, each with its history."""

    def __init__(self, score: Score, track: BoardTrack, follow: Follow | None, words: Sequence[Word]) -> None:
        self.score = score
        self.track = track
        self.words = words
        self._spots: dict[tuple[str, ...], Spot] = {}
        self.understood: frozenset[int] = frozenset()
        self.seconds: list[tuple[int, tuple[str, ...]]] = []
        self.readings: list[Reading] = []
        if follow is not None:
            for cue in follow.cues:
                with contextlib.suppress(AddressError):
                    if cue.runner_up is not None:
                        second = tuple(m.uci() for m in score.resolve(cue.runner_up))
                        self.seconds.append((cue.at_ms, second))
            self.understood = frozenset(i for r in follow.readings for i in range(r.first, r.last + 1))
            self.readings = [r for r in follow.readings if r.first < len(words)]

    def spot(self, path: tuple[str, ...], address: str = "") -> Spot:
        known = self._spots.get(path)
        if known is None:
            moves = tuple(chess.Move.from_uci(u) for u in path)
            board = self.score.board_at(moves)
            before = self.score.board_at(moves[:-1]) if moves else None
            known = Spot(board, moves, before, moves[-1] if moves else None, address or self.score.address(moves))
            self._spots[path] = known
        return known

    def _of_span(self, index: int) -> Spot:
        span = self.track.spans[index]
        if span.origin == "hand":
            return Spot(chess.Board(span.fen, chess960=self.track.chess960), address=span.address or "by hand")
        # The same position may be shown twice, once surely and once not.
        return replace(self.spot(span.path, span.address), sure=1.0 if span.sure is None else span.sure)

    def unsettled(self, at_ms: int) -> bool:
        """Whether a followed board is likelier wrong than its own sureness says.

        Measured on lessons that the follower's weights had not seen: where the next change is one move on, nine
        boards in ten were right; where it is a leap or itself unsure, and in sidelines, about one in two.
        """
        span = self.track.at(at_ms)
        after = self.track.at(span.end_ms)
        if span.sure is not None and span.origin == "sideline":
            return True
        return (
            after.start_ms > span.start_ms
            and after.sure is not None
            and (after.sure < FLOOR or after.path[:-1] != span.path)
        )

    def stale(self, at_ms: int) -> bool:
        """Whether a followed board has stood so long, and so unsure, that moves were probably missed, or is a
        sideline of which the follower is not sure.

        Of alarms on such boards one in six was false (unseen speakers), of others one in a hundred.
        """
        span = self.track.at(at_ms)
        if span.sure is None:
            return False
        after = self.track.at(span.end_ms)
        lost = after.start_ms > span.start_ms and after.sure is not None and after.sure < LOST
        if span.origin == "sideline" and span.sure < SIDELINE_SURE:
            return True
        return lost or (span.sure < STALE_SURE and at_ms - span.start_ms > STALE_MS)

    def near(
        self, start_ms: int, end_ms: int, said_from: int, said_to: int, own: tuple[int, int] | None = None
    ) -> list[Spot]:
        """Positions a statement said from ``start_ms`` to ``end_ms`` may mean; the likeliest first.

        ``said_from`` and ``said_to`` are the times of its whole sentence. ``own``: words that are no
        announcement whatever the follower made of them ("the knight on f6" is not knight f6).
        """
        spans = self.track.spans
        chosen: list[int] = []
        for index, span in enumerate(spans):
            if span.start_ms >= max(end_ms + NEAR_MS, said_to + 300):
                break
            if span.end_ms <= min(start_ms - NEAR_MS, said_from):
                continue
            chosen.append(index)
        now = [i for i in chosen if spans[i].start_ms <= end_ms and spans[i].end_ms > start_ms]
        here = (now or chosen or [0])[-1]
        order = [*reversed(now), *sorted((i for i in chosen if i not in now), key=lambda i: abs(i - here))]
        found = [self._of_span(i) for i in order]
        for before, move in self._spoken(min(said_from, start_ms - NEAR_MS), max(said_to, end_ms + NEAR_MS), own):
            for path in (before, (*before, move)):
                with contextlib.suppress(ValueError):
                    found.append(self.spot(path))
        return distinct(found)

    def _spoken(self, from_ms: int, to_ms: int, own: tuple[int, int] | None) -> Iterator[tuple[tuple[str, ...], str]]:
        """Moves spoken of in that time: (path before, move)."""
        for reading in self.readings:
            if reading.move is None or not from_ms <= self.words[reading.first].onset_ms <= to_ms:
                continue
            if own is None or not own[0] <= reading.first <= reading.last <= own[1]:
                yield reading.before, reading.move

    def wide(self, start_ms: int, end_ms: int, own: tuple[int, int] | None = None) -> list[Spot]:
        """Everything shown within a quarter of a minute, second choices, the mainline some plies on and back."""
        found = [
            self._of_span(i)
            for i, span in enumerate(self.track.spans)
            if span.start_ms < end_ms + WIDE_MS and span.end_ms > start_ms - WIDE_MS
        ]
        here = self.track.at(end_ms)
        if here.origin != "hand":
            mainline = tuple(m.uci() for m in self.score.moves)
            for ply in range(max(0, here.shared - WIDE_PLIES), min(len(mainline), here.shared + WIDE_PLIES) + 1):
                found.append(self.spot(mainline[:ply]))
        for at_ms, path in self.seconds:
            if start_ms - WIDE_MS <= at_ms <= end_ms + WIDE_MS:
                found.append(self.spot(path))
        for before, move in self._spoken(start_ms - WIDE_MS, end_ms + WIDE_MS, own):
            with contextlib.suppress(ValueError):
                found.append(self.spot((*before, move)))
        return distinct(found)


def distinct(spots: Sequence[Spot]) -> list[Spot]:
    seen: dict[tuple[str, tuple[chess.Move, ...]], Spot] = {}
    for spot in spots:  # the first of two that are the same: what is shown comes before what was only spoken of
        seen.setdefault((spot.board.fen(), spot.path), spot)
    return list(seen.values())

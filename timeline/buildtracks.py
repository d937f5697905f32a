"""From a lesson's cues to tracks: what stands on the board at every instant, and what is drawn on it."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Any

import chess

from timeline.lesson import CueSpec, MarkSpec
from timeline.problems import AddressError, Finding, Severity
from timeline.score import Score
from timeline.timecode import format_ms
from timeline.timemap import TimeMap
from timeline.tracks import BoardSpan, BoardTrack, MarkSpan, Origin, ThinkPause, squares_of

Place = Callable[[int], dict[str, Any]]


@dataclass(frozen=True)
class Tracks:
    """What the cues of a lesson come to. All times are recording time in ms."""

    board: BoardTrack
    marks: tuple[MarkSpan, ...] = ()
    pauses: tuple[ThinkPause, ...] = ()
    findings: tuple[Finding, ...] = ()

    @property
    def timemap(self) -> TimeMap:
        return TimeMap.of(self.pauses)

    @property
    def film_board(self) -> BoardTrack:
        """The board in film time, the film's holds in it."""
        timemap = self.timemap
        starts = [timemap.start(span.start_ms) if span.start_ms else 0 for span in self.board.spans]
        ends = [*starts[1:], timemap.end(self.board.end_ms)]
        spans = zip(self.board.spans, starts, ends, strict=True)
        return replace(self.board, spans=tuple(replace(span, start_ms=a, end_ms=b) for span, a, b in spans))


@dataclass(frozen=True, slots=True)
class _Position:
    fen: str
    path: tuple[str, ...]
    shared: int
    address: str
    origin: Origin
    sure: float | None = None


def build_tracks(
    score: Score,
    cues: Sequence[CueSpec],
    end_ms: int,
    *,
    score_marks: bool = True,
    hold: bool = True,
    place: Place = lambda index: {},
) -> Tracks:
    """Cues to tracks over ``[0, end_ms)``; pure, and whole whatever the cues are.

    Before the first cue the score's start position stands; a cue with only
    marks or a pause keeps the position. Cues at one time act together: the
    last position counts, marks add up, the longest pause holds. A mark stays
    for its ``for``, or until the next change of position or marks.
    ``score_marks`` adds the arrows and squares of the PGN while their position
    stands. ``place(i)`` gives a Finding's place of cue ``i``. A cue that cannot
    be shown changes nothing and is a finding: ``bad-address``, ``bad-fen``,
    ``cue-after-end``, ``cue-clash``.
    """
    if end_ms <= 0:
        raise ValueError(f"a lesson of {end_ms} ms has no tracks")
    findings: list[Finding] = []
    changes: list[tuple[int, _Position]] = [(0, _at_path(score, ()))]
    marked: list[tuple[int, tuple[MarkSpec, ...]]] = []
    pauses: dict[int, int] = {}
    shown_at: dict[int, str] = {}
    for index, cue in sorted(enumerate(cues), key=lambda pair: pair[1].at):
        if cue.at >= end_ms:
            findings.append(
                Finding(
                    "cue-after-end",
                    f"this cue is at {format_ms(cue.at)}, but the lesson ends at {format_ms(end_ms)}",
                    at_ms=cue.at,
                    fix="move or remove the cue",
                    **place(index),
                )
            )
            continue
        position = _position(score, cue, index, place, findings)
        if position is not None:
            name = cue.show or "a position of your own"
            if cue.at in shown_at and changes[-1][1] != position:
                findings.append(
                    Finding(
                        "cue-clash",
                        f"two cues at {format_ms(cue.at)} show {shown_at[cue.at]} and {name}; the second is shown",
                        Severity.WARNING,
                        at_ms=cue.at,
                        fix="move or remove one of them",
                        **place(index),
                    )
                )
            shown_at[cue.at] = name
            if changes[-1][0] == cue.at:
                changes[-1] = (cue.at, position)
            else:
                changes.append((cue.at, position))
        if cue.marks:
            marked.append((cue.at, cue.marks))
        if cue.think is not None:
            pauses[cue.at] = max(pauses.get(cue.at, 0), round(cue.think * 1000))
    spans = _spans(changes, end_ms)
    board = BoardTrack(score.start.fen(), tuple(m.uci() for m in score.moves), spans, score.chess960)
    marks = _cue_marks(marked, spans, end_ms)
    if score_marks:
        marks += _score_marks(score, spans)
    marks.sort(key=lambda m: (m.start_ms, m.end_ms, m.kind, m.squares))
    holds = tuple(ThinkPause(at, length, hold) for at, length in sorted(pauses.items()))
    return Tracks(board, tuple(marks), holds, tuple(findings))


def _at_path(score: Score, path: tuple[chess.Move, ...], sure: float | None = None) -> _Position:
    shared = score.mainline_length(path)
    origin: Origin = "score" if shared == len(path) else "sideline"
    return _Position(
        score.board_at(path).fen(), tuple(m.uci() for m in path), shared, score.address(path), origin, sure
    )


def _position(score: Score, cue: CueSpec, index: int, place: Place, findings: list[Finding]) -> _Position | None:
    """The position a cue asks for; None when it asks for none, or for one that does not exist."""
    if cue.show is not None:
        try:
            return _at_path(score, score.resolve(cue.show), cue.sure)
        except AddressError as error:
            fault = error.findings[0]
            findings.append(
                Finding(fault.code, fault.message, fix=fault.fix, at_ms=cue.at, address=cue.show, **place(index))
            )
            return None
    if cue.fen is not None:
        try:
            board = chess.Board(cue.fen, chess960=score.chess960)
        except ValueError as error:
            findings.append(
                Finding(
                    "bad-fen",
                    f"{cue.fen!r} is not a position: {error}",
                    at_ms=cue.at,
                    fix="copy the whole FEN: board, turn, castling, en passant and the two counters",
                    **place(index),
                )
            )
            return None
        return _Position(board.fen(), (), 0, "", "hand")
    return None


def _spans(changes: list[tuple[int, _Position]], end_ms: int) -> tuple[BoardSpan, ...]:
    """Changes of position as spans without holes; a change to the same position is none."""
    kept: list[tuple[int, _Position]] = []
    for at, position in changes:
        if not kept or (position.fen, position.path, position.origin) != (
            kept[-1][1].fen,
            kept[-1][1].path,
            kept[-1][1].origin,
        ):
            kept.append((at, position))
    ends = [at for at, _ in kept[1:]] + [end_ms]
    return tuple(
        BoardSpan(at, end, p.fen, p.path, p.shared, p.address, p.origin, p.sure)
        for (at, p), end in zip(kept, ends, strict=True)
    )


def mark_span(mark: MarkSpec, start_ms: int, end_ms: int) -> MarkSpan:
    """One mark of a cue as a span."""
    if mark.arrow is not None:
        return MarkSpan(start_ms, end_ms, "arrow", squares_of(mark.arrow.split("-")), mark.role)
    if mark.route is not None:
        return MarkSpan(start_ms, end_ms, "route", squares_of(mark.route.split("-")), mark.role)
    return MarkSpan(start_ms, end_ms, "square", squares_of((mark.square or "").split()), mark.role)


def _cue_marks(
    marked: list[tuple[int, tuple[MarkSpec, ...]]], spans: Sequence[BoardSpan], end_ms: int
) -> list[MarkSpan]:
    changes = sorted({s.start_ms for s in spans} | {at for at, _ in marked} | {end_ms})
    result = []
    for at, marks in marked:
        until = next(change for change in changes if change > at)
        for mark in marks:
            stop = min(at + mark.for_ms, end_ms) if mark.for_ms else until
            result.append(mark_span(mark, at, stop))
    return result


def _score_marks(score: Score, spans: Sequence[BoardSpan]) -> list[MarkSpan]:
    """The PGN's own arrows and squares, while their position stands. A PGN says no role: lines are plans."""
    by_path: dict[tuple[str, ...], list[tuple[int, ...]]] = {}
    for mark in score.pgn_marks():
        by_path.setdefault(tuple(m.uci() for m in mark.path), []).append(mark.squares)
    result = []
    for span in spans:
        if span.origin == "hand":
            continue
        for squares in by_path.get(span.path, ()):
            if len(squares) == 1:
                result.append(MarkSpan(span.start_ms, span.end_ms, "square", squares, "key square"))
            else:
                result.append(MarkSpan(span.start_ms, span.end_ms, "arrow", squares, "plan"))
    return result

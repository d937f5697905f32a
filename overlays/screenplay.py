"""What is on the picture at every instant: from a show to states, and to runs of equal frames.

All times here are film time (think-pauses inserted), whole ms. A position's
motion ends at its cue; nothing of the new position stands before its motion
begins.
"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction
from functools import cached_property
from typing import Generic, Literal, TypeVar

import chess

from overlays.lanes import lanes
from overlays.motion import Ply, Pose, Positions, faded, motion_ms, plies_between, pose_in, pose_of
from overlays.show import Show
from timeline.filmsettings import FilmSettings
from timeline.tracks import BoardSpan, Caption, step

FADE_MS = 240  # marks come and go
CUT_FADE_MS = 200  # a jump that is not played
NOTE_MS = 1600  # how long "back to the game" and "taken back" stay
CARD_FADE_MS = 400
FADE_STEPS = 8
MOST_PIPS = 12

T = TypeVar("T")
Mode = Literal["score", "sideline", "hand"]
Tag = Literal["sideline", "hand", "back", "taken_back"]


@dataclass(frozen=True, slots=True)
class DrawnMark:
    """A mark with its lane (0 straight, then to either side) and how far it is faded in (1..FADE_STEPS)."""

    kind: str
    squares: tuple[int, ...]
    role: str
    lane: int = 0
    strength: int = FADE_STEPS


@dataclass(frozen=True, slots=True)
class Moves:
    """What the notation shows: the path played, its mainline part, and how far the mainline has been shown."""

    path: tuple[str, ...]
    shared: int
    seen: int


@dataclass(frozen=True, slots=True)
class State:
    """Everything on one picture. Equal states are equal pictures."""

    pose: Pose
    last: tuple[int, int] | None
    turn: bool
    mode: Mode
    tag: Tag | None
    moves: Moves
    marks: tuple[DrawnMark, ...] = ()
    think: tuple[int, int] | None = None
    caption: str | None = None
    card: tuple[str, int] | None = None


@dataclass(frozen=True, slots=True)
class Scene:
    """One board span in film time. Its motion fills ``[begin_ms, start_ms)``, before it."""

    begin_ms: int
    start_ms: int
    end_ms: int
    span: BoardSpan
    pose: Pose
    last: tuple[int, int] | None
    turn: bool
    moves: Moves
    plies: tuple[Ply, ...] | None
    note: Tag | None
    note_until_ms: int


class Shown(Generic[T]):
    """Things with a start and an end, asked for by instant."""

    def __init__(self, things: Sequence[tuple[int, int, T]]) -> None:
        edges = sorted({t for start, end, _ in things for t in (start, end)})
        self._edges = edges
        self._lists: list[list[T]] = [[] for _ in range(len(edges) + 1)]
        for start, end, thing in things:
            for i in range(bisect_right(edges, start), bisect_right(edges, end)):
                self._lists[i].append(thing)

    def at(self, ms: int) -> list[T]:
        """What is on at ``ms``, in the given order."""
        return self._lists[bisect_right(self._edges, ms)]


class Screenplay:
    """The states of a show. ``at(ms)`` for any instant, ``changes`` for the instants that matter."""

    def __init__(self, show: Show, settings: FilmSettings) -> None:
        self.show = show
        self.settings = settings
        self.end_ms = show.film_ms
        self._map = show.timemap
        self.scenes = tuple(self._scenes())
        self._starts = [s.begin_ms for s in self.scenes]
        self._marks = self._placed_marks()
        captions = labelled(show.captions) if settings.captions else ()
        self._captions = [(c.start_ms, c.end_ms, c.text) for c in captions]
        self._cards = self._card_times()
        self._thinks = self._think_times()
        self._marks_shown = Shown([(a, b, (a, b, mark)) for a, b, mark in self._marks])
        self._captions_shown = Shown(self._captions)

    # -- what is when
    def _scenes(self) -> Iterator[Scene]:
        track = self.show.board
        positions = Positions(track.start_fen, chess960=track.chess960)
        seen = 0
        before: BoardSpan | None = None
        arrived = 0
        for span in track.spans:
            start, end = self._map.start(span.start_ms), self._map.end(span.end_ms)
            plies = plies_between(positions, before, span) if before else ()
            changed = before is not None and (plies != () or before.fen != span.fen)
            if before is None:
                start = 0
            begin = start
            if changed and not self.settings.reduced_motion:
                count = len(plies) if plies else 0
                one = self.settings.motion_ms if plies else min(CUT_FADE_MS, self.settings.motion_ms)
                begin = start - motion_ms(count, one, start - arrived)
            note = self._note(before, span)
            if span.origin != "hand":
                seen = max(seen, span.shared)
            yield Scene(
                begin_ms=begin,
                start_ms=start,
                end_ms=end,
                span=span,
                pose=pose_of(span.fen),
                last=positions.last_move(span.path),
                turn=chess.Board(span.fen, chess960=track.chess960).turn,
                moves=Moves(span.path, span.shared, seen),
                plies=plies,
                note=note,
                note_until_ms=min(end, start + NOTE_MS),
            )
            before, arrived = span, start

    @staticmethod
    def _note(before: BoardSpan | None, span: BoardSpan) -> Tag | None:
        if before is None or span.origin != "score":
            return None
        if before.origin != "score":
            return "back"
        back, forward = step(before, span)
        return "taken_back" if back and not forward else None

    def _placed_marks(self) -> list[tuple[int, int, DrawnMark]]:
        placed = []
        ordered = sorted(self.show.marks, key=lambda m: (m.start_ms, m.end_ms))
        for mark, lane in zip(ordered, lanes(ordered), strict=True):
            start, end = self._map.start(mark.start_ms), self._map.end(mark.end_ms)
            if end > start:
                placed.append((start, end, DrawnMark(mark.kind, mark.squares, mark.role, lane)))
        return placed

    def _card_times(self) -> list[tuple[str, int, int]]:
        opening, closing = round(self.settings.opening_s * 1000), round(self.settings.closing_s * 1000)
        first = min(opening, self.end_ms)
        last = max(first, self.end_ms - closing)
        return [c for c in (("opening", 0, first), ("closing", last, self.end_ms)) if c[2] > c[1]]

    def _think_times(self) -> list[tuple[int, int, int]]:
        """Begin, end and length of each time to think; one that runs on ends where the next begins."""
        found = []
        for pause in self._map.pauses:
            end = self._map.start(pause.at_ms)
            found.append((end - pause.hold_ms, end, pause.hold_ms))
        running = [(self._map.start(p.at_ms), p.hold_ms) for p in self.show.pauses if not p.inserts]
        found += [(begin, begin + length, length) for begin, length in running if begin < self.end_ms]
        found.sort()
        nexts = [*(begin for begin, _, _ in found[1:]), self.end_ms]
        return [(begin, min(end, stop), length) for (begin, end, length), stop in zip(found, nexts, strict=False)]

    # -- states
    def at(self, ms: int) -> State:
        """The picture at an instant of the film."""
        index = max(0, bisect_right(self._starts, ms) - 1)
        scene = self.scenes[index]
        pose, last, shown = scene.pose, scene.last, scene
        if ms < scene.start_ms:  # on the way: the panel still shows where we come from
            shown = self.scenes[index - 1]
            pose, last = self._between(shown, scene, ms)
        mode: Mode = shown.span.origin
        tag: Tag | None = mode if mode != "score" else None
        if shown.note and ms < shown.note_until_ms:
            tag = shown.note
        return State(
            pose=pose,
            last=last,
            turn=shown.turn,
            mode=mode,
            tag=tag,
            moves=shown.moves,
            marks=self._marks_at(ms),
            think=self._think_at(ms),
            caption=next(iter(self._captions_shown.at(ms)), None),
            card=self._card_at(ms),
        )

    def _between(self, before: Scene, after: Scene, ms: int) -> tuple[Pose, tuple[int, int] | None]:
        share = (ms - after.begin_ms) / (after.start_ms - after.begin_ms)
        if not after.plies:
            return faded(before.span.fen, after.span.fen, share), None
        place = share * len(after.plies)
        number = min(int(place), len(after.plies) - 1)
        ply = after.plies[number]
        move = chess.Move.from_uci(ply.move)
        pose = pose_in(ply, place - number, chess960=self.show.board.chess960)
        return pose, None if ply.back else (move.from_square, move.to_square)

    def _marks_at(self, ms: int) -> tuple[DrawnMark, ...]:
        found: dict[tuple[str, tuple[int, ...], str], DrawnMark] = {}
        for start, end, mark in self._marks_shown.at(ms):
            strength = self._strength(ms, start, end, FADE_MS)
            name = (mark.kind, mark.squares, mark.role)
            if name not in found or found[name].strength < strength:
                found[name] = DrawnMark(*name, mark.lane, strength)
        return tuple(found.values())

    def _strength(self, ms: int, start: int, end: int, fade: int) -> int:
        """1..FADE_STEPS; a thing shorter than three fades fades faster."""
        if self.settings.reduced_motion:
            return FADE_STEPS
        fade = min(fade, (end - start) // 3)
        if fade <= 0:
            return FADE_STEPS
        near = min(ms - start, end - 1 - ms)
        return min(FADE_STEPS, 1 + near * FADE_STEPS // fade)

    def _think_at(self, ms: int) -> tuple[int, int] | None:
        index = bisect_left(self._thinks, (ms + 1,)) - 1
        if index < 0 or ms >= self._thinks[index][1]:
            return None
        begin, _, length = self._thinks[index]
        unit = pip_ms(length)
        return -(-length // unit), -(-(length - (ms - begin)) // unit)

    def _card_at(self, ms: int) -> tuple[str, int] | None:
        for kind, start, end in self._cards:
            if start <= ms < end:
                outer_start = start - CARD_FADE_MS * 3 if start == 0 else start
                outer_end = end + CARD_FADE_MS * 3 if end == self.end_ms else end
                return kind, self._strength(ms, outer_start, outer_end, CARD_FADE_MS)
        return None

    # -- runs
    @cached_property
    def changes(self) -> tuple[tuple[int, bool], ...]:
        """Instants from which the picture is another, each with: does it move until the next one?"""
        times: set[int] = {0}
        moving: list[tuple[int, int]] = []
        for scene in self.scenes:
            times |= {scene.begin_ms, scene.start_ms, scene.note_until_ms}
            moving.append((scene.begin_ms, scene.start_ms))
        for start, end, _ in self._marks:
            times |= {start, end}
            fade = 0 if self.settings.reduced_motion else min(FADE_MS, (end - start) // 3)
            moving += [(start, start + fade), (end - fade, end)]
        for start, end, _ in self._captions:
            times |= {start, end}
        for _, start, end in self._cards:
            times |= {start, end}
            if not self.settings.reduced_motion:
                moving += [(start, min(end, start + CARD_FADE_MS)), (max(start, end - CARD_FADE_MS), end)]
        for begin, end, length in self._thinks:
            ends = (begin + length - left for left in range(0, length + 1, pip_ms(length)))
            times |= {begin, end, *(t for t in ends if t < end)}
        times |= {t for pair in moving for t in pair}
        ordered = sorted(t for t in times if 0 <= t < self.end_ms)
        busy = Shown([(a, b, True) for a, b in moving if b > a])
        return tuple((t, bool(busy.at(t))) for t in ordered)

    def runs(self, rate: Fraction) -> Iterator[tuple[int, State]]:
        """Equal frames in a row, as (count, state), ``frame_count`` in all."""
        total = frame_count(self.end_ms, rate)
        if not total:
            return
        count, state = 0, None
        for here, frames, moves in self._stretches(rate, total):
            for frame, many in ((n, 1) for n in frames) if moves else ((frames.start, len(frames)),):
                new = self.at(frame_ms(frame, rate) if moves else here)
                if new == state:
                    count += many
                    continue
                if state is not None:
                    yield count, state
                count, state = many, new
        if state is not None and count:
            yield count, state

    def _stretches(self, rate: Fraction, total: int) -> Iterator[tuple[int, range, bool]]:
        ends = [*self.changes[1:], (self.end_ms, False)]
        for (here, moves), (there, _) in zip(self.changes, ends, strict=True):
            frames = range(frame_count(here, rate), min(total, frame_count(there, rate)))
            if frames:
                yield here, frames, moves


def labelled(captions: Sequence[Caption]) -> list[Caption]:
    """Captions with NAME: where another of several speakers begins (BBC Subtitle Guidelines 1.2.5, 7.8)."""
    if len({c.speaker for c in captions if c.speaker}) < 2:
        return list(captions)
    result, before = [], None
    for caption in captions:
        name = (caption.speaker or "").upper()
        new = name and name != before and not caption.text.upper().startswith(name)
        result.append(replace(caption, text=f"{name}: {caption.text}") if new else caption)
        before = name or before
    return result


def frame_count(ms: int, rate: Fraction) -> int:
    """The first frame that starts at or after ``ms``; of a film's length, the number of its frames."""
    return -(-ms * rate.numerator // (1000 * rate.denominator))


def frame_ms(frame: int, rate: Fraction) -> int:
    """The last whole ms at or before a frame's start."""
    return frame * 1000 * rate.denominator // rate.numerator


def pip_ms(hold_ms: int) -> int:
    """How long one sign of the countdown stands for: whole seconds, at most MOST_PIPS signs."""
    seconds = -(-hold_ms // 1000)
    return 1000 * -(-seconds // MOST_PIPS)

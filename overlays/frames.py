"""Frame arithmetic: a film's runs of equal frames, cut where sync frames must stand. Pure, exact."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

from overlays.show import Run
from timeline.problems import OutputError
from timeline.timecode import format_ms, frame_to_ms

SYNC_S = 2
"""At least every two seconds a picture that stands by itself: players seek to it, editors cut at it."""


def frame_count(ms: int, rate: Fraction) -> int:
    """The first frame that starts at or after ``ms``; of a film's length, the number of its frames."""
    return -(-ms * rate.numerator // (1000 * rate.denominator))


def sync_interval(rate: Fraction) -> int:
    """Most frames from one sync frame to the next: the whole frames that fit into SYNC_S."""
    return max(1, int(SYNC_S * rate))


def film_frames(span_ms: tuple[int, int] | None, total: int, rate: Fraction) -> tuple[int, int]:
    """First and last (exclusive) frame of a stretch of film time, or of the whole film of ``total`` frames.

    Raises OutputError (``empty-film``) when there is none.
    """
    if not total:
        raise OutputError.of("empty-film", "the lesson has no length, so there is nothing to film")
    if span_ms is None:
        return 0, total
    first, last = (min(max(0, frame_count(ms, rate)), total) for ms in span_ms)
    if first >= last:
        begins, ends = (format_ms(ms) for ms in span_ms)
        raise OutputError.of(
            "empty-film",
            f"nothing lies between {begins} and {ends} of a film of {format_ms(frame_to_ms(total, rate))}",
            fix="name a stretch inside the film, its start first",
        )
    return first, last


@dataclass(frozen=True, slots=True)
class Stretch:
    """Frames ``[first, first + frames)`` of the film. The first one is a sync frame."""

    first: int
    runs: tuple[Run, ...]

    @property
    def frames(self) -> int:
        return sum(run.count for run in self.runs)


def cut_runs(runs: Iterable[Run], first: int, last: int) -> Iterator[Run]:
    """The runs of frames ``[first, last)``; runs across a border are shortened."""
    at = 0
    for run in runs:
        count = min(at + run.count, last) - max(at, first)
        if count > 0:
            yield Run(count, run.key)
        at += run.count
        if at >= last:
            return


def stretches(runs: Iterable[Run], length: int, first: int = 0) -> Iterator[Stretch]:
    """Stretches of ``length`` frames; the last may be shorter. ``first`` is the number of the first frame."""
    part: list[Run] = []
    room = length
    for run in runs:
        left = run.count
        while left:
            count = min(left, room)
            part.append(Run(count, run.key))
            left -= count
            room -= count
            if not room:
                yield Stretch(first, tuple(part))
                first, part, room = first + length, [], length
    if part:
        yield Stretch(first, tuple(part))

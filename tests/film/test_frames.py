"""Frame arithmetic, over all rates."""

from __future__ import annotations

import doctest
from fractions import Fraction
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

import overlays.h264
import overlays.mux
import overlays.skipslice
import timeline.publish.lessonshow
from overlays.frames import cut_runs, film_frames, frame_count, stretches, sync_interval
from overlays.holds import pieces
from overlays.show import Run
from overlays.skipslice import Kind, steps
from timeline.filmsettings import RATES
from timeline.problems import OutputError
from timeline.timemap import TimeMap
from timeline.tracks import ThinkPause

rates = st.sampled_from(list(RATES.values()))
runs = st.lists(st.builds(Run, st.integers(1, 200), st.integers(0, 5)), min_size=1, max_size=20)


def flat(items):
    return [run.key for run in items for _ in range(run.count)]


@pytest.mark.parametrize("module", [overlays.h264, overlays.mux, overlays.skipslice, timeline.publish.lessonshow])
def test_examples_in_the_text(module):
    assert doctest.testmod(module).failed == 0


@given(st.integers(0, 10_000_000), rates)
def test_the_counted_frame_is_the_first_at_or_after_the_time(ms, rate):
    frame = frame_count(ms, rate)
    assert Fraction(frame) / rate * 1000 >= ms
    assert frame == 0 or Fraction(frame - 1) / rate * 1000 < ms


@pytest.mark.parametrize("rate", RATES.values(), ids=RATES)
def test_sync_frames_are_never_more_than_two_seconds_apart(rate):
    # The figure is ours; 29.97 shows why it is rounded down: 60 frames are 2.002 s.
    assert sync_interval(rate) / rate <= 2
    assert (sync_interval(rate) + 1) / rate > 2


@given(runs, st.integers(0, 500), st.integers(0, 500))
def test_cut_runs_are_the_frames_between(items, first, last):
    assert flat(cut_runs(items, first, last)) == flat(items)[first:last]


@given(runs, st.integers(1, 70), st.integers(0, 1000))
def test_stretches_join_to_the_whole_and_begin_at_the_grid(items, length, first):
    parts = list(stretches(items, length, first))
    assert [key for part in parts for key in flat(part.runs)] == flat(items)
    assert [part.first for part in parts] == [first + n * length for n in range(len(parts))]
    assert all(part.frames == length for part in parts[:-1])


@given(runs, st.integers(1, 40))
def test_every_frame_is_a_step_or_a_repeat_and_sync_frames_stand_on_the_grid(items, sync):
    at, covered = 0, []
    for run in items:
        for step in steps(at, run.count, sync):
            covered += range(step.frame, step.frame + step.repeats + 1)
            assert (step.frame % sync == 0) == (step.kind is not Kind.CHANGE)
            assert all(frame % sync for frame in range(step.frame + 1, step.frame + step.repeats + 1))
        at += run.count
    assert covered == list(range(at))


pauses = st.lists(st.tuples(st.integers(0, 20_000), st.integers(1, 5000)), max_size=5)


@given(pauses, st.integers(0, 30_000), st.integers(1, 30_000))
def test_pieces_say_where_in_the_recording_the_film_is(held, start, length):
    timemap = TimeMap.of(ThinkPause(at, hold) for at, hold in held)
    plan = pieces(timemap, Fraction(start, 1000), Fraction(start + length, 1000))
    assert plan[0].start * 1000 == start
    assert plan[-1].end * 1000 == start + length
    for a, b in pairwise(plan):
        assert a.end == b.start
    for piece in plan:
        for ms in {int(piece.start * 1000), int(piece.end * 1000) - 1}:
            if piece.start * 1000 <= ms:
                assert piece.at(Fraction(ms, 1000)) * 1000 == timemap.recording(ms)
                assert piece.moves == (timemap.held(ms) is None)


def test_a_stretch_outside_the_film_is_refused_with_both_times():
    rate = Fraction(30)
    assert film_frames((1000, 2000), 90, rate) == (30, 60)
    assert film_frames((0, 99_000), 90, rate) == (0, 90)
    with pytest.raises(OutputError, match=r"nothing lies between 0:04\.000 and 0:05\.000 of a film of 0:03\.000"):
        film_frames((4000, 5000), 90, rate)
    with pytest.raises(OutputError, match="no length"):
        film_frames(None, 0, rate)

"""Checks of time: each fault by one small lesson, and a lesson without faults."""

from __future__ import annotations

from dataclasses import replace

from judging_lesson import context, track

from timeline.checks.run import run_checks
from timeline.follow.result import Ask, Follow
from timeline.score import read_score
from timeline.tracks import BoardSpan, ThinkPause

TALK = "White plays e4. Black answers e5. Queen h5 now. Knight c6. Bishop c4. Knight f6. Queen takes f7, it is mate."
STARTS = [0, 400, 1600, 2800, 4000, 4800, 5600, 6400]


def codes(ctx, family: str = "time") -> list[str]:
    return [f.code for f in run_checks(ctx, families=[family])]


def test_a_lesson_in_order_gives_nothing() -> None:
    assert codes(context(TALK, starts=STARTS, end_ms=20_000)) == []


def test_a_hole_in_the_board_track() -> None:
    ctx = context(TALK, starts=STARTS, end_ms=20_000)
    spans = list(ctx.track.spans)
    spans[3] = replace(spans[3], end_ms=spans[3].end_ms - 300)
    holed = replace(ctx, track=replace(ctx.track, spans=tuple(spans)))
    assert [f.code for f in run_checks(holed, families=["time"])] == ["track-hole"]


def test_a_position_that_nobody_can_see() -> None:
    fast = [0, 400, 1600, 1700, *STARTS[4:]]
    found = run_checks(context(TALK, starts=fast, end_ms=20_000), families=["time"])
    assert [(f.code, f.address) for f in found] == [("too-fast", "1b")]


def test_a_position_shown_long_before_its_words() -> None:
    """Bishop c4 is on the board 12 s before it is named."""
    talk = (
        "White plays e4. Black answers e5. Queen h5 now. Knight c6. " + "Let us wait here a little. " * 4 + "Bishop c4."
    )
    found = run_checks(context(talk, starts=STARTS[:6], end_ms=40_000), families=["time"])
    assert [(f.code, f.address) for f in found] == [("shown-early", "3w")]


def test_a_lesson_that_ends_in_a_sideline() -> None:
    ctx = context(TALK, starts=STARTS, end_ms=20_000)
    score = read_score(ctx.score_text or "")
    path = ("e2e4", "e7e5", "g1f3")
    board = score.board_at(score.resolve("1b Nf3"))
    spans = [*ctx.track.spans[:-1], BoardSpan(6400, 20_000, board.fen(), path, 2, "1b Nf3", "sideline")]
    assert codes(replace(ctx, track=replace(ctx.track, spans=tuple(spans)))) == ["open-sideline"]


def test_think_pauses() -> None:
    """Six seconds are set; the answer must not be on the board while the viewer is asked."""
    ctx = context(TALK, starts=STARTS, end_ms=20_000)
    asked = Follow((), asks=(Ask(6300, tuple(m.uci() for m in ctx.score.moves[:6]), 20, 22),))
    early = replace(ctx, follow=asked, pauses=(ThinkPause(6500, 8000),))
    assert codes(early) == ["answer-early"]
    in_time = replace(ctx, follow=asked, pauses=(ThinkPause(6300, 8000),))
    assert codes(in_time) == []
    short = replace(ctx, pauses=(ThinkPause(6300, 2000),))
    assert codes(short) == ["short-think"]


def test_transcript_and_recording_of_different_length() -> None:
    assert codes(context(TALK, starts=STARTS, end_ms=200_000)) == ["transcript-short"]
    short = replace(context(TALK, starts=STARTS, end_ms=20_000), duration_ms=5000)
    assert "transcript-long" in codes(short)


def test_the_track_helper_covers_the_whole() -> None:
    score = read_score(context().score_text or "")
    assert track(score, [0, 100], 900).end_ms == 900

"""Checks of time: each fault by one small lesson, and a lesson without faults."""

from __future__ import annotations

from dataclasses import replace

from judging_lesson import context, track

from timeline.checks.run import run_checks
from timeline.follow.result import Ask, Follow
from timeline.score import read_score
from timeline.tracks import BoardSpan, ThinkPause
from timeline.transcript.words import Word

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
    found = run_checks(replace(ctx, track=replace(ctx.track, spans=tuple(spans))), families=["time"])
    assert [(f.code, f.severity) for f in found] == [("open-sideline", "warning")]
    spans[-1] = replace(spans[-1], sure=0.6)  # the words that return may not have been understood
    found = run_checks(replace(ctx, track=replace(ctx.track, spans=tuple(spans))), families=["time"])
    assert [(f.code, f.severity, f.sure) for f in found] == [("open-sideline", "note", 0.6)]


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


def test_an_answer_in_the_silence_after_the_question() -> None:
    """The viewer has six seconds to think; White's move comes up after one of them, or just before its words."""
    score = read_score(context().score_text or "")
    words = [
        *(Word(w, 400 * i, 400 * i + 350) for i, w in enumerate("And now what would you play here?".split())),
        *(Word(w, 9000 + 400 * i, 9350 + 400 * i) for i, w in enumerate("Queen h5 is the move.".split())),
    ]
    asked = Follow((), asks=(Ask(2750, ("e2e4", "e7e5"), 2, 6),))

    def found(shown_ms: int, **more) -> list[str]:
        shown = track(score, [0, 400, 900, shown_ms], 20_000)
        return codes(replace(context(end_ms=20_000, track=shown), words=words, follow=asked, **more))

    assert "answer-early" in found(3800)
    assert found(8000) == []
    assert "answer-early" not in found(3800, pauses=(ThinkPause(3000, 6000, True),))


def test_a_capture_told_without_its_square_is_not_shown_early() -> None:
    """ "And then the knight is eaten": the square is only named much later."""
    pgn = '[White "A"]\n[Black "B"]\n\n1. e4 d5 2. exd5 Qxd5 *\n'
    told = (
        "White begins and Black replies in the usual way. "
        + "{} "
        + "Let us wait here a little. " * 4
        + "On d5 it stands."
    )
    at = [0, 400, 1600, 5200]
    assert codes(context(told.format("Then the pawn is gone."), pgn=pgn, starts=at, end_ms=40_000)) == ["shown-early"]
    assert codes(context(told.format("Then it is just eaten."), pgn=pgn, starts=at, end_ms=40_000)) == []

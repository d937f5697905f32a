"""What is on screen when: every frame counted, every piece there at its cue."""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

import chess
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from overlays import samples
from overlays.motion import pose_of
from overlays.screenplay import FADE_STEPS, Screenplay, frame_count, frame_ms, labelled, pip_ms
from overlays.show import Show
from timeline.filmsettings import RATES, FilmSettings
from timeline.tracks import BoardSpan, BoardTrack, Caption, MarkSpan, ThinkPause

GAME = samples.track(samples.GAME.split()).mainline
EARLY_MS, LATE_MS = 125, 45
"""ITU-R BT.1359-1 (2005), thresholds of noticing sound against picture, taken over for moves against words."""


FENS = [span.fen for span in samples.track(samples.GAME.split()).spans]


def span_at(plies: int, start: int, end: int) -> BoardSpan:
    return BoardSpan(start, end, FENS[plies], GAME[:plies], plies, "", "score")


@st.composite
def shows(draw: st.DrawFn) -> Show:
    """Random jumps along a game, marks, captions and pauses."""
    lengths = draw(st.lists(st.integers(1, 2500), min_size=1, max_size=6))
    spans, time = [], 0
    for length in lengths:
        spans.append(span_at(draw(st.integers(0, len(GAME))), time, time + length))
        time += length
    inside = st.integers(0, time)
    pairs = st.tuples(inside, inside).map(sorted).filter(lambda p: p[0] < p[1])
    marks = [
        MarkSpan(a, b, "arrow", (tail, (tail + 9) % 64), "plan")
        for (a, b), tail in draw(st.lists(st.tuples(pairs, st.integers(0, 63)), max_size=4))
    ]
    captions = [Caption(a, b, f"words {a}") for a, b in draw(st.lists(pairs, max_size=2))]
    pauses = draw(st.lists(st.builds(ThinkPause, inside, st.integers(1, 15_000), st.booleans()), max_size=2))
    return Show(
        BoardTrack(chess.STARTING_FEN, GAME, tuple(spans)), "T", tuple(marks), tuple(captions), (), tuple(pauses)
    )


SETTINGS = st.builds(
    FilmSettings,
    reduced_motion=st.booleans(),
    motion_ms=st.integers(0, 1000),
    captions=st.booleans(),
    opening_s=st.sampled_from([0, 1.5]),
    closing_s=st.sampled_from([0, 0.7]),
)


@given(shows(), SETTINGS, st.sampled_from(list(RATES.values())))
@settings(max_examples=30)
def test_runs_are_the_film_frame_by_frame(show: Show, film: FilmSettings, rate: Fraction) -> None:
    """The sum is ceil(length x rate) in exact arithmetic; every frame is the state at its start."""
    play = Screenplay(show, film)
    runs = list(play.runs(rate))
    total = -(-show.film_ms * rate.numerator // (1000 * rate.denominator))
    assert sum(count for count, _ in runs) == total == frame_count(show.film_ms, rate)
    assert all(count > 0 for count, _ in runs)
    assert all(a != b for (_, a), (_, b) in pairwise(runs))
    frame = 0
    for count, state in runs:
        for n in {frame, frame + count // 2, frame + count - 1}:
            assert play.at(frame_ms(n, rate)) == state
        frame += count


@given(shows(), SETTINGS, st.sampled_from(list(RATES.values())))
@settings(max_examples=25)
def test_pieces_are_there_at_the_cue(show: Show, film: FilmSettings, rate: Fraction) -> None:
    """The first frame at or after the cue shows the position at rest, at most one frame late."""
    play = Screenplay(show, film)
    leaving = [*(scene.begin_ms for scene in play.scenes[1:]), play.end_ms]
    for scene, leaves in zip(play.scenes, leaving, strict=True):
        first = frame_count(scene.start_ms, rate)
        if frame_ms(first, rate) < leaves:
            assert play.at(frame_ms(first, rate)).pose == scene.pose
        late = Fraction(first * 1000) / rate - scene.start_ms
        assert 0 <= late < 1000 / rate <= LATE_MS


@given(shows())
@settings(max_examples=25)
def test_nothing_of_a_position_shows_before_its_motion(show: Show) -> None:
    play = Screenplay(show, FilmSettings())
    for before, after in pairwise(play.scenes):
        if after.begin_ms > before.start_ms:
            assert play.at(after.begin_ms - 1).pose == before.pose
        assert after.start_ms - after.begin_ms <= 0.6 * (after.start_ms - before.start_ms)


def test_half_of_a_move_is_made_within_the_sync_bound() -> None:
    """A piece leaves its square's middle no earlier than the bound before the word, with the default motion."""
    play = Screenplay(samples.game_show(), FilmSettings())
    cue = play.scenes[1].start_ms
    (pawn,) = play.at(cue - EARLY_MS - 16).pose.moving
    assert pawn.rank < 2


def test_reduced_motion_cuts() -> None:
    play = Screenplay(samples.game_show(), FilmSettings(reduced_motion=True))
    assert not any(moves for _, moves in play.changes)
    for scene in play.scenes[1:]:
        assert scene.begin_ms == scene.start_ms
        assert play.at(scene.start_ms).pose == pose_of(scene.span.fen)


def test_marks_fade_and_nothing_else_of_them_changes() -> None:
    show = samples.game_show()
    play = Screenplay(show, FilmSettings())
    strengths = [max((m.strength for m in play.at(ms).marks), default=0) for ms in range(14_990, 16_010, 10)]
    rising = strengths[: len(strengths) // 2]
    assert rising == sorted(rising)
    assert strengths[len(strengths) // 2 :] == sorted(strengths[len(strengths) // 2 :], reverse=True)
    assert max(strengths) == FADE_STEPS
    assert strengths[0] == strengths[-1] == 0


def test_tags_tell_sideline_return_and_taking_back() -> None:
    play = Screenplay(samples.game_show(), FilmSettings())
    assert play.at(10_500).tag is None
    assert (play.at(17_500).mode, play.at(17_500).tag) == ("sideline", "sideline")
    assert (play.at(19_100).mode, play.at(19_100).tag) == ("score", "back")
    assert play.at(20_900).tag is None
    assert (play.at(22_000).mode, play.at(22_000).tag) == ("hand", "hand")
    spans = (span_at(5, 0, 3000), span_at(3, 3000, 6000))
    back = Screenplay(Show(BoardTrack(chess.STARTING_FEN, GAME, spans), "T"), FilmSettings())
    assert back.at(3100).tag == "taken_back"
    assert back.at(5000).tag is None
    assert back.at(5000).moves.seen == 5


@pytest.mark.parametrize(
    ("hold", "unit", "signs"), [(8000, 1000, 8), (500, 1000, 1), (12_500, 2000, 7), (60_000, 5000, 12)]
)
def test_the_countdown_is_quiet(hold: int, unit: int, signs: int) -> None:
    """One small change at a time, never more than one a second."""
    assert pip_ms(hold) == unit
    show = Show(BoardTrack(chess.STARTING_FEN, GAME, (span_at(0, 0, 5000),)), "T", pauses=(ThinkPause(2000, hold),))
    play = Screenplay(show, FilmSettings())
    assert play.at(1999).think is None
    assert play.at(2000).think == (signs, signs)
    assert play.at(2000 + hold - 1).think == (signs, 1)
    assert play.at(2000 + hold).think is None
    changes = [t for t, _ in play.changes if 2000 < t < 2000 + hold]
    assert all(b - a >= 1000 for a, b in pairwise(changes))


def test_a_pause_that_inserts_no_time_counts_down_while_the_film_runs() -> None:
    """The next pause, or the lesson's end, cuts the countdown short."""
    spans = tuple(span_at(0, a, a + 1000) for a in range(0, 20_000, 1000))
    pauses = (ThinkPause(2000, 5000, False), ThinkPause(5000, 3000, False), ThinkPause(18_000, 9000, False))
    show = Show(BoardTrack(chess.STARTING_FEN, GAME, spans), "T", pauses=pauses)
    play = Screenplay(show, FilmSettings())
    assert play.end_ms == 20_000
    told = [play.at(ms).think for ms in (1999, 2000, 4999, 5000, 7999, 8000, 18_000, 19_999)]
    assert told == [None, (5, 5), (5, 3), (3, 3), (3, 1), None, (9, 9), (9, 8)]


def test_cards_lie_over_the_first_and_last_seconds() -> None:
    play = Screenplay(samples.game_show(), FilmSettings(opening_s=3, closing_s=2))
    assert play.at(0).card == ("opening", FADE_STEPS)
    assert play.at(2900).card is not None
    assert play.at(3000).card is None
    assert play.at(play.end_ms - 1).card == ("closing", FADE_STEPS)
    assert play.at(play.end_ms - 2000).card == ("closing", 1)


def test_speakers_are_told_apart() -> None:
    """BBC Subtitle Guidelines 1.2.5, 7.8: capitals and a colon, only where the voice changes."""
    told = [("Ada", "One."), ("Ada", "Two."), ("Bo", "Three."), (None, "Four."), ("Ada", "ADA: Five.")]
    captions = [Caption(n * 1000, n * 1000 + 900, text, name) for n, (name, text) in enumerate(told)]
    assert [c.text for c in labelled(captions)] == ["ADA: One.", "Two.", "BO: Three.", "Four.", "ADA: Five."]
    assert labelled(captions[:2]) == captions[:2]


def test_a_show_of_no_length_has_no_frames() -> None:
    assert list(Screenplay(Show(BoardTrack(chess.STARTING_FEN, (), ()), "T"), FilmSettings()).runs(Fraction(30))) == []


def test_a_game_from_a_set_up_position() -> None:
    show = samples.moving_show("4k3/1P6/8/8/8/8/8/4K3 w - - 0 40", ("b8=Q+", "Kd7"))
    play = Screenplay(show, FilmSettings())
    assert play.at(2500).last == (chess.E8, chess.D7)
    assert play.at(500).last is None

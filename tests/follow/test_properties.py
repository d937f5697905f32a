"""Promises of the follower that hold for any words over any legal game."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import chess
import pytest
from followtalk import LEGAL, ODD, games, setup, talk, texts, words
from hypothesis import given, settings
from hypothesis import strategies as st

from timeline.build import build
from timeline.buildtracks import build_tracks
from timeline.edit import lock_cue, set_show
from timeline.follow import FixedPoint, Follow, follow_words
from timeline.history import change_lesson
from timeline.lesson import Lesson
from timeline.merge import merge_follow
from timeline.score import Score, read_score
from timeline.steps import STEPS
from timeline.store import load_lesson, new_lesson
from timeline.transcript.words import Word


def check_follow(follow: Follow, score: Score, said: list[Word]) -> None:
    """Cues are in order, each position is reached by legal moves, evidence points at words that there are."""
    last = -1
    for cue in follow.cues:
        assert cue.at_ms > last
        last = cue.at_ms
        path = tuple(chess.Move.from_uci(u) for u in cue.path)
        score.board_at(path)  # ValueError on an illegal move
        assert score.resolve(cue.address) == path
        assert 0.0 <= cue.sure <= 1.0
        assert -1 <= cue.first <= cue.last < len(said)
        if cue.runner_up is not None:
            score.resolve(cue.runner_up)
    for before, after in pairwise(follow.cues):
        assert before.path != after.path
    for mark in follow.marks:
        assert 0 <= mark.start_ms < mark.end_ms
    for reading in follow.readings:
        assert 0 <= reading.first <= reading.last < len(said)


def check_tracks(follow: Follow, score: Score, said: list[Word]) -> None:
    """The tracks built from the cues cover the whole lesson without holes or overlaps, and every board is legal."""
    end_ms = max([w.end_ms for w in said], default=0) + 1000
    lesson = merge_follow(Lesson(title="x", score="x.pgn"), follow, said, score)
    tracks = build_tracks(score, lesson.cues, end_ms)
    assert not tracks.findings
    spans = tracks.board.spans
    assert (spans[0].start_ms, spans[-1].end_ms) == (0, end_ms)
    for before, after in pairwise(spans):
        assert before.end_ms == after.start_ms
    assert all(chess.Board(span.fen).is_valid() for span in spans)
    assert all(0 <= mark.start_ms < mark.end_ms <= end_ms for mark in tracks.marks)


@given(texts, games)
@settings(max_examples=40, deadline=None)
def test_any_words_over_any_game_give_whole_legal_tracks_and_the_same_ones_again(
    parts: list[str], score: Score
) -> None:
    said = talk(parts)
    follow = follow_words(said, score)
    assert follow_words(said, score) == follow
    check_follow(follow, score, said)
    check_tracks(follow, score, said)


@given(texts, games, st.lists(st.integers(0, 40), max_size=4), st.integers(0, 40))
@settings(max_examples=25, deadline=None)
def test_locking_a_cue_moves_no_other_locked_cue(parts: list[str], score: Score, first: list[int], one: int) -> None:
    """Some cues are locked and followed again; then one more. Every locked cue is there as it was, once."""
    said = talk(parts)
    lesson = merge_follow(Lesson(title="x", score="x.pgn"), follow_words(said, score), said, score)
    for number in (*first, one):
        if not lesson.cues:
            return
        lesson = lock_cue(lesson, number % len(lesson.cues))
        locked = [cue for cue in lesson.cues if cue.lock]
        points = [
            FixedPoint(cue.at, tuple(m.uci() for m in score.resolve(cue.show)))
            for cue in locked
            if cue.show is not None
        ]
        lesson = merge_follow(lesson, follow_words(said, score, fixed=points), said, score)
        assert [cue for cue in lesson.cues if cue.lock] == locked
        assert [cue.at for cue in lesson.cues] == sorted(cue.at for cue in lesson.cues)


@pytest.mark.parametrize("second", ["2w", "2w f6", "start"])
def test_locked_cues_stay_through_the_lesson_file(tmp_path: Path, second: str) -> None:
    """Follow, lock, put another right and lock it, follow again: in lesson.yaml the first is still as it was."""
    pgn, transcript = tmp_path / "game.pgn", tmp_path / "talk.txt"
    pgn.write_text(LEGAL)
    transcript.write_text(
        "[0:00] E4, e5, knight f3, d6, bishop c4, bishop g4.\n[0:20] Knight c3, g6, knight takes e5.\n[0:30] End."
    )
    folder = new_lesson(tmp_path / "lesson", score=pgn, transcript=transcript).folder
    build(folder, STEPS, only=["cues"])
    change_lesson(folder, lambda loaded: lock_cue(loaded.lesson, 3), "locked")
    first = load_lesson(folder).lesson.cues[3]
    assert first.lock
    build(folder, STEPS, only=["cues"], force=["follow", "cues"])
    assert first in load_lesson(folder).lesson.cues
    change_lesson(folder, lambda loaded: lock_cue(set_show(loaded.lesson, 5, second), 5), "mended and locked")
    other = load_lesson(folder).lesson.cues[5]
    build(folder, STEPS, only=["cues"], force=["follow", "cues"])
    after = load_lesson(folder).lesson.cues
    assert [cue for cue in after if cue.lock] == [first, other]
    once_more = build(folder, STEPS, only=["cues"], force=["follow", "cues"])
    assert once_more.steps
    assert load_lesson(folder).lesson.cues == after


@pytest.mark.parametrize(
    "text", ["", "hello", "e4", *ODD, " ".join(ODD), "e4 " * 30, "knight " * 30, "takes " * 30, "if " * 30]
)
def test_odd_and_short_talks(text: str) -> None:
    score = read_score(LEGAL)
    said = talk([text])
    follow = follow_words(said, score)
    check_follow(follow, score, said)
    check_tracks(follow, score, said)


def test_no_words_at_all() -> None:
    assert follow_words([], read_score(LEGAL)) == Follow(())


def test_a_set_up_without_moves() -> None:
    """All is sideline there; the board still follows legal words."""
    score = read_score(setup("4k3/8/8/8/8/8/4P3/4K3 w - - 0 1"))
    said = words("White plays e4, and king d7.")
    follow = follow_words(said, score)
    check_follow(follow, score, said)
    check_tracks(follow, score, said)


@pytest.mark.parametrize(
    ("fen", "moves", "text", "shown"),
    [
        ("4k3/8/8/8/8/8/4P3/4K3 b - - 0 1", "1... Kd7 2. e4 Kd6", "King d7, e4, king d6.", ["1b", "2w", "2b"]),
        ("8/P5k1/8/8/8/8/6K1/8 w - - 0 1", "1. a8=Q Kf7", "A8 queen. King f7.", ["1w", "1b"]),
        ("8/P5k1/8/8/8/8/6K1/8 w - - 0 1", "1. a8=N Kf7", "A8 knight. King f7.", ["1w", "1b"]),
        (
            "4k3/3p4/8/4P3/8/8/8/4K3 b - - 0 1",
            "1... d5 2. exd6 Kd7",
            "D5, takes en passant, king d7.",
            ["1b", "2w", "2b"],
        ),
        ("r3k2r/8/8/8/8/8/8/R3K2R w KQkq - 0 1", "1. O-O-O O-O", "He castles long, I castle short.", ["1w", "1b"]),
    ],
)
def test_set_ups_promotions_en_passant_castling(fen: str, moves: str, text: str, shown: list[str]) -> None:
    score = read_score(setup(fen, moves))
    said = words(text)
    follow = follow_words(said, score)
    assert [cue.address for cue in follow.cues] == shown
    check_follow(follow, score, said)
    check_tracks(follow, score, said)


def test_words_at_one_time_or_backwards_do_no_harm() -> None:
    """Transcripts with one stamp for a whole block give many words one onset."""
    score = read_score(LEGAL)
    said = [Word(w, 1000, 1000) for w in "E4 e5 knight f3 d6 bishop c4".split()]
    follow = follow_words(said, score)
    check_follow(follow, score, said)

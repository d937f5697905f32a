"""Cues to tracks: whole whatever the cues are, and never a silent jump."""

from __future__ import annotations

import csv
import io
from itertools import pairwise

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from timeline.buildtracks import build_tracks
from timeline.lesson import CueSpec, MarkSpec
from timeline.positions import HEADER, write_positions
from timeline.problems import Severity
from timeline.score import read_score
from timeline.tracks import ThinkPause, is_whole, squares_of

SCORE = read_score("1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 (3... Nf6 4. O-O) 4. Ba4 *\n")
MINUTE = 60_000


def spans(*cues: CueSpec):
    return [(s.start_ms, s.end_ms, s.address, s.origin) for s in build_tracks(SCORE, cues, MINUTE).board.spans]


def test_without_cues_the_start_position_stands():
    assert spans() == [(0, MINUTE, "start", "score")]


def test_before_the_first_cue_the_start_position_stands():
    assert spans(CueSpec(at=5000, show="2w")) == [(0, 5000, "start", "score"), (5000, MINUTE, "2w", "score")]


def test_a_cue_with_only_marks_or_a_pause_keeps_the_position():
    mark = MarkSpec(square="d6 e5", role="weakness")
    cues = (CueSpec(at=1000, show="1w"), CueSpec(at=2000, marks=(mark,)), CueSpec(at=3000, think=4))
    tracks = build_tracks(SCORE, cues, MINUTE)
    assert [s.address for s in tracks.board.spans] == ["start", "1w"]
    assert tracks.pauses == (ThinkPause(3000, 4000),)
    assert tracks.timemap.end(MINUTE) == MINUTE + 4000


def test_sidelines_by_address_and_positions_of_ones_own():
    fen = "8/8/8/4k3/8/8/4P3/4K3 w - - 0 1"
    cues = (CueSpec(at=1000, show="3w Nf6 O-O"), CueSpec(at=2000, fen=fen), CueSpec(at=3000, show="3b"))
    tracks = build_tracks(SCORE, cues, MINUTE)
    side, own, back = tracks.board.spans[1:]
    assert (side.origin, side.shared, len(side.path)) == ("sideline", 5, 7)
    assert (own.origin, own.fen, own.path, own.address) == ("hand", fen, (), "")
    assert (back.origin, back.address) == ("score", "3b")


def test_a_mark_stays_until_the_next_change_or_for_its_time():
    stays = MarkSpec(arrow="e1-e8", role="attack")
    timed = MarkSpec(route="g1-f3-e5", role="route", for_ms=10_000)
    cues = (
        CueSpec(at=1000, show="1w", marks=(stays, timed)),
        CueSpec(at=4000, show="1b"),
        CueSpec(at=55_000, marks=(timed,)),
    )
    marks = build_tracks(SCORE, cues, MINUTE).marks
    assert [(m.start_ms, m.end_ms, m.kind, m.squares) for m in marks] == [
        (1000, 4000, "arrow", squares_of(["e1", "e8"])),
        (1000, 11_000, "route", squares_of(["g1", "f3", "e5"])),
        (55_000, MINUTE, "route", squares_of(["g1", "f3", "e5"])),
    ]


def test_cues_at_one_time_act_together():
    mark = MarkSpec(square="e4")
    cues = (
        CueSpec(at=1000, show="1w", think=2),
        CueSpec(at=1000, show="2w", marks=(mark,)),
        CueSpec(at=1000, think=5, marks=(mark,)),
    )
    tracks = build_tracks(SCORE, cues, MINUTE)
    assert [s.address for s in tracks.board.spans] == ["start", "2w"]
    assert tracks.pauses == (ThinkPause(1000, 5000),)
    assert len(tracks.marks) == 2
    (finding,) = tracks.findings
    assert (finding.code, finding.severity) == ("cue-clash", Severity.WARNING)


def test_a_cue_that_cannot_be_shown_is_a_finding_with_a_place_and_changes_nothing():
    cues = (
        CueSpec(at=1000, show="2w"),
        CueSpec(at=2000, show="9b Nd5"),
        CueSpec(at=3000, show="2w Nxe4"),
        CueSpec(at=4000, fen="rubbish"),
        CueSpec(at=MINUTE, show="3w"),
    )
    tracks = build_tracks(SCORE, cues, MINUTE, place=lambda i: {"file": "lesson.yaml", "line": 10 + i})
    assert [s.address for s in tracks.board.spans] == ["start", "2w"]
    assert [(f.code, f.line, f.at_ms) for f in tracks.findings] == [
        ("bad-address", 11, 2000),
        ("bad-address", 12, 3000),
        ("bad-fen", 13, 4000),
        ("cue-after-end", 14, MINUTE),
    ]
    assert all(f.fix and f.severity is Severity.ERROR for f in tracks.findings)
    assert "the mainline has no 9b; it ends at 4w" in tracks.findings[0].message


def test_marks_of_the_score_stand_with_their_position():
    score = read_score("1. e4 { [%csl Gd5][%cal Gd2d4] } e5 *\n")
    cues = (CueSpec(at=1000, show="1w"), CueSpec(at=2000, show="1b"))
    marks = build_tracks(score, cues, 3000).marks
    assert [(m.start_ms, m.end_ms, m.kind, m.squares) for m in marks] == [
        (1000, 2000, "arrow", squares_of(["d2", "d4"])),
        (1000, 2000, "square", squares_of(["d5"])),
    ]
    assert build_tracks(score, cues, 3000, score_marks=False).marks == ()


def test_no_length_no_tracks():
    with pytest.raises(ValueError, match="0 ms"):
        build_tracks(SCORE, (), 0)


CUE = st.builds(
    CueSpec,
    at=st.integers(0, 70_000),
    show=st.sampled_from(["start", "1w", "2w", "3w Nf6 O-O", "4w", "99b", "", "3w Qxf7"]),
    think=st.none() | st.just(1.5),
    marks=st.lists(st.just(MarkSpec(square="e4", for_ms=1200)), max_size=1).map(tuple),
)


@given(st.lists(CUE, max_size=12), st.integers(1, MINUTE))
def test_tracks_are_whole_whatever_the_cues(cues: list[CueSpec], end_ms: int):
    tracks = build_tracks(SCORE, cues, end_ms)
    assert is_whole(tracks.board.spans, end_ms)
    assert all(0 <= m.start_ms < m.end_ms <= end_ms for m in tracks.marks)
    assert all(0 <= p.at_ms < end_ms for p in tracks.pauses)
    rows = list(csv.reader(io.StringIO(write_positions(tracks.board))))
    assert tuple(rows[0]) == HEADER == ("start", "end", "fen", "address", "origin")
    assert rows[1][0] == "0.000"
    assert rows[-1][1] == f"{end_ms / 1000:.3f}"
    for before, after in pairwise(rows[1:]):
        assert before[1] == after[0]
    for row in rows[1:]:
        assert chess.Board(row[2]).is_valid()
        assert row[4] in ("score", "sideline", "hand")


@given(st.lists(st.sampled_from(["1w", "1b", "2w", "3b", "3w Nf6"]), min_size=1, max_size=8))
def test_every_fen_is_what_the_moves_give(shows: list[str]):
    """The positions re-derived with python-chess from the path's moves."""
    cues = [CueSpec(at=1000 * i, show=show) for i, show in enumerate(shows)]
    for span in build_tracks(SCORE, cues, MINUTE).board.spans:
        board = chess.Board()
        for uci in span.path:
            board.push_uci(uci)
        assert board.fen() == span.fen

"""Arrows that would lie on one another get lanes of their own."""

from __future__ import annotations

import chess
from hypothesis import given, settings
from hypothesis import strategies as st

from overlays.lanes import bent, corner, lanes
from overlays.samples import arrow
from timeline.tracks import MarkSpan

SQUARES = st.sampled_from(chess.SQUARES)


def lanes_of(*told: str) -> list[int]:
    return lanes([arrow(squares, "plan", i, 1000) for i, squares in enumerate(told)])


def test_one_arrow_is_straight() -> None:
    assert lanes_of("e2-e4") == [0]


def test_arrows_in_one_file_part() -> None:
    assert lanes_of("e1-e8", "e2-e5", "e7-e3") == [0, 1, 2]


def test_to_and_fro_part() -> None:
    assert lanes_of("e2-b5", "b5-e2") == [0, 1]


def test_arrows_from_different_sides_need_no_lane() -> None:
    assert lanes_of("e1-e5", "a5-e5", "b2-e5") == [0, 0, 0]


def test_a_knight_and_a_rook_that_enter_from_one_side_part() -> None:
    assert lanes_of("e8-e5", "c6-e5") == [0, 1]


def test_marks_that_are_never_together_share_a_lane() -> None:
    marks = [MarkSpan(0, 1000, "arrow", (12, 28), "plan"), MarkSpan(1000, 2000, "arrow", (12, 36), "plan")]
    assert lanes(marks) == [0, 0]


def test_the_same_mark_twice_keeps_its_lane() -> None:
    marks = [MarkSpan(0, 1000, "arrow", (12, 28), "plan"), MarkSpan(500, 2000, "arrow", (12, 28), "plan")]
    assert lanes(marks) == [0, 0]


def test_knights_bend_at_the_corner_of_their_l() -> None:
    assert corner(chess.G1, chess.F3) == chess.G3
    assert corner(chess.G1, chess.E2) == chess.E1
    assert corner(chess.G1, chess.G8) is None
    assert bent((chess.G1, chess.F3, chess.F7)) == [chess.G1, chess.G3, chess.F3, chess.F7]


def test_a_route_does_not_run_back_over_itself() -> None:
    assert bent((chess.G1, chess.H3, chess.F4)) == [chess.G1, chess.G3, chess.H3, chess.H4, chess.F4]


@given(st.lists(st.tuples(SQUARES, SQUARES).filter(lambda p: p[0] != p[1]), max_size=8))
@settings(max_examples=30)
def test_an_earlier_mark_never_moves_for_a_later_one(pairs: list[tuple[int, int]]) -> None:
    marks = [MarkSpan(i, 1000 + i, "arrow", pair, "attack") for i, pair in enumerate(pairs)]
    for count in range(len(marks)):
        assert lanes(marks)[:count] == lanes(marks[:count])

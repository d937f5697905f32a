"""Motion by numbers: at the start, in the middle, at the end."""

from __future__ import annotations

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st

from overlays.motion import (
    MOST_PLIES,
    Ply,
    Pose,
    Positions,
    Sprite,
    ease,
    faded,
    motion_ms,
    plies_between,
    pose_in,
    way,
)
from overlays.samples import span

SHARES = st.floats(0, 1)


@pytest.mark.parametrize(("t", "value"), [(0, 0), (0.5, 0.5), (1, 1), (-3, 0), (7, 1), (0.25, 0.15625)])
def test_ease(t: float, value: float) -> None:
    """Cubic Hermite 3t^2 - 2t^3."""
    assert ease(t) == value


@given(SHARES, SHARES)
def test_ease_never_goes_back(a: float, b: float) -> None:
    low, high = sorted((a, b))
    assert 0 <= ease(low) <= ease(high) <= 1
    assert ease(low) + ease(1 - low) == pytest.approx(1)


def test_straight_way() -> None:
    assert [way(chess.A1, chess.H8, t) for t in (0, 0.5, 1)] == [(0, 0), (3.5, 3.5), (7, 7)]


def test_a_knight_bows_around_the_corner_of_its_l() -> None:
    """Quadratic Bezier curve with control point g3: at half-time a quarter of each end, half of the corner."""
    assert way(chess.G1, chess.F3, 0) == (6, 0)
    assert way(chess.G1, chess.F3, 1) == (5, 2)
    assert way(chess.G1, chess.F3, 0.5) == (0.25 * 6 + 0.5 * 6 + 0.25 * 5, 0.5 * 2 + 0.25 * 2)
    assert way(chess.B8, chess.D7, 0.5) == (0.25 * 1 + 0.5 * 3 + 0.25 * 3, 0.25 * 7 + 0.5 * 7 + 0.25 * 6)


@given(st.sampled_from(chess.SQUARES), st.sampled_from(chess.SQUARES), SHARES)
def test_ways_stay_on_the_board(tail: int, head: int, t: float) -> None:
    x, y = way(tail, head, t)
    assert -1e-9 <= x <= 7 + 1e-9
    assert -1e-9 <= y <= 7 + 1e-9


CASES = {
    "quiet": (chess.STARTING_FEN, "g1f3"),
    "capture": ("4k3/8/8/3p4/8/2N5/8/4K3 w - - 0 1", "c3d5"),
    "short castling": ("r3k2r/8/8/8/8/8/8/R3K2R w KQkq - 0 1", "e1g1"),
    "long castling": ("r3k2r/8/8/8/8/8/8/R3K2R b KQkq - 0 1", "e8c8"),
    "promotion": ("4k3/1P6/8/8/8/8/8/4K3 w - - 0 1", "b7b8n"),
    "capture and promotion": ("r3k3/1P6/8/8/8/8/8/4K3 w - - 0 1", "b7a8q"),
    "en passant": ("4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 1", "e5d6"),
}


@pytest.mark.parametrize("name", CASES)
@pytest.mark.parametrize("back", [False, True])
def test_motion_begins_and_ends_in_the_two_positions(name: str, back: bool) -> None:
    """The positions are python-chess's own, before and after ``push``."""
    fen, move = CASES[name]
    board = chess.Board(fen)
    before = board.board_fen()
    board.push_uci(move)
    ends = (board.board_fen(), before) if back else (before, board.board_fen())
    assert pose_in(Ply(fen, move, back), 0) == Pose(ends[0])
    assert pose_in(Ply(fen, move, back), 1) == Pose(ends[1])


def test_castling_moves_both() -> None:
    pose = pose_in(Ply(*CASES["short castling"]), 0.5)
    assert pose.moving == (Sprite("R", 6, 0), Sprite("K", 5, 0))


def test_castling_when_the_king_takes_its_rook() -> None:
    """Chess960 writes castling as king takes rook (python-chess, ``Board.chess960``)."""
    fen = "1k2r3/8/8/8/8/8/8/1K2R3 w Ee - 0 1"
    ply = Ply(fen, "b1e1")
    assert pose_in(ply, 0.5, chess960=True).moving == (Sprite("R", 4.5, 0), Sprite("K", 3.5, 0))
    assert pose_in(ply, 1, chess960=True) == Pose("1k2r3/8/8/8/8/8/8/5RK1")


def test_a_captured_piece_stays_until_the_taker_is_near() -> None:
    ply = Ply(*CASES["capture"])
    assert Sprite("p", 3, 4, 1.0) in pose_in(ply, 0.5).moving
    assert all(s.alpha < 0.1 for s in pose_in(ply, 0.95).moving if s.symbol == "p")


def test_en_passant_takes_from_the_right_square() -> None:
    assert Sprite("p", 3, 4, 1.0) in pose_in(Ply(*CASES["en passant"]), 0.5).moving


def test_a_pawn_turns_into_its_new_piece_on_the_way() -> None:
    late = {s.symbol: s.alpha for s in pose_in(Ply(*CASES["promotion"]), 0.7).moving}
    assert 0 < late["N"] < 1
    assert late["P"] == pytest.approx(1 - late["N"])


def test_a_cut_keeps_what_both_positions_share() -> None:
    pose = faded("4k3/8/8/8/8/8/4P3/4K3 w - - 0 1", "4k3/8/8/8/4P3/8/8/4K3 w - - 0 1", 0.5)
    assert pose.standing == "4k3/8/8/8/8/8/8/4K3"
    assert pose.moving == (Sprite("P", 4, 1, 0.5), Sprite("P", 4, 3, 0.5))


def spans_of(*lines: str):
    boards = []
    for line in lines:
        board = chess.Board()
        for san in line.split():
            board.push_san(san)
        boards.append(span(board, 0, 1000, 0))
    return boards


def test_taken_back_moves_come_first() -> None:
    before, after = spans_of("e4 e5 Nf3", "e4 c5")
    plies = plies_between(Positions(chess.STARTING_FEN), before, after)
    assert plies is not None
    assert [(p.move, p.back) for p in plies] == [("g1f3", True), ("e7e5", True), ("c7c5", False)]
    board = chess.Board(plies[2].before)
    assert board.fullmove_number == 1
    assert board.turn == chess.BLACK


def test_far_jumps_are_cut() -> None:
    start, near, far = spans_of("", "e4 e5 Nf3 Nc6", "e4 e5 Nf3 Nc6 Bb5")
    assert len(plies_between(Positions(chess.STARTING_FEN), start, near) or ()) == MOST_PLIES
    assert plies_between(Positions(chess.STARTING_FEN), start, far) is None


@given(st.integers(0, 9), st.integers(0, 1000), st.integers(0, 10_000))
def test_motion_leaves_the_position_before_in_peace(plies: int, one: int, room: int) -> None:
    assert 0 <= motion_ms(plies, one, room) <= min(0.6 * room, 1.5 * one)

"""Moves written by hand with their numbers. Forms: PGN standard 1994, 8.2.2 (indicators) and 8.2.2.2 (export)."""

from __future__ import annotations

import chess
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from timeline.numbered import Written, out_of_step, written_moves


@pytest.mark.parametrize("text", ["11...Bxf6", "11... Bxf6", "11. ... Bxf6", "11 ... Bxf6", "11…Bxf6", "11..Bxf6"])
def test_ways_to_number_a_move_of_black(text: str) -> None:
    assert written_moves(text) == [Written("Bxf6", 11, white=False)]


@pytest.mark.parametrize(
    ("text", "wrong"),
    [
        ("11. Bxf6 Bxf6 12. Bxh7+ Kxh7", None),
        ("Bxf6 12. Bxh7+", None),
        ("...e5 Nf3", None),
        ("11. Bxf6 12. Bxf6", "12.Bxf6"),
        ("11. Bxf6 Bxf6 13. Bxh7+", "13.Bxh7+"),
        ("...e5 ...e6", "...e6"),
    ],
)
def test_numbers_follow_from_each_other(text: str, wrong: str | None) -> None:
    found = out_of_step(written_moves(text))
    assert (str(found) if found else None) == wrong


@settings(max_examples=40)
@given(st.randoms(use_true_random=False), st.integers(0, 12), st.integers(1, 6))
def test_what_python_chess_writes_is_read_back(dice, before: int, count: int) -> None:
    """Referee: ``chess.Board.variation_san`` numbers the moves; each fits the board on which it is made."""
    board = chess.Board()
    for _ in range(before):
        board.push(dice.choice(sorted(board.legal_moves, key=str)))
    start, line = board.copy(), []
    for _ in range(count):
        if board.is_game_over():
            break
        line.append(dice.choice(sorted(board.legal_moves, key=str)))
        board.push(line[-1])
    read = written_moves(start.variation_san(line))
    assert out_of_step(read) is None
    assert len(read) == len(line)
    for move, written in zip(line, read, strict=True):
        assert written.fits(start)
        assert start.parse_san(written.san) == move
        start.push(move)
        assert written.number is None or not written.fits(start)

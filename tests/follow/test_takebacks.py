"""Clauses that take moves back."""

from __future__ import annotations

import pytest
from followtalk import left_with, words

from timeline.follow.lexer import tokens
from timeline.follow.takebacks import ALL, SOME, counted, put_back


def counts(said: str) -> list[int]:
    return [back.moves for back in put_back(tokens(words(said))).values()]


@pytest.mark.parametrize(
    ("said", "count"),
    [
        ("let me put that back.", SOME), ("so we take that off.", SOME), ("no wait sorry let me take it back.", SOME),
        ("let's have it back.", SOME), ("lift it off again.", SOME), ("let me unpush that.", SOME), ("wait, rewind that a bit.", SOME),
        ("back up.", SOME),
        ("put it back for a second and try g six.", SOME), ("lift those last two off.", 2), ("I remove both moves.", 2),
        ("both back please.", 2), ("I take all of it back.", ALL), ("we take all that back.", ALL),
        ("so start again.", ALL),
    ],
)  # fmt: skip
def test_moves_are_put_back(said: str, count: int) -> None:
    assert counts(said) == [count]


@pytest.mark.parametrize(
    "said",
    [
        "he takes it back.", "we take it back.", "how would you take it back?", "if you take it off the board", "he can't take it back.",
        "put it back on e four.", "the bishop takes that.", "so take it.", "take that pawn.", "rewind two moves.", "you can also start over.",
        "let me rewind to when I took.", "do you back up?", "he has to back up.",
    ],
)  # fmt: skip
def test_a_capture_or_a_square_puts_nothing_back(said: str) -> None:
    assert counts(said) == []


def test_the_same_is_said_twice_and_done_once() -> None:
    assert counts("so put it back put it back we need a move.") == [SOME]


def test_counted() -> None:
    assert [counted(tokens(words(said)), 0) for said in ("so go back two moves.", "one move earlier.", "two moves are left.")] == [2, 1, 0]


@pytest.mark.parametrize("said", ["I take all of it back.", "So let me put that back.", "Wait let's have that back."])
def test_the_board_goes_back_with_the_words(said: str) -> None:
    assert left_with(said) == said.split()[0]

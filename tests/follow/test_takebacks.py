"""Clauses that take moves back."""

from __future__ import annotations

import chess
import pytest
from followtalk import left_with, words

from timeline.follow import follow_words
from timeline.follow.lexer import tokens
from timeline.follow.takebacks import ALL, SOME, counted, man_put_back, put_back
from timeline.score import read_score


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
        ("so start again.", ALL), ("let me take it away.", SOME), ("all right scrap all that.", ALL), ("so forget that.", ALL),
        ("quick put it all back.", ALL), ("that's a draw on the spot lift those last two off.", 2), ("pieces back on the card please.", ALL),
        ("check one all whistle everybody back to their places.", ALL), ("came in put those two back for me.", 2),
    ],
)  # fmt: skip
def test_moves_are_put_back(said: str, count: int) -> None:
    assert counts(said) == [count]


@pytest.mark.parametrize(
    "said",
    [
        "he takes it back.", "we take it back.", "how would you take it back?", "if you take it off the board", "he can't take it back.",
        "put it back on e four.", "the bishop takes that.", "so take it.", "take that pawn.", "rewind two moves.", "you can also start over.",
        "let me rewind to when I took.", "do you back up?", "forget that pawn.", "don't forget that.", "he's got everything back and we look", "is everyone back from the break?", "he took both pieces back.",
        "and she puts everything back.", "he wins the pieces back.", "he takes it away.", "he has to back up.",
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


@pytest.mark.parametrize(
    ("said", "put"),
    [
        ("put my rook back on a six.", (chess.ROOK, chess.A6)), ("let me put the knight back.", (chess.KNIGHT, None)),
        ("so put her back on g eight please.", (chess.QUEEN, chess.G8)), ("put her back in the box.", (chess.QUEEN, None)),
        ("he put the rook back on a six.", None), ("put him back.", None), ("put the rook on a six.", None),
    ],
)  # fmt: skip
def test_a_man_is_put_back(said: str, put: tuple[int, int | None] | None) -> None:
    assert man_put_back(tokens(words(said)), 0) == put


def test_a_man_that_was_taken_is_put_back_as_well() -> None:
    """Knight takes e5, rook takes: with the knight back it is before the rook took."""
    score = read_score("1. e4 e5 2. Nf3 Nc6 3. Bb5 Nf6 4. O-O Nxe4 5. Re1 Nd6 6. Nxe5 Nxe5 7. Rxe5+ Be7 *")
    talk = (
        "E4, e5, knight f3, knight c6, bishop b5, knight f6, castles, knight takes e4, rook e1, knight d6, knight takes e5, knight takes e5, "
        "rook takes e5. Put the knight back in the middle for a moment. What people do these days is bishop e7 and wait."
    )
    cues = follow_words(words(talk), score, marks=False).cues
    put = next(cue for cue in cues if cue.first >= talk.split().index("Put"))
    assert put.address == "6b"

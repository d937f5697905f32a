"""Remarks between commas bind nothing that is said of the board; conditions, denials and other times do."""

from __future__ import annotations

import chess
import pytest
from judging import called_wrong, spoken

from timeline.checks.remarks import without_remarks
from timeline.checks.speech import sentences

SPANISH = "r1bqkbnr/pppp1ppp/2n5/1B2p3/4P3/5N2/PPPP1PPP/RNBQK2R b KQkq - 3 3"
"""The d pawn shields the king: the knight on c6 is not pinned, nobody is in check, White has two bishops."""


def wrong(say: str) -> bool:
    return called_wrong({"fen": SPANISH, "game": None, "say": say})


@pytest.mark.parametrize(
    "say",
    [
        "Black, don't forget it like my uncle did, is in check.",
        "The knight on c6, and you see it if you take your time, is pinned to the king.",
        "On e5, and I would have laughed at this, there's a queen.",
        "White has, let me count with my sugar cubes, three bishops.",
    ],
)
def test_a_false_statement_around_a_remark_is_called_wrong(say: str) -> None:
    assert not chess.Board(SPANISH).is_check()
    assert wrong(say)


@pytest.mark.parametrize(
    "say",
    [
        "Black, if White moves the bishop, is in check.",
        "The knight on c6, if he pushes the pawn, is pinned to the king.",
        "The knight on c6, if we leave it there, is pinned to the king.",
        "Black, they say, is in check.",
        "Black, in another game, is in check.",
        "The knight on c6, no, sorry, is not pinned to the king.",
        "Black, in a moment, is in check.",
        "The knight on c6, I'd say, is pinned to the king.",
    ],
)
def test_what_binds_the_statement_is_no_remark(say: str) -> None:
    assert not wrong(say)


@pytest.mark.parametrize(
    ("say", "left"),
    [
        ("White, don't forget it like my uncle did, is in check.", "white is in check"),
        ("On a4, and I have seen it, stands a queen.", "on a4 , stands a queen"),
        ("White is in check.", None),
        ("White is in check, Black is not.", None),
    ],
)
def test_the_rest_of_the_sentence_is_joined(say: str, left: str | None) -> None:
    (sentence,) = sentences(spoken(say))
    bare = without_remarks(sentence)
    assert (bare.text.strip() if bare is not None else None) == left


@pytest.mark.parametrize(
    "say",
    [
        "There is no enemy pawn that could ever stop the pawn on e4 on its way to the other end, and that, as you will all "
        "remember, makes it passed.",
        "There is a little hole in the fence, and the hole is on b4, in White's camp, where no pawn can look after it any longer.",
    ],
)
def test_a_long_sentence_is_read_as_one_where_the_weights_are_sure(say: str) -> None:
    assert wrong(say)


@pytest.mark.parametrize(
    ("true", "false"),
    [
        ("Black is not in check, I mean look at it.", "Black is in check, I mean look at it."),
        ("Black is in check, I mean White is.", "Black is in check, I mean it hurts."),
        ("On the d file White has no pawn on d4.", "White has seven pawns left on the board."),
        ("White drew the conclusion, and Black has both bishops.", "White has three bishops, as you may conclude."),
        ("In yesterday's round Black was in check.", "In this round Black is in check."),
        ("Black moves, which is like when White moves.", "Black is in check, like when the doorbell rings."),
        ("The one who moves second is called Black, and the one who moves first White.", "It is White to move."),
    ],
)
def test_a_true_sentence_is_let_be_and_the_false_one_is_not(true: str, false: str) -> None:
    assert not wrong(true)
    assert wrong(false)

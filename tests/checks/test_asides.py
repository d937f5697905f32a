"""Asides and ways round that hold "if", "would" or "should" and yet say how things stand; and some that do not."""

# ruff: noqa: E501  (a pair stands on one line)

from __future__ import annotations

import pytest
from judging import called_wrong

# White: Kg1 Rd1 Bb5 Nf3 Pe4 Pf2; Black: Kg8 Rd8 Nc6 Pe5 Pa7
PLAIN = "3r2k1/p7/2n5/1B2p3/4P3/5N2/5P2/3R2K1 w - - 0 30"
START = "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1"


def wrong(say: str, fen: str = PLAIN) -> bool:
    return called_wrong({"fen": fen, "game": None, "say": say})


@pytest.mark.parametrize(
    ("true", "false"),
    [
        ("If I've counted right, White has two pawns left.", "If I've counted right, White has three pawns left."),
        ("White has two pawns left, if I'm not mistaken.", "White has three pawns left, if I'm not mistaken."),
        ("One would classify the pawn on a7 as isolated.", "One would classify the pawn on f2 as isolated."),
        ("Under the diagram it would say, White to move.", "Under the diagram it would say, Black to move."),
        ("Rook to d2 would be a fine try, except that it's legal.", "Rook to d2 would be a fine try, except that it's illegal."),
        ("The knight on f3 can, should it so decide, take the pawn on e5.", "The knight on f3 can, should it so decide, take the knight on c6."),
        ("This game stands at move thirty.", "This game stands at move eleven."),
        ("White has just moved, which means it's over to White.", "White has just moved, which means it's over to Black."),
        ("Ask yourself what guards the knight on c6, and the answer is nothing.", "Ask yourself what guards the pawn on f2, and the answer is nothing."),
        ("The square f3, what colour is it? It's light.", "This f3, what colour is it? It's dark."),
        ("The rook on d1 is not loose, there's the king.", "The pawn on f2 is loose, nobody guards it."),
    ],
)  # fmt: skip
def test_an_aside_leaves_the_statement_a_statement(true: str, false: str) -> None:
    assert not wrong(true)
    assert wrong(false)


@pytest.mark.parametrize(
    "say",
    [
        "If I take on e5, White has three pawns left.",
        "If Black had counted right, White would have three pawns left.",
        "One could play rook to d2, if it weren't illegal.",
        "The bishop on b5 doesn't lack cover.",
        "Remember that time I hung my rook on d1.",
        "Should Black take it, White has three pawns left.",
    ],
)
def test_a_condition_stays_one(say: str) -> None:
    assert not wrong(say)


def test_castling_is_what_was_asked_about() -> None:
    assert wrong("Castling? White has done it already.", START)
    assert not wrong("Castling? White hasn't done it yet.", START)


def test_who_is_ahead_and_by_how_much_is_one_statement() -> None:
    assert wrong("Who's ahead? Black is, by a rook.")
    assert not wrong("Who's ahead? White is, by a bishop.")


def test_what_covers_it_from_a_square_is_a_piece_there() -> None:
    said = "The {} is safe, because it's covered from b5 by the bishop."
    assert wrong(said.format("pawn on a7"))
    assert not wrong(said.format("knight on c6").replace("covered", "attacked"))


@pytest.mark.parametrize(
    ("true", "false", "fen"),
    [
        ("Our story has now come to move thirty.", "Our story has now come to move nine.", PLAIN),
        ("The move number is thirty.", "The move number is nine.", PLAIN),
        (
            "White has no pieces off their starting squares, you see.",
            "White has two pieces off their starting squares.",
            START,
        ),
        ("Still no castling from White.", "Castling is something that White has already done.", START),
        ("This opening has a name, can everyone say that?", "It's Black's turn, can everyone say that?", START),
    ],
)
def test_plain_facts_in_longer_words(true: str, false: str, fen: str) -> None:
    assert not wrong(true, fen)
    assert wrong(false, fen)


def test_a_mate_that_hides_is_there_and_one_on_its_way_is_not() -> None:
    assert wrong("There's a mate in one hiding in this position.")
    assert not wrong("There's a mate in one hiding in this position.", "6k1/5ppp/8/8/8/8/5PPP/R5K1 w - - 0 30")
    assert not wrong("There's a mate in one coming for Black.")

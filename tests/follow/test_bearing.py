"""Marks agree with the words: who attacks or defends whom, which men are named, which are said to be absent."""

from __future__ import annotations

import chess
import pytest
from followtalk import words

from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.pointing import MOST_LIT, find_marks
from timeline.follow.tree import Tree
from timeline.score import read_score
from timeline.tracks import MarkSpan

MIDDLEGAME = """[SetUp "1"]
[FEN "r2qrbk1/1pp2ppp/1nn1b3/4p3/8/P1NP2PP/2Q1PPB1/1RB2RK1 b - - 0 17"]

1... Nd4 *"""
FORK = """[SetUp "1"]
[FEN "r4rk1/ppp2ppp/2n1r3/8/3P4/8/PP3PPP/1R3RK1 w - - 0 1"]

1. d5 *"""


def spans(talk: str, score: str = MIDDLEGAME) -> tuple[MarkSpan, ...]:
    """Marks for talk that moves nothing, on the position after the score's one move."""
    game = read_score(score)
    node = Tree(game).at(game.moves[:1])
    lattice = Lattice(tokens(words(talk)))
    return find_marks(lattice, [node] * lattice.n, [(0, lattice.n)], [1_000_000] * lattice.n)


def arrows(talk: str, score: str = MIDDLEGAME) -> set[tuple[str, str]]:
    return {
        (chess.square_name(m.squares[0]) + chess.square_name(m.squares[1]), m.role) for m in spans(talk, score) if m.kind == "arrow"
    }


def squares(talk: str, score: str = MIDDLEGAME) -> set[str]:
    return {chess.square_name(m.squares[0]) for m in spans(talk, score) if m.kind == "square"}


@pytest.mark.parametrize(
    ("talk", "expected"),
    [
        ("The bishop on e6 is protected by the rook on e8.", {("e8e6", "defence")}),
        ("The queen on d8 is defended by the rook on a8.", {("a8d8", "defence")}),
        ("The knight on d4 is well covered by the e pawn.", {("e5d4", "defence")}),
        ("Our queen is attacked by the black knight.", {("d4c2", "attack")}),
        ("The queen has been hit by the knight.", {("d4c2", "attack")}),
        ("The knight on d4, guarded by the pawn on e5, is strong.", {("e5d4", "defence")}),
        ("He attacks the queen with the knight.", {("d4c2", "attack")}),
        ("The bishop is defended twice, by the rook and by the pawn on f7.", {("e8e6", "defence"), ("f7e6", "defence")}),
        ("It's protected by the pawn.", {("e5d4", "defence")}),
        ("It attacks the queen, and the bishop cannot be taken.", {("d4c2", "attack")}),
        ("It attacks the queen and the rook must stay.", {("d4c2", "attack")}),
        ("White's knight on c3 protects the pawn on e2.", {("c3e2", "defence")}),
    ],
)
def test_an_arrow_goes_from_the_doer_to_whom_it_is_done(talk: str, expected: set[tuple[str, str]]) -> None:
    assert arrows(talk) == expected


@pytest.mark.parametrize(
    "talk",
    [
        "The queen is protected by the rook on b1.",
        "The queen on d8 is guarded by the rook on f8.",
        "The bishop on e6 is pinned by the rook on b1.",
        "White's queen is attacked by the bishop.",
        "The queen is not attacked by the knight.",
        "The knight does not attack the queen.",
        "The knight forks the rook and the king.",
        "The white knight attacks the queen.",
    ],
)
def test_what_does_not_stand_so_gets_no_arrow(talk: str) -> None:
    assert arrows(talk) == set()


@pytest.mark.parametrize(
    "talk", ["and d5 forks the rook and the knight", "rook takes, and d5 forks the knight and the rook", "This forks rook and knight."]
)
def test_a_pawn_that_has_just_moved_is_named_by_its_square(talk: str) -> None:
    assert arrows(talk, FORK) == {("d5c6", "attack"), ("d5e6", "attack")}


def test_men_of_whom_only_the_fate_is_told_are_marked_where_it_is_clear_which() -> None:
    both = '[SetUp "1"]\n[FEN "r2qrbk1/1pp2ppp/1nn1b3/4p1N1/3n4/P1NP2PP/2Q1PPB1/1RB2RK1 w - - 0 18"]\n\n1. Nxe6 *'
    assert squares("Now both queens are attacked.", both) == {"c2", "d8"}
    assert squares("The queen is attacked.") == {"c2"}
    assert squares("The pawn is attacked.") == set()


@pytest.mark.parametrize(
    "talk",
    [
        "There is no knight on d7 yet.",
        "There isn't a rook on d1.",
        "As long as there is no black bishop on d6, all is well.",
        "The knight is no longer on f3.",
        "Black hasn't got a pawn on a7 any more.",
        "If only there were a rook on d1.",
        "The knight on f6 isn't there any more.",
    ],
)
def test_men_who_are_said_to_be_absent_are_not_marked(talk: str) -> None:
    assert squares(talk) == set()


@pytest.mark.parametrize(
    ("talk", "square"), [("No, the knight on d4 is strong.", "d4"), ("There is no doubt about the hole on d5.", "d5")]
)
def test_a_denial_of_something_else_takes_no_mark_away(talk: str, square: str) -> None:
    assert squares(talk) == {square}


def test_men_read_out_one_by_one_do_not_all_stay_lit() -> None:
    said = spans("White has the king on g1, the queen on c2, rooks on b1 and on f1, a bishop on g2, a knight on c3, a pawn on a3.")
    assert len(said) >= 6
    assert max(sum(o.start_ms <= m.start_ms < o.end_ms for o in said) for m in said) == MOST_LIT

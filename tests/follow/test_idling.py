"""Moves of which words say only that one is made: which words do, and which move stands for all of them."""

from __future__ import annotations

import chess
import pytest
from followtalk import setup, words

from timeline.follow.follow import follow_words
from timeline.follow.idling import idle_at, waited
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.lookahead import Lookahead
from timeline.follow.tree import Tree
from timeline.score import read_score

ROOKS = read_score(setup("R7/P5k1/8/8/7P/6K1/r7/8 w - - 0 1", "1. h5 Kh7 2. h6 Ra3+ 3. Kf4 Ra4+"))
HEAVY = read_score(setup("6k1/5ppp/8/8/8/2r5/5PPP/1R4K1 b - - 0 1", "1... h6 2. g3"))

BRIDGE = read_score(setup("8/1k6/8/8/4P3/4K3/7r/6R1 w - - 0 1", "1. Rg5 Rh1 2. Kd4 Rd1+ 3. Ke5 Re1"))


@pytest.mark.parametrize(
    "said",
    [
        "black waits.", "and he just shuffles back again,", "he still does nothing.", "any king move,", "some waiting move,",
        "king somewhere,", "then the king has to go somewhere,", "wherever he goes I have a queen.", "whatever black plays, we take.",
        "let him pass,", "he'll mark time", "suppose he moves his rook anywhere,",
    ],
)  # fmt: skip
def test_words_tell_of_some_move(said: str) -> None:
    assert idle_at(tokens(words(said)), 0) is not None


@pytest.mark.parametrize(
    "said",
    [
        "he waits on a1.", "he passes the pawn.", "he waits for the check.", "he has no king move.", "he plays on the kingside.",
        "a move later", "he goes to the corner.", "he cannot wait.", "the king stays somewhere safe.",
    ],
)  # fmt: skip
def test_words_tell_of_none(said: str) -> None:
    assert idle_at(tokens(words(said)), 0) is None


def shown(score, said: str) -> list[str]:
    return [cue.address.split()[-1] for cue in follow_words(words(said), score, marks=False).cues]


@pytest.mark.parametrize("idle", ["he shuffles", "any king move", "king somewhere", "he does something", "he marks time"])
def test_a_line_goes_on_over_moves_that_are_not_told(idle: str) -> None:
    """The king goes to and fro."""
    said = f"Pawn h five. King h seven. What if I walk, king f four, {idle}, king e five, {idle}, king d six. No, pawn h six was played."
    assert shown(ROOKS, said) == ["1w", "1b", "Kf4", "Kg7", "Ke5", "Kh7", "Kd6", "2w"]


def test_a_move_named_after_such_words_is_that_move() -> None:
    said = "Pawn h five. King h seven. What if I walk, king f four, he waits, rook a three, king e five. No, pawn h six was played."
    assert shown(ROOKS, said) == ["1w", "1b", "Kf4", "Ra3", "Ke5", "2w"]


def test_a_check_answered_somehow_does_not_hide_what_follows() -> None:
    said = "Here black played h six. If he goes king f eight, rook b eight check, king somewhere, rook b seven check, king somewhere, rook takes f seven."
    assert shown(HEAVY, said)[-1] == "Rxf7+"


def test_a_check_after_a_comma_may_be_the_answer_to_the_move_before_it() -> None:
    said = (
        "Rook g five. Rook h one. King d four. Rook d one check. King e five, rook e one. Good. "
        "But what if rook g four, black waits, king d four, check, king e five, check."
    )
    line = shown(BRIDGE, said)[6:]
    assert [line[0], *line[2:]] == ["Rg4", "Kd4", "Rd1+", "Ke5"]


def test_the_game_s_own_waiting_move_is_taken_unless_it_gives_something_away() -> None:
    """The study's method is classical (Lucena); its moves are known to everybody who teaches rook endings."""
    score = read_score(setup("6K1/4k1P1/8/8/8/8/7r/5R2 w - - 0 1", "1. Re1+ Kd7 2. Re4 Rh1 3. Kf7 Rf1+"))
    toks = tokens(words("Black waits, king f seven, check."))
    lattice, tree = Lattice(toks), Tree(score)
    idle = idle_at(toks, 0)
    third_rank = tree.child(tree.main[2], chess.Move.from_uci("e1e3"))
    assert idle is not None
    stands = waited(tree, Lookahead(lattice, tree), third_rank, idle)
    assert stands is not None
    assert stands.move == chess.Move.from_uci("h2h1")


def test_the_man_that_goes_somewhere_does_not_make_the_move_of_another() -> None:
    """Black's rook could go to g5 as well, but it was the king that moved."""
    toks = tokens(words("King somewhere, rook g five."))
    lattice, tree = Lattice(toks), Tree(read_score(setup("8/3k2P1/5K2/4R3/8/8/6r1/8 b - - 0 1", "1... Kd6")))
    idle = idle_at(toks, 0)
    assert idle is not None
    stands = waited(tree, Lookahead(lattice, tree), tree.root, idle)
    assert stands is not None
    assert stands.board.piece_type_at(stands.move.to_square) == chess.KING

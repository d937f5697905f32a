"""Players' names stand for their side."""

from __future__ import annotations

from timeline.follow.lexer import tokens
from timeline.follow.players import with_sides
from timeline.score import Score, read_score
from timeline.transcript.words import Word


def score(white: str, black: str) -> Score:
    return read_score(f'[White "{white}"]\n[Black "{black}"]\n\n1. e4 e5 *\n')


def heard(text: str, score: Score) -> str:
    spoken = [Word(w, 300 * k, 300 * k + 250) for k, w in enumerate(text.split())]
    return " ".join(tok.text for tok in with_sides(tokens(spoken), score))


def test_names_and_possessives_become_sides() -> None:
    game = score("Anderssen, Adolf", "de la Bourdonnais, Louis")
    assert (
        heard("Anderssen takes, and Bourdonnais's king runs from Adolf", game)
        == "white takes and black's king runs from white"
    )


def test_a_name_that_is_a_chess_word_is_left_alone() -> None:
    assert heard("the king takes and black waits", score("King, A", "White, B")) == "the king takes and black waits"


def test_a_name_of_both_tells_nobody_apart() -> None:
    assert heard("Miller takes", score("Miller, Ann", "Miller, Ben")) == "miller takes"
    assert heard("Ben takes", score("Miller, Ann", "Miller, Ben")) == "black takes"


def test_unknown_players_change_nothing() -> None:
    assert heard("Anderssen takes", score("?", "?")) == "anderssen takes"


def test_a_part_played_is_no_name() -> None:
    assert heard("of course my teacher takes", score("Teacher", "Course")) == "of course my teacher takes"

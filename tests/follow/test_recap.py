"""Positions shown again after the game has been told."""

from __future__ import annotations

import pytest

from timeline.follow import follow_words
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.recap import LEAST, Recap
from timeline.follow.spine import Spine
from timeline.follow.tenor import mentions_of
from timeline.follow.tree import Tree
from timeline.score import Score, read_score
from timeline.transcript.words import Word

GAME = "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Bxc6 dxc6 5. O-O f6 6. d4 exd4 7. Nxd4 c5 *"
TOLD = (
    "White begins with e4, e5, knight f3, knight c6, bishop b5, a6. Bishop takes c6, d takes c6, White castles, f6. "
    "d4, e takes d4, knight takes d4, and c5. That is the game."
)


def said(text: str) -> list[Word]:
    return [Word(word, 400 * k, 400 * k + 300) for k, word in enumerate(text.split())]


def shown_after(text: str, score: Score) -> list[tuple[str, str]]:
    """First word (of the clause) and address of every change after the game was told."""
    words = said(f"{TOLD} {text}")
    begun = len(TOLD.split())
    return [(words[c.first].text, c.address) for c in follow_words(words, score).cues if c.first >= begun]


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("One last look at the position after bishop b5. That was the idea.", [("One", "3w")]),
        ("Remember this picture, with the knight just taken on d4.", [("Remember", "7w")]),
        ("Let us go back to where he put his pawn on a6. Was it needed?", [("Let", "3b")]),
        ("Go back to the start. Everything is still there.", [("Go", "start")]),
        ("Look here, before he played his pawn to a6, he was fine.", [("Look", "3w")]),
        ("And this is how it ended. Thank you.", []),  # it stands there
        ("I like the bishops very much. The pawn on e4 is weak.", []),
        (
            "Keep one picture in mind, the bishop on b5, quiet and strong. And this is where it ended. Good night.",
            [("Keep", "3w"), ("And", "7b")],
        ),
    ],
)
def test_a_position_named_after_the_game_is_shown_from_its_clause_on(text: str, shown: list[tuple[str, str]]) -> None:
    assert shown_after(text, read_score(GAME)) == shown


def recap_of(text: str, score: Score) -> Recap:
    lattice = Lattice(tokens(said(text)))
    tree, order = Tree(score), mentions_of(lattice)
    return Recap(lattice.context, tree, Spine(lattice, tree, order), order)


def test_every_option_is_a_position_of_the_mainline_that_the_words_can_mean() -> None:
    score = read_score(GAME)
    recap = recap_of(f"{TOLD} This one, before the knight took on d4. The king stands on h5.", score)
    clauses = [i for i in recap.clauses() if i >= recap.end]
    found = {i: recap.grounds(i) for i in clauses}
    meant = found[clauses[0]] if len(found[clauses[0]]) > 2 else found[clauses[1]]
    assert 12 in meant  # before the knight's move
    assert 13 not in meant
    assert set(meant) <= {-1, *range(len(score.moves) + 1)}
    king = next(i for i in clauses if recap.toks[i + 1].text == "king")
    assert set(found[king]) <= {-1, len(score.moves)}  # no king comes to h5: only staying, and where the game ended
    for odds in recap.all_odds().values():
        assert all(value > LEAST for value in odds.values())


@pytest.mark.parametrize(
    ("said", "plies"),
    [
        ("One last look, before he played his knight to d4.", {12}),
        ("One last look, after the white knight came to d4.", {13}),
        ("One last look, before he took the knight.", {6}),
        ("One last look at the knight on d4.", {12, 13}),
    ],
)
def test_before_and_after_rule_the_move_that_follows(said: str, plies: set[int]) -> None:
    recap = recap_of(f"{TOLD} {said}", read_score(GAME))
    first = next(i for i in recap.clauses() if recap.toks[i].text == "one")
    assert set(recap.grounds(first)) - {-1, 14} == plies


def test_words_that_name_no_place_of_the_game_are_no_option_before_its_end() -> None:
    recap = recap_of("White begins with e4. A fine move. I like it very much. Then e5.", read_score(GAME))
    quiet = next(i for i in recap.clauses() if recap.toks[i].text == "i")
    assert recap.grounds(quiet) == {}


TWICE = "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 b5 5. Bb3 d6 6. d4 exd4 7. Nxd4 Nxd4 8. Bd5 Bb7 9. Bb3 Nxb3 10. axb3 Nf6 *"
TWICE_TOLD = (
    "E4, e5, knight f3, knight c6, bishop b5, a6. Bishop a4, b5, bishop b3, d6. d4, e takes d4, knight takes d4, knight takes d4. "
    "Bishop d5, bishop b7, bishop b3, knight takes b3, a takes b3, knight f6. That is the game."
)


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Remember this picture, the white knight just arrived on d4.", ["7w"]),
        ("Remember this picture, the black knight just arrived on d4.", ["7b"]),
        ("One last look, this was the moment after d4. Everything was still possible.", ["6w"]),  # not e takes d4, and once
    ],
)
def test_of_several_moves_to_a_square_the_words_tell_which(text: str, shown: list[str]) -> None:
    words = said(f"{TWICE_TOLD} {text}")
    begun = len(TWICE_TOLD.split())
    assert [c.address for c in follow_words(words, read_score(TWICE)).cues if c.first >= begun] == shown


@pytest.mark.parametrize(
    ("said", "ply"),
    [("And this is where the queen went home for dinner.", 14), ("Let us return to the beginning once more.", 0)],
)
def test_the_first_and_the_last_position_by_what_happened_there(said: str, ply: int) -> None:
    recap = recap_of(f"{TOLD} {said}", read_score(GAME))
    first = next(i for i in recap.clauses() if i >= len(TOLD.split()))
    odds = recap.odds(first)
    assert max(odds, key=lambda at: odds[at]) == ply

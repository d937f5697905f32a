"""Moves of the game that no words name, between two that are named."""

from __future__ import annotations

from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.follow.followtalk import setup, words
from timeline.follow.changes import LINGERS_MS, Change, _clauses, _with_unnamed, board_changes
from timeline.follow.follow import follow_words
from timeline.follow.hypotheses import Step
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.tree import Tree
from timeline.score import read_score

GAME = "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 *"


def shown(talk: str, *told: tuple[str, int]) -> list[tuple[str, int]]:
    """The words at which each ply is shown, when the moves ``told`` (their last word, the ply) are named."""
    lattice, tree = Lattice(tokens(words(talk))), Tree(read_score(GAME))
    at = {tok.text: k for k, tok in enumerate(lattice.toks)}
    named = []
    for word, ply in told:
        end = at[word] + 1
        mention = next(m for i in range(lattice.n) for m in lattice.readings(i) if m.end == end)
        named.append(Change(mention.start, mention.start, end - 1, tree.main[ply], mention))
    return [(lattice.toks[c.tok].text, c.node.ply) for c in _with_unnamed(lattice, named)]


def test_a_move_passed_over_is_shown_at_the_clause_that_may_tell_it() -> None:
    talk = "First e4. That takes the middle. His knight comes out. Now knight c6. Bishop b5 follows."
    assert shown("First e4, Black says me too, and then knight f3.", ("e4", 1), ("f3", 3)) == [
        ("e4", 1), ("black", 2), ("knight", 3),
    ]  # fmt: skip
    assert shown(talk, ("e4", 1), ("c6", 4)) == [("e4", 1), ("that", 2), ("his", 3), ("knight", 4)]


def test_without_a_clause_between_nothing_is_added() -> None:
    assert shown("We see e4 and knight f3.", ("e4", 1), ("f3", 3)) == [("e4", 1), ("knight", 3)]


def test_a_stretch_of_the_game_that_is_left_out_stays_out() -> None:
    assert shown("After e4, some moves on, they know this, he waits, a6.", ("e4", 1), ("a6", 6)) == [("e4", 1), ("a6", 6)]


def test_a_jump_begun_before_a_persons_cue_is_shown_after_it() -> None:
    lattice, tree = Lattice(tokens(words("Now we go back and see knight f3."))), Tree(read_score(GAME))
    main, end = tree.main, lattice.n
    mention = next(m for i in range(end) for m in lattice.readings(i) if m.end == end and m.kind == "full")
    fixed = Step("fix", main[5], main[1], None, 4, 4)
    jump = Step("jfrom", main[3], main[5], mention, mention.start, 4, main[2], 1)
    changes = board_changes(lattice, [fixed, jump])
    assert changes[0].own
    assert changes[0].node is main[5]
    assert all(a.tok < b.tok for a, b in pairwise(changes))
    assert changes[-1].node is main[3]


@given(st.lists(st.sampled_from(["white", "waits.", "the", "knight", "goes.", "and", "so,", "he"]), max_size=12))
def test_what_is_added_stands_between_in_order(between: list[str]) -> None:
    found = shown(" ".join(["First", "e4.", *between, "then", "comes", "bishop", "b5."]), ("e4", 1), ("b5", 5))
    assert [ply for _, ply in found] == sorted({ply for _, ply in found})
    lattice = Lattice(tokens(words(" ".join(["e4.", *between, "bishop", "b5."]))))
    clauses = _clauses(lattice, 1, lattice.n - 2)
    assert all(a[1] < b[0] for a, b in pairwise(clauses))
    assert all(first < last for first, last in clauses)


ENDED = read_score(setup("R7/P5k1/8/8/7P/6K1/r7/8 w - - 0 1", "1. h5 Kh7 2. h6 Ra3+ 3. Kf4 Ra4+"))


@pytest.mark.parametrize(("asides", "last"), [(1, "3b Ke5"), (4, "3b")])
def test_a_line_after_the_games_end_is_left_where_talk_goes_on(asides: int, last: str) -> None:
    talk = (
        "Pawn h five. King h seven. Pawn h six. Rook a three check. King f four. Rook a four check. If white runs, king e five. "
        + "They shook hands and put the clock away. " * asides
    )
    cues = follow_words(words(talk), ENDED, marks=False).cues
    assert cues[-1].address == last
    if last == "3b":
        assert cues[-1].at_ms - cues[-2].at_ms >= LINGERS_MS
        assert talk.split()[cues[-1].first] == "They"

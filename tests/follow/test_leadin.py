"""Where the phrase that announces a move begins."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tests.follow.followtalk import words
from timeline.follow.hypotheses import Step
from timeline.follow.lattice import Lattice
from timeline.follow.leadin import Chooser, candidates, lead_features, lead_in, read_chooser, write_chooser
from timeline.follow.lexer import tokens
from timeline.follow.tree import Tree
from timeline.score import read_score

GAME = "1. e4 d5 2. exd5 Qxd5 3. Nc3 Qa5 *"


def told(talk: str, ply: int, last_end: int = 0, moved_end: int = 0) -> tuple[Lattice, Step]:
    """The step that plays the game's move number ``ply``, named by the last words of a talk."""
    lattice, tree = Lattice(tokens(words(talk))), Tree(read_score(GAME))
    mention = next(m for i in range(lattice.n) for m in lattice.readings(i) if m.end == lattice.n)
    node = tree.main[ply]
    before = tree.main[ply - 1]
    return lattice, Step("main", node, before, mention, mention.start, last_end, last_act="m", moved_end=moved_end)


def begun(talk: str, ply: int) -> str:
    lattice, step = told(talk, ply)
    return lattice.toks[lead_in(lattice.context, step)].text


def grounds(talk: str, ply: int, name: str) -> list[float]:
    """What a feature is of each candidate, nearest first."""
    lattice, step = told(talk, ply)
    assert step.mention is not None
    places = candidates(lattice.context, step.mention, step.last_end, step.moved_end)
    return [feats.get(name, 0.0) for feats in lead_features(lattice.context, step, places)]


@pytest.mark.parametrize(
    ("talk", "ply", "word"),
    [
        ("That was slow. And now White plays the knight to c3.", 5, "and"),
        ("It is attacked. The queen goes home, queen a5.", 6, "the"),
        ("The pawn was loose. So she takes it, queen takes d5.", 4, "so"),
    ],
)
def test_the_phrase_begins_with_the_clause_that_tells_of_the_move(talk: str, ply: int, word: str) -> None:
    assert begun(talk, ply) == word


@pytest.mark.parametrize("talk", ["I like this opening. Knight c3.", "What does White do? Knight c3."])
def test_a_sentence_about_something_else_does_not_announce(talk: str) -> None:
    assert begun(talk, 5) == "knight"


def test_words_that_moved_the_board_announce_nothing() -> None:
    talk = "That was slow. And now White plays the knight to c3."
    lattice, step = told(talk, 5)
    assert step.mention is not None
    at = step.mention.start
    lattice, after = told(talk, 5, last_end=at, moved_end=at)
    assert lead_in(lattice.context, after) == at
    assert candidates(lattice.context, step.mention, at, at) == [at]


def test_words_that_moved_nothing_may_announce() -> None:
    lattice, step = told("It is attacked. Or, after the check, the queen to a5.", 6)
    assert step.mention is not None
    at = step.mention.start
    texts = [lattice.toks[k].text for k in candidates(lattice.context, step.mention, at, 3)]
    assert texts[0] == lattice.toks[at].text
    assert texts[-1] == "or"  # not "it", behind the end of the words that moved the board


def test_the_man_and_the_side_that_move_are_known_though_the_mention_does_not_name_them() -> None:
    assert grounds("White brings the knight out, to c3", 5, "its man") == [0.0, 1.0]
    assert grounds("White brings the knight out, to c3", 5, "its side") == [0.0, 1.0]
    assert grounds("Black has a queen out, to c3", 5, "its man") == [0.0, 0.0]
    assert grounds("Black has a queen out, to c3", 5, "another man") == [0.0, 1.0]
    assert grounds("Black has a queen out, to c3", 5, "other side") == [0.0, 1.0]
    assert grounds("The pawn is loose, to d5", 4, "another man") == [0.0, 0.0]  # it is taken


def test_it_is_read_as_it_was_written(tmp_path: Path) -> None:
    chooser = Chooser(
        {"words": 0, "its man": 1}, np.array([[1, 0], [0, 2]], np.float32), np.array([-1, 0], np.float32),
        np.array([0.5, 3], np.float32), np.array([-0.25, 1], np.float32),
    )  # fmt: skip
    write_chooser(tmp_path / "leadin.npz", chooser)
    again = read_chooser(tmp_path / "leadin.npz")
    assert chooser.score({"words": 2.0, "its man": 1.0, "never seen": 5.0}) == 0.5 + 6.0 - 0.5 + 1.0
    assert again.score({"words": 2.0, "its man": 1.0}) == 7.0
    assert again.score({"words": 2.0}) == 0.0

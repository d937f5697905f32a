"""The classifier of the talk: what it sees, what it adds, and that it is read as it was written."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from tests.follow.followtalk import words
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.spine import Spine
from timeline.follow.tenor import (
    ACT_SHARE,
    MEANT,
    WAY_SHARE,
    Tenor,
    grounds,
    meant,
    mentions_of,
    read_tenor,
    shipped_tenor,
    write_tenor,
)
from timeline.follow.tree import Tree
from timeline.score import read_score

TALK = "White plays e4. Black answers e5. If knight h3 instead, then queen h4. But in the game knight f3 was played."
GAME = "1. e4 e5 2. Nf3 *"


def seen() -> tuple[Lattice, Tree, list[list[str]]]:
    lattice, tree = Lattice(tokens(words(TALK))), Tree(read_score(GAME))
    order = mentions_of(lattice)
    return lattice, tree, grounds(lattice, tree, order, Spine(lattice, tree, order))


def test_each_stretch_that_names_a_move_stands_once() -> None:
    lattice, _, _ = seen()
    found = [" ".join(t.text for t in lattice.toks[m.start : m.end]) for m in mentions_of(lattice)]
    assert [text.split()[-1] for text in found] == ["e4", "e5", "h3", "h4", "f3"]


def test_moves_of_the_game_are_told_from_others() -> None:
    _, _, found = seen()
    assert ["in game" in feats for feats in found] == [True, True, False, False, True]
    assert "1:run" in found[0]
    assert "-1:in game" in found[1]


@pytest.mark.parametrize(
    ("act", "main", "turned", "expected"),
    [
        ("ign", True, False, "ign"), ("step", False, False, "ign"), ("main", True, False, "main"),
        ("main", True, True, "ret"), ("ret", True, False, "ret"), ("skip", True, False, "main"),
        ("open", False, False, "open"), ("alt", False, False, "alt"), ("cont", False, False, "cont"),
        ("jopen", False, False, "open"), ("rskip", True, False, "ret"),
    ],
)  # fmt: skip
def test_acts_of_the_search_have_their_meaning(act: str, main: bool, turned: bool, expected: str) -> None:
    assert MEANT[meant(act, main, turned)] == expected


def small() -> Tenor:
    chance = np.random.default_rng(5)

    def some(*shape: int) -> np.ndarray:
        return chance.normal(0, 0.5, shape).astype(np.float16).astype(np.float32)

    names = ("k:full", "in game", "not in game", "-1:in game", "q.")
    return Tenor({name: k for k, name in enumerate(names)}, some(5, 6), some(5, 4), some(4), some(4, 6))


def test_what_is_added_is_shares_of_log_probabilities() -> None:
    lattice, tree, found = seen()
    tenor = small()
    chances = np.exp(tenor.odds(found))
    assert np.allclose(chances.sum(1), 1.0, atol=1e-5)
    added = tenor.over(lattice, tree, Spine(lattice, tree, mentions_of(lattice)))
    for m, row in zip(mentions_of(lattice), chances, strict=True):
        side = row[3] + row[4] + row[5]
        expected = ACT_SHARE * np.log(row[5]) + (WAY_SHARE - ACT_SHARE) * np.log(side)
        assert added[m.start][5] == pytest.approx(expected, abs=1e-4)


def test_nothing_said_adds_nothing() -> None:
    lattice = Lattice(tokens(words("Good evening and welcome.")))
    tree = Tree(read_score(GAME))
    assert small().over(lattice, tree, Spine(lattice, tree, [])) == {}


def test_it_is_read_as_it_was_written(tmp_path: Path) -> None:
    _, _, found = seen()
    write_tenor(tmp_path / "tenor.npz", small())
    again = read_tenor(tmp_path / "tenor.npz")
    assert np.allclose(again.odds(found), small().odds(found), atol=1e-5)


def test_the_shipped_one_takes_a_return_to_the_game_for_one() -> None:
    _, _, found = seen()
    odds = shipped_tenor().odds(found)
    in_game = odds[:, 1] + odds[:, 2]
    assert in_game[0] > odds[0, 3]
    assert int(odds[2].argmax()) in (3, 4)

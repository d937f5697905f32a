"""The spine: shares of all forward alignments, held against every alignment written out."""

from __future__ import annotations

from itertools import combinations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from timeline.follow import spine
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.spine import Spine, level
from timeline.follow.tenor import mentions_of
from timeline.follow.tree import Tree
from timeline.score import read_score
from timeline.transcript.words import Word


def written_out(worth: np.ndarray) -> np.ndarray:
    """The same shares by adding up every alignment on its own."""
    count, moves = worth.shape
    shares, whole = np.zeros((count, moves)), 0.0
    for size in range(min(count, moves) + 1):
        for rows in combinations(range(count), size):
            for columns in combinations(range(moves), size):
                weight, last = 1.0, 0
                for row, column in zip(rows, columns, strict=True):
                    passed = column - last
                    weight *= np.exp(worth[row, column]) * (np.exp(-spine._UNTOLD * passed) + np.exp(-spine._JUMP))
                    last = column + 1
                whole += weight
                for row, column in zip(rows, columns, strict=True):
                    shares[row, column] += weight
    return shares / whole


@given(st.lists(st.lists(st.one_of(st.floats(-3, 4), st.just(-np.inf)), min_size=4, max_size=4), min_size=1, max_size=4))
def test_shares_are_those_of_all_alignments_written_out(rows: list[list[float]]) -> None:
    worth = np.array(rows)
    assert spine._shares(worth) == pytest.approx(written_out(worth), abs=1e-9)


def talk(text: str, pgn: str) -> tuple[Spine, Lattice]:
    words = [Word(word, 400 * k, 400 * k + 300) for k, word in enumerate(text.split())]
    lattice = Lattice(tokens(words))
    tree = Tree(read_score(pgn))
    return Spine(lattice, tree, mentions_of(lattice)), lattice


def at(lattice: Lattice, word: str, nth: int = 0) -> int:
    return [k for k, tok in enumerate(lattice.toks) if tok.text == word][nth]


GAME = "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 5. O-O *"


def test_a_move_told_early_and_again_in_its_place_tells_the_game_there() -> None:
    found, lattice = talk(
        "e4 e5 knight f3 some play a6 here with knight f6 but no knight c6 bishop b5 a6 bishop a4 knight f6 castles", GAME
    )
    early, late = at(lattice, "a6"), at(lattice, "a6", 1)
    assert found.on(late) > 0.8 > 0.3 > found.on(early)
    assert level(found.at(late, 6)) >= 3
    assert found.at(late, 5) == 0.0
    assert found.next(at(lattice, "castles"), 9) > 0.9


def test_moves_that_are_not_in_the_game_have_no_share() -> None:
    found, lattice = talk("queen h5 is a try d4 e5", "1. e4 e5 *")
    assert found.on(at(lattice, "queen")) == 0.0
    assert found.on(0) == found.on(99) == 0.0
    assert found.at(0, 0) == found.at(0, 99) == 0.0


def test_nothing_to_tell() -> None:
    found, _ = talk("good evening", "1. e4 *")
    assert found.on(0) == found.at(0, 1) == found.next(0, 1) == 0.0

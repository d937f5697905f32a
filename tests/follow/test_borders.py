"""Clause borders from words alone."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from tests.follow.followtalk import VOCABULARY
from timeline.follow.borders import MARKS, Borders, features, read_borders, shipped_borders, word_class, write_borders
from timeline.follow.lexer import tokens
from timeline.follow.pauses import heard_punctuation
from timeline.transcript.words import Word


def running_on(text: str) -> list[Word]:
    """Words without marks, each lasting to the next."""
    return [Word(word, 300 * k, 300 * (k + 1)) for k, word in enumerate(text.split())]


def small() -> Borders:
    index = {"wf3": 0, "vso": 1}
    return Borders(index, np.array([[0, 2, 0], [0, 0, 4]], np.float32), np.array([1.5, 0, 0], np.float32))


def test_the_likelier_mark_is_put_and_nothing_where_nothing_is_likelier() -> None:
    assert small().marks("knight f3 so what".split()) == ["", ".", ""]
    assert small().marks("knight f3 now".split()) == ["", ","]


def test_words_of_chess_and_steering_stand_in_classes() -> None:
    assert [word_class(w) for w in ("e4", "knight", "takes", "castles", "check", "suppose", "resigned")] == [
        "SQ", "PC", "TK", "CA", "CH", "IF", "PAST",
    ]  # fmt: skip


@given(st.lists(st.sampled_from(VOCABULARY), max_size=30))
def test_every_place_between_two_words_has_shares_that_add_up(words: list[str]) -> None:
    assert len(features(words)) == max(0, len(words) - 1)
    shares = shipped_borders().shares(words)
    assert all(abs(sum(share) - 1.0) < 1e-5 for share in shares)
    assert set(shipped_borders().marks(words)) <= set(MARKS)


def test_it_is_read_as_it_was_written(tmp_path: Path) -> None:
    write_borders(tmp_path / "borders.npz", small())
    again = read_borders(tmp_path / "borders.npz")
    assert again.shares(["f3", "so"]) == small().shares(["f3", "so"])


def test_moves_that_run_into_each_other_are_parted_but_not_a_move_from_its_square() -> None:
    text = "white plays knight f3 black answers knight c6 and now bishop b5 what does black do here he plays a6"
    toks = heard_punctuation(tokens(running_on(text)))
    marks = {k: tok.ends for k, tok in enumerate(toks) if tok.ends}
    words = [tok.text for tok in toks]
    assert words.index("f3") in marks
    assert words.index("c6") in marks
    assert not any(words[k] in ("knight", "bishop") for k in marks)


def test_a_text_with_marks_or_with_pauses_is_not_touched() -> None:
    text = "White plays knight f3. Black answers knight c6, and now bishop b5."
    assert [t.ends for t in heard_punctuation(tokens(running_on(text)))] == [t.ends for t in tokens(running_on(text))]

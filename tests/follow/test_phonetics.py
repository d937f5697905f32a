"""Sounds: the measured confusions are near, others are far. Phones are ARPAbet of the CMU Pronouncing Dictionary."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from timeline.follow.phonetics import SQUARE_PHONES, alikeness, distance, in_dictionary, phones, spell_phones, substitution


@pytest.mark.parametrize(
    ("word", "sounds"),
    [
        ("knight", "N AY T"), ("rook", "R UH K"), ("takes", "T EY K S"), ("b", "B IY"), ("e4", "IY F AO R"),
        ("h8", "EY CH EY T"), ("a", "AH"),
    ],
)  # fmt: skip
def test_phones_of_words_and_squares(word: str, sounds: str) -> None:
    """As the CMU Pronouncing Dictionary gives them, stress left out; a square is its letter and its number."""
    assert phones(word) == tuple(sounds.split())


def test_case_and_edges_do_not_matter() -> None:
    assert phones("Knight,") == phones("knight") == phones('"KNIGHT"')


def test_words_that_no_dictionary_has_are_spelled_out() -> None:
    assert in_dictionary("zugzwangish") is None
    assert phones("zugzwangish") == spell_phones("zugzwangish") != ()


def test_homophones_are_alike() -> None:
    """Same pronunciation in the CMU dictionary."""
    for one, other in (("knight", "night"), ("check", "czech"), ("see", "sea"), ("one", "won")):
        assert alikeness(phones(one), phones(other)) == 0.0


@pytest.mark.parametrize(
    ("said", "near", "far"),
    [
        ("pin", "bin", "castle"),
        ("takes", "cakes", "knight"),
        ("mate", "made", "rook"),
        ("seven", "heaven", "five"),
        ("g", "d", "h"),
    ],
)
def test_near_sounds_are_nearer_than_far_ones(said: str, near: str, far: str) -> None:
    assert alikeness(phones(said), phones(near)) < 0.5 < alikeness(phones(said), phones(far))


@pytest.mark.parametrize(
    ("square", "heard"),
    [("b4", "before"), ("c6", "see six"), ("h7", "age seven"), ("e7", "he seven"), ("f6", "if six")],
)
def test_squares_that_sound_like_common_words(square: str, heard: str) -> None:
    """Of all squares the one meant is among the three nearest."""
    sounds = tuple(p for w in heard.split() for p in phones(w))
    ranked = sorted(SQUARE_PHONES, key=lambda name: alikeness(sounds, SQUARE_PHONES[name]))
    assert square in ranked[:3]


PHONES = st.sampled_from(
    sorted({p for sounds in SQUARE_PHONES.values() for p in sounds} | {"N", "AY", "R", "UH", "K", "B", "M"})
)
SOUNDS = st.lists(PHONES, max_size=6).map(tuple)


@given(SOUNDS, SOUNDS, SOUNDS)
def test_distance_is_a_distance(a: tuple[str, ...], b: tuple[str, ...], c: tuple[str, ...]) -> None:
    assert distance(a, a) == 0
    assert distance(a, b) == pytest.approx(distance(b, a))
    assert 0 <= distance(a, b) <= 0.6 * (len(a) + len(b)) + 1e-9


@given(PHONES, PHONES)
def test_substitution_is_symmetric_and_bounded(a: str, b: str) -> None:
    assert substitution(a, b) == substitution(b, a)
    assert (substitution(a, b) == 0) == (a == b)
    assert substitution(a, b) <= 1


@given(st.text(max_size=12))
def test_any_text_has_phones(text: str) -> None:
    assert all(isinstance(p, str) for p in phones(text))

"""The classes of steering words hold words and two-word phrases, each one findable."""

from __future__ import annotations

import pytest

from timeline.follow.context import Context
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.vocabulary import CLASSES
from timeline.transcript.words import Word


def test_every_entry_is_one_word_or_two() -> None:
    assert [entry for entry in CLASSES if len(entry.split()) not in (1, 2)] == []


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("instead he", "INSTEAD"), ("better was", "INSTEAD"), ("game went", "GAME"), ("back to", "BACK"), ("return to", "BACK"),
        ("going back", "BACK"), ("earlier on", "REMEMBER"), ("line goes", "LINE"), ("must go", "MUST"), ("what if", "IF"),
        ("say he", "IF"), ("another idea", "ALSO"),
    ],
)  # fmt: skip
def test_steering_words_are_known(words: str, name: str) -> None:
    spoken = [Word(w, 300 * k, 300 * k + 250) for k, w in enumerate(words.split())]
    assert name in Context(tokens(spoken)).classes[0]


@pytest.mark.parametrize(
    ("said", "habit"),
    [
        ("Some people get nervous and push past, d5", True),
        ("Now most of you would like to play d5", True),
        ("Some people won't touch it. They push past, d5", True),
        ("Some people drink tea here. Then d5", False),
        ("A lot of players take on e4, he takes, and d5", False),  # its second move
    ],
)
def test_what_some_people_do(said: str, habit: bool) -> None:
    lattice = Lattice(tokens([Word(word, 400 * k, 400 * k + 300) for k, word in enumerate(said.split())]))
    assert ("HABIT" in lattice.names(lattice.readings(lattice.n - 1)[0])) is habit

"""The classes of steering words hold words and two-word phrases, each one findable."""

from __future__ import annotations

import pytest

from timeline.follow.context import Context
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

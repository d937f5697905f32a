"""Words that close a line by what follows from it."""

from __future__ import annotations

import pytest
from followtalk import left_with, words

from timeline.follow.lexer import tokens
from timeline.follow.verdicts import verdict_at


@pytest.mark.parametrize(
    "said",
    [
        "so that's hopeless.", "so he can't take that.", "that is why nobody plays it.", "so both of those are out.", "not that, then.",
        "therefore taking with the pawn is a mistake.", "so it had to be the other one.", "okay so this doesn't work.", "and that's exactly why",
        "so that defence is no good", "so that was never on.", "as you were.",
    ],
)  # fmt: skip
def test_a_conclusion(said: str) -> None:
    assert verdict_at(tokens(words(said)), 0)


@pytest.mark.parametrize(
    "said",
    [
        "it's a draw.", "and it's over.", "so he takes.", "so that is a check.", "so rook a five.", "that's a good square.",
        "so this is winning for white", "he can't take it.", "that is how it goes", "not that it matters much",
    ],
)  # fmt: skip
def test_no_conclusion(said: str) -> None:
    assert not verdict_at(tokens(words(said)), 0)


@pytest.mark.parametrize(
    "verdict",
    ["So that's out.", "So he can't do that.", "That's exactly why everybody waits here.", "So neither of those is any use.", "So not that."],
)
def test_the_board_goes_back_at_the_conclusion(verdict: str) -> None:
    assert left_with(verdict) == verdict.split()[0]

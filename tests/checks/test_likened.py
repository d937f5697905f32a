"""An opening that the game is only likened to, or whose sides are changed over, is no wrong name."""

from __future__ import annotations

import pytest
from judging import spoken, still

from timeline.checks.statements import judge
from timeline.score import read_score

ENGLISH = (
    '[White "A"]\n[Black "B"]\n[Result "*"]\n\n'
    "1. c4 e5 2. Nc3 Nf6 3. Nf3 Nc6 4. g3 d5 5. cxd5 Nxd5 6. Bg2 Nb6 *\n"
)


def wrong(say: str) -> bool:
    score = read_score(ENGLISH)
    found, _ = judge(score, spoken(say, 30_000), still(score, score.moves))
    return any(s.verdict is False for s in found)


@pytest.mark.parametrize(
    "say",
    [
        "This is a Sicilian with the colours the other way round.",
        "this is a sicilian with the colors reversed and white has it one tempo up",
        "This is a Dragon, but with the other colour.",
        "It is a Sicilian with White and Black changed over.",
        "So we have a Sicilian, only White is playing it.",
        "This is a King's Indian a tempo up.",
        "It is the Sicilian with an extra move.",
        "We have a Dragon, if you turn the board around.",
        "Swap the colours and it is a Sicilian.",
        "That is a Dragon from the other side of the board.",
        "This is sort of a Sicilian.",
        "This is a kind of Dragon.",
        "It is a Sicilian in spirit.",
        "This is a Dragon. Only that White plays it.",
        "What opening is this? A Sicilian with the sides reversed.",
    ],
)
def test_an_opening_with_its_sides_changed_over_is_no_wrong_name(say: str) -> None:
    assert not wrong(say)


@pytest.mark.parametrize(
    "say",
    [
        "This is a Sicilian.",
        "What opening is this? A Sicilian.",
        "This is a Dragon with White to move.",
        "This is a variation of the Sicilian.",
        "This is a Sicilian, and White exchanges the pieces.",
        "This is a Sicilian. That changes the position at once.",
        "This is a Sicilian and Black is a tempo behind.",
        "We have a Sicilian and both sides castle.",
        "This is a King's Gambit. More of it later.",
    ],
)
def test_words_of_sides_and_moves_that_change_nothing_over_excuse_no_wrong_name(say: str) -> None:
    assert wrong(say)

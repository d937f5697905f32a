"""Going back to the move of which the words before spoke: "did it have to be h6? Let's go back there"."""

from __future__ import annotations

import pytest
from followtalk import setup, words

from timeline.follow.follow import follow_words
from timeline.score import read_score

SCORE = read_score(setup("R7/P5k1/8/8/7P/6K1/r7/8 w - - 0 1", "1. h5 Kh7 2. h6 Ra3+ 3. Kf4 Ra4+"))
GAME = "Pawn h five. King h seven. Pawn h six. Rook a three check. King f four. Rook a four check. And that is a draw."


def shown(said: str) -> list[str]:
    return [cue.address.split()[-1] for cue in follow_words(words(f"{GAME} {said}"), SCORE, marks=False).cues]


@pytest.mark.parametrize(
    "said",
    [
        "A question was whether it has to be h six. Let's go back there.",
        "Somebody wanted to know if pawn h six was forced. Okay, let me go back to that moment.",
        "Was h six a mistake? We can jump back to it.",
    ],
)
def test_back_to_before_the_move_spoken_of(said: str) -> None:
    line = "Say I go king f four. Black waits. King e five."
    assert shown(f"{said} {line}")[6:] == ["1b", "Kf4", "Kg7", "Ke5"]


def test_a_man_that_goes_back_there_does_not_move_the_board() -> None:
    assert shown("So with that pawn on h six the king could never go back there.")[6:] == []

"""Which questions are left to the viewer: those that bid, and those after which the speaker is silent."""

from __future__ import annotations

import pytest
from followtalk import words

from timeline.follow import follow_words
from timeline.score import read_score
from timeline.transcript.bidding import bid
from timeline.transcript.words import Word

LEGAL = "1. e4 e5 2. Nf3 d6 3. Bc4 Bg4 4. Nc3 g6 5. Nxe5 Bxd1 *"
ANSWERED = [
    "So what did White do?",
    "What can White do? I see two moves.",
    "Now what does she play? She strikes at once.",
    "And how does White continue? There are two ideas.",
    "Where does the knight go? To the centre, of course.",
    "Which piece was it? I think you know.",
    "so what did i do well",
]
BIDS = [
    "Pause here and find the move for White.",
    "What would you play?",
    "Stop the film now, and try to find White's blow.",
    "I'd like everybody to think very hard.",
    "and now it's your move take a minute",
]
TOLD = [
    "I could not find the win.",
    "My coach always said, find the best move.",
    "It was hard to find the move.",
    "White has to find another idea.",
    "Let me pause for a moment over these pawns.",
    "even if it's your turn you may lose",
    "Stop the pawn first.",
]


def asks(question: str, silence_ms: int) -> tuple:
    talk = words(f"E4, e5, knight f3, d6, bishop c4, bishop g4, knight c3, g6. {question}")
    start = talk[-1].end_ms + silence_ms
    answer = [Word(w, start + i * 350, start + 300 + i * 350) for i, w in enumerate("Knight takes e5!".split())]
    return follow_words([*talk, *answer], read_score(LEGAL)).asks


@pytest.mark.parametrize("question", ANSWERED)
def test_a_question_answered_in_the_next_breath_asks_nobody(question: str) -> None:
    assert asks(question, 300) == ()


@pytest.mark.parametrize("question", [ANSWERED[0], ANSWERED[4], ANSWERED[6]])
def test_a_silence_after_it_leaves_the_same_question_to_the_viewer(question: str) -> None:
    (ask,) = asks(question, 4000)
    assert ask.spoken_pause_ms == 4000


@pytest.mark.parametrize("question", BIDS)
def test_a_bid_needs_no_silence(question: str) -> None:
    assert len(asks(question, 300)) == 1


@pytest.mark.parametrize("told", TOLD)
def test_what_is_only_told_of_is_no_bid(told: str) -> None:
    assert asks(told, 300) == ()


def test_the_pause_comes_after_the_whole_bid() -> None:
    (ask,) = asks("Pause here and find the move.", 300)
    assert (ask.first, ask.last) == (12, 17)


def test_a_denial_in_another_clause_is_none_of_the_bid() -> None:
    assert bid("it's not a check, find the move")
    assert not bid("you need not find the move")

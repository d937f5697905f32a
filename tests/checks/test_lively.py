"""Lively talk: fillers and asides silence nothing, and what sets a slip right or only likens still does."""

from __future__ import annotations

import pytest
from judging import spoken, still

from timeline.checks.statements import Statement, judge
from timeline.score import read_score
from timeline.tracks import BoardSpan, BoardTrack

ENDING = (
    '[White "A"]\n[Black "B"]\n[Result "*"]\n[SetUp "1"]\n'
    '[FEN "8/3b1p2/p2k1p1p/1p1p3p/1P1N1P2/P3K1P1/7P/8 w - - 0 1"]\n\n'
    "1. Nb3 Bg4 2. Kd4 Bf5 3. Nc5 Bc8 4. Kd3 Bf5+ 5. Kd4 Bc8 6. Nb3 Kc6 7. Na5+ Kb6 *\n"
)
START, ATTACKED, CHECKED, CHECKING = 0, 5, 8, 13
"""Plies: Black has two pawns more; the knight stands on c5, the bishop on f5; White in check; Black in check."""


def judged(say: str, ply: int) -> list[Statement]:
    score = read_score(ENDING)
    return judge(score, spoken(say, 30_000), still(score, score.moves[:ply]))[0]


def wrong(say: str, ply: int) -> bool:
    return any(s.verdict is False for s in judged(say, ply))


@pytest.mark.parametrize(
    ("say", "ply"),
    [
        ("look at these pawns doubled on the f file doubled on the h file i mean he's exactly one pawn up but who "
         "cares and d5 that's the baby that's the one i want", START),
        ("i've got the knight he's got the bishop i mean he's honestly like one pawn up", START),
        ("White is I mean a pawn up", START),
        ("White is a pawn up, I mean, who wouldn't like that.", START),
        ("White is a pawn up who's counting", START),
        ("the bishop on f5 is like attacking the knight on c5", ATTACKED),
        ("the bishop on f5 is you know attacking the knight on c5", ATTACKED),
        ("the bishop on f5 is um attacking the um knight on c5", ATTACKED),
    ],
)  # fmt: skip
def test_fillers_silence_no_wrong_statement(say: str, ply: int) -> None:
    assert wrong(say, ply)


@pytest.mark.parametrize(
    "say",
    [
        "White is a pawn up, I mean a pawn down.",
        "White is a pawn up, I mean Black is.",
        "White is a pawn up no i mean Black is",
        "White is, I mean Black is, a pawn up.",
        "White is a pawn up, um, no, he is not.",
        "what I mean he is a pawn up",
        "the knight and the bishop i mean he would be a pawn up",
        "who cares if white is a pawn up",
        "White is like a king who is a pawn up",
    ],
)
def test_what_sets_a_slip_right_or_only_supposes_is_still_heard(say: str) -> None:
    assert not wrong(say, START)


@pytest.mark.parametrize(
    ("say", "ply", "verdict"),
    [
        ("The king has only one square.", CHECKING, False),
        ("The king has four squares.", CHECKING, True),
        ("My king has only one square.", CHECKED, False),
        ("The king has five squares.", CHECKED, True),
        ("My king has three squares.", CHECKING, True),
        ("The king can only go to one square.", CHECKING, False),
        ("Knight a5 check. He's only got one square.", CHECKING, False),
        ("Knight a5 check. He's got four squares.", CHECKING, True),
        ("knight a5 check and he's only got one square well if he goes back to d6 it's", CHECKING, False),
        ("Check. There is only one square for him.", CHECKING, False),
        ("Black has only one square left.", CHECKING, False),
        ("Check, and if he has only one square it is mate.", CHECKING, None),
        ("The bishop is shut in and he has only one square.", CHECKING, None),
        ("Check. He has two squares under control.", CHECKING, None),
        ("Check. He has one square that he likes.", CHECKING, None),
        ("The king is at home. He has only one square.", START, None),
        ("Check. White has only one square.", CHECKING, None),
    ],
)
def test_the_squares_of_a_king_in_check_are_counted(say: str, ply: int, verdict: bool | None) -> None:
    told = [s.verdict for s in judged(say, ply) if s.claim.kind == "king_squares"]
    assert (told or [None]) == [verdict]


def test_speech_without_stops_is_about_the_positions_around_its_words() -> None:
    """The king stood in check only long before, in the same unbroken run of words."""
    score = read_score(ENDING)
    uci = tuple(m.uci() for m in score.moves)
    spans = [
        BoardSpan(a, b, score.boards[n].fen(), uci[:n], n, score.mainline_label(n), "score")
        for n, a, b in ((CHECKED, 0, 34_000), (CHECKED + 1, 34_000, 600_000))
    ]
    talk = "and so we look at it " * 12
    for say, expected in ((f"{talk} the king is in check", False), ("bishop f5 and the king is in check", True)):
        told, _ = judge(score, spoken(say, 30_000), BoardTrack(score.start.fen(), uci, tuple(spans)))
        assert [s.verdict for s in told if s.claim.kind == "check"] == [expected]

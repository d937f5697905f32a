"""What a finding says is so: about the side named, the position that stands, the piece meant, and once only."""

from __future__ import annotations

import pytest
from judging import still
from judging_lesson import context

from timeline.checks.run import run_checks
from timeline.score import read_score

ENDING = (
    '[White "A"]\n[Black "B"]\n[Result "*"]\n[SetUp "1"]\n'
    '[FEN "8/3b1p2/p2k1p1p/1p1p3p/1P1N1P2/P3K1P1/7P/8 w - - 0 1"]\n\n'
    "1. Nb3 Bg4 2. Kd4 Bf5 3. Nc5 Bc8 4. Kd3 Bf5+ 5. Kd4 *\n"
)
ENGLISH = (
    '[White "Tern"]\n[Black "Marrow"]\n[Result "*"]\n\n'
    "1. c4 e5 2. Nc3 Nf6 3. Nf3 Nc6 4. g3 d5 5. cxd5 Nxd5 6. Bg2 Nb6 *\n"
)


def reasons(text: str, pgn: str, ply: int) -> list[str]:
    score = read_score(pgn)
    found = run_checks(context(text, pgn=pgn, track=still(score, score.moves[:ply])), families=["said"])
    return [f.actual or "" for f in found]


def test_an_only_move_is_counted_for_the_side_named_in_the_position_that_stands() -> None:
    (white,) = reasons("White has one legal move.", ENDING, 8)
    assert white.startswith("White has 6 legal moves: ")
    assert "Kd4" in white
    (black,) = reasons("Black has one legal move.", ENDING, 8)
    assert black.startswith("Black had 13 legal moves: ")
    (unnamed,) = reasons("It was the only legal move.", ENDING, 8)
    assert unnamed.startswith("White has 6 legal moves: ")
    assert "; before Bf5+, Black had 13 legal moves: " in unnamed


@pytest.mark.parametrize(
    ("say", "reason"),
    [
        ("The knight is protected by the bishop on f8.", "black knight d5 is protected by black queen d8"),
        ("The knight on f3 is protected by the rook.", "white knight f3 is protected by white pawn e2"),
        ("The knight is pinned.", "no line runs through black knight d5 to a better piece"),
        ("The knight forks the queen and the rook.", "black knight d5 attacks white knight c3"),
        (
            "White's knight forks the queen and the rook.",
            "white knight c3 attacks black knight d5; white knight f3 attacks black pawn e5",
        ),
    ],
)
def test_of_several_pieces_the_reason_is_about_the_one_that_has_just_moved(say: str, reason: str) -> None:
    assert reasons(say, ENGLISH, 10) == [reason]


def test_the_piece_that_has_just_moved_is_meant_when_the_board_has_gone_a_move_on() -> None:
    assert reasons("The knight is pinned.", ENGLISH, 11) == ["no line runs through black knight d5 to a better piece"]


def test_one_sentence_is_reported_once() -> None:
    say = "And here Marrow told me that he felt uncomfortable, because the knight on c6 is pinned."
    assert len(reasons(say, ENGLISH, 12)) == 1
    assert len(reasons("The knight on c6 is pinned. And the knight on c6 is pinned.", ENGLISH, 12)) == 2

"""Questions that the speaker answers are statements; questions alone are none."""

from __future__ import annotations

import chess
import pytest
from judging import score_of_fen, spoken, still

from timeline.checks.statements import judge

# White: king g1, rook e1, pawn a4. Black: king g8, bishop e7, pawn a7. White is to move; nobody is pinned.
FEN = "6k1/p3b3/8/8/P7/8/8/4R1K1 w - - 0 1"


def verdicts(text: str, fen: str = FEN) -> set[tuple[str, bool | None]]:
    score = score_of_fen(fen)
    return {(s.claim.kind, s.verdict) for s in judge(score, spoken(text, 30_000), still(score, ()))[0]}


@pytest.mark.parametrize(
    ("text", "kind", "verdict"),
    [
        ("Whose move is it? White's.", "turn", True),
        ("Whose turn is it here? It's Black's.", "turn", False),
        ("How many pawns are left on the board? Three.", "piece_count", False),
        ("How many pawns are left on the board? Two.", "piece_count", True),
        ("What is attacking the bishop on e7? The rook on e1.", "attacks", True),
        ("What is attacking the pawn on a7? The rook on e1 is.", "attacks", False),
        ("Is the bishop on e7 undefended? Yes, it is.", "undefended", True),
        ("Is the pawn on a4 pinned? Yes.", "pinned", False),
        ("See the rook on e1? It's attacking the pawn on a7.", "attacks", False),
        ("The pawn on a4 is pinned, right?", "pinned", False),
        ("What colour is a4? Dark, and I want that known.", "shade", False),
        ("Where does the white king live? On g2.", "standing", False),
        ("What does the rook on e1 attack? The pawn on a7.", "attacks", False),
        ("Who's guarding the pawn on a7? Nobody at all.", "undefended", True),
        ("Could the rook on e1 take the pawn on a7? Yes, it could.", "can_capture", False),
        ("Is the bishop on e7 defended? No.", "undefended", True),
        ("Uh-oh, did you notice that Black is in check?", "check", False),
        ("Which move is this? Number twelve.", "move_number", False),
    ],
)
def test_a_question_and_its_answer_state_what_they_say_together(text, kind, verdict):
    assert (kind, verdict) in verdicts(text)


@pytest.mark.parametrize(
    "text",
    [
        "Is the pawn on a4 pinned?",
        "Is the pawn on a4 pinned? No, it isn't.",
        "Whose move is it? Think about it.",
        "Is the pawn on a4 pinned? You tell me.",
        "How many bishops does Black have? Count them.",
        "What is attacking the pawn on a7? Nothing.",
        "Where is a check, I ask you.",
        "How many pawns are there on the board? One, two, three.",
        "Could the rook on e1 take the pawn on a7? Not really a question for today.",
    ],
)
def test_a_question_without_its_answer_states_nothing(text):
    assert not any(verdict is False for _, verdict in verdicts(text))


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("If you look hard you'll see the pawn on a4 is pinned.", "pinned"),
        ("Don't touch the pawn on a4, it's pinned.", "pinned"),
        ("Black can't do what he likes, he's in check.", "check"),
        ("White's king isn't safe, it stands in check.", "check"),
        ("The rook has come to e1 and attacks the pawn on a7.", "attacks"),
        ("If White gets another move, it's mate.", "threat_mate"),
    ],
)
def test_the_clause_beside_a_fact_does_not_hide_it(text, kind):
    fen = "6k1/p3b3/8/8/P7/8/8/4R1K1 b - - 0 1" if kind == "threat_mate" else FEN
    assert (kind, False) in verdicts(text, fen)


@pytest.mark.parametrize(
    "text",
    [
        "If the pawn on a4 moves, the pawn on a7 is passed.",
        "Don't move the rook on e1, or the king is in check.",
        "If White gets another move he plays a5.",
        "In other games of this kind the pawn on a4 gets pinned.",
        "Beginners leave the pawn on a4 hanging.",
    ],
)
def test_what_is_only_supposed_is_left_alone(text):
    assert not any(verdict is False for _, verdict in verdicts(text))


def test_the_board_of_these_tests_is_as_told():
    board = chess.Board(FEN)
    assert board.is_valid() and not board.is_check() and board.attackers(chess.WHITE, chess.E7)

"""True talk that sounds like a false statement, and next to it the false statement that is still called wrong."""

from __future__ import annotations

import chess
import pytest
from judging import called_wrong, still
from judging_lesson import context

from timeline.checks.run import run_checks
from timeline.score import read_score
from timeline.tracks import BoardTrack

SPANISH = "r1bqkbnr/pppp1ppp/2n5/1B2p3/4P3/5N2/PPPP1PPP/RNBQK2R b KQkq - 3 3"


def wrong(say: str, fen: str = SPANISH) -> bool:
    return called_wrong({"fen": fen, "game": None, "say": say})


@pytest.mark.parametrize(
    ("true", "false"),
    [
        ("What does White threaten? Bishop takes c6, and it's mate.", "Look at this. Bishop takes c6, and it's mate."),
        ("What is the threat? A rook comes, and it's mate.", "Look. A rook comes, and it's mate."),
        ("In the first recording I gave a check.", "I gave a check."),
        ("In the last one he gives check.", "He gives check."),
        ("Bishop to f1, quietly hitting the queen from f1.", "Bishop to f1, quietly, the queen on f1."),
        ("There is the rook behind the pawn on h8.", "Look at the pawn on h8."),
        ("There is the rock behind the pawn on h8.", "There is a rock. Look at the pawn on h8."),
        ("And the rock in front of the king on h8 is Black's.", "A rock in the stream. Look at the king on h8."),
        ("The bishop on b5 is pointing at his king.", "The bishop on b5 is pointing at his queen."),
        ("We want exactly this position but with White to move.", "Here we are with White to move."),
        ("It is the same position with White to move.", "This is a position with White to move."),
        ("Now there's a fork coming on d4.", "Now there's a fork."),
        ("Black's bishops can take queen's knight two.", "Black's bishops can take queen's knight."),
        ("There is a discovered check in the air.", "There is a discovered check."),
        ("A queen does three things. She gives check, she holds the pawn.", "Look. She gives check, she waits."),
        ("It sees nobody, guards the pawn on f2.", "Nobody guards the pawn on f2."),
        ("The king guards the pawn on f2, guards the knight on g1, guards e1.", "The knight on g1 guards f1."),
        ("Discovered check is a sleeping monster.", "It is a discovered check."),
        ("He's going to check behind it. Discovered check.", "He checks behind it. Discovered check."),
        ("I gave a rook, so I have two pieces for the rook.", "White has two pieces attacking the rook on a8."),
    ],
)
def test_what_is_still_to_come_or_meant_elsewhere_is_not_called_wrong(true: str, false: str) -> None:
    assert not wrong(true)
    assert wrong(false)


def test_a_mate_that_follows_the_only_reply_is_not_called_wrong() -> None:
    """White is in check; after the king's only move the queen mates on f2, as "check, and f2 is mate" says."""
    fen = "rn2kb1r/ppp2ppp/8/3pP3/4n2q/2N2P2/PPPPB2P/R1BQK2R w KQkq - 1 8"
    board = chess.Board(fen)
    assert [board.san(m) for m in board.legal_moves] == ["Kf1"]
    assert not wrong("Queen h4, check, and f2 is mate.", fen)
    assert wrong("Queen h4, check, and f6 is mate.", fen)


def told(text: str, pgn: str, ply: int) -> list[str]:
    """Codes of the findings about moves while the position after ``ply`` half-moves stands still."""
    score = read_score(pgn)
    shown: BoardTrack = still(score, score.moves[:ply])
    return [f.code for f in run_checks(context(text, pgn=pgn, track=shown), families=["moves"])]


def test_two_moves_run_together_without_stops_are_two_moves() -> None:
    """ "Knight takes, h6" said and written without a stop: no knight takes on h6."""
    pgn = '[White "A"]\n[Black "B"]\n[Result "*"]\n\n1. e4 e5 2. Nf3 Nc6 3. d4 exd4 4. Nxd4 h6 *\n'
    talk = "so the pawn goes and knight takes {} and then we look at it again for a while you and i"
    assert told(talk.format("h6"), pgn, 6) == []
    assert told(talk.format("e3"), pgn, 6) == ["move-not-possible"]


def test_moves_of_somebody_elses_story_are_not_held_against_this_game() -> None:
    pgn = '[White "A"]\n[Black "B"]\n[Result "*"]\n\n1. e4 e5 2. Nf3 Nc6 3. d4 exd4 *\n'
    assert told("My uncle lost his with rook takes h7, and he laughed.", pgn, 6) == []
    assert told("And here we have rook takes h7, and he laughed.", pgn, 6) == ["move-not-possible"]


@pytest.mark.parametrize(
    ("true", "false"),
    [
        ("How many of White's men attack c6, I make it one.", "How many of White's men attack c6, I make it two."),
        ("Whose move is it, Black's.", "Whose move is it, White's."),
        ("Is the knight on c6 pinned, yes or no.", "Is the knight on c6 pinned, yes."),
        ("The square c8, what colour is it, it is light.", "The square c8, what colour is it, it is dark."),
        ("Pawns on the board in total, sixteen.", "Pawns on the board in total, two."),
    ],
)
def test_a_question_answered_in_one_breath_is_a_statement(true: str, false: str) -> None:
    assert not wrong(true)
    assert wrong(false)

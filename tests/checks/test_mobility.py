"""How many moves a side, a king or a piece has: statements that the legal moves decide."""

from __future__ import annotations

import itertools

import chess
import pytest
from judging import DATA, called_wrong, statements, table

STUCK = "k7/8/1Q6/2K5/8/8/8/8 b - - 0 1"
"""The queen leaves the king in the corner without a move."""
FREE = "k7/8/2K5/8/8/8/1Q6/8 b - - 0 1"
"""The king can go to a7 only: the queen holds the b file, and b7 and b8 with it."""
BOX = "8/8/8/3k4/8/R7/8/R3K3 b - - 0 1"
"""Nothing takes a square from the king in the middle but the board: eight squares (rooks on the a file)."""
START = chess.STARTING_FEN
SHUT = "6k1/6p1/6P1/8/8/8/PP6/K6R b - - 0 1"
"""The king has f8 only; h8 and h7 are held by the rook, f7 by the pawn; the pawn on g7 is blocked."""

TRUE = [
    ("Black has no legal moves.", STUCK),
    ("Black has no moves.", STUCK),
    ("He has no moves.", STUCK),
    ("Black doesn't have a single legal move.", STUCK),
    ("There are no legal moves left for Black.", STUCK),
    ("The black king has no squares.", STUCK),
    ("The king has nowhere to go.", STUCK),
    ("Black is out of moves.", STUCK),
    ("Black can't move.", STUCK),
    ("The king has one square left.", FREE),
    ("Black has exactly one legal move.", FREE),
    ("The black king has eight squares.", BOX),
    ("Black has eight legal moves.", BOX),
    ("White has twenty legal moves.", START),
    ("The knight on g1 has two squares.", START),
    ("The bishop on f1 has no moves.", START),
    ("The rook on a1 can't move.", START),
    ("The king has only one flight square.", SHUT),
    ("The pawn on g7 can't move.", SHUT),
    ("The pawn on g7 has no moves.", SHUT),
]
FALSE = [
    ("Black has no legal moves.", FREE),
    ("Black doesn't have a single legal move.", FREE),
    ("There are no legal moves left for Black.", SHUT),
    ("The black king has no squares.", FREE),
    ("The king has two squares left.", FREE),
    ("The black king has two squares.", SHUT),
    ("The king has three flight squares.", SHUT),
    ("The black king has nowhere to go.", BOX),
    ("The king can't move.", BOX),
    ("The black king can't move.", FREE),
    ("Black has two legal moves.", BOX),
    ("White has three legal moves.", START),
    ("Black has no legal moves.", START),
    ("The knight on g1 has no legal moves.", START),
    ("The knight on g1 has three squares.", START),
    ("He has no legal moves.", START),
    ("The rook on h1 has no moves.", SHUT),
    ("White can't move.", "6k1/8/8/8/3q4/8/8/3R2K1 w - - 0 1"),
]
"""In the last the rook takes the queen: no usage of the words allows that."""
UNJUDGED = [
    ("Black has no good moves.", START),
    ("Black has no moves.", BOX),
    ("If the king has no squares, it is over.", BOX),
    ("Does the king have no squares?", BOX),
    ("He has no moves.", BOX),
    ("Black has no moves with the knight.", START),
    ("The king can't move to e8.", BOX),
    ("White can't move the rook on a1.", BOX),
    ("The knight on b1 has no squares.", START),
    ("Black has two moves here, and both are sad.", BOX),
    ("The king has two pawns.", FREE),
    ("Soon Black will have no legal moves.", FREE),
    ("We want a position in which Black has no legal moves.", FREE),
    ("A pinned rook can't move.", BOX),
    ("The trick is that Black has no moves.", FREE),
]


def wrong(say: str, fen: str) -> bool:
    return called_wrong({"fen": fen, "game": None, "say": say})


@pytest.mark.parametrize(("say", "fen"), TRUE)
def test_true_counts_are_read_and_left_alone(say: str, fen: str) -> None:
    verdicts = [s.verdict for s in statements({"fen": fen, "game": None, "say": say})]
    assert verdicts.count(True) >= 1
    assert verdicts.count(False) == 0


@pytest.mark.parametrize(("say", "fen"), FALSE)
def test_false_counts_are_called_wrong(say: str, fen: str) -> None:
    assert wrong(say, fen)


@pytest.mark.parametrize(("say", "fen"), UNJUDGED)
def test_what_may_mean_good_moves_or_is_not_said_as_a_fact_is_left_alone(say: str, fen: str) -> None:
    assert not wrong(say, fen)


def mates() -> list[str]:
    """Positions with few and with many moves, from the mates of the tests."""
    import json

    lines = (DATA / "mates.jsonl").read_text(encoding="utf-8").splitlines()
    return [json.loads(line)["fen"] for line in lines[:40]]


def brute(board: chess.Board, white: bool) -> int | None:
    """Moves that leave no own king attacked, tried one by one on the bare board; castling and en passant left out."""
    if board.king(not white) is None or board.attackers(white, board.king(not white)):
        return None
    found = 0
    for start, end in itertools.permutations(chess.SQUARES, 2):
        piece = board.piece_at(start)
        if piece is None or piece.color != white or board.color_at(end) == white:
            continue
        if piece.piece_type == chess.PAWN:
            return None
        if end not in board.attacks(start):
            continue
        after = board.copy(stack=False)
        after.set_piece_at(end, after.remove_piece_at(start))
        found += not after.attackers(not white, after.king(white))
    return found


def test_the_number_of_legal_moves_agrees_with_trying_every_one() -> None:
    """Sides without pawns, whose king has moved: every pair of squares is tried."""
    tried = 0
    for fen in [*mates(), STUCK, FREE, BOX, *(r["fen"] for r in table()[:2000] if r["fen"])]:
        board = chess.Board(fen)
        for white, name in ((True, "White"), (False, "Black")):
            number = brute(board, white)
            if number is None or number < 2 or board.castling_rights:
                continue
            tried += 1
            assert not wrong(f"{name} has {number} legal moves.", fen), (fen, number)
            assert wrong(f"{name} has {number + 1} legal moves.", fen), (fen, number)
    assert tried > 10

"""Positions judged once the captures are over, against values by hand and against a plain search of all captures."""

import random

import chess
import pytest

from timeline.follow.sense import dropped
from timeline.follow.settled import DEEP, EVEN, MATED, TABLES, WORTH, settled
from timeline.follow.tree import Tree
from timeline.score import read_score

PAWN = 100


def about(pawns: float, board: chess.Board) -> bool:
    """Within a pawn: where men stand is worth something, too."""
    return abs(settled(board) / PAWN - pawns) < 1.0


@pytest.mark.parametrize(
    ("fen", "pawns"),
    [
        ("4k3/8/8/3q4/4P3/8/8/4K3 w - - 0 1", 1),  # the queen falls
        ("4k3/8/2p1p3/3p4/8/8/3R4/4K3 w - - 0 1", 2),  # the pawn is guarded: the rook stays, against three pawns
        ("4k3/8/8/3r4/4P3/8/8/4K3 b - - 0 1", 4),  # Black to move, the rook takes the pawn
        ("4k3/P7/8/8/8/8/8/4K3 w - - 0 1", 9),  # a pawn becomes a queen
        ("1r2k3/P7/8/8/8/8/8/4K3 w - - 0 1", 9),  # by taking the rook
        ("4k3/8/8/8/8/5n2/8/4K2R w - - 0 1", 2),  # in check: the king steps away, the exchange stays
    ],
)
def test_what_stands_when_the_captures_are_over(fen: str, pawns: float) -> None:
    """Values by hand: pawn 1, knight and bishop 3, rook 5, queen 9 (common practice)."""
    assert about(pawns, chess.Board(fen))


def test_mate_is_told_from_check() -> None:
    assert settled(chess.Board("R5k1/5ppp/8/8/8/8/8/4K3 b - - 0 1")) == MATED
    assert settled(chess.Board("R5k1/5pp1/8/8/8/8/8/4K3 b - - 0 1")) > MATED


@pytest.mark.parametrize("seed", range(60))
def test_material_is_what_a_plain_search_of_legal_captures_finds(seed: int) -> None:
    """Random positions: a search of legal moves by ``chess`` comes to the same, but for captures in passing and for
    which of two men of a kind takes, as one may stand a little better than the other."""
    dice = random.Random(seed)
    board = chess.Board()
    left = dice.randrange(6, 40)
    while left > 0 or board.is_check():
        moves = list(board.legal_moves)
        board = chess.Board() if not moves else board
        board.push(dice.choice(moves or list(board.legal_moves)))
        left -= 1
    assert abs(settled(board) - plain(board, DEEP)) <= PAWN


def plain(board: chess.Board, left: int) -> int:
    """What stands after the best legal captures or none; captures that lose at once left out, as there."""
    white, black = (
        sum(TABLES[side][piece][s] for piece in chess.PIECE_TYPES for s in board.pieces(piece, bool(side)))
        for side in (1, 0)
    )
    best = white - black if board.turn else black - white
    for move in list(board.generate_legal_captures()) if left else []:
        taker, victim = board.piece_type_at(move.from_square), board.piece_type_at(move.to_square) or chess.PAWN
        dearer = taker == chess.KING or WORTH[taker or 0] > WORTH[victim] + EVEN
        if dearer and board.is_attacked_by(not board.turn, move.to_square):
            continue
        board.push(move)
        best = max(best, -plain(board, left - 1))
        board.pop()
    return best


@pytest.mark.parametrize(
    ("fen", "move", "found"),
    [
        ("4k3/8/8/3q4/4P3/8/8/4K3 w - - 0 1", "e4d5", []),  # the best there is
        ("4k3/8/8/3q4/4P3/8/8/4K3 w - - 0 1", "e1e2", ["named:drop:first", "named:drop"]),  # a queen stays to be taken
        ("6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1", "a1a8", ["mates"]),
    ],
)
def test_what_a_move_of_a_sideline_gives_away(fen: str, move: str, found: list[str]) -> None:
    tree = Tree(read_score(f'[SetUp "1"]\n[FEN "{fen}"]\n\n*'))
    after = tree.child(tree.root, chess.Move.from_uci(move))
    assert [name for name, _ in dropped(after, named=True)] == found

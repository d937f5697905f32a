"""Positions that the search visits: their moves against ``chess``, and that none outlives a following."""

import gc
import random

import chess
import pytest

from timeline.follow import follow_words
from timeline.follow.mainline import reconstruct
from timeline.follow.tree import Node, Tree
from timeline.score import read_score
from timeline.transcript.words import Word

GAME = "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 5. O-O *"
TALK = "e four e five knight f three knight c six suppose bishop c four bishop c five but in the game bishop b five a six"


@pytest.mark.parametrize("seed", range(20))
def test_moves_to_one_square_are_the_legal_ones_that_go_there(seed: int) -> None:
    dice = random.Random(seed)
    board = chess.Board()
    for _ in range(dice.randrange(2, 60)):
        moves = list(board.legal_moves)
        if not moves:
            break
        board.push(dice.choice(moves))
    for goal in chess.SQUARES:
        here = Node(None, None, board, 0, 1)
        found = {legal.move for legal in here.moves(chess.BB_ALL, chess.BB_SQUARES[goal])}
        assert found == {move for move in board.legal_moves if move.to_square == goal}


def test_a_path_in_uci_is_that_of_its_moves() -> None:
    tree = Tree(read_score(GAME))
    side = tree.child(tree.main[4], chess.Move.from_uci("f1c4"))
    for node in (tree.root, side, tree.main[9], tree.main[3]):
        assert node.uci == tuple(move.uci() for move in node.path())


def test_nothing_of_a_following_is_left_to_the_cycle_collector() -> None:
    """Else a service that follows again and again would keep every position until the next whole collection."""
    words = [Word(word, 400 * k, 400 * k + 300) for k, word in enumerate(TALK.split())]
    score = read_score(GAME)
    follow_words(words, score)
    reconstruct(words)
    gc.collect()
    follow_words(words, score)
    reconstruct(words)
    assert gc.collect() < 100

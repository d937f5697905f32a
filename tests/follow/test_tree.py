"""Positions that the search visits: their moves against ``chess``, and that none outlives a following."""

import gc
import random

import chess
import pytest

from timeline.follow import follow_words
from timeline.follow.hypotheses import Hyp
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.mainline import reconstruct
from timeline.follow.matching import game_fits
from timeline.follow.mentions import Desc
from timeline.follow.search import Decoder
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


def test_a_bare_square_means_the_games_piece_less_where_a_pawn_can_go_there_too() -> None:
    """ "F4" is no bishop's move while the f pawn can go there."""
    tree = Tree(read_score("1. d4 Nf6 2. c4 e5 3. dxe5 Ng4 4. Bf4 Bb4+ *"))
    square = game_fits(tree, Desc(to=chess.F4))[6]
    assert square > game_fits(tree, Desc(to=chess.B4))[7] + 1  # no pawn can go to b4
    assert game_fits(tree, Desc(piece=chess.BISHOP, to=chess.F4))[6] == 0


@pytest.mark.parametrize(("first", "again"), [("knight on e four", True), ("knight takes e four", False)])
def test_a_move_named_again_is_no_capture_by_the_other_sides_man(first: str, again: bool) -> None:
    tree = Tree(read_score("1. d4 Nf6 2. Nc3 d5 3. Nf3 *"))
    said = f"{first}. Knight to e four"
    lattice = Lattice(tokens([Word(word, 400 * k, 400 * k + 300) for k, word in enumerate(said.split())]))
    plays = Decoder(lattice, tree, {}).plays
    places = (k for k, tok in enumerate(lattice.toks) if tok.text == "knight")
    before, after = (max(lattice.readings(k), key=lambda m: m.end) for k in places)
    node = tree.child(tree.main[4].parent, chess.Move.from_uci("f6e4"))  # type: ignore[arg-type]
    told = Hyp(0.0, node, 3, Hyp(0.0, tree.main[3], 3), "open", before, 0, before.end, "s")
    assert plays._told_again(told, after) is again

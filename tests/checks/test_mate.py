"""The mate search against suites, brute force, move-generator counts and engines."""

from __future__ import annotations

import json
from functools import reduce
from operator import or_
from pathlib import Path

import chess
import chess.engine
import pytest
from hypothesis import given
from hypothesis import strategies as st
from truth import brute_mate

from timeline import bitboard
from timeline.checks.mate import NODE_LIMIT, find_mate, find_mated

DATA = Path(__file__).parents[1] / "data" / "checks"
MATES = [json.loads(line) for line in (DATA / "mates.jsonl").read_text(encoding="utf-8").splitlines()]


@pytest.mark.parametrize("row", MATES, ids=lambda r: r["source"].split(";")[0])
def test_published_mates_are_proved_and_no_shorter_one_exists(row: dict) -> None:
    """Win at Chess (solutions proved by engine and brute force) and public-domain games."""
    board = chess.Board(row["fen"])
    if row["mate"] is None:
        found = find_mate(board, row["upto"])
        assert found.within is None
        assert found.not_within == row["upto"]
        return
    found = find_mate(board, row["mate"])
    assert found.exact == row["mate"]
    assert len(found.line) == 2 * row["mate"] - 1
    for move in found.line:
        board.push(move)
    assert board.is_checkmate()


@pytest.mark.parametrize(
    ("fen", "counts"),
    [
        (chess.STARTING_FEN, [20, 400, 8902]),
        ("r3k2r/p1ppqpb1/bn2pnp1/3PN3/1p2P3/2N2Q1p/PPPBBPPP/R3K2R w KQkq - 0 1", [48, 2039]),
        ("8/2p5/3p4/KP5r/1R3p1k/8/4P1P1/8 w - - 0 1", [14, 191, 2812]),
        ("r3k2r/Pppp1ppp/1b3nbN/nP6/BBP1P3/q4N2/Pp1P2PP/R2Q1RK1 w kq - 0 1", [6, 264, 9467]),
        ("rnbq1k1r/pp1Pbppp/2p5/8/2B5/8/PPP1NnPP/RNBQK2R w KQ - 1 8", [44, 1486]),
        ("r4rk1/1pp1qppp/p1np1n2/2b1p1B1/2B1P1b1/P1NP1N2/1PP1QPPP/R4RK1 w - - 0 10", [46, 2079]),
    ],
)
def test_move_generator_counts(fen: str, counts: list[int]) -> None:
    """Perft counts as published for these six positions, recomputed with python-chess and Stockfish."""

    def perft(pos: bitboard.Position, depth: int) -> int:
        moves = bitboard.legal_moves(pos)
        return len(moves) if depth == 1 else sum(perft(bitboard.make(pos, m), depth - 1) for m in moves)

    position = bitboard.from_board(chess.Board(fen))
    assert [perft(position, d) for d in range(1, len(counts) + 1)] == counts


@given(st.integers(0, 959), st.lists(st.integers(0, 10_000), max_size=90))
def test_moves_checks_and_mates_are_those_of_the_chess_library(start: int, choices: list[int]) -> None:
    """Legal moves, checking moves, positions after moves and mates, also from shuffled start positions."""
    board = chess.Board() if start == 518 or start % 2 else chess.Board.from_chess960_pos(start)
    for choice in choices:
        moves = sorted(board.legal_moves, key=lambda m: m.uci())
        position = bitboard.from_board(board)
        numbers = bitboard.legal_moves(position)
        assert sorted(bitboard.to_move(board, m).uci() for m in numbers) == [m.uci() for m in moves]
        men = chess.scan_forward(board.occupied_co[board.turn])
        assert bitboard.attacked(position) == reduce(or_, (board.attacks_mask(man) for man in men))
        checks = {bitboard.to_move(board, m).uci() for m in bitboard.checking_moves(position)}
        assert checks == {m.uci() for m in moves if board.gives_check(m)}
        if not moves:
            return
        move = numbers[choice % len(numbers)]
        board.push(bitboard.to_move(board, move))
        after = bitboard.make(position, move)
        assert after == bitboard.from_board(board)
        if board.is_check():
            assert bitboard.is_mated(after) == board.is_checkmate()


PIECES = "QRBNPqrbnp"


@given(
    st.lists(st.tuples(st.sampled_from(PIECES), st.integers(0, 63)), min_size=3, max_size=9),
    st.integers(0, 63),
    st.integers(0, 63),
)
def test_mate_in_one_and_two_agree_with_brute_force(men: list[tuple[str, int]], king: int, other: int) -> None:
    board = chess.Board(None)
    for symbol, square in men:
        if symbol in "Pp" and square // 8 in (0, 7):
            continue
        board.set_piece_at(square, chess.Piece.from_symbol(symbol))
    board.set_piece_at(king, chess.Piece.from_symbol("K"))
    board.set_piece_at(other, chess.Piece.from_symbol("k"))
    if not board.is_valid():
        return
    for moves in (1, 2):
        found = find_mate(board, moves)
        assert found.decides(moves) is brute_mate(board, moves)
        mated = find_mated(board, 1)
        expected = board.is_checkmate() or (
            any(board.legal_moves) and all(_mates_after(board, m) for m in list(board.legal_moves))
        )
        assert mated.decides(1) is expected


def _mates_after(board: chess.Board, move: chess.Move) -> bool:
    board.push(move)
    good = brute_mate(board, 1)
    board.pop()
    return good


def test_stalemate_is_no_mate() -> None:
    """FIDE Laws 5.2.1: with no legal move and the king not in check the game is drawn."""
    board = chess.Board("7k/5Q2/6K1/8/8/8/8/8 b - - 0 1")
    assert find_mated(board, 3).within is None
    assert find_mate(chess.Board("7k/8/5KQ1/8/8/8/8/8 w - - 0 1"), 1).exact == 1


@pytest.mark.parametrize(
    ("fen", "first"),
    [
        ("1r2k1r1/pbppnp1p/1b3P2/8/Q7/B1PB1q2/P4PPP/3R2K1 w - - 0 21", "Qxd7+"),
        ("rn3r2/pbppq1p1/1p2pN2/8/3P1kNP/3B4/PPP2PP1/R3K2R w KQ - 1 15", "g3+"),
        ("r1b2r1k/pp4pp/1qp5/6N1/2Q5/7P/PP3PP1/4R1K1 w - - 3 3", "Nf7+"),
        ("r4r1k/1p1b1p1p/p3pPp1/2qpP3/8/2NR4/PP1Q2PP/R6K w - - 2 21", "Qh6"),
        ("4R3/1kp2ppp/6q1/1PQ5/8/8/1P1B2PP/2K5 w - - 3 32", "Bf4"),
    ],
)
def test_mate_in_four_of_attacks_is_proved_without_an_engine(fen: str, first: str) -> None:
    """Anderssen - Dufresne 1852, Lasker - Thomas 1912, a smothered mate, two quiet first moves made for lessons.

    That there is no mate in three is proved, too, within less than a tenth of the limit.
    """
    board = chess.Board(fen)
    found = find_mate(board, 4, node_limit=NODE_LIMIT // 10)
    assert found.exact == 4
    assert board.san(found.line[0]) == first
    assert len(found.line) == 7


def test_when_the_limit_is_reached_the_answer_is_unknown() -> None:
    board = chess.Board(MATES[0]["fen"])
    found = find_mate(board, 6, node_limit=20)
    assert found.decides(6) is None
    assert found.within is None


@pytest.mark.parametrize(
    "engine", [pytest.param(e, marks=pytest.mark.referee(e)) for e in ("stockfish", "fairy-stockfish")]
)
def test_engines_agree_on_a_sample(engine: str, referee_path) -> None:
    """UCI ``go mate N``: an engine's proved mate is an upper bound; no engine finds a shorter one than ours."""
    import logging

    logging.getLogger("chess.engine").setLevel(logging.CRITICAL)
    sample = [r for r in MATES if r["mate"] in (1, 2, 3)][::4] + [r for r in MATES if r["mate"] is None]
    program = chess.engine.SimpleEngine.popen_uci(referee_path(engine))
    try:
        for row in sample:
            board = chess.Board(row["fen"])
            asked = row["mate"] or row["upto"]
            # it stops at the mate; the limit only has to outlast a loaded machine
            info = program.analyse(board, chess.engine.Limit(mate=asked, time=30.0 if row["mate"] else 1.0))
            said = info["score"].relative.mate()
            ours = find_mate(board, asked)
            if row["mate"] is None:
                assert said is None or said > asked
                assert ours.within is None
            else:
                assert said == ours.exact == row["mate"], (row, said)
    finally:
        program.quit()

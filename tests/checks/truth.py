"""What is true of a position, for every kind of statement: values for the slots of a wording, each with the truth.

A maker takes a place (a position of a game) and the wording, and yields
``(slots, truth)``. It works with ``naive.py`` only (mates by brute force), never
with the code under test. Where usage differs nothing is made.
"""

from __future__ import annotations

import itertools
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path

import chess
import chess.pgn
from naive import NAMES, Board, name

DATA = Path(__file__).parents[1] / "data" / "checks"
HAND = [
    "7k/5Q2/6K1/8/8/8/8/8 b - - 0 1",
    "8/8/8/8/8/2k5/2p5/2K5 w - - 0 1",
    "k7/P7/K7/8/8/8/8/8 b - - 0 1",
    "r1bq1rk1/pp3ppp/2n1pn2/8/1bPP4/2NB1N2/PP3PPP/R1BQ1RK1 w - - 0 9",
    "2r2rk1/pb3ppp/1p2p3/8/2PP4/4P3/PB3PPP/2R2RK1 w - - 0 18",
    "r2q1rk1/1b3ppp/p3pn2/1p6/3P4/PB3N2/1P2QPPP/R4RK1 w - - 0 17",
    "3r1rk1/5ppp/8/3N4/4P3/2b5/5PPP/3R1RK1 w - - 0 25",
    "8/5pk1/4b1p1/3p3p/3P3P/4B1P1/5PK1/8 w - - 0 40",
    "8/5pk1/3b2p1/3p3p/3P3P/4B1P1/5PK1/8 w - - 0 40",
    "2r3k1/1b1r1ppp/p3p3/1p2P3/8/P2R2P1/1P3PBP/3R2K1 b - - 0 24",
    "4r1k1/pp3pp1/2p4p/3n4/3P4/P1N2N2/1P3PPP/4R1K1 b - - 0 22",
    "r4rk1/2p2ppp/p1n5/1p1qp3/8/P2P1N2/1PP1QPPP/R4RK1 w - - 0 16",
    "6k1/5ppp/8/8/8/8/r4PPP/1R4K1 w - - 0 30",
    "r3k2r/pppq1ppp/2npbn2/2b1p3/2B1P3/2NPBN2/PPPQ1PPP/R3K2R w KQkq - 0 9",
    "r4rk1/pppq1ppp/2npbn2/2b1p3/2B1P3/2NPBN2/PPPQ1PPP/2KR3R w - - 0 10",
    "3q2k1/5pp1/7p/8/3R4/3Q3P/5PP1/6K1 w - - 0 31",
    "4k3/8/8/4n3/8/8/4R3/4K3 b - - 0 50",
    "r5k1/5ppp/8/8/8/1B6/5PPP/R5K1 w - - 0 28",
    "1k1r4/pp3ppp/8/8/8/8/PP3PPP/1K1RR3 w - - 0 26",
    "8/8/2k5/1p1p4/1P1P4/2K5/6p1/8 w - - 0 45",
]


@cache
def games() -> tuple[chess.pgn.Game, ...]:
    with (DATA / "games.pgn").open(encoding="utf-8") as stream:
        return tuple(itertools.takewhile(lambda g: g is not None, (chess.pgn.read_game(stream) for _ in range(50))))


def fen_of(row: dict) -> str:
    """The position of a row of the table: its own FEN, or a ply of a game."""
    if row["game"] is None:
        return row["fen"]
    board = games()[row["game"]].board()
    for move in list(games()[row["game"]].mainline_moves())[: row["ply"]]:
        board.push(move)
    return board.fen()


def brute_mate(board: chess.Board, moves: int) -> bool:
    """Plain AND/OR search over ``chess.Board``: no ordering, no table, no pruning but the first success."""
    for move in list(board.legal_moves):
        board.push(move)
        good = board.is_checkmate()
        if not good and moves > 1:
            replies = list(board.legal_moves)
            good = bool(replies)
            for reply in replies:
                board.push(reply)
                good = brute_mate(board, moves - 1)
                board.pop()
                if not good:
                    break
        board.pop()
        if good:
            return True
    return False


class Place:
    """One position with its game: ``board`` naive, ``fen``, ``ply`` of ``game`` (None for hand-made)."""

    def __init__(self, fen: str, game: int | None, ply: int, last: str | None, headers: dict[str, str]) -> None:
        self.fen, self.game, self.ply, self.last, self.headers = fen, game, ply, last, headers
        self.board = Board(fen)


def places() -> list[Place]:
    found = []
    for number, game in enumerate(games()):
        board = game.board()
        headers = dict(game.headers)
        found.append(Place(board.fen(), number, 0, None, headers))
        for ply, move in enumerate(game.mainline_moves(), 1):
            board.push(move)
            found.append(Place(board.fen(), number, ply, move.uci(), headers))
    found += [Place(fen, None, 0, None, {}) for fen in HAND]
    return found


Slots = dict[str, str]
MAKERS: dict[str, Callable[[Place, str], Iterator[tuple[Slots, bool]]]] = {}


def maker(kind: str):
    def register(function):
        MAKERS[kind] = function
        return function

    return register


def side(white: bool) -> Slots:
    return {"S": "White" if white else "Black", "O": "Black" if white else "White"}


def piece(b: Board, s: int, k: str = "") -> Slots:
    return {"P" + k: NAMES[b.kind(s)], "Q" + k: name(s)}


WORDS = ["zero", "one", "two", "three", "four", "five", "six", "seven"]

"""One row of the statements table judged as a lesson with one position: used by the tests and the benchmark."""

from __future__ import annotations

import csv
from collections.abc import Sequence
from pathlib import Path

import chess
import chess.pgn
from truth import games

from timeline.checks.statements import Statement, judge
from timeline.score import Score
from timeline.tracks import BoardSpan, BoardTrack
from timeline.transcript.words import Word

DATA = Path(__file__).parents[1] / "data" / "checks"
TRUE = {"yes": True, "no": False, "": None}


def table() -> list[dict]:
    """Rows of the table: ``true`` is None where nothing is to be judged, ``game`` where the position stands alone."""
    with (DATA / "statements.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    for row in rows:
        row |= {"true": TRUE[row["true"]], "game": int(row["game"]) if row["game"] else None, "ply": int(row["ply"])}
    return rows


def spoken(text: str, start_ms: int = 0) -> list[Word]:
    return [Word(w, start_ms + i * 300, start_ms + i * 300 + 250) for i, w in enumerate(text.split())]


def score_of_fen(fen: str) -> Score:
    game = chess.pgn.Game()
    game.setup(chess.Board(fen))
    return Score(game)


def still(score: Score, path: Sequence[chess.Move], end_ms: int = 600_000) -> BoardTrack:
    """A track that shows one position all the time."""
    board = score.board_at(path)
    span = BoardSpan(0, end_ms, board.fen(), tuple(m.uci() for m in path), len(path), score.address(path), "score")
    return BoardTrack(score.start.fen(), tuple(m.uci() for m in score.moves), (span,))


def statements(row: dict) -> list[Statement]:
    if row["game"] is None:
        score: Score = score_of_fen(row["fen"])
        path: Sequence[chess.Move] = ()
    else:
        score = Score(games()[row["game"]])
        path = score.moves[: row["ply"]]
    words = spoken(row["say"], 30_000)
    return judge(score, words, still(score, path))[0]


def called_wrong(row: dict) -> bool:
    return any(s.verdict is False for s in statements(row))

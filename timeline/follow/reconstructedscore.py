"""The reconstructed game as a score and as PGN text: its tags say what it is, its comments where it is in doubt."""

from __future__ import annotations

import re

import chess
import chess.pgn

from timeline.follow.reconstructed import Reconstruction
from timeline.score import Score
from timeline.timecode import format_ms

ANNOTATOR = "reconstructed by plyline from speech"


def score_of(found: Reconstruction, *, title: str | None = None) -> Score:
    """The reconstruction as a score, its tags saying what it is and its comments where it is in doubt."""
    board = chess.Board(found.start_fen, chess960=found.chess960)
    game = chess.pgn.Game()
    if title:
        game.headers["Event"] = re.sub(r'[\x00-\x1f"\\]+', " ", title)
    game.headers["Annotator"] = ANNOTATOR
    if board.fen() != chess.STARTING_FEN:
        game.setup(board)
    node: chess.pgn.GameNode = game
    for ply in found.plies:
        node = node.add_variation(chess.Move.from_uci(ply.uci))
        if ply.guessed:
            by = f"guessed from the opening's name, {ply.named}" if ply.named else f"guessed from what follows at {format_ms(ply.at_ms)}"
            node.comment = f"not told: {by}"
        elif ply.asked:
            other = "".join(f", or {san}" for san in ply.alternatives) or ", or not played"
            node.comment = f"{format_ms(ply.at_ms)}: sure {ply.sure:.2f}{other}"
    return Score(game, "the game as reconstructed from speech")


def write_pgn(score: Score) -> str:
    """The PGN text of a reconstructed score."""
    return f"{score.game.accept(chess.pgn.StringExporter(columns=80))}\n"

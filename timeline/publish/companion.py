"""The companion: the game with the lesson's sidelines in it, and when each position is on screen.

A PGN to hand out beside the film. Times are the film's (holds included), so
that a viewer finds the place; they stand in ordinary comments (PGN standard,
section 5), which every reader keeps.
"""

from __future__ import annotations

import io
from collections.abc import Sequence

import chess
import chess.pgn

from timeline.score import Score
from timeline.timecode import format_clock
from timeline.timemap import TimeMap
from timeline.tracks import BoardTrack, ThinkPause

THINK = "Pause here: what would you play?"


def write_companion(
    score: Score, board: BoardTrack, thinks: Sequence[ThinkPause], timemap: TimeMap, *, annotator: str = ""
) -> str:
    """PGN text: the score with its own comments, and every line that the lesson shows.

    A position has a comment with the film time at which it first comes on
    screen; one that stands while the film holds asks the reader too. Positions
    of the teacher's own (``hand``) belong to no line and are left out. What is
    shown beyond the game's last move stands in a sideline that begins with that
    move again: PGN has no other way to say that it was not played.
    """
    game = chess.pgn.read_game(io.StringIO(str(score.game)))
    assert game is not None
    if annotator and "Annotator" not in game.headers:
        game.headers["Annotator"] = annotator
    last = game.end()
    told: set[chess.pgn.GameNode] = set()
    for span in board.spans:
        if span.origin == "hand":
            continue
        node = _node(game, last, span.path)
        if node not in told and node is not game:
            told.add(node)
            _add(node, format_clock(timemap.start(span.start_ms)))
        if any(span.start_ms < think.at_ms <= span.end_ms for think in thinks):
            _add(node, THINK)
    return f"{game}\n"


def _node(game: chess.pgn.Game, last: chess.pgn.GameNode, path: Sequence[str]) -> chess.pgn.GameNode:
    """The node at a path; moves that the score lacks are added as sidelines, never after the game's ``last``."""
    node: chess.pgn.GameNode = game
    for uci in path:
        move = chess.Move.from_uci(uci)
        if node is last and isinstance(node, chess.pgn.ChildNode):
            node = _again(node.parent, node)
        node = node.variation(move) if node.has_variation(move) else node.add_variation(move)
    return node


def _again(before: chess.pgn.GameNode, last: chess.pgn.ChildNode) -> chess.pgn.GameNode:
    """The sideline of ``before`` that begins with the last move, made when missing."""
    found = (node for node in before.variations if node.move == last.move and node is not last)
    return next(found, None) or before.add_variation(last.move)


def _add(node: chess.pgn.GameNode, text: str) -> None:
    node.comment = f"{node.comment} {text}".strip()

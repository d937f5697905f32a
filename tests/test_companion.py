"""The annotated game to hand out: the score stays what was played."""

from __future__ import annotations

import io

import chess.pgn

from timeline.buildtracks import build_tracks
from timeline.lesson import CueSpec
from timeline.publish.companion import write_companion
from timeline.score import read_score
from timeline.timemap import TimeMap


def handed_out(pgn: str, shown: list[str]) -> chess.pgn.Game:
    score = read_score(pgn)
    cues = [CueSpec(at=1000 * n, show=address) for n, address in enumerate(shown, 1)]
    tracks = build_tracks(score, cues, 60_000)
    game = chess.pgn.read_game(io.StringIO(write_companion(score, tracks.board, (), TimeMap())))
    assert game is not None
    assert game.errors == []
    return game


def lines(node: chess.pgn.GameNode) -> list[str]:
    """Every line that branches off at a node, as moves to its first leaf."""
    return [" ".join(n.san() for n in [v, *v.mainline()]) for v in node.variations[1:]]


def test_what_is_shown_after_a_resignation_was_not_played():
    game = handed_out("1. e4 e5 2. Qh5 Ke7 0-1\n", ["2b", "2b Qxe5#", "2b", "2b Nf3 d6", "2b Nf3 Nc6"])
    assert [node.san() for node in game.mainline()] == ["e4", "e5", "Qh5", "Ke7"]
    before = game.end().parent
    assert lines(before) == ["Ke7 Qxe5#"]
    again = before.variations[1]
    assert lines(again) == ["Nf3 d6"]
    assert [v.san() for v in again.variations[1].variations] == ["d6", "Nc6"]
    assert game.end().comment == "0:01"
    assert again.variations[0].comment == "0:02"


def test_a_position_without_moves_takes_what_is_shown_as_its_line():
    pgn = '[SetUp "1"]\n[FEN "4k3/8/8/8/8/8/4P3/4K3 w - - 0 1"]\n\n*\n'
    game = handed_out(pgn, ["start", "start Kd2", "start e4"])
    assert [v.san() for v in game.variations] == ["Kd2", "e4"]

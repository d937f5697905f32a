"""Names of the openings that teachers speak of most, by the position their moves lead to.

Names and moves are common knowledge of the trade, written from memory; the
deepest one on the game's way wins.
"""

from __future__ import annotations

from functools import lru_cache

import chess

from timeline.score import Score

_NAMES = """
King's Gambit: e4 e5 f4
Vienna Game: e4 e5 Nc3
Bishop's Opening: e4 e5 Bc4
Center Game: e4 e5 d4
Scotch Game: e4 e5 Nf3 Nc6 d4
Four Knights: e4 e5 Nf3 Nc6 Nc3 Nf6
Italian Game: e4 e5 Nf3 Nc6 Bc4
Two Knights Defence: e4 e5 Nf3 Nc6 Bc4 Nf6
Evans Gambit: e4 e5 Nf3 Nc6 Bc4 Bc5 b4
Ruy Lopez: e4 e5 Nf3 Nc6 Bb5
Exchange Ruy Lopez: e4 e5 Nf3 Nc6 Bb5 a6 Bxc6
Berlin Defence: e4 e5 Nf3 Nc6 Bb5 Nf6
Philidor Defence: e4 e5 Nf3 d6
Petroff Defence: e4 e5 Nf3 Nf6
Sicilian Defence: e4 c5
Sicilian Dragon: e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 g6
Sicilian Najdorf: e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 a6
French Defence: e4 e6
Caro-Kann Defence: e4 c6
Scandinavian Defence: e4 d5
Alekhine Defence: e4 Nf6
Pirc Defence: e4 d6 d4 Nf6
Modern Defence: e4 g6
Queen's Gambit: d4 d5 c4
Queen's Gambit Accepted: d4 d5 c4 dxc4
Queen's Gambit Declined: d4 d5 c4 e6
Slav Defence: d4 d5 c4 c6
London System: d4 d5 Nf3 Nf6 Bf4
King's Indian Defence: d4 Nf6 c4 g6 Nc3 Bg7 e4
Grünfeld Defence: d4 Nf6 c4 g6 Nc3 d5
Nimzo-Indian Defence: d4 Nf6 c4 e6 Nc3 Bb4
Queen's Indian Defence: d4 Nf6 c4 e6 Nf3 b6
Benko Gambit: d4 Nf6 c4 c5 d5 b5
Benoni Defence: d4 Nf6 c4 c5
Budapest Gambit: d4 Nf6 c4 e5
Dutch Defence: d4 f5
English Opening: c4
Réti Opening: Nf3 d5 c4
Bird's Opening: f4
"""


@lru_cache
def _positions() -> dict[str, str]:
    table = {}
    for line in _NAMES.strip().splitlines():
        name, moves = line.split(": ")
        board = chess.Board()
        for san in moves.split():
            board.push_san(san)
        table[board.epd()] = name
    return table


def opening_of(score: Score) -> tuple[str, int] | None:
    """Name of the game's opening and the ply at which the name is settled; None when it has none here."""
    found = None
    for ply, board in enumerate(score.boards[:24]):
        name = _positions().get(board.epd())
        if name is not None:
            found = (name, ply)
    return found

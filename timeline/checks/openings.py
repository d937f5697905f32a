"""Opening names as they are spoken, each with the moves that make it, in any order.

A compact table of our own: families and the best-known variations. An opening
is *on the board* when both sides have played all moves of one of its lines
within the first twenty moves, whatever the order; so transpositions count.
A line with ``1.`` names a first move: the same move later leaves it open.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import chess

WITHIN_PLIES = 40
"""So far into a game its moves may come in another order (ours: openings are named by move fifteen or so)."""
EARLY_PLIES = 6
"""So far where a side's one move makes the name."""

_TABLE = """
open game | e4 e5
italian game, italian, giuoco piano, guioco piano | e4 e5 Nf3 Nc6 Bc4
evans gambit | e4 e5 Nf3 Nc6 Bc4 Bc5 b4
two knights defense, two knights | e4 e5 Nf3 Nc6 Bc4 Nf6; e4 c6 Nc3 d5 Nf3
ruy lopez, spanish, spanish game, spanish opening, lopez | e4 e5 Nf3 Nc6 Bb5
berlin, berlin defense, berlin wall | e4 e5 Nf3 Nc6 Bb5 Nf6
marshall attack, marshall gambit | e4 e5 Nf3 Nc6 Bb5 a6 Ba4 Nf6 O-O Be7 Re1 b5 Bb3 O-O c3 d5
exchange spanish, exchange ruy lopez | e4 e5 Nf3 Nc6 Bb5 a6 Bxc6
scotch game, scotch, scotch opening | e4 e5 Nf3 Nc6 d4
scotch gambit | e4 e5 Nf3 Nc6 d4 exd4 Bc4
four knights game, four knights | e4 e5 Nf3 Nc6 Nc3 Nf6
three knights game, three knights | e4 e5 Nf3 Nc6 Nc3
petrov, petroff, russian defense, russian game, petrov defense, petroff defense, petrov 's defense | e4 e5 Nf3 Nf6
philidor, philidor defense, philidor 's defense | e4 e5 Nf3 d6
latvian gambit | e4 e5 Nf3 f5
elephant gambit | e4 e5 Nf3 d5
vienna game, vienna, vienna opening | e4 e5 Nc3
king 's gambit, kings gambit | e4 e5 f4
king 's gambit accepted | e4 e5 f4 exf4
king 's gambit declined | e4 e5 f4 Bc5; e4 e5 f4 d6; e4 e5 f4 d5
bishop 's opening | e4 e5 Bc4
center game | e4 e5 d4
danish gambit | e4 e5 d4 exd4 c3
ponziani, ponziani opening | e4 e5 Nf3 Nc6 c3
sicilian, sicilian defense | e4 c5
najdorf, sicilian najdorf, najdorf variation | e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 a6
dragon, sicilian dragon, dragon variation | e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 g6
accelerated dragon | e4 c5 Nf3 Nc6 d4 cxd4 Nxd4 g6
sveshnikov, sicilian sveshnikov | e4 c5 Nf3 Nc6 d4 cxd4 Nxd4 Nf6 Nc3 e5
taimanov, sicilian taimanov | e4 c5 Nf3 e6 d4 cxd4 Nxd4 Nc6
scheveningen, sicilian scheveningen | e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 e6
kan, kan variation | e4 c5 Nf3 e6 d4 cxd4 Nxd4 a6
alapin, alapin sicilian | e4 c5 c3
smith-morra gambit, smith morra gambit, morra gambit, smith morra | e4 c5 d4 cxd4 c3
grand prix attack | e4 c5 Nc3 f4
closed sicilian | e4 c5 Nc3
rossolimo, rossolimo attack | e4 c5 Nf3 Nc6 Bb5
french, french defense | e4 e6 d4 d5; e4 e6
winawer, french winawer | e4 e6 d4 d5 Nc3 Bb4
tarrasch french, french tarrasch | e4 e6 d4 d5 Nd2
advance french, french advance, advance variation of the french | e4 e6 d4 d5 e5
exchange french, french exchange | e4 e6 d4 d5 exd5
caro-kann, caro kann, caro-kann defense, caro kann defense, carokann | e4 c6
advance caro kann | e4 c6 d4 d5 e5
scandinavian, scandinavian defense, center counter | e4 d5
alekhine, alekhine 's defense, alekhine defense | e4 Nf6
pirc, pirc defense | e4 d6 d4 Nf6; e4 d6 d4 g6
modern defense | e4 g6
nimzowitsch defense | e4 Nc6
queen 's gambit, queens gambit | d4 d5 c4
queen 's gambit declined, queens gambit declined | d4 d5 c4 e6
queen 's gambit accepted, queens gambit accepted | d4 d5 c4 dxc4
slav, slav defense | d4 d5 c4 c6
semi-slav, semi slav, semi-slav defense | d4 d5 c4 c6 e6 Nf6
tarrasch defense | d4 d5 c4 e6 c5
albin, albin countergambit, albin counter gambit | d4 d5 c4 e5
chigorin, chigorin defense | d4 d5 c4 Nc6
london, london system | d4 Bf4
colle, colle system | d4 Nf3 e3 Bd3
catalan, catalan opening | d4 c4 g3 Nf6 e6; d4 c4 g3 d5 e6
trompowsky, trompowsky attack | d4 Nf6 Bg5
king 's indian, king 's indian defense, kings indian | d4 Nf6 g6 Bg7; c4 Nf6 g6 Bg7; Nf3 Nf6 g6 Bg7
grunfeld, gruenfeld, grunfeld defense | d4 Nf6 c4 g6 d5
nimzo-indian, nimzo indian, nimzo-indian defense, nimzo indian defense, nimzo | d4 Nf6 c4 e6 Nc3 Bb4
queen 's indian, queen 's indian defense, queens indian | d4 Nf6 e6 b6
bogo-indian, bogo indian | d4 Nf6 c4 e6 Bb4
benoni, modern benoni | d4 Nf6 c4 c5; d4 c5 d5
benko gambit, benko, volga gambit | d4 Nf6 c4 c5 d5 b5
budapest gambit, budapest | d4 Nf6 c4 e5
dutch, dutch defense | d4 f5
stonewall dutch, dutch stonewall | d4 f5 e6 d5
leningrad dutch | d4 f5 g6
blackmar-diemer gambit, blackmar diemer gambit | d4 d5 e4 dxe4
veresov | d4 Nc3 Bg5
english, english opening | 1. c4
reti, reti opening | 1. Nf3
king 's indian attack | Nf3 g3 Bg2
bird, bird 's opening, bird opening | 1. f4
larsen 's opening, nimzowitsch-larsen attack, nimzo-larsen attack | 1. b3
polish opening, orangutan, sokolsky | 1. b4
grob, grob 's attack | 1. g4
double fianchetto | b3 g3
"""


@cache
def _lines() -> dict[str, tuple[tuple[frozenset[str], frozenset[str], str], ...]]:
    """Name -> its lines, each as (White's moves, Black's moves, all)."""
    found: dict[str, tuple[tuple[frozenset[str], frozenset[str], str], ...]] = {}
    for row in _TABLE.strip().splitlines():
        names, _, lines = row.partition("|")
        parsed = tuple(_split_line(line.strip()) for line in lines.split(";"))
        for name in names.split(","):
            found[name.strip()] = parsed
    return found


def _split_line(line: str) -> tuple[frozenset[str], frozenset[str], str]:
    """Moves dealt to the sides: by who can legally play them from the start, in any order."""
    board = chess.Board()
    ours: set[str] = set()
    theirs: set[str] = set()
    for san in line.removeprefix("1. ").split():
        if _plays(board, san):
            (ours if board.turn else theirs).add(san)
            board.push_san(san)
            continue
        board.turn = not board.turn
        if not _plays(board, san):
            raise ValueError(f"opening line {line!r}: {san} cannot be played")
        (ours if board.turn else theirs).add(san)
        board.push_san(san)
    return frozenset(ours), frozenset(theirs), line.strip()


def _plays(board: chess.Board, san: str) -> bool:
    try:
        board.parse_san(san)
    except ValueError:
        return False
    return True


def opening_names() -> list[str]:
    """Every spoken name in the table."""
    return list(_lines())


def find_opening(text: str) -> str | None:
    """The longest known name that stands in ``text`` (plain words), or None."""
    padded = f" {text} "
    known = [name for name in _lines() if f" {name} " in padded]
    return max(known, key=len) if known else None


def is_opening(name: str, moves: Sequence[chess.Move], *, start: chess.Board | None = None) -> bool | None:
    """Whether the moves of a game make the opening ``name``; None when that cannot be said (a set-up position)."""
    board = (start or chess.Board()).copy(stack=False)
    if board.fen() != chess.STARTING_FEN:
        return None
    played: dict[chess.Color, set[str]] = {chess.WHITE: set(), chess.BLACK: set()}
    early: dict[chess.Color, set[str]] = {chess.WHITE: set(), chess.BLACK: set()}
    for ply, move in enumerate(moves[:WITHIN_PLIES]):
        side = board.turn
        san = board.san_and_push(move).rstrip("+#")
        # "Nge2" and "Ne2" are one move for this purpose.
        played[side] |= {
            san,
            san[0] + san[2:] if len(san) == 4 and san[0] in "NBRQ" and san[1] in "abcdefgh12345678" else san,
        }
        if ply < EARLY_PLIES:
            early[side] |= played[side]

    def reached(line: frozenset[str], side: chess.Color) -> bool:
        # One move names an opening only at the game's start: ...c5 on move ten makes no Sicilian.
        return line <= (early if len(line) < 2 else played)[side]

    made = [line for ours, theirs, line in _lines()[name] if reached(ours, True) and reached(theirs, False)]
    first = chess.Board().san(moves[0]) if moves else ""
    if any(not line.startswith("1. ") or line == f"1. {first}" for line in made):
        return True
    return None if made else False


def lines_of(name: str) -> list[str]:
    """The defining lines of a name in SAN, as written in the table."""
    return [line for _, _, line in _lines()[name]]

"""Invented shows that bring every device of the drawing on screen, for the contact sheet."""

from __future__ import annotations

from collections.abc import Sequence

import chess

from overlays.show import Show
from timeline.tracks import ROLES, BoardSpan, BoardTrack, Caption, MarkSpan, Origin, ThinkPause

GAME = "e4 e5 Nf3 Nc6 Bc4 Nf6 Ng5 d5 exd5 Na5 Bb5+ c6 dxc6 bxc6 Be2 h6 Nf3 e4 Ne5 Bd6 d4 exd3 Nxd3 Qc7"
LONG_NAMES = (
    "Wilhelmina Aurelia von Hohenstein-Krákovská",
    "שרה בן־דוד (מועדון הצריח)",
    "How a quiet knight manoeuvre on the queenside decided a game that everybody had already given up as a draw",
)


def span(board: chess.Board, start_ms: int, end_ms: int, shared: int, origin: Origin = "score") -> BoardSpan:
    """The position of a board whose stack is the path."""
    path = tuple(move.uci() for move in board.move_stack)
    return BoardSpan(start_ms, end_ms, board.fen(), path, shared, "", origin)


def track(sans: Sequence[str], start_fen: str = chess.STARTING_FEN, each_ms: int = 1000) -> BoardTrack:
    """A mainline, one move a second, the start position first."""
    board = chess.Board(start_fen)
    spans = [span(board, 0, each_ms, 0)]
    for i, san in enumerate(sans, 1):
        board.push_san(san)
        spans.append(span(board, i * each_ms, (i + 1) * each_ms, i))
    return BoardTrack(start_fen, tuple(m.uci() for m in board.move_stack), tuple(spans))


def arrow(squares: str, role: str, start_ms: int, end_ms: int) -> MarkSpan:
    """``e2-e4`` is an arrow, ``g1-f3-e5`` a route, ``d6`` a square."""
    places = tuple(chess.parse_square(name) for name in squares.split("-"))
    kind = ("square", "arrow", "route")[min(2, len(places) - 1)]
    return MarkSpan(start_ms, end_ms, kind, places, role)  # type: ignore[arg-type]


def game_show(
    *, long_names: bool = False, orientation: str = "white", title: str = "The bishop that came back"
) -> Show:
    """A game with a sideline (16 s), the way back (19 s), a position of one's own (21 s), captions, a pause (26 s)."""
    whole = track(GAME.split())
    spans = list(whole.spans[:16])
    board = chess.Board()
    for uci in whole.mainline[:15]:
        board.push_uci(uci)
    time_ms = 16_000
    for san in ("Bc5", "O-O", "O-O"):
        board.push_san(san)
        spans.append(span(board, time_ms, time_ms + 1000, 15, "sideline"))
        time_ms += 1000
    spans.append(BoardSpan(19_000, 21_000, whole.spans[15].fen, whole.spans[15].path, 15, "", "score"))
    spans.append(BoardSpan(21_000, 23_000, "8/5k2/3p4/1p1Pp2p/pP2Pp1P/P4P1K/8/8 w - - 0 1", (), 0, "", "hand"))
    spans.append(BoardSpan(23_000, 30_000, whole.spans[15].fen, whole.spans[15].path, 15, "", "score"))
    marks = (
        arrow("a5-c4", "attack", 15_000, 16_000),
        arrow("g5-f3-d4", "route", 15_000, 16_000),
        arrow("f7", "weakness", 15_000, 16_000),
        arrow("d4", "key square", 15_000, 16_000),
        arrow("c1-f4", "plan", 15_000, 16_000),
        arrow("f8-b4", "defence", 15_000, 16_000),
    )
    names = LONG_NAMES if long_names else ("Mara Ilvesson", "Tobias Quell", title)
    return Show(
        BoardTrack(whole.start_fen, whole.mainline, tuple(spans)),
        names[2],
        marks,
        captions=(Caption(14_000, 38_000, "The bishop goes back to e2,\nand Black keeps the initiative for now."),),
        pauses=(ThinkPause(26_000, 8000),),
        white=names[0],
        black=names[1],
        teacher="Ada Rennick",
        orientation="black" if orientation == "black" else "white",
    )


def marks_show() -> Show:
    """Every role as a square (on both colours, under both sides' pieces) and as an arrow."""
    board = chess.Board("8/6k1/pPpPpPp1/8/8/PpPpPp2/8/6K1 w - - 0 1")
    marks = []
    for i, role in enumerate(ROLES):
        file = chess.FILE_NAMES[i]
        marks += [arrow(f"{file}{rank}", role, 0, 2000) for rank in (3, 4, 6, 7)]
        marks.append(arrow(f"{file}1-{chess.FILE_NAMES[min(i + 1, 6)]}2", role, 0, 2000))
    return _still(board, marks)


def arrows_show() -> Show:
    """Long arrows of every role, straight, slanted and bent."""
    board = chess.Board("r2q1rk1/pp2bppp/2n1bn2/3p4/3N4/2N1P3/PP2BPPP/R1BQ1RK1 w - - 0 1")
    squares = ("a8-a3", "h8-h3", "b1-g6", "g8-c4", "f1-f7", "b6-e6")
    return _still(board, [arrow(s, r, 0, 2000) for s, r in zip(squares, ROLES, strict=True)])


def crowd_show() -> Show:
    """Many arrows to one square, along one file, and to and fro."""
    board = chess.Board("r1bqr1k1/pp3ppp/2n2n2/3p4/1b1P4/2N2N2/PP2BPPP/R1BQR1K1 w - - 0 1")
    told = (
        ("f3-e5", "plan"),
        ("c6-e5", "attack"),
        ("e1-e5", "attack"),
        ("e8-e5", "defence"),
        ("c1-f4", "plan"),
        ("f4-e5", "attack"),
        ("e2-b5", "attack"),
        ("b5-e2", "route"),
        ("d1-d4", "defence"),
        ("d2-d5", "attack"),
        ("d5", "weakness"),
        ("e5", "key square"),
        ("g1-h3-f4-h5", "route"),
    )
    return _still(board, [arrow(s, r, 0, 2000) for s, r in told])


def moving_show(fen: str, sans: Sequence[str]) -> Show:
    """A few moves from a position, for pictures in mid-motion."""
    return Show(track(sans, fen), "In motion")


def _still(board: chess.Board, marks: list[MarkSpan]) -> Show:
    fen = board.fen()
    return Show(BoardTrack(fen, (), (BoardSpan(0, 2000, fen, (), 0, "", "score"),)), "Marks", tuple(marks))

"""What pictures cost: ``python tests/benchmarks/bench_painter.py [minutes]``.

Prints the times of planning a show and painting it, by kind of picture, and
the peak memory of the process. An invented show: a move every two seconds, a
mark with every other, captions, a think-pause each minute.
"""

from __future__ import annotations

import resource
import statistics
import sys
import time
from fractions import Fraction

import chess

from overlays.painter import BoardPainter
from overlays.samples import arrow, span
from overlays.show import Show
from timeline.filmsettings import FilmSettings
from timeline.tracks import ROLES, BoardTrack, Caption, ThinkPause

EACH_MS = 2000


def long_show(minutes: int) -> Show:
    """A show of so many minutes over a game that begins anew where it ends."""
    board = chess.Board()
    moves = "e4 e5 Nf3 Nc6 Bc4 Bc5 O-O Nf6 d3 d6 c3 a6 a4 Ba7 h3 h6 Re1 O-O Nbd2 Re8 Nf1 Be6 Bxe6 Rxe6".split()
    spans, marks = [], []
    for i in range(minutes * 60_000 // EACH_MS):
        spans.append(span(board, i * EACH_MS, (i + 1) * EACH_MS, len(board.move_stack)))
        if i % 2:
            marks.append(arrow(("c1-h6", "f3", "b1-d2-f1")[i % 3], ROLES[i % 6], i * EACH_MS, (i + 1) * EACH_MS))
        if len(board.move_stack) == len(moves):
            board.reset()
        else:
            board.push_san(moves[len(board.move_stack)])
    board.reset()
    for san in moves:
        board.push_san(san)
    end = spans[-1].end_ms
    return Show(
        BoardTrack(chess.STARTING_FEN, tuple(m.uci() for m in board.move_stack), tuple(spans)),
        "A long evening",
        tuple(marks),
        tuple(Caption(a, a + 2500, f"Words that were said at {a // 1000} s") for a in range(0, end - 2500, 3000)),
        pauses=tuple(ThinkPause(a, 5000) for a in range(30_000, end, 60_000)),
        white="Mara Ilvesson",
        black="Tobias Quell",
    )


def main(minutes: int) -> None:
    show = long_show(minutes)
    begin = time.perf_counter()
    painter = BoardPainter(show, FilmSettings(captions=True))
    runs = list(painter.runs(Fraction(30)))
    frames = sum(run.count for run in runs)
    print(f"{minutes} min: {frames} frames, {len(runs)} runs, planned in {time.perf_counter() - begin:.2f} s")
    kinds: dict[str, list[float]] = {"at rest": [], "piece moving": [], "mark fading": []}
    for run in runs:
        begin = time.perf_counter()
        painter.rgb(run.key)
        took = (time.perf_counter() - begin) * 1000
        fading = any(mark.strength < 8 for mark in run.key.marks)
        kinds["piece moving" if run.key.pose.moving else "mark fading" if fading else "at rest"].append(took)
    for kind, times in kinds.items():
        print(f"{kind:13} {len(times):6} pictures  median {statistics.median(times):6.2f} ms  max {max(times):6.1f} ms")
    total = sum(sum(times) for times in kinds.values())
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    print(f"painting {total / 1000:.1f} s in all, {total / frames:.2f} ms a frame of film; peak memory {peak:.0f} MB")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 2)

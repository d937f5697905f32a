"""How fast and how right is the mate search? Not a test: run by hand.

    python tests/benchmarks/mate.py [--epd FILE.epd] [--moves 3] [--plain 18] [--fen FEN]

Compares ``timeline.checks.mate`` with a plain AND/OR search over ``chess.Board``
on the Win at Chess mates (solutions proved by engine and by brute force), and,
with ``--epd``, decides every ``bm #N`` up to ``--moves`` of a suite.
``--fen`` decides one position: a mate in ``--moves`` or not.
"""

from __future__ import annotations

import argparse
import json
import time
from pathlib import Path

import chess

from timeline.checks.mate import find_mate, find_mated

DATA = Path(__file__).parents[1] / "data" / "checks" / "mates.jsonl"


def plain_mate(board: chess.Board, moves: int, seen: list[int]) -> bool:
    """The side to move mates within ``moves``: every move against every reply, in the library's order."""
    for move in board.legal_moves:
        board.push(move)
        seen[0] += 1
        good = plain_mated(board, moves - 1, seen)
        board.pop()
        if good:
            return True
    return False


def plain_mated(board: chess.Board, moves: int, seen: list[int]) -> bool:
    if moves == 0:
        return board.is_checkmate()
    some = False
    for move in board.legal_moves:
        some = True
        board.push(move)
        seen[0] += 1
        good = plain_mate(board, moves, seen)
        board.pop()
        if not good:
            return False
    return some or board.is_check()


def versus_plain(count: int) -> None:
    rows = [json.loads(line) for line in DATA.read_text(encoding="utf-8").splitlines()]
    for n in (2, 3):
        chosen = [r for r in rows if r["mate"] == n and r["source"].startswith("Win at Chess")][:count]
        ours = plain = 0.0
        nodes, seen = 0, [0]
        for row in chosen:
            board = chess.Board(row["fen"])
            start = time.perf_counter()
            found = find_mate(board, n)
            ours += time.perf_counter() - start
            nodes += found.nodes
            start = time.perf_counter()
            # The plain search, too, shows that there is no shorter mate.
            exact = [plain_mate(board.copy(), k, seen) for k in range(1, n + 1)]
            plain += time.perf_counter() - start
            if found.exact != n or exact != [False] * (n - 1) + [True]:
                print("WRONG", row, found)
        print(
            f"mate in {n}, {len(chosen)} positions: ours {ours:.3f} s ({nodes / ours:,.0f} nodes/s), "
            f"plain {plain:.1f} s ({seen[0] / plain:,.0f} nodes/s), ratio {plain / ours:.0f}"
        )


def suite(path: Path, top: int) -> None:
    totals: dict[int, list[float]] = {}
    wrong = 0
    for line in path.read_text(encoding="utf-8").splitlines():
        epd, _, bm = line.partition(" bm #")
        if not bm or abs(n := int(bm.split(";")[0])) > top:
            continue
        board = chess.Board(epd.strip() + " 0 1")
        start = time.perf_counter()
        found = (find_mate if n > 0 else find_mated)(board, abs(n), node_limit=20_000_000)
        totals.setdefault(n, []).append(time.perf_counter() - start)
        if found.exact != abs(n):
            wrong += 1
            print("WRONG", n, found, epd)
    for n, times in sorted(totals.items()):
        print(f"mate {n:+d}: {len(times)} positions, mean {sum(times) / len(times):.3f} s, worst {max(times):.2f} s")
    print(f"{wrong} wrong")


def decide(board: chess.Board, moves: int) -> None:
    start = time.perf_counter()
    found = find_mate(board, moves, node_limit=20_000_000)
    took = time.perf_counter() - start
    line = board.variation_san(found.line) if found.line else ""
    print(f"mate in {moves}: {found.decides(moves)}, {found.nodes} nodes, {took:.2f} s {line}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--epd", type=Path)
    parser.add_argument("--moves", type=int, default=3)
    parser.add_argument("--fen", action="append", default=[], help="a position to decide (again for more)")
    parser.add_argument("--plain", type=int, default=18, help="positions for the comparison (0: none)")
    options = parser.parse_args()
    if options.plain:
        versus_plain(options.plain)
    for fen in options.fen:
        decide(chess.Board(fen), options.moves)
    if options.epd:
        suite(options.epd, options.moves)


if __name__ == "__main__":
    main()

"""How much of a game comes out of talk alone when it is plainly told: real games, every move said, some sidelines.

    python tests/benchmarks/reconstruct.py tests/data/lessons/packed [--sidelines 0.12]

The games are those of the lessons (first 50 plies, usual start position); the
talk is made by ``follow.py``'s wordings with small talk between, so that the
truth is known and no lesson's own words play a part. For talk by people see
the table of ``train_reconstruct.py``. ``prefix``: share of plies right before
the first wrong one; ``common``: share in the longest common subsequence.
"""

from __future__ import annotations

import argparse
import random
from pathlib import Path

import chess
from follow import TALK, spoken, timed
from narrated import load_all
from train_reconstruct import HEAD, Right, compare, row, total

from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.reconstruct import Reconstructor
from timeline.score import Score

PLIES = 50


def talk(score: Score, sidelines: float, dice: random.Random) -> str:
    """Every move of the game said once; with a chance a sideline of two to four random moves before it."""
    text: list[str] = []
    board = score.start.copy()
    for move in score.moves[:PLIES]:
        others = [m for m in sorted(board.legal_moves, key=str) if m != move]
        if others and dice.random() < sidelines:
            other = dice.choice(others)
            side, line = board.copy(), [f"If {spoken(board, other, dice)}"]
            side.push(other)
            for _ in range(dice.randint(1, 3)):
                answers = sorted(side.legal_moves, key=str)
                if answers:
                    line.append(spoken(side, answer := dice.choice(answers), dice))
                    side.push(answer)
            text.append(", ".join(line) + ". But in the game,")
        text.append(spoken(board, move, dice) + dice.choice((",", ".", ", and")))
        board.push(move)
        if dice.random() < 0.3:
            text.append(dice.choice(TALK).format(square=chess.square_name(dice.randrange(64))))
    return " ".join(text)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("lessons", nargs="+", type=Path)
    parser.add_argument("--sidelines", type=float, default=0.0, help="how often a sideline comes before a move")
    options = parser.parse_args()
    results: list[Right] = []
    print(HEAD)
    for lesson in load_all(options.lessons):
        if lesson.score.start.fen() != chess.STARTING_FEN:
            continue
        words = timed(talk(lesson.score, options.sidelines, random.Random(1)).split())
        ends = Reconstructor(Lattice(tokens(words)), chess.Board()).run()
        truth = [m.uci() for m in lesson.score.moves[:PLIES]]
        results.append(compare(truth, [m.uci() for m in ends[0].tip.path()]))
        print(row(lesson.name, results[-1]), flush=True)
    print(row("ALL", total(results)))


if __name__ == "__main__":
    main()

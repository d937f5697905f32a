"""What following costs: CPU time and peak memory for texts of 10 to 60 minutes, and how they grow.

    python tests/benchmarks/follow.py [--minutes 10 30 60] [--reconstruct]

Each text runs in a process of its own (imports and the pronouncing dictionary
are counted apart, as "start"). Two kinds: ``told`` is made here, a long legal
game told in plain and in loose words with sidelines, returns and small talk, at
140 words a minute; ``long_evening`` is the half hour that tests/data/lessons
holds, begun again from its first move when it is over. Aims: 10 minutes under
2 s, 60 minutes under 12 s, 60 minutes at most 1.25 times six times the
10 minutes (near-linear), under 1 GB.
"""

from __future__ import annotations

import argparse
import json
import random
import resource
import subprocess
import sys
import time
from pathlib import Path

import chess

from timeline.score import Score, read_score
from timeline.transcript.words import Word

LESSON = Path(__file__).parents[1] / "data/lessons/packed/long_evening.json"
WORDS_A_MINUTE = 140
NAMES = {chess.PAWN: "pawn", chess.KNIGHT: "knight", chess.BISHOP: "bishop", chess.ROOK: "rook", chess.QUEEN: "queen", chess.KING: "king"}  # fmt: skip
DIGITS = "one two three four five six seven eight".split()
TALK = (
    "This is a typical position, and both sides have to be careful about the squares around the king.",
    "I have always liked this plan, it is slow, but it is very hard to meet.",
    "Look at the weak pawn on {square}, it cannot be defended for ever.",
    "The threat is check on {square}, so something has to be done about it.",
    "What would you play here? Take your time.",
    "Now we have reached the middlegame, and the bishops are looking at each other.",
    "My old teacher used to say that a pawn once moved never comes back.",
)


def spoken(board: chess.Board, move: chess.Move, dice: random.Random) -> str:
    """A move in one of several usual wordings."""
    if board.is_castling(move):
        return "castles"
    piece = NAMES[board.piece_type_at(move.from_square) or 1]
    square = chess.square_name(move.to_square)
    if dice.random() < 0.4:
        square = f"{square[0]} {DIGITS[int(square[1]) - 1]}"
    if board.is_capture(move):
        return dice.choice((f"{piece} takes {square}", f"takes on {square}", f"the {piece} takes on {square}"))
    if piece == "pawn":
        return dice.choice((square, f"pawn to {square}"))
    return dice.choice((f"{piece} {square}", f"{piece} to {square}", f"the {piece} comes to {square}"))


def told(minutes: int) -> tuple[list[Word], Score]:
    """A long game and its talk. Moves are random ones that repeat nothing forced: legality is all that counts here."""
    dice = random.Random(minutes)
    board, moves, text = chess.Board(), [], []
    count = minutes * WORDS_A_MINUTE
    while sum(len(t.split()) for t in text) < count:
        legal = sorted(board.legal_moves, key=str)
        quiet = [m for m in legal if not board.is_capture(m)] if len(board.piece_map()) < 24 else legal
        for move in (dice.choice(quiet or legal), *dice.sample(legal, len(legal))):
            board.push(move)
            over = board.is_game_over(claim_draw=False) or board.is_insufficient_material()
            board.pop()
            if not over:
                break
        if dice.random() < 0.15 and len(legal) > 4:
            other = dice.choice([m for m in legal if m != move])
            line = [f"If {spoken(board, other, dice)}"]
            side = board.copy()
            side.push(other)
            for _ in range(dice.randint(1, 4)):
                answers = sorted(side.legal_moves, key=str)
                if not answers:
                    break
                answer = dice.choice(answers)
                line.append(spoken(side, answer, dice))
                side.push(answer)
            text.append(", ".join(line) + ". But in the game,")
        text.append(f"{spoken(board, move, dice)}{dice.choice((',', '.', ', and'))}")
        moves.append(move)
        board.push(move)
        if dice.random() < 0.4:
            text.append(dice.choice(TALK).format(square=chess.square_name(dice.randrange(64))))
    game = chess.Board().variation_san(moves)
    return timed(" ".join(text).split()[:count]), read_score(f"{game} *")


def timed(texts: list[str]) -> list[Word]:
    step = 60_000 / WORDS_A_MINUTE
    return [Word(w, round(i * step), round(i * step + 0.8 * step)) for i, w in enumerate(texts)]


def long_evening(minutes: int) -> tuple[list[Word], Score]:
    raw = json.loads(LESSON.read_text(encoding="utf-8"))
    words: list[Word] = []
    start = 0
    while not words or words[-1].end_ms < minutes * 60_000:
        words += [Word(text, start + onset, start + end) for text, onset, end in raw["words"]]
        start = words[-1].end_ms + 1000
    return [w for w in words if w.end_ms <= minutes * 60_000], read_score(raw["pgn"])


def one(kind: str, minutes: int, *, reconstructing: bool) -> dict[str, float]:
    """Runs in a process of its own: CPU seconds of the following alone, and the process's peak memory in MB."""
    from timeline.follow import follow_words
    from timeline.follow.mainline import reconstruct

    began = time.process_time()
    words, score = (told if kind == "told" else long_evening)(minutes)
    follow_words(words[:40], score)  # loads the weights and the pronouncing dictionary
    ready = time.process_time()
    if reconstructing:
        moves = len(reconstruct(words).plies)
    else:
        moves = len(follow_words(words, score).cues)
    done = time.process_time()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
    return {"words": len(words), "moves": moves, "start_s": ready - began, "cpu_s": done - ready, "peak_mb": peak}


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--minutes", type=int, nargs="+", default=[10, 30, 60])
    parser.add_argument("--reconstruct", action="store_true", help="measure the game without a score instead")
    parser.add_argument("--one", nargs=2, metavar=("KIND", "MINUTES"), help=argparse.SUPPRESS)
    options = parser.parse_args()
    if options.one:
        print(json.dumps(one(options.one[0], int(options.one[1]), reconstructing=options.reconstruct)))
        return
    print(f"{'text':<14}{'minutes':>8}{'words':>7}{'cues':>6}{'start s':>9}{'CPU s':>8}{'MB':>7}{'s per 10 min':>14}")
    for kind in ("told", "long_evening"):
        first = None
        for minutes in sorted(options.minutes):
            extra = ["--reconstruct"] if options.reconstruct else []
            command = [sys.executable, __file__, "--one", kind, str(minutes), *extra]
            run = subprocess.run(command, capture_output=True, text=True, check=True)
            got = json.loads(run.stdout)
            each = got["cpu_s"] * 10 / minutes
            first = first or each
            print(
                f"{kind:<14}{minutes:>8}{got['words']:>7}{got['moves']:>6}{got['start_s']:>9.2f}{got['cpu_s']:>8.2f}"
                f"{got['peak_mb']:>7.0f}{each:>14.2f}   {each / first:.2f} times the shortest's rate",
                flush=True,
            )


if __name__ == "__main__":
    main()

"""How well very short talks are followed: drills, each around one way of speaking (tests/data/drills; SOURCE.txt has the form).

    python tests/benchmarks/drills.py tests/data/drills/[a-z]*.txt [-v]

Words get times at an even pace of some 150 a minute with rests at the marks of
punctuation. With ``-v`` each talk is printed with its changes: ``{...}`` found
in time, ``-{...}`` missed, ``+{...}`` shown though it should not be there.
"""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import chess
from narrated import Change, Narrated, Result, matched, path_key, pooled, position_key, score_boards

from timeline.follow import follow_words
from timeline.score import read_score
from timeline.transcript.words import Word

_PIECES_OF_TALK = re.compile(r"\{[^}]*\}|<[^<>|]*\|[^<>]*>[^\s{]*|[^\s{]+")
_HEARD = re.compile(r"<[^|]*\|([^>]*)>(\S*)")
_REST_MS = {".": 650, "?": 650, "!": 650, ",": 260, ";": 260, ":": 260}


@dataclass(frozen=True)
class Drill:
    """``lesson``: words and true changes; ``labels``: what each change plays, as written in its mark."""

    lesson: Narrated
    labels: tuple[str, ...]


def read_drills(path: Path) -> Iterator[Drill]:
    """All drills of a file. Raises ValueError where a mark cannot be played."""
    for block in re.split(r"(?m)^== ", path.read_text(encoding="utf-8"))[1:]:
        name, _, rest = block.partition("\n")
        lines = rest.strip().split("\n")
        head = {}
        while found := re.match(r"(fen|game): *(.*)", lines[0]):
            head[found[1]] = found[2]
            lines.pop(0)
        yield _drill(name.strip(), head.get("fen", chess.STARTING_FEN), head["game"], " ".join(lines))


def _drill(name: str, fen: str, game: str, talk: str) -> Drill:
    start = chess.Board(fen)
    board = start.copy()
    main = [board.push_san(san) for san in game.split()]
    setup = "" if fen == chess.STARTING_FEN else f'[SetUp "1"]\n[FEN "{fen}"]\n\n'
    pgn = f"{setup}{start.variation_san(main)} *\n"
    words: list[Word] = []
    changes = [Change(0, position_key(start.fen()), False, "start")]
    at, ply, side = 0, 0, []
    for piece in _PIECES_OF_TALK.findall(talk):
        if not piece.startswith("{"):
            heard = _HEARD.match(piece)
            for text in (heard[1] + heard[2]).split() if heard else [piece]:
                end = at + 90 + 62 * len(re.sub(r"\W", "", text))
                words.append(Word(text, at, end))
                at = end + 30 + _REST_MS.get(text[-1], 0)
            continue
        ply, side = _marked(piece[1:-1].strip(), start, main, ply, side)
        board = start.copy()
        for move in [*main[:ply], *side]:
            board.push(move)
        if changes[-1].at_ms == at and len(changes) > 1:  # marks with no word between them are one change
            changes.pop()
        key = position_key(board.fen())
        if not changes or changes[-1].key != key:
            changes.append(Change(at, key, bool(side), piece[1:-1]))
    lesson = Narrated(name, tuple(words), read_score(pgn, source=name), tuple(changes), at, pgn)
    return Drill(lesson, tuple(change.how for change in changes))


def _marked(
    mark: str, start: chess.Board, main: list[chess.Move], ply: int, side: list[chess.Move]
) -> tuple[int, list[chess.Move]]:
    """The ply of the game and the sideline from it after a mark."""
    verb, _, number = mark.partition(" ")
    if verb == "back":
        plies = int(number or 1)
        cut = min(plies, len(side))
        return ply - (plies - cut), side[: len(side) - cut]
    if verb == "game":
        return ply, []
    if verb == "start":
        return 0, []
    if verb == "go":
        move = 2 * (int(number[:-1]) - start.fullmove_number) + (2 if number[-1] == "b" else 1)
        return move - (start.turn == chess.BLACK), []
    board = start.copy()
    for played in [*main[:ply], *side]:
        board.push(played)
    move_played = board.parse_san(mark)
    if not side and ply < len(main) and main[ply] == move_played:
        return ply + 1, side
    return ply, [*side, move_played]


def followed(drill: Drill) -> tuple[Result, list[tuple[int, str]]]:
    """The score of the shipped follower, and the boards it shows: (ms, position key)."""
    lesson = drill.lesson
    rows = [(0, position_key(lesson.score.start.fen()))]
    for cue in follow_words(lesson.words, lesson.score, marks=False).cues:
        key = path_key(lesson.score, cue.path)
        if key != rows[-1][1]:
            rows.append((cue.at_ms, key))
    return score_boards(lesson, rows), rows


def shown(drill: Drill, rows: list[tuple[int, str]]) -> str:
    """The talk with its changes and what was made of them."""
    lesson = drill.lesson
    pairs = matched(lesson, rows)
    found, right = {i for i, _ in pairs}, {j for _, j in pairs}
    marks: dict[int, list[str]] = {}

    def put(at_ms: int, text: str) -> None:
        place = next((n for n, word in enumerate(lesson.words) if word.end_ms > at_ms), len(lesson.words))
        marks.setdefault(place, []).append(text)

    for i, change in enumerate(lesson.changes):
        put(change.at_ms, f"{'' if i in found else '-'}{{{drill.labels[i]}}}")
    for j, (at_ms, key) in enumerate(rows):
        if j not in right:
            put(at_ms, f"+{{{key.split()[0]}}}")
    told = [[*marks.get(n, []), word.text] for n, word in enumerate(lesson.words)]
    return " ".join(text for texts in told for text in texts)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("files", nargs="+", type=Path)
    parser.add_argument("-v", "--verbose", action="store_true")
    options = parser.parse_args()
    with ProcessPoolExecutor() as pool:
        for path in options.files:
            drills = list(read_drills(path))
            results = list(pool.map(followed, drills, chunksize=4))
            whole = pooled([result for result, _ in results])
            print(
                f"{path.stem:10} {len(drills):3} drills: F1 {whole.f1:.3f}, right board {whole.right:.3f}, "
                f"sidelines {whole.side_found} of {whole.side_gold}, false {whole.shown - whole.matched} of {whole.gold}"
            )
            if options.verbose:
                for drill, (result, rows) in sorted(zip(drills, results, strict=True), key=lambda pair: pair[1][0].f1):
                    print(f"\n## {drill.lesson.name}: {result.f1:.2f}\n{shown(drill, rows)}")


if __name__ == "__main__":
    main()

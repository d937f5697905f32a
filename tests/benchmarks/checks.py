"""How right and how fast are the checks? Not a test: run by hand.

    python tests/benchmarks/checks.py [--lessons FOLDER] [--film FILE] [--recording FILE] [--minutes 60]

Prints precision and recall of "wrong" on the table of statements, set by set;
the time of all checks but engine, sound and film on a made lesson of
``--minutes``; with ``--lessons`` every finding on lessons that have a
``gold.json`` (positions by time), followed by their true cues; with ``--film``
and ``--recording`` the speed of the flash and loudness meters.
"""

from __future__ import annotations

import argparse
import json
import resource
import sys
import time
from collections import Counter
from pathlib import Path

import chess

sys.path.insert(0, str(Path(__file__).parents[1] / "checks"))
from judging import called_wrong, table
from truth import games

from timeline.checks.context import CheckContext
from timeline.checks.run import run_checks
from timeline.checks.show import as_text
from timeline.lesson import Lesson
from timeline.score import Score, load_score
from timeline.tracks import BoardSpan, BoardTrack
from timeline.transcript.read import load_transcript
from timeline.transcript.words import Word


def told(part: int, whole: int) -> str:
    """A share; a set of opinions has no false statement, and at best no alarm."""
    return f"{part / whole:.3f}" if whole else "  -  "


def statements() -> None:
    rows = table()
    print("statements: set, pairs, precision, recall of wrong")
    for label in dict.fromkeys(r["set"] for r in rows):
        mine = [r for r in rows if r["set"] == label]
        alarms = [r for r in mine if called_wrong(r)]
        right = sum(r["true"] is False for r in alarms)
        false = sum(r["true"] is False for r in mine)
        print(f"  {label:10} {len(mine):4} {told(right, len(alarms))} {told(right, false)}")


def long_lesson(minutes: int) -> None:
    """A lesson of that length: the games of the table one after the other, with the table's statements between moves."""
    game = max(games(), key=lambda g: sum(1 for _ in g.mainline_moves()))
    score = Score(game)
    uci = tuple(m.uci() for m in score.moves)
    says = [r["say"] for r in table()]
    words: list[Word] = []
    spans: list[BoardSpan] = []
    at = n = 0
    end = minutes * 60_000
    while at < end:
        ply = n % len(score.boards)
        board = score.boards[ply]
        start = at
        text = f"{says[n % len(says)]} And now comes the next move, and we look at it in all calm for a moment."
        for word in text.split():
            words.append(Word(word, at, at + 300))
            at += 370
        spans.append(BoardSpan(start, min(at, end), board.fen(), uci[:ply], ply, score.mainline_label(ply), "score"))
        n += 1
    spans[-1] = BoardSpan(spans[-1].start_ms, at, *_rest(spans[-1]))
    track = BoardTrack(score.start.fen(), uci, tuple(spans))
    lesson = Lesson(title="Long", score="g.pgn", transcript="t.txt")
    begin, spent = time.perf_counter(), time.process_time()
    found = run_checks(CheckContext(lesson, score, track, tuple(words), duration_ms=at))
    took, spent = time.perf_counter() - begin, time.process_time() - spent
    told = f"{took:.2f} s, {spent:.2f} s of processor time"
    print(f"{minutes} minutes, {len(words)} words, {len(spans)} positions: {told}, {len(found)} findings")


def _rest(span: BoardSpan) -> tuple[str, tuple[str, ...], int, str, str]:
    return span.fen, span.path, span.shared, span.address, span.origin


def gold_track(folder: Path, score: Score) -> BoardTrack:
    """The true positions of a lesson as a track."""
    gold = json.loads((folder / "gold.json").read_text(encoding="utf-8"))
    end = round(gold["duration"] * 1000)
    cues: list[tuple[int, tuple[chess.Move, ...]]] = []
    for cue in gold["cues"]:
        path = list(score.moves[: cue["ply"] if cue["ply"] is not None else cue["depart"]])
        if cue["ply"] is None:
            board = score.board_at(path)
            for san in cue["line"].split():
                path.append(board.push_san(san))
        cues.append((round(cue["t"] * 1000) if cues else 0, tuple(path)))
    spans = []
    for (start, path), stop in zip(cues, [t for t, _ in cues[1:]] + [end], strict=True):
        if stop > start:
            shared = score.mainline_length(path)
            origin = "score" if shared == len(path) else "sideline"
            fen = score.board_at(path).fen()
            uci = tuple(m.uci() for m in path)
            spans.append(BoardSpan(start, stop, fen, uci, shared, score.address(path), origin))
    return BoardTrack(score.start.fen(), tuple(m.uci() for m in score.moves), tuple(spans))


def lessons(root: Path) -> None:
    totals: Counter[str] = Counter()
    for gold in sorted(root.glob("*/gold.json")):
        folder = gold.parent
        score = load_score(folder / "game.pgn")
        track = gold_track(folder, score)
        transcript, _ = load_transcript(next(folder.glob("transcript.*")))
        lesson = Lesson(title=folder.name, score="game.pgn", transcript="transcript")
        context = CheckContext(lesson, score, track, transcript.words, duration_ms=track.end_ms)
        begin = time.perf_counter()
        found = run_checks(context)
        totals.update(f.code for f in found)
        print(f"== {folder.name} ({time.perf_counter() - begin:.2f} s)\n{as_text(found)}")
    print(dict(totals))


def meters(film: Path | None, recording: Path | None) -> None:
    if film is not None:
        from timeline.checks.flashes import measure_flashes

        last = [0]
        begin = time.perf_counter()
        found = measure_flashes(film, progress=lambda done, whole: last.__setitem__(0, done))
        took = time.perf_counter() - begin
        print(f"flashes: {last[0] / 1000:.0f} s of film in {took:.1f} s ({last[0] / 1000 / took:.1f} x), {found}")
    if recording is not None:
        from timeline.checks.loudness import measure_file

        begin = time.perf_counter()
        sound = measure_file(recording)
        took = time.perf_counter() - begin
        if sound is not None:
            length = sound.duration_ms / 1000
            print(f"loudness: {length:.0f} s in {took:.1f} s ({length / took:.0f} x): {sound.integrated} LUFS")
    print(f"most memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--lessons", type=Path)
    parser.add_argument("--film", type=Path)
    parser.add_argument("--recording", type=Path)
    parser.add_argument("--minutes", type=int, default=60)
    options = parser.parse_args()
    statements()
    long_lesson(options.minutes)
    if options.lessons:
        lessons(options.lessons)
    if options.film or options.recording:
        meters(options.film, options.recording)


if __name__ == "__main__":
    main()

"""A small lesson for the checks: one short game, shown move by move."""

from __future__ import annotations

from typing import Any

from timeline.checks.context import CheckContext
from timeline.lesson import Lesson
from timeline.score import Score, read_score
from timeline.tracks import BoardSpan, BoardTrack
from timeline.transcript.words import Word

PGN = (
    '[Event "Club"]\n[Site "Town"]\n[Date "2024.05.01"]\n[Round "1"]\n[White "Tern"]\n[Black "Roe"]\n[Result "1-0"]\n\n'
    "1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Qxf7# 1-0\n"
)


def words(text: str, start_ms: int = 0, step_ms: int = 400) -> list[Word]:
    return [Word(w, start_ms + step_ms * i, start_ms + step_ms * i + step_ms - 50) for i, w in enumerate(text.split())]


def track(score: Score, starts: list[int], end_ms: int) -> BoardTrack:
    """Ply n of the mainline from ``starts[n]`` ms on."""
    uci = tuple(m.uci() for m in score.moves)
    spans = tuple(
        BoardSpan(a, b, score.boards[n].fen(), uci[:n], n, score.mainline_label(n), "score")
        for n, (a, b) in enumerate(zip(starts, [*starts[1:], end_ms], strict=True))
    )
    return BoardTrack(score.start.fen(), uci, spans)


START = [{"at": 0, "show": "start"}]
"""A cue by hand: somebody says what the board shows."""


def context(
    text: str = "", *, pgn: str = PGN, starts: list[int] | None = None, end_ms: int = 60_000, **more: Any
) -> CheckContext:
    """``lesson``: extra keys of lesson.yaml; the rest goes to CheckContext."""
    score = read_score(pgn)
    lesson = Lesson.model_validate(
        {"title": "Test", "score": "game.pgn", "transcript": "talk.txt", "cues": START, **more.pop("lesson", {})}
    )
    shown = more.pop("track", None) or track(score, starts or [0], end_ms)
    return CheckContext(lesson, score, shown, words(text), score_text=pgn, duration_ms=end_ms, **more)

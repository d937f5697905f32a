"""Asking a UCI engine: bounded questions, a restart when it crashes, answers remembered by position.

The answers go to a file (``.plyline/engine.json``) keyed by the engine's own
name, the limit, the position and the moves asked about; so a second check of
the same lesson starts no engine at all. Scores are from White's side.
"""

from __future__ import annotations

import contextlib
import json
import logging
import shutil
from dataclasses import dataclass
from pathlib import Path
from types import TracebackType

import chess
import chess.engine

from timeline.files import write_atomic
from timeline.problems import PlylineError

RESTARTS = 2
LOST_CP = 100_000
CACHE_VERSION = 1


class EngineError(PlylineError):
    """The engine named cannot be used."""


@dataclass(frozen=True, slots=True)
class Opinion:
    """What an engine says of a position: ``cp`` centipawns for White, or mate in ``mate`` (positive: White mates).

    ``best`` is its move (UCI), ``depth`` how deep it looked.
    """

    cp: int | None
    mate: int | None
    best: str | None
    depth: int

    @property
    def points(self) -> int:
        """Centipawns for White, mate being worth 100,000 less its length."""
        if self.mate is not None:
            return (LOST_CP - abs(self.mate)) * (1 if self.mate > 0 else -1)
        return self.cp or 0

    def for_side(self, side: chess.Color) -> int:
        return self.points if side else -self.points

    def __str__(self) -> str:
        if self.mate is not None:
            return f"mate in {abs(self.mate)} for {'White' if self.mate > 0 else 'Black'}"
        return f"{(self.cp or 0) / 100:+.2f}"


def find_engine(name: str) -> str:
    """The program of a path or a name on $PATH. Raises EngineError."""
    found = shutil.which(name) or (name if Path(name).is_file() else None)
    if found is None:
        raise EngineError.of(
            "no-engine",
            f"there is no engine {name!r}",
            fix="give the path of a UCI program: --engine PATH, or checks: {engine: PATH}",
        )
    return found


class Engine:
    """One engine for a run of checks. Use as a context manager; started at the first question not yet answered.

    ``nodes`` and ``seconds`` bound one question. After ``RESTARTS`` crashes in
    a run it is not started again and every further answer is None.
    """

    def __init__(self, program: str, cache: Path | None, *, nodes: int, seconds: float) -> None:
        self.program = find_engine(program)
        self.cache = cache
        self.nodes, self.seconds = nodes, seconds
        self.crashes = 0
        self.asked = 0
        self._process: chess.engine.SimpleEngine | None = None
        self._answers: dict[str, Opinion] = {}
        self._dirty = False
        self._load()

    def __enter__(self) -> Engine:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    @property
    def stopped(self) -> bool:
        """Whether it crashed too often, or never started."""
        return self.crashes > RESTARTS

    def close(self) -> None:
        """End the program and keep the answers."""
        if self._process is not None:
            with contextlib.suppress(chess.engine.EngineError, chess.engine.EngineTerminatedError, TimeoutError):
                self._process.quit()
            self._process.close()
            self._process = None
        if self._dirty and self.cache is not None:
            rows = {k: [o.cp, o.mate, o.best, o.depth] for k, o in sorted(self._answers.items())}
            self.cache.parent.mkdir(parents=True, exist_ok=True)
            write_atomic(self.cache, json.dumps({"version": CACHE_VERSION, "answers": rows}, indent=0) + "\n")
            self._dirty = False

    def ask(self, board: chess.Board, *, moves: tuple[chess.Move, ...] = (), mate: int = 0) -> Opinion | None:
        """The engine's opinion; only on ``moves`` when given; looking for mate in ``mate`` when above 0.

        None when the engine could not say (crashed too often, or gave no score).
        """
        key = "|".join(
            [
                self._stamp(),
                str(self.nodes),
                f"{self.seconds:g}",
                str(mate),
                board.epd(),
                " ".join(sorted(m.uci() for m in moves)),
            ]
        )
        known = self._answers.get(key)
        if known is not None:
            return known
        limit = chess.engine.Limit(
            nodes=self.nodes if not mate else None, time=self.seconds, mate=mate if mate else None
        )
        while self.crashes <= RESTARTS:
            try:
                info = self._running().analyse(board, limit, root_moves=list(moves) or None)
            except (chess.engine.EngineTerminatedError, chess.engine.EngineError, TimeoutError, OSError):
                self.crashes += 1
                self._kill()
                continue
            self.asked += 1
            score = info.get("score")
            if score is None:
                return None
            line = info.get("pv") or []
            white = score.white()
            answer = Opinion(white.score(), white.mate(), line[0].uci() if line else None, info.get("depth", 0))
            self._answers[key] = answer
            self._dirty = True
            return answer
        return None

    def _stamp(self) -> str:
        """The engine's file, so that another engine's answers are not taken for its own; without starting it."""
        path = Path(self.program)
        try:
            stat = path.stat()
        except OSError:
            return path.name
        return f"{path.name}:{stat.st_size}:{stat.st_mtime_ns}"

    def _running(self) -> chess.engine.SimpleEngine:
        if self._process is None:
            logging.getLogger("chess.engine").setLevel(logging.CRITICAL)
            self._process = chess.engine.SimpleEngine.popen_uci(self.program, timeout=max(10.0, 3 * self.seconds))
            options = self._process.options
            # One thread and a small table: the same question gives the same answer.
            wanted = {"Threads": 1, "Hash": 32}
            with contextlib.suppress(chess.engine.EngineError):
                self._process.configure({k: v for k, v in wanted.items() if k in options})
        return self._process

    def _kill(self) -> None:
        if self._process is not None:
            with contextlib.suppress(chess.engine.EngineError, chess.engine.EngineTerminatedError):
                self._process.close()
            self._process = None

    def _load(self) -> None:
        if self.cache is None or not self.cache.is_file():
            return
        try:
            stored = json.loads(self.cache.read_text(encoding="utf-8"))
            if stored["version"] == CACHE_VERSION:
                self._answers = {k: Opinion(*v) for k, v in stored["answers"].items()}
        except (OSError, ValueError, KeyError, TypeError, AttributeError):
            self._answers = {}  # a damaged file only costs time

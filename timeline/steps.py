"""The steps of a build that need no pictures, in order; the command line adds the film."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from timeline.build import Step
from timeline.cache import code_fingerprint
from timeline.files import write_atomic
from timeline.positions import write_positions
from timeline.work import Work


def track_inputs(work: Work) -> dict[str, Any]:
    """What the board, mark and pause tracks depend on."""
    lesson = work.loaded.lesson
    return {
        "score": work.file_hash("score"),
        "game": lesson.game,
        "score_marks": lesson.score_marks,
        "cues": [cue.model_dump(mode="json", exclude_defaults=True) for cue in lesson.cues],
        "end_ms": work.end_ms,
        "code": code_fingerprint("timeline.buildtracks", "timeline.score", "timeline.tracks"),
    }


def _positions_inputs(work: Work) -> dict[str, Any]:
    return {"tracks": track_inputs(work), "code": code_fingerprint("timeline.positions")}


def _write_positions(work: Work) -> Sequence[Path]:
    path = work.loaded.out / "positions.csv"
    write_atomic(path, write_positions(work.tracks.board))
    return [path]


POSITIONS = Step("positions", "table of positions", _positions_inputs, _write_positions)

STEPS: tuple[Step, ...] = (POSITIONS,)

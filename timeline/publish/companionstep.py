"""The annotated game as a step of a build."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from timeline.build import Step
from timeline.cache import code_fingerprint
from timeline.files import write_atomic
from timeline.publish.companion import write_companion
from timeline.steps import track_inputs
from timeline.work import Work


def _inputs(work: Work) -> dict[str, Any]:
    code = code_fingerprint("timeline.publish.companion", "timeline.timemap")
    return {"tracks": track_inputs(work), "teacher": work.loaded.lesson.teacher, "code": code}


def _make(work: Work) -> Sequence[Path]:
    tracks, teacher = work.tracks, work.loaded.lesson.teacher
    text = write_companion(work.score, tracks.board, tracks.pauses, tracks.timemap, annotator=teacher or "")
    path = work.loaded.out / "companion.pgn"
    write_atomic(path, text)
    return [path]


COMPANION = Step("companion", "writing the annotated game", _inputs, _make)

"""Checking a lesson folder: everything the checks ask for, read once."""

from __future__ import annotations

import dataclasses
import json
from collections.abc import Iterable
from pathlib import Path
from typing import Any

from timeline.checks.context import CheckContext
from timeline.checks.engine import Engine, find_engine
from timeline.checks.run import accept, in_order, run_checks
from timeline.files import state_folder, write_atomic
from timeline.problems import Finding, ScoreError, Severity
from timeline.textfile import read_text
from timeline.work import Work

FILM = "film.mp4"
_RANK = {Severity.NOTE: 0, Severity.WARNING: 1, Severity.ERROR: 2}


def check_lesson(
    work: Work, *, engine: str | None = None, families: Iterable[str] | None = None, film: bool = True
) -> list[Finding]:
    """Every finding about a lesson, in order of time; accepted ones carry the reason.

    ``engine`` is a UCI program by path or name (default: the lesson's own).
    ``film``: whether a film that is there is looked at, which takes a while.
    Raises what reading the lesson raises, and EngineError.
    """
    lesson = work.loaded.lesson
    tracks = work.tracks
    made = work.folder / "out" / FILM
    context = CheckContext(
        lesson=lesson,
        score=work.score,
        track=tracks.board,
        words=work.words,
        follow=work.follow if lesson.transcript else None,
        pauses=tracks.pauses,
        duration_ms=work.recording.duration_ms if work.recording else None,
        score_text=read_text(work.loaded.file("score"), ScoreError, name=lesson.score),
        recording=work.loaded.file("recording") if lesson.recording else None,
        film=made if film and made.is_file() else None,
    )
    name = engine or lesson.checks.engine
    if name is None:
        found = run_checks(context, families=families, progress=work.progress)
    else:
        limits = lesson.checks
        cache = state_folder(work.folder) / "engine.json"
        with Engine(find_engine(name), cache, nodes=limits.engine_nodes, seconds=limits.engine_seconds) as asked:
            found = run_checks(context, engine=asked, families=families, progress=work.progress)
    captions = work.caption_result.findings if lesson.transcript else ()
    return in_order([*accept([*work.findings, *captions], lesson.accept), *found])


def at_or_above(findings: Iterable[Finding], least: Severity) -> list[Finding]:
    """The findings that are as grave as ``least`` or graver, and not accepted."""
    return [f for f in findings if f.accepted is None and _RANK[f.severity] >= _RANK[least]]


def finding_data(finding: Finding) -> dict[str, Any]:
    """A finding for programs: what is not known is left out. Times are in ms of the recording."""
    return {key: value for key, value in dataclasses.asdict(finding).items() if value not in (None, {})}


def write_findings(work: Work, findings: Iterable[Finding]) -> Path:
    """``out/findings.json``: ``{"findings": [...]}``, in order of time."""
    path = work.loaded.out / "findings.json"
    text = json.dumps({"findings": [finding_data(f) for f in findings]}, ensure_ascii=False, indent=1)
    write_atomic(path, text + "\n")
    return path

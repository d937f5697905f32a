"""Checking a lesson folder: everything the checks ask for, read once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from pathlib import Path

from timeline.buildtracks import Tracks
from timeline.checks.context import CheckContext
from timeline.checks.engine import Engine, find_engine
from timeline.checks.run import accept, in_order, run_checks
from timeline.checks.show import as_html, as_json, finding_data
from timeline.files import state_folder, write_atomic
from timeline.problems import Finding, LessonFileError, ScoreError, Severity
from timeline.textfile import read_text
from timeline.work import Work

__all__ = ["at_or_above", "check_lesson", "finding_data", "write_findings"]

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
    tracks, cue_faults = _tracks(work)
    made = work.folder / "out" / FILM
    context = CheckContext(
        lesson=lesson,
        score=work.score,
        track=tracks.board,
        words=work.words,
        follow=work.follow if lesson.transcript and not cue_faults else None,
        pauses=tracks.pauses,
        duration_ms=work.recording.duration_ms if work.recording else None,
        score_text=read_text(work.loaded.file("score"), ScoreError, name=lesson.score) if lesson.score else None,
        recording=work.loaded.file("recording") if lesson.recording else None,
        film=made if film and made.is_file() else None,
    )

    def look() -> Iterator[Finding]:
        from timeline.checks.look import check_look
        from timeline.publish.lessonshow import film_settings

        return check_look(film_settings(work))

    name = engine or lesson.checks.engine
    if name is None:
        found = run_checks(context, families=families, progress=work.progress, more=[look])
    else:
        limits = lesson.checks
        cache = state_folder(work.folder) / "engine.json"
        with Engine(find_engine(name), cache, nodes=limits.engine_nodes, seconds=limits.engine_seconds) as asked:
            found = run_checks(context, engine=asked, families=families, progress=work.progress, more=[look])
    captions = work.caption_result.findings if lesson.transcript and not cue_faults else ()
    return in_order([*accept([*work.findings, *cue_faults, *captions], lesson.accept), *found])


def _tracks(work: Work) -> tuple[Tracks, Sequence[Finding]]:
    """The lesson's tracks, and what is wrong with its cues: those that cannot be shown are left out."""
    try:
        return work.tracks, ()
    except LessonFileError:
        tracks = work.all_tracks
        if not any(f.severity is Severity.ERROR for f in tracks.findings):
            raise
        return tracks, tracks.findings


def at_or_above(findings: Iterable[Finding], least: Severity) -> list[Finding]:
    """The findings that are as grave as ``least`` or graver, and not accepted."""
    return [f for f in findings if f.accepted is None and _RANK[f.severity] >= _RANK[least]]


def write_findings(work: Work, findings: Sequence[Finding]) -> list[Path]:
    """``out/findings.json``, and ``out/findings.html`` with small boards; in order of time."""
    lesson = work.loaded.lesson
    files = {
        work.loaded.out / "findings.json": as_json(findings, title=lesson.title),
        work.loaded.out / "findings.html": as_html(
            findings, title=lesson.title, orientation=lesson.orientation == "white"
        ),
    }
    for path, text in files.items():
        write_atomic(path, text)
    return list(files)

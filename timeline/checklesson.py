"""Checking a lesson folder: everything the checks ask for, read once."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import replace
from functools import cached_property
from pathlib import Path

from timeline.buildtracks import Tracks
from timeline.checks.accepted import idle
from timeline.checks.codes import CODES
from timeline.checks.context import CheckContext
from timeline.checks.engine import Engine, find_engine
from timeline.checks.run import accept, in_order, run_checks
from timeline.checks.scorelines import forgiven
from timeline.checks.show import as_html, as_json
from timeline.checks.tally import Tally
from timeline.files import state_folder, write_atomic
from timeline.problems import Finding, LessonFileError, ScoreError, Severity
from timeline.score import Score
from timeline.textfile import read_text
from timeline.tracks import BoardTrack
from timeline.work import Work

FILM = "film.mp4"
_WITHOUT_BOARD = ("score", "sound", "flashes")
_RANK = {Severity.NOTE: 0, Severity.WARNING: 1, Severity.ERROR: 2}


class CheckedWork(Work):
    """A lesson to be checked: faults of its PGN become findings, not an error, as long as some moves can be read.

    ``lost``: moves may be missing from the score, so nothing that needs the board can be judged.
    ``tally``: the statements that were read and how they were judged, once they were.
    """

    lost = False
    tally: Tally | None = None

    @cached_property
    def score(self) -> Score:
        """The lesson's score; what a reader drops is left out and told in ``findings``. Raises ScoreError."""
        try:
            return super().score
        except ScoreError as error:
            lesson = self.loaded.lesson
            if lesson.score is None or not error.findings[0].line:
                raise
            text = read_text(self.loaded.file("score"), ScoreError, name=lesson.score)
            read = forgiven(error.findings, text, lesson.game or 1)
            if read is None:
                raise
            score, found, self.lost = read
            self.findings += found
            if self.lost:
                row = CODES["moves-lost"]
                last = score.mainline_label(len(score.moves))
                message = f"the game was read up to {last} only: what is said, shown and timed was not checked"
                self.findings.append(Finding(row.code, message, row.severity, file=lesson.score, fix=row.mend))
            return score


def check_lesson(
    work: CheckedWork, *, engine: str | None = None, families: Iterable[str] | None = None, film: bool = True
) -> list[Finding]:
    """Every finding about a lesson, in order of time; accepted ones carry the reason.

    ``engine`` is a UCI program by path or name (default: the lesson's own).
    ``film``: whether a film that is there is looked at, which takes a while.
    Raises what reading the lesson raises, and EngineError.
    """
    lesson = work.loaded.lesson
    made = work.folder / "out" / FILM
    context = CheckContext(
        lesson=lesson,
        score=work.score,
        track=BoardTrack(work.score.start.fen(), (), ()),
        score_text=read_text(work.loaded.file("score"), ScoreError, name=lesson.score) if lesson.score else None,
        duration_ms=work.recording.duration_ms if work.recording else None,
        recording=work.loaded.file("recording") if lesson.recording else None,
        film=made if film and made.is_file() else None,
    )
    told: list[Finding] = []
    if work.lost:
        families = [name for name in _WITHOUT_BOARD if families is None or name in families]
    else:
        tracks, cue_faults = _tracks(work)
        told += cue_faults
        whole = lesson.transcript and not cue_faults
        follow = work.follow if whole else None
        context = replace(context, track=tracks.board, words=work.words, follow=follow, pauses=tracks.pauses)
    asked = engine or lesson.checks.engine
    found = _run(work, context, families, asked)
    work.tally = context.tally if context.words and families is None else None
    if not work.lost and whole:
        told += work.caption_result.findings
    found = in_order([*accept([*work.findings, *told], lesson.accept), *found])
    if work.lost or families is not None:
        return found
    unseen = ([] if context.film else ["Picture"]) + ([] if asked else ["What an engine says"])
    return in_order([*found, *idle(lesson.accept, found, work.loaded.source, unseen=unseen)])


def _run(work: Work, context: CheckContext, families: Iterable[str] | None, engine: str | None) -> list[Finding]:
    """The families, with the engine of that path or name if there is one, and the lesson's chosen look."""

    def look() -> Iterator[Finding]:
        from timeline.checks.look import check_look
        from timeline.publish.lessonshow import film_settings

        return check_look(film_settings(work))

    if engine is None:
        return run_checks(context, families=families, progress=work.progress, more=[look])
    limits = context.lesson.checks
    cache = state_folder(work.folder) / "engine.json"
    with Engine(find_engine(engine), cache, nodes=limits.engine_nodes, seconds=limits.engine_seconds) as asked:
        return run_checks(context, engine=asked, families=families, progress=work.progress, more=[look])


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


def write_findings(work: CheckedWork, findings: Sequence[Finding]) -> list[Path]:
    """``out/findings.json``, and ``out/findings.html`` with small boards; in order of time."""
    lesson = work.loaded.lesson
    files = {
        work.loaded.out / "findings.json": as_json(findings, title=lesson.title, tally=work.tally),
        work.loaded.out / "findings.html": as_html(
            findings, title=lesson.title, orientation=lesson.orientation == "white", tally=work.tally
        ),
    }
    for path, text in files.items():
        write_atomic(path, text)
    return list(files)

"""Commands that make results: ``build``, and one for each kind of file."""

from __future__ import annotations

import contextlib
from collections.abc import Sequence
from typing import TYPE_CHECKING, Annotated

import typer

from timeline.build import BuildReport, Step
from timeline.build import build as run_build
from timeline.cli.application import app
from timeline.cli.frame import Folder, Json, Quiet, flag, guarded, progress_bar, say, show_json, warn
from timeline.cli.report import left_out, report_data, show_report, show_sureness
from timeline.doubts import sureness
from timeline.problems import AddressError
from timeline.publish.companionstep import COMPANION
from timeline.publish.filmstep import FILM
from timeline.steps import STEPS
from timeline.store import LoadedLesson, load_lesson

if TYPE_CHECKING:
    from timeline.follow.result import FixedPoint
    from timeline.work import Work


def all_steps() -> Sequence[Step]:
    """Every step of a build, in order: those without pictures, then the film."""
    return (*STEPS, COMPANION, FILM)


def make(
    folder: Folder, names: Sequence[str], *, quiet: bool, as_json: bool, force: Sequence[str] = ()
) -> tuple[BuildReport, LoadedLesson]:
    """Run the named steps with what they need (all when empty), and tell what was written.

    For a command of one kind of result: the lesson's own file is changed only
    by ``follow`` and ``build``.
    """
    with progress_bar(hidden=quiet or as_json) as progress:
        report = run_build(folder, all_steps(), only=names, force=force, progress=progress)
    loaded = load_lesson(folder)
    warn(report.findings, quiet=quiet)
    if as_json:
        show_json(report_data(report, loaded.lesson))
    elif names and not quiet:
        wanted = [step for step in report.steps if step.name in names]
        for step in wanted:
            for path in step.files:
                say(f"wrote {path}" if step.state == "made" else f"{path} is up to date")
        for line in left_out(wanted):
            say(line)
    return report, loaded


def explain_moment(folder: Folder, time: str) -> None:
    """Print the words, the readings weighed and the runner-up at one moment of the talk."""
    from timeline.follow.explain import explain
    from timeline.moments import no_moment
    from timeline.timecode import parse_ms
    from timeline.work import Work

    at_ms = parse_ms(time)
    with progress_bar(hidden=False) as progress:
        work = Work(load_lesson(folder), progress)
        if at_ms >= work.end_ms:
            raise no_moment(at_ms, work.end_ms)
        words, fixed, shown = work.words, work.fixed_points, _shown(work)
    lesson = work.loaded.lesson
    locked = {cue.at for cue in lesson.cues if cue.lock and cue.by == "follow"}
    lead_ms, place = lesson.follow.lead_ms, str(folder)
    text = explain(words, work.score, at_ms, fixed=fixed, lead_ms=lead_ms, folder=place, shown=shown, locked=locked)
    typer.echo(text)


def _shown(work: Work) -> list[FixedPoint]:
    """Positions of the score as the lesson's cues show them; those that do not exist are left out."""
    from timeline.follow.result import FixedPoint

    points = []
    for cue in work.loaded.lesson.cues:
        with contextlib.suppress(AddressError):
            if cue.show is not None:
                points.append(FixedPoint(cue.at, tuple(move.uci() for move in work.score.resolve(cue.show))))
    return points


@app.command(epilog="Example: plyline follow my-lesson --explain 4:10")
@guarded
def follow(
    folder: Folder,
    explain: Annotated[
        str | None, typer.Option(metavar="TIME", help="Change nothing; say why the board stands as it does at TIME.")
    ] = None,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Follow the talk over the score: write cues and marks into lesson.yaml.

    Cues that you made or locked are kept and used as fixed points.
    """
    if explain is not None:
        explain_moment(folder, explain)
        return
    report, loaded = make(folder, ["cues"], quiet=True, as_json=json, force=["follow", "cues"])
    warn(report.findings, quiet=quiet)
    if json or quiet:
        return
    for line in left_out(report.steps):
        say(line)
    show_sureness(sureness(loaded.lesson), loaded.lesson, folder)


@app.command(epilog="Example: plyline positions my-lesson")
@guarded
def positions(folder: Folder, json: Json = False, quiet: Quiet = False) -> None:
    """Write the table of positions, out/positions.csv."""
    make(folder, ["positions"], quiet=quiet, as_json=json)


@app.command(epilog="Example: plyline publish my-lesson")
@guarded
def publish(folder: Folder, json: Json = False, quiet: Quiet = False) -> None:
    """Write what is handed out beside the film: the annotated game, out/companion.pgn.

    It holds the score, every sideline that the lesson shows, and the film time
    of each position.
    """
    make(folder, ["companion"], quiet=quiet, as_json=json)


@app.command(epilog="Example: plyline chapters my-lesson")
@guarded
def chapters(folder: Folder, json: Json = False, quiet: Quiet = False) -> None:
    """Write chapters: a list for descriptions, WebVTT, ffmetadata, Matroska XML, JSON.

    Your own chapters in lesson.yaml win; without any they are found in the talk.
    """
    make(folder, ["chapters"], quiet=quiet, as_json=json)


@app.command(epilog="Example: plyline build my-lesson")
@guarded
def build(
    folder: Folder,
    again: Annotated[bool, flag("--again", says="Make everything anew, also what is up to date.")] = False,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Make everything that is out of date, in order: follow, captions, chapters, positions, annotated game, film.

    A build that was stopped goes on where it was.
    """
    force = [step.name for step in all_steps()] if again else []
    report, loaded = make(folder, [], quiet=quiet, as_json=json, force=force)
    if not json and not quiet:
        show_report(report, loaded.lesson, folder)

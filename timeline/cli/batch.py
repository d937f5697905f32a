"""``plyline batch``: many lessons at once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from timeline.batch import BatchResult, find_lessons, run_batch
from timeline.build import build
from timeline.cli.application import app
from timeline.cli.frame import FOUND, Json, Quiet, guarded, say, show, show_json
from timeline.cli.make import all_steps
from timeline.timecode import format_clock


@app.command(epilog="Example: plyline batch lessons --jobs 2")
@guarded
def batch(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Holds lesson folders, at any depth.")],
    jobs: Annotated[
        int | None,
        typer.Option("--jobs", "-j", min=1, help="Lessons at a time; usually one for each two processors."),
    ] = None,
    cluster: Annotated[
        str | None,
        typer.Option(metavar="ADDRESS", help="Build on a running dask.distributed cluster, e.g. tcp://10.0.0.5:8786."),
    ] = None,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Build all lessons in a folder; what is up to date is not made again.

    One lesson's fault does not stop the others: the summary names it, and the
    exit code is then 1. A lesson whose worker was killed is begun again. A
    cluster's workers need plyline and the same folder under the same name.
    """
    if cluster and jobs:
        raise typer.BadParameter("a cluster decides how many lessons run at a time", param_hint="--jobs")
    folders = find_lessons(folder.resolve())
    base = folder.resolve()
    done = 0

    def told(result: BatchResult) -> None:
        nonlocal done
        done += 1
        if not quiet and not json:
            name = named(result, base)
            say(f"{done}/{len(folders)} {name}: {result.state} after {format_clock(round(result.seconds * 1000))}")

    results = run_batch(folders, build_lesson, workers=jobs, cluster=cluster, progress=told)
    failed = [r for r in results if r.state != "done"]
    if json:
        show_json({"lessons": [data(r, base) for r in results], "failed": len(failed)})
    elif not quiet:
        for result in results:
            if result.state == "done":
                show(f"{named(result, base)}: {result.says}")
        show(f"{len(results) - len(failed)} of {len(results)} lessons are built")
    if not json:
        for result in failed:  # said even when quiet: faults are no talk
            say(f"{named(result, base)}: {result.state}\n  " + result.says.replace("\n", "\n  "))
    if failed:
        raise typer.Exit(FOUND)


def build_lesson(folder: str) -> str:
    """One job: build the lesson in ``folder``; says how much is new. Raises what the steps raise.

    A plain function of a module, so that workers find it by its name.
    """
    report = build(Path(folder), all_steps())
    new = sum(len(step.files) for step in report.steps if step.state == "made")
    said = f"{new} file{'s' if new > 1 else ''} written" if new else "up to date"
    count = len(report.findings)
    return said + (f", {count} warnings" if count > 1 else ", 1 warning" if count else "")


def named(result: BatchResult, base: Path) -> str:
    """The lesson's folder as seen from the batch's."""
    name = result.folder.relative_to(base).as_posix()
    return base.name if name == "." else name


def data(result: BatchResult, base: Path) -> dict[str, object]:
    """A result for programs."""
    return {
        "lesson": named(result, base),
        "state": result.state,
        "says": result.says,
        "seconds": result.seconds,
        "attempts": result.attempts,
    }

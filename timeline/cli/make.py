"""Commands that make results: ``build``, and one for each kind of file."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Annotated

import typer

from timeline.build import BuildReport, Step
from timeline.build import build as run_build
from timeline.cli import app
from timeline.cli.frame import Folder, Json, Quiet, guarded, progress_bar, say, show, show_json, warn
from timeline.steps import STEPS


def all_steps() -> Sequence[Step]:
    """Every step of a build, in order."""
    return STEPS


def make(folder: Folder, names: Sequence[str], *, quiet: bool, as_json: bool, force: Sequence[str] = ()) -> BuildReport:
    """Run the named steps with what they need (all when empty), and tell what was written."""
    with progress_bar(hidden=quiet or as_json) as progress:
        report = run_build(folder, all_steps(), only=names, force=force, progress=progress)
    warn(report.findings, quiet=quiet)
    if as_json:
        show_json(report_data(report))
    elif names and not quiet:
        for step in report.steps:
            if step.name in names:
                for path in step.files:
                    say(f"wrote {path}" if step.state == "made" else f"{path} is up to date")
                if step.why:
                    say(f"{step.name}: {step.why}")
    return report


def report_data(report: BuildReport) -> dict[str, object]:
    """The report for programs."""
    return {
        "steps": [
            {"name": s.name, "state": s.state, "files": [str(p) for p in s.files], "why": s.why} for s in report.steps
        ],
        "findings": [
            {"code": f.code, "severity": str(f.severity), "place": f.place, "message": f.message, "fix": f.fix}
            for f in report.findings
        ],
    }


@app.command(epilog="Example: plyline positions my-lesson")
@guarded
def positions(folder: Folder, json: Json = False, quiet: Quiet = False) -> None:
    """Write the table of positions, out/positions.csv."""
    make(folder, ["positions"], quiet=quiet, as_json=json)


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
    again: Annotated[bool, typer.Option("--again", help="Make everything anew, also what is up to date.")] = False,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Make everything that is out of date, in order.

    A build that was stopped goes on where it was.
    """
    force = [step.name for step in all_steps()] if again else []
    report = make(folder, [], quiet=quiet, as_json=json, force=force)
    if not json and not quiet:
        for step in report.steps:
            for path in step.files:
                show(f"{step.name:12} {step.state:6} {path}")
            if step.why:
                show(f"{step.name:12} {step.state:6} {step.why}")

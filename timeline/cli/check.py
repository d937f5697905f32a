"""``plyline check``."""

from __future__ import annotations

from typing import Annotated

import typer

from timeline.checklesson import at_or_above, check_lesson, finding_data, write_findings
from timeline.cli import app
from timeline.cli.frame import FOUND, Folder, Json, Quiet, guarded, progress_bar, say, show, show_json
from timeline.files import lesson_lock
from timeline.problems import Severity
from timeline.store import load_lesson
from timeline.work import Work


@app.command(epilog="Example: plyline check my-lesson --fail-on warning --engine stockfish")
@guarded
def check(
    folder: Folder,
    fail_on: Annotated[Severity, typer.Option(help="Exit with 1 from this gravity on.")] = Severity.ERROR,
    engine: Annotated[
        str | None, typer.Option(metavar="PROGRAM", help="A UCI engine to ask about judgements and deep mates.")
    ] = None,
    no_film: Annotated[bool, typer.Option("--no-film", help="Do not look at the film.")] = False,
    accepted: Annotated[bool, typer.Option("--accepted", help="Also list what lesson.yaml accepts.")] = False,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Check what is said, timed, written and heard; findings also go to out/findings.json.

    What is right as it is can be accepted in lesson.yaml: accept: [{code: …, at: …, reason: …}].
    """
    folder = load_lesson(folder).folder
    with lesson_lock(folder), progress_bar(hidden=quiet or json) as progress:
        work = Work(load_lesson(folder), progress)
        findings = check_lesson(work, engine=engine, film=not no_film)
        path = write_findings(work, findings)
    if json:
        show_json({"findings": [finding_data(f) for f in findings]})
    elif not quiet:
        for finding in findings:
            if finding.accepted is None:
                show(str(finding))
            elif accepted:
                show(f"{finding}\n  accepted: {finding.accepted}")
        left = [f for f in findings if f.accepted is None]
        counts = ", ".join(f"{sum(f.severity is s for f in left)} {s}s" for s in reversed(Severity))
        say(f"{counts}; {len(findings) - len(left)} accepted; wrote {path}")
    if at_or_above(findings, fail_on):
        raise typer.Exit(FOUND)

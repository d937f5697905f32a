"""``plyline check``."""

from __future__ import annotations

from typing import Annotated

import typer

from timeline.checks.codes import code_table
from timeline.checks.show import as_json, as_text
from timeline.cli.application import app
from timeline.cli.frame import FOUND, Folder, Json, Quiet, choice, flag, guarded, progress_bar, say, show
from timeline.files import lesson_lock
from timeline.problems import Severity
from timeline.store import load_lesson


def _list_codes(wanted: bool) -> None:
    if wanted:
        show(code_table().rstrip("\n"))
        raise typer.Exit


@app.command(epilog="Example: plyline check my-lesson --show --engine stockfish")
@guarded
def check(
    folder: Folder,
    fail_on: Annotated[Severity, choice(Severity, "Exit with 1 from this gravity on.")] = Severity.ERROR,
    show_boards: Annotated[bool, flag("--show", says="Draw the position of each statement.")] = False,
    engine: Annotated[
        str | None, typer.Option(metavar="PROGRAM", help="A UCI engine to ask about judgements and deep mates.")
    ] = None,
    no_film: Annotated[bool, flag("--no-film", says="Do not look at the film.")] = False,
    accepted: Annotated[bool, flag("--accepted", says="Also list what lesson.yaml accepts.")] = False,
    codes: Annotated[
        bool, flag("--codes", says="List every code with an example.", callback=_list_codes, is_eager=True)
    ] = False,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Check what is said, timed, written, seen and heard; findings also go to out/findings.json and .html.

    What is right as it is can be accepted in lesson.yaml: accept: [{code: …, at: …, reason: …}].
    """
    from timeline.checklesson import CheckedWork, at_or_above, check_lesson, write_findings
    from timeline.checks.accepted import refuse_unknown

    loaded = load_lesson(folder)
    refuse_unknown(loaded.lesson.accept, loaded.source)
    folder = loaded.folder
    with lesson_lock(folder), progress_bar(hidden=quiet or json) as progress:
        work = CheckedWork(load_lesson(folder), progress)
        lesson = work.loaded.lesson
        findings = check_lesson(work, engine=engine, film=not no_film)
        files = write_findings(work, findings)
    if json:
        show(as_json(findings, title=lesson.title, tally=work.tally).rstrip("\n"))
    elif not quiet:
        white = lesson.orientation == "white"
        told = as_text(findings, show=show_boards, accepted=accepted, orientation=white, tally=work.tally)
        show(told.rstrip("\n"))
        say(f"wrote {' and '.join(str(f) for f in files)}")
    if at_or_above(findings, fail_on):
        raise typer.Exit(FOUND)

"""Commands for looking: ``still`` and ``sheet``."""

from __future__ import annotations

from enum import StrEnum
from pathlib import Path
from typing import Annotated

import typer

from timeline.checks.show import finding_data
from timeline.cli.application import app
from timeline.cli.frame import Folder, Json, Quiet, choice, guarded, progress_bar, say, show_json, warn
from timeline.store import load_lesson
from timeline.timecode import parse_ms
from timeline.work import Work

Size = Annotated[str | None, typer.Option("--size", help="1080p, or 1920x1080; without it as lesson.yaml says.")]
Out = Annotated[Path | None, typer.Option("--out", "-o", metavar="FILE", help="The PNG file to write.")]


class Vision(StrEnum):
    """Whose eyes a sheet is seen with."""

    NORMAL = "normal"
    PROTAN = "protan"
    DEUTAN = "deutan"
    TRITAN = "tritan"


@app.command(epilog="Example: plyline still my-lesson --at 4:10 -o moment.png")
@guarded
def still(
    folder: Folder,
    at: Annotated[str, typer.Option("--at", metavar="TIME", help="The time of the recording.", show_default=False)],
    out: Out = None,
    size: Size = None,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Draw the picture at one moment as PNG: out/still.png, or the file you name.

    Where the layout shows the recording's picture, it is in the still as well.
    """
    from timeline.publish.looks import draw_still

    at_ms = parse_ms(at)
    with progress_bar(hidden=quiet or json) as progress:
        work = Work(load_lesson(folder), progress)
        path = draw_still(work, at_ms, out, size=size)
    _told(work, path, as_json=json, quiet=quiet)


@app.command(epilog="Example: plyline sheet my-lesson --vision deutan -o sheet.png")
@guarded
def sheet(
    folder: Annotated[
        Path | None, typer.Argument(metavar="[DIR]", help="The lesson folder; without it, our samples.")
    ] = None,
    out: Out = None,
    vision: Annotated[
        Vision, choice(Vision, "As it is seen with full colour vision, or with one of three deficiencies.")
    ] = Vision.NORMAL,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Put all pictures of a lesson on one sheet, each with its time: out/sheet.png.

    Without a lesson: all themes, layouts and marks on invented positions, as
    sheet.png here. Look at it with the eyes of those who tell colours less
    well (one man in twelve) before you choose a theme or write one.
    """
    from timeline.publish.looks import draw_samples, draw_sheet

    with progress_bar(hidden=quiet or json) as progress:
        if folder is None:
            _told(None, draw_samples(out or Path("sheet.png"), vision.value), as_json=json, quiet=quiet)
            return
        work = Work(load_lesson(folder), progress)
        path = draw_sheet(work, out, vision=vision.value)
    _told(work, path, as_json=json, quiet=quiet)


def _told(work: Work | None, path: Path, *, as_json: bool, quiet: bool) -> None:
    findings = work.findings if work else []
    warn(findings, quiet=quiet)
    if as_json:
        show_json({"file": str(path), "findings": [finding_data(f) for f in findings]})
    elif not quiet:
        say(f"wrote {path}")

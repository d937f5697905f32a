"""``plyline clip``."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from timeline.checks.show import finding_data
from timeline.cli.application import app
from timeline.cli.frame import Folder, Json, Quiet, guarded, progress_bar, say, show_json, warn
from timeline.publish.clipstep import draw_clip
from timeline.store import load_lesson
from timeline.timecode import parse_ms
from timeline.work import Work


@app.command(epilog="Example: plyline clip my-lesson --from 2:10 --to 2:40 --layout square --captions")
@guarded
def clip(
    folder: Folder,
    start: Annotated[
        str, typer.Option("--from", help="Where it starts, in time of the recording.", show_default=False)
    ],
    stop: Annotated[str, typer.Option("--to", help="Where it ends.", show_default=False)],
    layout: Annotated[str | None, typer.Option(help="square, tall, board, … ; without it as lesson.yaml says.")] = None,
    size: Annotated[str | None, typer.Option(help="720p, or 1920x1080.")] = None,
    captions: Annotated[bool | None, typer.Option(help="Captions in the picture.")] = None,
    fade: Annotated[float, typer.Option(min=0, max=5, help="Seconds in which picture and sound come and go.")] = 0.5,
    out: Annotated[Path | None, typer.Option("--out", "-o", metavar="FILE", help="The MP4 to write.")] = None,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Make a short clip to share, with soft ends: out/clip.mp4."""
    with progress_bar(hidden=quiet or json) as progress:
        work = Work(load_lesson(folder), progress)
        span_ms = parse_ms(start), parse_ms(stop)
        path = draw_clip(
            work, *span_ms, out, fade_ms=round(fade * 1000), layout=layout, size=size, captions=captions
        )  # fmt: skip
    warn(work.findings, quiet=quiet)
    if json:
        show_json({"file": str(path), "findings": [finding_data(f) for f in work.findings]})
    elif not quiet:
        say(f"wrote {path}")

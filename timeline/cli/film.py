"""``plyline film``."""

from __future__ import annotations

from typing import Annotated

import typer

from timeline.checklesson import finding_data
from timeline.cli import app
from timeline.cli.frame import Folder, Json, Quiet, guarded, progress_bar, say, show_json, warn
from timeline.cli.make import make
from timeline.files import lesson_lock
from timeline.publish.filmstep import render
from timeline.store import load_lesson
from timeline.timecode import parse_ms
from timeline.work import Work


@app.command(epilog="Example: plyline film my-lesson --from 4:05 --to 4:20 --draft")
@guarded
def film(
    folder: Folder,
    start: Annotated[str | None, typer.Option("--from", help="Only from this time of the recording.")] = None,
    stop: Annotated[str | None, typer.Option("--to", help="Only to this time of the recording.")] = None,
    draft: Annotated[bool, typer.Option("--draft", help="Quicker and coarser, for looking.")] = False,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Make the film, out/film.mp4: board, panel, marks, sound, captions, chapters.

    With --from or --to only that stretch, as out/excerpt.mp4; with --draft
    alone the whole film, as out/draft.mp4.
    """
    if start is None and stop is None and not draft:
        make(folder, ["film"], quiet=quiet, as_json=json)
        return
    folder = load_lesson(folder).folder
    with lesson_lock(folder), progress_bar(hidden=quiet or json) as progress:
        work = Work(load_lesson(folder), progress)
        timemap = work.tracks.timemap
        first = timemap.start(parse_ms(start)) if start else 0
        last = timemap.end(parse_ms(stop)) if stop else timemap.end(work.end_ms)
        excerpt = start is not None or stop is not None
        out = work.loaded.out / ("excerpt.mp4" if excerpt else "draft.mp4")
        report = render(work, out, span_ms=(first, last), draft=draft)
    warn(work.findings, quiet=quiet)
    if json:
        data = {"file": str(report.path), "frames": report.frames, "bytes": report.bytes, "sound": report.sound}
        show_json({**data, "findings": [finding_data(f) for f in work.findings]})
    elif not quiet:
        say(f"wrote {report.path} ({report.film_ms / 1000:.1f} s)")

"""``plyline film``."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated

import typer

from timeline.checks.show import finding_data
from timeline.cli.application import app
from timeline.cli.frame import Folder, Json, Quiet, choice, flag, guarded, progress_bar, say, show_json, warn
from timeline.cli.make import make
from timeline.files import lesson_lock
from timeline.moments import no_moment
from timeline.problems import OutputError
from timeline.publish.filmstep import draw_overlay, draw_stills, render
from timeline.store import load_lesson
from timeline.timecode import format_ms, parse_ms
from timeline.work import Work


class Encoder(StrEnum):
    """How frames that repeat a picture are written."""

    SKIP = "skip"
    PLAIN = "plain"


@app.command(epilog="Example: plyline film my-lesson --from 4:05 --to 4:20 --draft")
@guarded
def film(
    folder: Folder,
    start: Annotated[str | None, typer.Option("--from", help="Only from this time of the recording.")] = None,
    stop: Annotated[str | None, typer.Option("--to", help="Only to this time of the recording.")] = None,
    draft: Annotated[bool, flag("--draft", says="Quicker and coarser, for looking.")] = False,
    encoder: Annotated[
        Encoder | None, choice(Encoder, "For this once; film: {encoder: …} in lesson.yaml is for good.")
    ] = None,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Make the film, out/film.mp4: board, panel, marks, sound, captions, chapters.

    With --from or --to only that stretch, as out/excerpt.mp4; with --draft
    alone the whole film, as out/draft.mp4. Drafts have no soft captions and no
    chapters.
    """
    if start is None and stop is None and not draft and encoder is None:
        make(folder, ["film"], quiet=quiet, as_json=json)
        return
    folder = load_lesson(folder).folder
    with lesson_lock(folder), progress_bar(hidden=quiet or json) as progress:
        work = Work(load_lesson(folder), progress)
        span_ms = _span(work, start, stop)
        name = "excerpt.mp4" if span_ms else "draft.mp4" if draft else "film.mp4"
        report = render(
            work, work.loaded.out / name, span_ms=span_ms, draft=draft, encoder=encoder.value if encoder else None
        )
    warn(work.findings, quiet=quiet)
    if json:
        data = {"file": str(report.path), "frames": report.frames, "bytes": report.bytes, "sound": report.sound}
        show_json({**data, "findings": [finding_data(f) for f in work.findings]})
    elif not quiet:
        say(f"wrote {report.path} ({report.film_ms / 1000:.1f} s)")


def _span(work: Work, start: str | None, stop: str | None) -> tuple[int, int] | None:
    """Times of the recording as a stretch of film time, ms; None when neither is given.

    Raises OutputError (``no-moment``, ``no-stretch``) where the lesson has none of it.
    """
    if start is None and stop is None:
        return None
    begins, ends = parse_ms(start or "0"), parse_ms(stop) if stop else work.end_ms
    if begins >= work.end_ms:
        raise no_moment(begins, work.end_ms)
    if begins >= ends:
        raise OutputError.of(
            "no-stretch",
            f"nothing lies between {format_ms(begins)} and {format_ms(ends)}",
            fix="give --from and --to in this order, in times of the recording",
        )
    timemap = work.tracks.timemap
    return timemap.start(begins) if start else 0, timemap.end(ends)


class Codec(StrEnum):
    """What the overlay is coded in."""

    PRORES = "prores"
    QTRLE = "qtrle"
    VP9 = "vp9"


@app.command(epilog="Example: plyline overlay my-lesson --codec vp9")
@guarded
def overlay(
    folder: Folder,
    codec: Annotated[
        Codec | None, choice(Codec, "prores for video editors (as without it), qtrle without loss, vp9 for web pages.")
    ] = None,
    stills: Annotated[bool, flag("--stills", says="Single pictures with a table of times instead.")] = False,
    start: Annotated[str | None, typer.Option("--from", help="Only from this time of the recording.")] = None,
    stop: Annotated[str | None, typer.Option("--to", help="Only to this time of the recording.")] = None,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Make the drawing with transparency for a video editor: out/overlay.mov, .webm, or out/stills/.

    Its time is the film's: it starts with the recording and holds where viewers think.
    Only layouts that show the recording (camera-inset, over-…) leave room for a picture under it.
    """
    if stills and (start or stop):
        raise typer.BadParameter("single pictures are made of the whole lesson", param_hint="--from, --to")
    if stills and codec is not None:
        raise typer.BadParameter("single pictures are written as PNG", param_hint="--codec")
    folder = load_lesson(folder).folder
    with lesson_lock(folder), progress_bar(hidden=quiet or json) as progress:
        work = Work(load_lesson(folder), progress)
        if stills:
            files = draw_stills(work)
        else:
            files = [draw_overlay(work, (codec or Codec.PRORES).value, span_ms=_span(work, start, stop))]
    warn(work.findings, quiet=quiet)
    if json:
        show_json({"files": [str(f) for f in files], "findings": [finding_data(f) for f in work.findings]})
    elif not quiet:
        say(f"wrote {files[0]}" + (f" and {len(files) - 1} more" if files[1:] else ""))

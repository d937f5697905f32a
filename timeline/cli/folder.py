"""Commands about the lesson folder: ``new``, ``schema``."""

from __future__ import annotations

import shlex
from pathlib import Path
from typing import Annotated

import typer

from timeline.cli import app
from timeline.cli.frame import Folder, Json, Quiet, guarded, say, show_json
from timeline.schema import lesson_schema
from timeline.store import LESSON_FILE, new_lesson


@app.command(epilog="Example: plyline new my-lesson --score game.pgn --transcript talk.srt --recording talk.mp4")
@guarded
def new(
    folder: Folder,
    score: Annotated[
        Path | None,
        typer.Option(help="The game or study: a PGN file. Without it the game is worked out from the talk."),
    ] = None,
    transcript: Annotated[
        Path | None, typer.Option(help="What was said, with times: stamped text, SRT, WebVTT or JSON.")
    ] = None,
    recording: Annotated[Path | None, typer.Option(help="The talk: a sound or film file.")] = None,
    title: Annotated[str | None, typer.Option(help="The lesson's title.")] = None,
    game: Annotated[int | None, typer.Option(min=1, help="Which game, when the PGN holds several.")] = None,
    link: Annotated[bool, typer.Option("--link", help="Leave the files where they are instead of copying.")] = False,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Make a lesson folder from a score, a transcript and a recording.

    The files are read first, and nothing is ever overwritten.
    """
    loaded = new_lesson(
        folder, score=score, transcript=transcript, recording=recording, title=title, game=game, link=link
    )
    if json:
        show_json({"folder": str(loaded.folder), **loaded.lesson.model_dump(mode="json", exclude_defaults=True)})
    elif not quiet:
        say(f"made {loaded.folder / LESSON_FILE}; next: plyline build {shlex.quote(str(loaded.folder))}")


@app.command(epilog="Example: plyline schema > lesson.schema.json")
@guarded
def schema() -> None:
    """Print the JSON Schema of lesson.yaml."""
    show_json(lesson_schema())

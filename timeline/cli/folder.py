"""Commands about the lesson folder: ``new``, ``schema``."""

from __future__ import annotations

import shlex
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from timeline.cli.application import app
from timeline.cli.frame import Folder, Json, Quiet, flag, guarded, progress_bar, say, show_json
from timeline.schema import lesson_schema
from timeline.store import HEARD_FILE, LESSON_FILE, LoadedLesson, new_lesson

if TYPE_CHECKING:
    from timeline.score import Score


@app.command(epilog="Example: plyline new my-lesson --score game.pgn --transcript talk.srt --recording talk.mp4")
@guarded
def new(
    folder: Folder,
    score: Annotated[
        Path | None,
        typer.Option(help="The game or study: a PGN file. Without it the game is worked out from the talk."),
    ] = None,
    transcript: Annotated[
        Path | None, typer.Option(help="What was said, with times: stamped text, SRT, WebVTT, a table or JSON.")
    ] = None,
    recording: Annotated[Path | None, typer.Option(help="The talk: a sound or film file.")] = None,
    title: Annotated[str | None, typer.Option(help="The lesson's title.")] = None,
    game: Annotated[int | None, typer.Option(min=1, help="Which game, when the PGN holds several.")] = None,
    listen: Annotated[
        str | None,
        typer.Option(
            metavar="MODEL", help='No transcript? Have this model listen to the recording (needs the extra "listen").'
        ),
    ] = None,
    fetch: Annotated[
        bool, flag("--fetch", says="With --listen: let faster-whisper download the model by its name.")
    ] = False,
    link: Annotated[bool, flag("--link", says="Leave the files where they are instead of copying.")] = False,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Make a lesson folder from a score, a transcript and a recording.

    The files are read first, and nothing is ever overwritten.
    """
    if listen is not None and transcript is not None:
        raise typer.BadParameter("there is a transcript already", param_hint="--listen")
    if listen is not None and recording is None:
        raise typer.BadParameter("there is no recording to listen to: give --recording", param_hint="--listen")
    if fetch and listen is None:
        raise typer.BadParameter("it goes with --listen MODEL", param_hint="--fetch")
    hear = None
    if recording and listen is not None:
        hear = partial(_heard, recording, listen, fetch=fetch, hidden=quiet or json)
    loaded = new_lesson(
        folder, score=score, transcript=transcript, recording=recording, title=title, game=game, link=link, hear=hear
    )
    if json:
        show_json({"folder": str(loaded.folder), **loaded.lesson.model_dump(mode="json", exclude_defaults=True)})
    elif not quiet:
        say(f"made {loaded.folder / LESSON_FILE}; next: {_next(loaded)}")


def _heard(recording: Path, model: str, score: Score | None, *, fetch: bool, hidden: bool) -> str:
    """The recording's transcript, by a recogniser that is told the score's names."""
    from timeline.transcript.listen import listen, prompt_for

    with progress_bar(hidden=hidden) as progress:
        return listen(
            recording,
            model,
            prompt=prompt_for(score),
            fetch=fetch,
            progress=lambda done, whole: progress("listening", done, whole),
        )


def _next(loaded: LoadedLesson) -> str:
    folder = shlex.quote(str(loaded.folder))
    if loaded.lesson.transcript == HEARD_FILE:
        return f"read {loaded.folder / HEARD_FILE}, then plyline build {folder}"
    if loaded.lesson.transcript is None and loaded.lesson.recording is not None:
        return f"plyline listen {folder} --model MODEL, or write “transcript: …” into it; then plyline build {folder}"
    if loaded.lesson.transcript is None:
        return "write your cues into it, or “transcript: …” and “recording: …”; README: The lesson file"
    return f"plyline build {folder}"


@app.command(epilog="Example: plyline schema > lesson.schema.json")
@guarded
def schema() -> None:
    """Print the JSON Schema of lesson.yaml."""
    show_json(lesson_schema())

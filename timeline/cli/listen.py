"""``plyline listen``: a transcript where there is none."""

from __future__ import annotations

import shlex
from typing import Annotated

import typer

from timeline.cli.application import app
from timeline.cli.frame import Folder, Json, Quiet, flag, guarded, progress_bar, say, show_json


@app.command(epilog="Example: plyline listen my-lesson --model models/small.en")
@guarded
def listen(
    folder: Folder,
    model: Annotated[
        str,
        typer.Option(metavar="MODEL", help="A model's folder, or the name of one on this machine.", show_default=False),
    ],
    fetch: Annotated[bool, flag("--fetch", says="Let faster-whisper download the model by its name.")] = False,
    replace: Annotated[bool, flag("--replace", says="Also where the lesson has a transcript already.")] = False,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Write the lesson's transcript by listening to its recording (needs the extra "listen").

    The recogniser is told chess words and the score's names beforehand. Read
    the result before you build on it: it is what was heard, not what was said.
    """
    from timeline.transcript.listenstep import write_heard

    with progress_bar(hidden=quiet or json) as progress:
        path, words = write_heard(
            folder,
            model,
            fetch=fetch,
            replace=replace,
            progress=lambda done, whole: progress("listening", done, whole),
        )
    if json:
        show_json({"transcript": str(path), "words": words})
    elif not quiet:
        say(f"wrote {path} ({words} words); next: plyline build {shlex.quote(str(folder))}")

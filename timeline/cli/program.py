"""The commands of ``plyline``: arguments in, library calls, words out. Nothing here knows chess.

Each module holds some commands and registers them on ``app`` when imported.
Heavy libraries are imported by the functions that use them, never here.
"""

from __future__ import annotations

from typing import Annotated

import typer

from timeline.cli.frame import flag

app = typer.Typer(
    name="plyline",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode="rich",
    context_settings={"help_option_names": ["-h", "--help"]},
)


def _version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"plyline {version('plyline')}")
        raise typer.Exit


@app.callback()
def _program(
    version: Annotated[
        bool, flag("--version", says="Say which plyline this is.", callback=_version, is_eager=True)
    ] = False,
) -> None:
    """From a narrated chess lesson to film, captions and chapters."""


from timeline.cli import batch, captions, check, clip, edit, film, folder, listen, make, picture  # noqa: E402, F401  (they need app)

_IN_ORDER = (
    "new", "build", "listen", "follow", "captions", "chapters", "positions", "publish", "film", "overlay", "clip",
    "still", "sheet", "batch", "check", "schema",
)  # fmt: skip
"""As a teacher meets them; ``edit``, a group, comes last."""
app.registered_commands.sort(key=lambda command: _IN_ORDER.index(str(getattr(command.callback, "__name__", ""))))

"""The typer application that the commands register on: it imports none of them, so that each can be imported first."""

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

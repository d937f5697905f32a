"""The ``plyline`` command: arguments in, library calls, words out. Nothing here knows chess.

Each module holds some commands and registers them on ``app`` when imported.
Heavy libraries are imported by the functions that use them, never here.
"""

from __future__ import annotations

import typer

app = typer.Typer(
    name="plyline",
    help="From a narrated chess lesson to film, captions and chapters.",
    no_args_is_help=True,
    pretty_exceptions_enable=False,
    rich_markup_mode="rich",
    context_settings={"help_option_names": ["-h", "--help"]},
)

from timeline.cli import batch, captions, check, clip, edit, film, folder, listen, make, picture  # noqa: E402, F401  (they need app)


def main() -> None:
    """Entry point of the ``plyline`` command."""
    app()

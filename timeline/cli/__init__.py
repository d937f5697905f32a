"""The ``plyline`` command. ``main`` imports the rest, so that Ctrl-C while modules are read ends as it does later."""

from __future__ import annotations

import sys
from typing import Any

STOPPED = 130
"""The exit code after Ctrl-C."""
STOPPED_SAYS = "stopped; nothing is half-written. Run the same command again: finished steps are kept."


def __getattr__(name: str) -> Any:
    """``app``, the typer application, read when it is first asked for."""
    if name != "app":
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from timeline.cli.program import app

    return app


def main() -> None:
    """Entry point of the ``plyline`` command."""
    try:
        from timeline.cli.program import app
    except KeyboardInterrupt:
        sys.stderr.write(STOPPED_SAYS + "\n")
        sys.exit(STOPPED)
    app()

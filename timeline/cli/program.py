"""The commands of ``plyline``: arguments in, library calls, words out. Nothing here knows chess.

Each module holds some commands and registers them on ``app`` when imported.
Heavy libraries are imported by the functions that use them, never here.
"""

from __future__ import annotations

from timeline.cli import batch, captions, check, clip, edit, film, folder, listen, make, picture  # noqa: F401  (they register)
from timeline.cli.application import app as app

_IN_ORDER = (
    "new", "build", "listen", "follow", "captions", "chapters", "positions", "publish", "film", "overlay", "clip",
    "still", "sheet", "batch", "check", "schema",
)  # fmt: skip
"""As a teacher meets them; ``edit``, a group, comes last."""
app.registered_commands.sort(key=lambda command: _IN_ORDER.index(str(getattr(command.callback, "__name__", ""))))

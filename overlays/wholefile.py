"""A file made by another library: whole under its final name, or not there at all."""

from __future__ import annotations

import contextlib
import os
import secrets
import tempfile
from collections.abc import Iterator
from pathlib import Path

from timeline.files import TEMPORARY, write_error


@contextlib.contextmanager
def whole_file(path: Path) -> Iterator[Path]:
    """Gives a name beside ``path`` to write to; afterwards the file is flushed to the disk and renamed.

    Whatever happens (a fault, Ctrl-C), ``path`` is either as before or
    complete, and nothing is left beside it. Raises OutputError (``disk-full``,
    ``cannot-write``) for what the system refuses.
    """
    temporary = path.with_name(f"{TEMPORARY}{secrets.token_hex(4)}.tmp")
    make_folder(path.parent)
    try:
        yield temporary
        with temporary.open("rb+") as file:
            os.fsync(file.fileno())
        temporary.replace(path)
        _sync(path.parent)
    except OSError as fault:  # PyAV's errors with a system error number are OSErrors as well
        raise write_error(path, fault) from None
    finally:
        with contextlib.suppress(OSError):
            temporary.unlink(missing_ok=True)


def make_folder(path: Path) -> None:
    """The folder, with those above it, if it is not there. Raises OutputError (``cannot-write``, ``disk-full``)."""
    try:
        path.mkdir(parents=True, exist_ok=True)
    except OSError as fault:
        raise write_error(path, fault) from None


@contextlib.contextmanager
def passing_folder(beside: Path) -> Iterator[Path]:
    """A folder for files in between, in the folder of ``beside``; it goes away afterwards. Raises OutputError."""
    make_folder(beside.parent)
    try:
        folder = tempfile.TemporaryDirectory(prefix=TEMPORARY, suffix=".tmp", dir=beside.parent)
    except OSError as fault:
        raise write_error(beside, fault) from None
    with folder as name:
        yield Path(name)


def _sync(folder: Path) -> None:
    """Make the rename durable, where the system can."""
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)

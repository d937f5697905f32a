"""Writing that loses nothing: whole or not at all, and one writer at a time in a lesson folder."""

from __future__ import annotations

import contextlib
import errno
import json
import os
import secrets
import socket
import threading
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from timeline.problems import OutputError

STATE_FOLDER = ".plyline"
TEMPORARY = ".plyline-"
"""Names of files that are being written begin so, and end in ``.tmp``."""

_FULL = {errno.ENOSPC, errno.EDQUOT, errno.EFBIG}
_held: dict[Path, int] = {}
_held_guard = threading.Lock()

in_turn = threading.RLock()
"""Threads of one process share a lesson's lock; reading, changing and writing a lesson they do in turn."""


def write_atomic(path: Path, data: bytes | str) -> None:
    """Write a file beside its final name, flush it to the disk, then rename it over.

    Text is UTF-8 as given (no change of line ends). An existing file keeps its
    permissions. Whatever happens, ``path`` holds either its old or its new
    content and no temporary file stays. Raises OutputError (``disk-full``,
    ``cannot-write``).
    """
    payload = data.encode("utf-8") if isinstance(data, str) else data
    temporary = path.with_name(f"{TEMPORARY}{secrets.token_hex(4)}.tmp")
    try:
        with temporary.open("xb") as file:
            file.write(payload)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            temporary.chmod(path.stat().st_mode & 0o7777)
        temporary.replace(path)
        _sync_folder(path.parent)
    except OSError as fault:
        raise write_error(path, fault) from None
    finally:
        with contextlib.suppress(OSError):
            temporary.unlink(missing_ok=True)


def write_error(path: Path, fault: OSError) -> OutputError:
    """The OutputError for a failed write: a full disk is named as such."""
    if fault.errno in _FULL:
        return OutputError.of(
            "disk-full",
            f"the disk is full; {path.name} was not written and its old content is kept",
            file=str(path),
            fix="make room and run the command again",
        )
    return OutputError.of(
        "cannot-write",
        f"{path.name} cannot be written: {fault.strerror or fault}",
        file=str(path),
        fix="check the folder's permissions, and that no other program holds the file",
    )


def _sync_folder(folder: Path) -> None:
    """Make the rename itself durable; Windows has no such call."""
    if os.name == "nt":
        return
    handle = os.open(folder, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError as fault:  # some network file systems refuse to sync a folder
        if fault.errno not in (errno.EINVAL, errno.ENOTSUP, errno.EBADF):
            raise
    finally:
        os.close(handle)


def sweep(folder: Path) -> list[Path]:
    """Remove what a killed run left half-written. Only call it while holding the lesson's lock."""
    swept = []
    for path in folder.glob(f"{TEMPORARY}*.tmp"):
        with contextlib.suppress(OSError):
            path.unlink()
            swept.append(path)
    return swept


def state_folder(folder: Path) -> Path:
    """The lesson's ``.plyline`` folder (caches, undo history, lock), made when missing."""
    path = folder / STATE_FOLDER
    try:
        path.mkdir(exist_ok=True)
    except OSError as fault:
        raise write_error(path, fault) from None
    if path.is_symlink():
        raise OutputError.of(
            "outside-path", f"{STATE_FOLDER} is a link that leads elsewhere", file=str(path), fix="remove the link"
        )
    return path


@contextlib.contextmanager
def lesson_lock(folder: Path) -> Iterator[None]:
    """Hold the lesson folder against a second writer. Raises OutputError (``locked``) at once if held.

    The operating system keeps the lock, so a crashed or killed holder never
    leaves one behind. Within one process the lock nests.
    """
    key = folder.resolve()
    with _held_guard:
        if key in _held:
            _held[key] += 1
            handle = None
        else:
            handle = _take(state_folder(folder) / "lock", folder)
            _held[key] = 1
    try:
        yield
    finally:
        with _held_guard:
            _held[key] -= 1
            if not _held[key]:
                del _held[key]
        if handle is not None:
            os.close(handle)


def _take(path: Path, folder: Path) -> int:
    try:
        handle = os.open(path, os.O_RDWR | os.O_CREAT, 0o666)
    except OSError as fault:
        raise write_error(path, fault) from None
    try:
        if not _lock_handle(handle):
            raise OutputError.of(
                "locked",
                f"another plyline{_holder(handle)} is working on this lesson",
                file=str(folder),
                fix="wait until it is done, or stop it; then run this again",
            )
        note = json.dumps({"pid": os.getpid(), "host": socket.gethostname(), "since": int(time.time())})
        with contextlib.suppress(OSError):  # who holds it is a courtesy; a full disk must not stop the work
            os.ftruncate(handle, 0)
            os.pwrite(handle, note.encode(), 0) if hasattr(os, "pwrite") else os.write(handle, note.encode())
    except BaseException:
        os.close(handle)
        raise
    return handle


def _lock_handle(handle: int) -> bool:
    """Lock an open file for this process; False when another holds it."""
    if os.name == "nt":
        import msvcrt

        module: Any = msvcrt
        os.lseek(handle, 1 << 20, os.SEEK_SET)  # beyond the note, which others must be able to read
        try:
            module.locking(handle, module.LK_NBLCK, 1)
        except OSError:
            return False
        os.lseek(handle, 0, os.SEEK_SET)
        return True
    import fcntl

    try:
        fcntl.flock(handle, fcntl.LOCK_EX | fcntl.LOCK_NB)
    except BlockingIOError:
        return False
    return True


def _holder(handle: int) -> str:
    try:
        os.lseek(handle, 0, os.SEEK_SET)
        note = json.loads(os.read(handle, 1000))
        return f" (process {int(note['pid'])} on {note['host']})"
    except (OSError, ValueError, KeyError, TypeError):
        return ""

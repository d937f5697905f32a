"""Undo and redo: whole texts of lesson.yaml, so that comments come back too. Kept in ``.plyline/history.json``."""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from timeline.files import lesson_lock, state_folder, write_atomic
from timeline.lesson import Lesson
from timeline.problems import LessonFileError
from timeline.store import LESSON_FILE, LoadedLesson, load_lesson, save_lesson
from timeline.textfile import decode_text

KEEP = 100
"""How many changes can be taken back."""


@dataclass(frozen=True, slots=True)
class Change:
    """One change: what was done, and the lesson's text before and after."""

    what: str
    before: str
    after: str


@dataclass(frozen=True)
class History:
    """Changes in order; those from ``done`` on have been taken back and can be redone."""

    changes: tuple[Change, ...] = ()
    done: int = 0

    def added(self, change: Change) -> History:
        kept = (*self.changes[: self.done], change)[-KEEP:]
        return History(kept, len(kept))


def load_history(folder: Path) -> History:
    """The folder's history; an unreadable one counts as none."""
    try:
        stored = json.loads((state_folder(folder) / "history.json").read_text(encoding="utf-8"))
        changes = tuple(Change(str(c["what"]), str(c["before"]), str(c["after"])) for c in stored["changes"])
        done = int(stored["done"])
    except (OSError, ValueError, KeyError, TypeError):
        return History()
    return History(changes, min(max(done, 0), len(changes)))


def _save(folder: Path, history: History) -> None:
    changes = [{"what": c.what, "before": c.before, "after": c.after} for c in history.changes]
    text = json.dumps({"done": history.done, "changes": changes}, ensure_ascii=False)
    write_atomic(state_folder(folder) / "history.json", text + "\n")


def save_change(loaded: LoadedLesson, lesson: Lesson, what: str) -> LoadedLesson:
    """Save the lesson and remember the change, so that it can be undone. Raises what ``save_lesson`` raises."""
    with lesson_lock(loaded.folder):
        after = save_lesson(loaded, lesson)
        if after.source.text != loaded.source.text:
            change = Change(what, loaded.source.text, after.source.text)
            _save(loaded.folder, load_history(loaded.folder).added(change))
        return after


def change_lesson(folder: Path, operation: Callable[[LoadedLesson], Lesson], what: str) -> tuple[LoadedLesson, bool]:
    """Load, change, save and remember. Returns the lesson, and whether anything changed.

    The lesson is locked from reading to writing. Raises what the operation,
    ``load_lesson`` and ``save_lesson`` raise; then nothing is written.
    """
    before = load_lesson(folder)  # says what is wrong before a lock file is made
    with lesson_lock(before.folder):
        before = load_lesson(before.folder)
        after = save_change(before, operation(before), what)
        return after, after.source.text != before.source.text


def undo(folder: Path) -> str:
    """Take the last change back; returns what it was.

    Raises LessonFileError (``nothing-to-undo``, ``edited-by-hand``).
    """
    with lesson_lock(folder):
        history = load_history(folder)
        if not history.done:
            raise LessonFileError.of("nothing-to-undo", "there is no change to take back", file=str(folder))
        change = history.changes[history.done - 1]
        _swap(folder, change.after, change.before)
        _save(folder, History(history.changes, history.done - 1))
        return change.what


def redo(folder: Path) -> str:
    """Do the last undone change again; returns what it was.

    Raises LessonFileError (``nothing-to-redo``, ``edited-by-hand``).
    """
    with lesson_lock(folder):
        history = load_history(folder)
        if history.done == len(history.changes):
            raise LessonFileError.of("nothing-to-redo", "there is no change to do again", file=str(folder))
        change = history.changes[history.done]
        _swap(folder, change.before, change.after)
        _save(folder, History(history.changes, history.done + 1))
        return change.what


def _swap(folder: Path, expected: str, text: str) -> None:
    path = folder / LESSON_FILE
    data = path.read_bytes() if path.exists() else b""
    if decode_text(data) != expected:
        raise LessonFileError.of(
            "edited-by-hand",
            f"{LESSON_FILE} was edited by hand since; taking the change back would lose that",
            file=str(path),
            fix="mend it in the editor",
        )
    write_atomic(path, text.replace("\n", "\r\n") if b"\r\n" in data else text)

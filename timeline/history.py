"""Undo and redo of the text of lesson.yaml, so that comments come back too. Kept in ``.plyline/history.json``.

A change is the stretch of text that was replaced; hashes of the whole text
before and after tell whether it can still be taken back.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path

from pydantic import TypeAdapter

from timeline.cache import fingerprint
from timeline.files import in_turn, lesson_lock, state_folder, write_atomic
from timeline.lesson import Lesson
from timeline.problems import LessonFileError
from timeline.store import LESSON_FILE, LoadedLesson, load_lesson, save_lesson
from timeline.textfile import decode_text

KEEP = 100
"""How many changes can be taken back."""


@dataclass(frozen=True, slots=True)
class Change:
    """At character ``at``, ``old`` became ``new``. ``before`` and ``after`` are hashes of the whole text."""

    what: str
    at: int
    old: str
    new: str
    before: str
    after: str

    @classmethod
    def of(cls, what: str, before: str, after: str) -> Change:
        at = _common(before, after)
        tail = _common(before[at:][::-1], after[at:][::-1])
        old, new = before[at : len(before) - tail], after[at : len(after) - tail]
        return cls(what, at, old, new, fingerprint(before), fingerprint(after))

    def undone(self, text: str) -> str:
        return text[: self.at] + self.old + text[self.at + len(self.new) :]

    def redone(self, text: str) -> str:
        return text[: self.at] + self.new + text[self.at + len(self.old) :]


def _common(one: str, other: str) -> int:
    """How many first characters are equal."""
    pairs = enumerate(zip(one, other, strict=False))
    return next((i for i, (a, b) in pairs if a != b), min(len(one), len(other)))


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
        changes = tuple(TypeAdapter(list[Change]).validate_python(stored["changes"]))
        done = int(stored["done"])
    except (OSError, ValueError, KeyError, TypeError):
        return History()
    return History(changes, min(max(done, 0), len(changes)))


def _save(folder: Path, history: History) -> None:
    changes = TypeAdapter(list[Change]).dump_python(list(history.changes))
    text = json.dumps({"done": history.done, "changes": changes}, ensure_ascii=False)
    write_atomic(state_folder(folder) / "history.json", text + "\n")


def save_change(loaded: LoadedLesson, lesson: Lesson, what: str) -> LoadedLesson:
    """Save the lesson and remember the change, so that it can be undone. Raises what ``save_lesson`` raises."""
    with lesson_lock(loaded.folder), in_turn:
        after = save_lesson(loaded, lesson)
        if after.source.text != loaded.source.text:
            change = Change.of(what, loaded.source.text, after.source.text)
            _save(loaded.folder, load_history(loaded.folder).added(change))
        return after


def change_lesson(folder: Path, operation: Callable[[LoadedLesson], Lesson], what: str) -> tuple[LoadedLesson, bool]:
    """Load, change, save and remember. Returns the lesson, and whether anything changed.

    The lesson is locked from reading to writing. Raises what the operation,
    ``load_lesson`` and ``save_lesson`` raise; then nothing is written.
    """
    before = load_lesson(folder)  # says what is wrong before a lock file is made
    with lesson_lock(before.folder), in_turn:
        before = load_lesson(before.folder)
        after = save_change(before, operation(before), what)
        return after, after.source.text != before.source.text


def undo(folder: Path) -> str:
    """Take the last change back; returns what it was.

    Raises LessonFileError (``nothing-to-undo``, ``edited-by-hand``, and where there is no lesson).
    """
    _lesson_there(folder)
    with lesson_lock(folder), in_turn:
        history = load_history(folder)
        if not history.done:
            raise LessonFileError.of("nothing-to-undo", "there is no change to take back", file=str(folder))
        change = history.changes[history.done - 1]
        _swap(folder, change.after, change.undone)
        _save(folder, History(history.changes, history.done - 1))
        return change.what


def redo(folder: Path) -> str:
    """Do the last undone change again; returns what it was.

    Raises LessonFileError (``nothing-to-redo``, ``edited-by-hand``, and where there is no lesson).
    """
    _lesson_there(folder)
    with lesson_lock(folder), in_turn:
        history = load_history(folder)
        if history.done == len(history.changes):
            raise LessonFileError.of("nothing-to-redo", "there is no change to do again", file=str(folder))
        change = history.changes[history.done]
        _swap(folder, change.before, change.redone)
        _save(folder, History(history.changes, history.done + 1))
        return change.what


def _lesson_there(folder: Path) -> None:
    """Say what is wrong before a lock file is made; a lesson that cannot be read can be mended by an undo."""
    if not (folder / LESSON_FILE).is_file():
        load_lesson(folder)


def _swap(folder: Path, expected: str, turn: Callable[[str], str]) -> None:
    path = folder / LESSON_FILE
    data = path.read_bytes() if path.exists() else b""
    text = decode_text(data)
    if fingerprint(text) != expected:
        raise LessonFileError.of(
            "edited-by-hand",
            f"{LESSON_FILE} was edited by hand since; taking the change back would lose that",
            file=str(path),
            fix="mend it in the editor",
        )
    text = turn(text)
    write_atomic(path, text.replace("\n", "\r\n") if b"\r\n" in data else text)

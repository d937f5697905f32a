"""What the follower wrote into lesson.yaml, for each text of the file: undo and redo bring earlier ones back.

Kept in ``.plyline/followed.json``; a person's hand in the cues is seen by comparing with it (``adopt``).
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from pydantic import TypeAdapter, ValidationError

from timeline.cache import fingerprint
from timeline.files import state_folder, write_atomic
from timeline.history import load_history
from timeline.lesson import CueSpec, Lesson
from timeline.store import LoadedLesson

KEEP = 20
"""How many texts are remembered."""

_CUES = TypeAdapter(tuple[CueSpec, ...])


def remember_followed(written: LoadedLesson) -> None:
    """Keep the follower's cues of a lesson that a follow has just written."""
    key = fingerprint(written.source.text)
    cues = _CUES.dump_python(followers(written.lesson), mode="json")
    kept = [entry for entry in _entries(written.folder) if entry["text"] != key]
    entries = [*kept, {"text": key, "cues": cues}][-KEEP:]
    write_atomic(_file(written.folder), json.dumps({"written": entries}, ensure_ascii=False) + "\n")


def last_followed(loaded: LoadedLesson) -> tuple[CueSpec, ...]:
    """The cues that the last follow before this text of the lesson wrote here; empty where that is not known."""
    entries = {entry["text"]: entry["cues"] for entry in _entries(loaded.folder)}
    history = load_history(loaded.folder)
    texts = [fingerprint(loaded.source.text)]
    for change in reversed(history.changes[: history.done]):
        texts += [change.after, change.before]
    texts += [change.before for change in history.changes[history.done : history.done + 1]]
    # A file edited by hand before its first change is in no history: the newest text counts that was not undone.
    undone = {change.after for change in history.changes[history.done :]}
    texts += [text for text in reversed(entries) if text not in undone]
    found = next((entries[text] for text in texts if text in entries), ())
    try:
        return _CUES.validate_python(found)
    except ValidationError:
        return ()


def followers(lesson: Lesson) -> tuple[CueSpec, ...]:
    """The cues of a lesson that are the follower's, locked or not."""
    return tuple(cue for cue in lesson.cues if cue.by == "follow")


def _entries(folder: Path) -> list[dict[str, Any]]:
    """Oldest first; an unreadable file holds none."""
    try:
        stored = json.loads(_file(folder).read_text(encoding="utf-8"))["written"]
        return [entry for entry in stored if isinstance(entry["text"], str) and isinstance(entry["cues"], list)]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return []


def _file(folder: Path) -> Path:
    return state_folder(folder) / "followed.json"

"""What the steps of one run share: the lesson and everything read or worked out from it, each once."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from timeline.buildtracks import Tracks, build_tracks
from timeline.cache import file_fingerprint
from timeline.files import state_folder, write_atomic
from timeline.lesson import Lesson
from timeline.problems import Finding, LessonFileError, Severity
from timeline.score import Score, load_score
from timeline.store import LoadedLesson, load_lesson

if TYPE_CHECKING:
    from timeline.recording import RecordingInfo
    from timeline.transcript.words import Transcript

Progress = Callable[[str, int, int], None]
"""Called with the step's name, what is done and the whole, in the step's own unit."""


def quiet(step: str, done: int, whole: int) -> None:
    """No progress shown."""


class Work:
    """A lesson folder being worked on. Parts are read when first asked for; ``reload`` after a change.

    Attributes ask the same way everywhere: ``score``, ``recording`` (facts),
    ``transcript``, ``end_ms`` (the lesson's end in recording time),
    ``tracks``. They raise the readers' errors.
    """

    def __init__(self, loaded: LoadedLesson, progress: Progress = quiet) -> None:
        self.loaded = loaded
        self.folder = loaded.folder
        self.progress = progress
        self.findings: list[Finding] = []
        self._hashes: dict[str, Any] | None = None

    def reload(self) -> None:
        """Read lesson.yaml again; what depends on it is worked out anew."""
        self.loaded = load_lesson(self.folder)
        for name in ("score", "recording", "transcript", "end_ms", "tracks"):
            self.__dict__.pop(name, None)

    @cached_property
    def score(self) -> Score:
        lesson = self.loaded.lesson
        return load_score(self.loaded.file("score"), game=lesson.game, name=lesson.score)

    @cached_property
    def recording(self) -> RecordingInfo | None:
        """Facts of the recording; None when the lesson has none."""
        if self.loaded.lesson.recording is None:
            return None
        from timeline.recording import probe

        return probe(self.loaded.file("recording"), name=self.loaded.lesson.recording)

    @cached_property
    def transcript(self) -> Transcript | None:
        """The transcript; None when the lesson has none. Its warnings go to ``findings``."""
        lesson = self.loaded.lesson
        if lesson.transcript is None:
            return None
        from timeline.transcript.read import load_transcript

        end_ms = self.recording.duration_ms if self.recording else lesson.length
        transcript, findings = load_transcript(self.loaded.file("transcript"), name=lesson.transcript, end_ms=end_ms)
        self.findings += findings
        return transcript

    @cached_property
    def end_ms(self) -> int:
        """The recording's length, else ``length:``, else the transcript's end."""
        if self.recording is not None:
            return self.recording.duration_ms
        if self.loaded.lesson.length:
            return self.loaded.lesson.length
        if self.transcript is not None and self.transcript.end_ms:
            return self.transcript.end_ms
        raise LessonFileError.of(
            "no-length",
            "nothing says how long the lesson is",
            file=self.loaded.source.name,
            fix='add `recording:`, or `length: "12:30"`',
        )

    @cached_property
    def tracks(self) -> Tracks:
        """The lesson's tracks. Raises LessonFileError when a cue cannot be shown; warnings go to ``findings``."""
        lesson = self.loaded.lesson
        tracks = build_tracks(
            self.score, lesson.cues, self.end_ms, score_marks=lesson.score_marks, place=self.loaded.cue_place
        )
        errors = [f for f in tracks.findings if f.severity is Severity.ERROR]
        if errors:
            raise LessonFileError(*errors)
        self.findings += tracks.findings
        return tracks

    # -- what tells whether a file changed
    def file_hash(self, key: str) -> str | None:
        """The content's hash of ``score``, ``transcript`` or ``recording``; None when the lesson has none.

        A file whose size and time of change are as before is not read again.
        """
        if getattr(self.loaded.lesson, key) is None:
            return None
        path = self.loaded.file(key)
        stat = path.stat()
        stamp = [str(path), stat.st_size, stat.st_mtime_ns]
        known = self._known_hashes.get(key)
        if isinstance(known, dict) and known.get("stamp") == stamp:
            return str(known["hash"])
        value = file_fingerprint(path)
        self._known_hashes[key] = {"stamp": stamp, "hash": value}
        write_atomic(self._hash_file, json.dumps(self._known_hashes, ensure_ascii=False, indent=1) + "\n")
        return value

    @property
    def _hash_file(self) -> Path:
        return state_folder(self.folder) / "files.json"

    @property
    def _known_hashes(self) -> dict[str, Any]:
        if self._hashes is None:
            try:
                stored = json.loads(self._hash_file.read_text(encoding="utf-8"))
            except (OSError, ValueError):
                stored = {}
            self._hashes = stored if isinstance(stored, dict) else {}
        return self._hashes


def check_cues(loaded: LoadedLesson, changed: Lesson) -> None:
    """Refuse (LessonFileError) a change that brings cues which cannot be shown; older faults stay as they are."""
    work = Work(loaded)
    known = set(loaded.lesson.cues)
    tracks = build_tracks(work.score, changed.cues, work.end_ms, place=lambda index: {"extra": {"cue": index}})
    errors = [
        Finding(f.code, f.message, f.severity, fix=f.fix, at_ms=f.at_ms)
        for f in tracks.findings
        if f.severity is Severity.ERROR and changed.cues[f.extra["cue"]] not in known
    ]
    if errors:
        raise LessonFileError(*errors)

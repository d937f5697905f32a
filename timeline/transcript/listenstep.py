"""A lesson's recording listened to, its transcript written into the lesson's folder and named in lesson.yaml."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

from timeline.files import write_atomic
from timeline.history import change_lesson
from timeline.lesson import Lesson
from timeline.problems import LessonFileError, OutputError
from timeline.score import load_score
from timeline.store import HEARD_FILE, LoadedLesson, load_lesson
from timeline.transcript.listen import listen, prompt_for
from timeline.transcript.read import read_transcript


def write_heard(
    folder: Path,
    model: str,
    *,
    fetch: bool = False,
    replace: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> tuple[Path, int]:
    """Listen to the lesson's recording; gives the file written and how many words are in it.

    Raises LessonFileError without a recording; OutputError (``exists``) where
    a transcript is there and ``replace`` is not given; what ``listen`` raises.
    """
    loaded = load_lesson(folder)
    lesson = loaded.lesson
    path = loaded.folder / HEARD_FILE
    if lesson.recording is None:
        raise LessonFileError.of(
            "missing-key", "there is no recording to listen to", file=loaded.source.name, fix="add `recording: …`"
        )
    there = lesson.transcript or (HEARD_FILE if path.exists() else None)
    if there and not replace:
        raise OutputError.of(
            "exists",
            f"the lesson has a transcript, {there}",
            file=loaded.source.name,
            fix="use it, or say --replace; it is replaced only when it is named heard.json",
        )
    recording = loaded.file("recording")
    score = load_score(loaded.file("score"), game=lesson.game, name=lesson.score) if lesson.score else None
    text = listen(
        recording,
        model,
        language=lesson.language,
        prompt=prompt_for(score, (lesson.teacher or "", *lesson.names)),
        fetch=fetch,
        name=lesson.recording,
        progress=progress,
    )
    transcript, _ = read_transcript(text, name=HEARD_FILE, suffix=".json")
    write_atomic(path, text)
    change_lesson(loaded.folder, _named, f"listened to {lesson.recording}")
    return path, len(transcript.words)


def _named(loaded: LoadedLesson) -> Lesson:
    return loaded.lesson.model_copy(update={"transcript": HEARD_FILE})

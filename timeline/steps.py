"""The steps of a build that need no pictures, in order; the command line adds the film."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from timeline.build import Step
from timeline.cache import code_fingerprint
from timeline.files import write_atomic
from timeline.history import save_change
from timeline.merge import merge_follow
from timeline.positions import write_positions
from timeline.store import LESSON_FILE
from timeline.work import Work

CAPTION_FILES = (".srt", ".vtt", ".ttml", ".txt")
CHAPTER_FILES = (".txt", ".vtt", ".ffmeta", ".xml", ".json")


def track_inputs(work: Work) -> dict[str, Any]:
    """What the board, mark and pause tracks depend on."""
    lesson = work.loaded.lesson
    return {
        "score": work.file_hash("score"),
        "game": lesson.game,
        "score_marks": lesson.score_marks,
        "cues": [cue.model_dump(mode="json", exclude_defaults=True) for cue in lesson.cues],
        "end_ms": work.end_ms,
        "code": code_fingerprint("timeline.buildtracks", "timeline.score", "timeline.tracks"),
    }


# -- words
def _no_transcript(work: Work) -> str | None:
    return None if work.loaded.lesson.transcript else "the lesson has no transcript"


def _make_words(work: Work) -> Sequence[Path]:
    return [work.make_words()]


WORDS = Step("words", "listening for the words", lambda work: work.words_inputs(), _make_words, missing=_no_transcript)


# -- follow
def _make_follow(work: Work) -> Sequence[Path]:
    return [work.make_follow()]


FOLLOW = Step(
    "follow",
    "following the moves",
    lambda work: work.follow_inputs(),
    _make_follow,
    needs=("words",),
    missing=_no_transcript,
)


def _cue_inputs(work: Work) -> dict[str, Any]:
    lesson = work.adopted
    settings = lesson.follow
    return {
        "follow": work.follow_inputs(),
        "settings": settings.model_dump(mode="json", include={"cues", "marks", "think_s", "rejected"}),
        "own": any(not cue.fixed for cue in lesson.cues),
        "fixed": [cue.model_dump(mode="json", exclude_defaults=True) for cue in lesson.cues if cue.fixed],
        "code": code_fingerprint("timeline.merge"),
    }


def _no_cues(work: Work) -> str | None:
    settings = work.loaded.lesson.follow
    if not (settings.cues or settings.marks):
        return "the lesson says follow: {cues: false, marks: false}"
    return _no_transcript(work)


def _write_cues(work: Work) -> Sequence[Path]:
    merged = merge_follow(work.adopted, work.follow, work.words, work.score)
    save_change(work.loaded, merged, "followed the talk")
    work.remember_followed(merged)
    work.reload()
    return [work.folder / LESSON_FILE]


CUES = Step(
    "cues", "writing the cues into lesson.yaml", _cue_inputs, _write_cues, needs=("follow",), missing=_no_cues,
    keeps_files=False,
)  # fmt: skip


# -- positions
def _positions_inputs(work: Work) -> dict[str, Any]:
    return {"tracks": track_inputs(work), "code": code_fingerprint("timeline.positions")}


def _write_positions(work: Work) -> Sequence[Path]:
    text = write_positions(work.tracks.board)
    path = work.loaded.out / "positions.csv"
    write_atomic(path, text)
    return [path]


POSITIONS = Step("positions", "writing the table of positions", _positions_inputs, _write_positions)


# -- captions
def caption_inputs(work: Work) -> dict[str, Any]:
    """What the captions depend on."""
    lesson = work.loaded.lesson
    return {
        "tracks": track_inputs(work),
        "follow": work.follow_inputs() if lesson.transcript else None,
        "settings": lesson.captions.model_dump(mode="json"),
        "lesson": [lesson.title, lesson.teacher, lesson.language, lesson.glossary, lesson.names, lesson.film.rate],
        "code": code_fingerprint("timeline.captions", "timeline.timemap"),
    }


def _write_captions(work: Work) -> Sequence[Path]:
    from timeline.captions import About, writer_for

    lesson = work.loaded.lesson
    about = About(lesson.title, lesson.language, lesson.teacher)
    paths = []
    for suffix in CAPTION_FILES:
        path = work.loaded.out / f"captions{suffix}"
        write_atomic(path, writer_for(suffix)(work.caption_result.captions, about))
        paths.append(path)
    return paths


CAPTIONS = Step(
    "captions", "writing captions", caption_inputs, _write_captions, needs=("follow",), missing=_no_transcript
)


# -- chapters
def _no_chapters(work: Work) -> str | None:
    lesson = work.loaded.lesson
    if lesson.transcript or lesson.chapters.listed:
        return None
    return "the lesson has no transcript to find chapters in, and lists none"


def chapter_inputs(work: Work) -> dict[str, Any]:
    """What the chapters depend on."""
    lesson = work.loaded.lesson
    return {
        "tracks": track_inputs(work),
        "follow": work.follow_inputs() if lesson.transcript else None,
        "settings": lesson.chapters.model_dump(mode="json"),
        "lesson": [lesson.title, lesson.teacher, lesson.language],
        "code": code_fingerprint("timeline.chapters"),
    }


def _write_chapters(work: Work) -> Sequence[Path]:
    from timeline.chapters import ChapterList, writer_for
    from timeline.chapters.rules import in_film_time

    lesson, timemap = work.loaded.lesson, work.tracks.timemap
    chapters = in_film_time(work.chapters, timemap)
    found = ChapterList(chapters, timemap.end(work.end_ms), lesson.title, lesson.language, lesson.teacher)
    paths = []
    for suffix in CHAPTER_FILES:
        path = work.loaded.out / f"chapters{suffix}"
        write_atomic(path, writer_for(suffix)(found))
        paths.append(path)
    return paths


CHAPTERS = Step(
    "chapters", "finding chapters", chapter_inputs, _write_chapters, needs=("follow",), missing=_no_chapters
)

STEPS: tuple[Step, ...] = (WORDS, FOLLOW, CUES, CAPTIONS, CHAPTERS, POSITIONS)

"""What a change of the lesson may not bring: cues and chapters that cannot be shown, moves that cannot be played."""

from __future__ import annotations

from dataclasses import replace

from timeline.buildtracks import build_tracks
from timeline.lesson import Lesson
from timeline.moments import no_moment
from timeline.problems import Finding, LessonFileError, Severity
from timeline.store import LoadedLesson
from timeline.timecode import format_ms
from timeline.work import Work


def check_change(loaded: LoadedLesson, changed: Lesson) -> None:
    """Refuse (LessonFileError) a change that brings cues or chapters which cannot be shown; older faults stay."""
    work = Work(loaded)
    known = set(loaded.lesson.cues)
    tracks = build_tracks(work.score, changed.cues, work.end_ms, place=lambda index: {"extra": {"cue": index}})
    errors = [
        Finding(f.code, f.message, f.severity, fix=f.fix, at_ms=f.at_ms)
        for f in tracks.findings
        if f.severity is Severity.ERROR and changed.cues[f.extra["cue"]] not in known
    ]
    for chapter in changed.chapters.listed:
        if chapter.at >= work.end_ms and chapter not in loaded.lesson.chapters.listed:
            end = format_ms(work.end_ms)
            message = f"chapter {chapter.title!r} starts at {format_ms(chapter.at)}, but the lesson ends at {end}"
            errors.append(Finding("chapter-after-end", message, fix="give a time before it", at_ms=chapter.at))
    if errors:
        raise LessonFileError(*errors)


def check_played(loaded: LoadedLesson, changed: Lesson, at_ms: int) -> tuple[Finding, ...] | None:
    """Refuse (LessonFileError) moves settled at ``at_ms`` that cannot be played there, as the next follow would.

    Returns a warning for each other settled move that cannot be played any more; None where the position is not
    known yet, because the recording has still to be listened to. Raises OutputError for a time after the end.
    """
    work = Work(replace(loaded, lesson=changed))
    if at_ms >= work.end_ms:
        raise no_moment(at_ms, work.end_ms)
    if not work.words_known:
        return None
    try:
        _ = work.reconstruction
    except LessonFileError as error:
        found = [replace(f, file=None, line=None, column=None, source=None) for f in error.findings]
        if refused := [f for f in found if f.at_ms == at_ms]:
            raise LessonFileError(*refused) from None
        return tuple(replace(f, severity=Severity.WARNING) for f in found)
    return ()

"""A lesson's chapters: a person's own list, else suggested, in film time and whole."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import replace

from timeline.buildtracks import Tracks
from timeline.chapters.rules import check_chapters, in_film_time, whole
from timeline.chapters.suggest import suggest_chapters
from timeline.lesson import Lesson
from timeline.problems import Finding
from timeline.score import Score
from timeline.tracks import Chapter
from timeline.transcript.words import Word


def build_chapters(
    lesson: Lesson,
    score: Score,
    tracks: Tracks,
    words: Sequence[Word] = (),
    *,
    asks: Sequence[int] = (),
    mended: Sequence[str] = (),
) -> tuple[tuple[Chapter, ...], list[Finding]]:
    """Chapters in recording time (ms), the first at 0, and what hosts would refuse in a person's own list.

    Findings are at times of the recording; see ``rules.check_chapters`` for their ``extra``.

    ``rules.in_film_time`` turns them into the film's, for which the rules are
    checked here. ``asks``: times of questions to the viewer; the lesson's
    think-pauses count as such too. ``mended``: each word's corrected text.
    With no list and nothing to suggest from, the lesson is one chapter.
    """
    settings = lesson.chapters
    end_ms = tracks.board.end_ms
    if settings.listed:
        own = [Chapter(c.at, c.title) for c in settings.listed]
        findings = check_chapters(
            in_film_time(own, tracks.timemap), tracks.timemap.end(end_ms), least_ms=math.ceil(settings.least_s * 1000)
        )
        placed = [
            replace(f, at_ms=own[f.extra["chapter"]].start_ms) if "chapter" in f.extra else f for f in findings
        ]
        return whole(own, end_ms, opening_title=lesson.title), placed
    if not settings.suggest or not words:
        return whole((), end_ms, opening_title=lesson.title), []
    times = sorted({*asks, *(pause.at_ms for pause in tracks.pauses)})
    found = suggest_chapters(
        words, tracks.board, score, asks=times, settings=settings, language=lesson.language, mended=mended
    )
    return whole(found, end_ms, opening_title=lesson.title), []

"""A lesson's chapters: a person's own list, else suggested, in film time and whole."""

from __future__ import annotations

import math
from collections.abc import Sequence

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
    """Chapters in film time (ms), the first at 0, and what hosts would refuse in a person's own list.

    ``asks``: times (recording ms) of questions to the viewer; the lesson's
    think-pauses count as such too. ``mended``: each word's corrected text.
    With no list and nothing to suggest from, the lesson is one chapter.
    """
    settings = lesson.chapters
    film_ms = tracks.timemap.end(tracks.board.end_ms)
    findings: list[Finding] = []
    if settings.listed:
        own = in_film_time([Chapter(c.at, c.title) for c in settings.listed], tracks.timemap)
        findings = check_chapters(own, film_ms, least_ms=math.ceil(settings.least_s * 1000))
        return whole(own, film_ms, opening_title=lesson.title), findings
    if not settings.suggest or not words:
        return whole((), film_ms, opening_title=lesson.title), []
    times = sorted({*asks, *(pause.at_ms for pause in tracks.pauses)})
    found = suggest_chapters(
        words, tracks.board, score, asks=times, settings=settings, language=lesson.language, mended=mended
    )
    return whole(in_film_time(found, tracks.timemap), film_ms, opening_title=lesson.title), []

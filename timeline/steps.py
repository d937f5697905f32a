"""The steps of a build that need no pictures, in order; the command line adds the film."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any

from timeline.adopt import from_another_follow, not_written_again
from timeline.build import Step
from timeline.cache import code_fingerprint
from timeline.files import write_atomic
from timeline.followed import last_followed, remember_followed
from timeline.history import save_change
from timeline.merge import merge_follow
from timeline.positions import write_positions
from timeline.problems import Finding, Severity
from timeline.store import LESSON_FILE
from timeline.work import Work

if TYPE_CHECKING:
    from timeline.captions import About, Place
    from timeline.lesson import CueSpec

CAPTION_FILES = (".srt", ".vtt", ".ttml")
TRANSCRIPT_FILES = (".txt", ".html")
RECONSTRUCTED = "reconstructed.pgn"
CHAPTER_FILES = (".txt", ".vtt", ".ffmeta", ".xml", ".json")


def track_inputs(work: Work) -> dict[str, Any]:
    """What the board, mark and pause tracks depend on."""
    lesson = work.loaded.lesson
    return {
        "score": work.score_inputs(),
        "game": lesson.game,
        "score_marks": lesson.score_marks,
        "think": lesson.film.think,
        "cues": [cue.model_dump(mode="json", exclude_defaults=True) for cue in lesson.cues],
        "end_ms": work.end_ms,
        "code": code_fingerprint("timeline.buildtracks", "timeline.score", "timeline.tracks"),
    }


# -- words
def _no_transcript(work: Work) -> str | None:
    if work.loaded.lesson.transcript:
        return None
    way = "write its name beside “transcript:” in lesson.yaml"
    if work.loaded.lesson.recording:
        way += ", or have the recording listened to: plyline listen (needs the extra “listen”)"
    return f"the lesson has no transcript; {way}"


def _make_words(work: Work) -> Sequence[Path]:
    return [work.make_words()]


WORDS = Step(
    "words",
    "listening for the words",
    lambda work: work.words_inputs(),
    _make_words,
    missing=_no_transcript,
    recall=lambda work: work.recall_words(),
)


# -- follow
def _make_follow(work: Work) -> Sequence[Path]:
    if work.loaded.lesson.score is not None:
        return [work.make_follow()]
    from timeline.follow.reconstructedscore import write_pgn

    pgn = work.loaded.out / RECONSTRUCTED
    write_atomic(pgn, write_pgn(work.score))
    return [work.make_follow(), pgn]


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
    if from_another_follow(work.loaded.lesson, last_followed(work.loaded)):
        lost = not_written_again(work.loaded.lesson, merged)
        if lost:
            work.findings.append(_followed_elsewhere(lost))
    remember_followed(save_change(work.loaded, merged, "followed the talk"))
    work.reload()
    return [work.folder / LESSON_FILE]


def _followed_elsewhere(lost: Sequence[CueSpec]) -> Finding:
    first = lost[0]
    return Finding(
        "followed-elsewhere",
        "the followed cues of this file were not written here, by another follow or version, and are made anew; "
        f"{len(lost)} of them did not come out the same (the first: {first.show or 'no position'})",
        Severity.NOTE,
        file=LESSON_FILE,
        at_ms=first.at,
        fix="if one of them had been changed by hand, make that change again: plyline edit DIR cue … at its time",
    )


CUES = Step(
    "cues", "writing the cues into lesson.yaml", _cue_inputs, _write_cues, needs=("follow",), missing=_no_cues,
    keeps_files=False,
)  # fmt: skip


# -- positions
def _positions_inputs(work: Work) -> dict[str, Any]:
    return {"tracks": track_inputs(work), "code": code_fingerprint("timeline.positions")}


def _write_positions(work: Work) -> Sequence[Path]:
    text = write_positions(work.tracks.board)
    return [_written(work, "positions.csv", text)]


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


def _caption_file_inputs(work: Work) -> dict[str, Any]:
    from timeline.publish.captionplace import caption_place

    place = caption_place(work)
    return caption_inputs(work) | {"place": asdict(place) if place else None}


def about_lesson(work: Work, *, language: str | None = None, place: Place | None = None) -> About:
    """What caption files hold besides the captions, but for the board; in another language after a translation."""
    from timeline.captions import About

    lesson = work.loaded.lesson
    settings = lesson.captions
    return About(lesson.title, language or lesson.language, lesson.teacher, place, bom=settings.bom, crlf=settings.crlf)


def _write_captions(work: Work) -> Sequence[Path]:
    from timeline.captions import writer_for
    from timeline.captions.build import LOST
    from timeline.captions.described import write_descriptions
    from timeline.publish.captionplace import caption_place, no_place

    place = caption_place(work)
    if place is None:
        work.findings.append(no_place(work))
    about, result = about_lesson(work, place=place), work.caption_result
    work.findings += [f for f in result.findings if f.code in LOST]
    texts = {f"captions{suffix}": writer_for(suffix)(result.captions, about) for suffix in CAPTION_FILES}
    if work.loaded.lesson.language.split("-")[0].lower() == "en":
        texts["descriptions.vtt"] = write_descriptions(work.descriptions, about)
    else:
        work.findings.append(
            Finding(
                "no-descriptions",
                f"descriptions are written in English only; the lesson says language: {work.loaded.lesson.language}",
                Severity.NOTE,
                **work.loaded.place("language"),
            )
        )
    return [_written(work, name, text) for name, text in texts.items()]


def _written(work: Work, name: str, text: str) -> Path:
    path = work.loaded.out / name
    write_atomic(path, text)
    return path


CAPTIONS = Step(
    "captions", "writing captions", _caption_file_inputs, _write_captions, needs=("follow",), missing=_no_transcript
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

    lesson, timemap = work.loaded.lesson, work.tracks.timemap
    found = ChapterList(work.film_chapters, timemap.end(work.end_ms), lesson.title, lesson.language, lesson.teacher)
    return [_written(work, f"chapters{suffix}", writer_for(suffix)(found)) for suffix in CHAPTER_FILES]


CHAPTERS = Step(
    "chapters", "finding chapters", chapter_inputs, _write_chapters, needs=("follow",), missing=_no_chapters
)


# -- the talk to read
def _transcript_inputs(work: Work) -> dict[str, Any]:
    return {
        "captions": caption_inputs(work),
        "chapters": chapter_inputs(work),
        "orientation": work.loaded.lesson.orientation,
    }


def _write_transcript(work: Work) -> Sequence[Path]:
    from timeline.captions import writer_for

    about = replace(
        about_lesson(work),
        board=work.tracks.film_board,
        chapters=work.film_chapters,
        orientation=work.loaded.lesson.orientation,
    )
    captions = work.caption_result.captions
    return [_written(work, f"captions{suffix}", writer_for(suffix)(captions, about)) for suffix in TRANSCRIPT_FILES]


TRANSCRIPT = Step(
    "transcript", "writing the talk as text", _transcript_inputs, _write_transcript, needs=("follow",),
    missing=_no_transcript,
)  # fmt: skip

STEPS: tuple[Step, ...] = (WORDS, FOLLOW, CUES, CAPTIONS, CHAPTERS, TRANSCRIPT, POSITIONS)

"""Edit operations: lesson in, lesson out. Pure; the caller saves, and keeps the history.

A cue is named by its index in ``lesson.cues``; ``find_cue`` gets it from what
a person types. Editing a cue of the follower makes it a person's cue, which a
new follow keeps; taking one away is remembered, so that it does not come back.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import Any, TypeVar

from pydantic import ValidationError

from timeline.chapters.settings import ChapterSpec
from timeline.fields import Part
from timeline.lesson import CueSpec, Lesson, MarkSpec, Rejected, Told
from timeline.lessontext import complaint
from timeline.problems import LessonFileError
from timeline.timecode import format_ms, parse_ms

Timed = TypeVar("Timed", bound=Part)
"""A part of the lesson with ``at``, and perhaps ``until``."""

FIND_MS = 500
"""A typed time names the nearest cue if it is within half a second of it."""


def find_cue(lesson: Lesson, named: str) -> int:
    """The index of the cue that ``#3`` (the third) or a time names. Raises LessonFileError (``no-such-cue``)."""
    if named.startswith("#") and named[1:].isdecimal():
        number = int(named[1:])
        if not 1 <= number <= len(lesson.cues):
            raise _no_cue(f"there is no cue {named}; the lesson has {len(lesson.cues)}")
        return number - 1
    at = parse_ms(named)
    near = sorted((abs(cue.at - at), i) for i, cue in enumerate(lesson.cues) if abs(cue.at - at) <= FIND_MS)
    if not near:
        raise _no_cue(f"there is no cue at {format_ms(at)}", _nearest(lesson, at, "cue", range(len(lesson.cues))))
    if len(near) > 1 and near[1][0] == near[0][0]:
        numbers = " or ".join(f"#{i + 1}" for distance, i in near if distance == near[0][0])
        at = lesson.cues[near[0][1]].at
        raise _no_cue(f"more than one cue is at {format_ms(at)}", f"name it by number: {numbers}")
    return near[0][1]


def find_pause(lesson: Lesson, at_ms: int) -> int:
    """The index of the pause nearest to a time, within half a second. Raises LessonFileError (``no-such-cue``)."""
    pauses = [i for i, cue in enumerate(lesson.cues) if cue.think is not None]
    near = [i for i in pauses if abs(lesson.cues[i].at - at_ms) <= FIND_MS]
    if not near:
        raise _no_cue(f"there is no pause at {format_ms(at_ms)}", _nearest(lesson, at_ms, "pause", pauses))
    return min(near, key=lambda i: abs(lesson.cues[i].at - at_ms))


def _nearest(lesson: Lesson, at_ms: int, kind: str, among: Sequence[int]) -> str:
    """What to do where no cue of a kind is at a time."""
    if not among:
        return f"the lesson has no {kind}"
    index = min(among, key=lambda i: abs(lesson.cues[i].at - at_ms))
    cue = lesson.cues[index]
    holds = f" ({cue.show})" if cue.show else ""
    return f"the nearest {kind} is #{index + 1} at {format_ms(cue.at)}{holds}; `plyline edit DIR list` shows all"


def _no_cue(message: str, fix: str = "`plyline edit DIR list` shows all cues") -> LessonFileError:
    return LessonFileError.of("no-such-cue", message, fix=fix)


def _changed(lesson: Lesson, **changes: Any) -> Lesson:
    """A checked copy; what the models refuse is a LessonFileError (``bad-value``)."""
    try:
        return Lesson.model_validate({**{k: getattr(lesson, k) for k in Lesson.model_fields}, **changes})
    except ValidationError as error:
        raise _refused(error) from None


def _refused(error: ValidationError) -> LessonFileError:
    message, fix = complaint(error.errors(include_url=False)[0])
    return LessonFileError.of("bad-value", message, fix=fix)


def _with_cues(lesson: Lesson, cues: Sequence[CueSpec]) -> Lesson:
    return _changed(lesson, cues=tuple(sorted(cues, key=lambda cue: cue.at)))


def _replace(lesson: Lesson, index: int, **changes: Any) -> Lesson:
    """One cue changed, and from now on a person's."""
    cue = lesson.cues[index]
    data = {**{k: getattr(cue, k) for k in CueSpec.model_fields}, "by": "person", "sure": None, "runner_up": None}
    fresh = make_cue(**{**data, **changes})
    return _with_cues(lesson, [*lesson.cues[:index], fresh, *lesson.cues[index + 1 :]])


def make_cue(**values: Any) -> CueSpec:
    """A cue from its values; LessonFileError (``bad-value``) where they make none."""
    try:
        return CueSpec.model_validate(values, by_name=True)
    except ValidationError as error:
        raise _refused(error) from None


def make_mark(**values: Any) -> MarkSpec:
    """A mark from its values; LessonFileError (``bad-value``) where they make none."""
    try:
        return MarkSpec.model_validate(values, by_name=True)
    except ValidationError as error:
        raise _refused(error) from None


# -- cues
def add_cue(lesson: Lesson, cue: CueSpec) -> Lesson:
    """The lesson with one more cue, after those at the same time."""
    return _with_cues(lesson, [*lesson.cues, cue])


def move_cue(lesson: Lesson, index: int, at_ms: int) -> Lesson:
    """One cue at another time."""
    return _replace(lesson, index, at=at_ms)


def remove_cue(lesson: Lesson, index: int) -> Lesson:
    """The lesson without one cue. A follower's cue is remembered as rejected."""
    cue = lesson.cues[index]
    less = _with_cues(lesson, [*lesson.cues[:index], *lesson.cues[index + 1 :]])
    if cue.by != "follow":
        return less
    rejected = (*lesson.follow.rejected, Rejected(at=cue.at, show=cue.show))
    return _changed(less, follow=lesson.follow.model_copy(update={"rejected": rejected}))


def lock_cue(lesson: Lesson, index: int, *, lock: bool = True) -> Lesson:
    """A cue that a new follow must keep (or need not any more)."""
    cue = lesson.cues[index].model_copy(update={"lock": lock})
    return _with_cues(lesson, [*lesson.cues[:index], cue, *lesson.cues[index + 1 :]])


def set_show(lesson: Lesson, index: int, address: str) -> Lesson:
    """Another position for a cue, by address."""
    return _replace(lesson, index, show=address, fen=None)


def set_fen(lesson: Lesson, index: int, fen: str) -> Lesson:
    """A position of the teacher's own for a cue."""
    return _replace(lesson, index, show=None, fen=fen)


def set_think(lesson: Lesson, at_ms: int, seconds: float) -> Lesson:
    """A pause at a time: added, changed, or with 0 taken away."""
    index = _at(lesson, at_ms)
    if seconds == 0:
        index = find_pause(lesson, at_ms)
        cue = lesson.cues[index]
        if cue.show is None and cue.fen is None and not cue.marks:
            return remove_cue(lesson, index)
        return _replace(lesson, index, think=None)
    if index is None:
        return add_cue(lesson, make_cue(at=at_ms, think=seconds))
    return _replace(lesson, index, think=seconds)


def set_played(lesson: Lesson, at_ms: int, moves: str) -> Lesson:
    """Settles which moves of a game without a score the words at a time tell; ``none``, or with "" no longer."""
    settled = [told for told in lesson.reconstruct.played if told.at != at_ms]
    if lesson.score is not None:
        raise LessonFileError.of(
            "has-score", "the lesson has a score: there is nothing to work out", fix="change the moves in the score"
        )
    if moves.strip():
        settled.append(_told(at_ms, moves))
    elif len(settled) == len(lesson.reconstruct.played):
        raise LessonFileError.of(
            "no-such-move", f"nothing was settled at {format_ms(at_ms)}", fix="look into lesson.yaml"
        )
    settled.sort(key=lambda told: told.at)
    return _changed(lesson, reconstruct=lesson.reconstruct.model_copy(update={"played": tuple(settled)}))


def _told(at_ms: int, moves: str) -> Told:
    try:
        return Told(at=at_ms, moves=" ".join(moves.split()))
    except ValidationError as error:
        raise _refused(error) from None


def add_mark(lesson: Lesson, at_ms: int, mark: MarkSpec) -> Lesson:
    """One more mark at a time: on the cue there, else on a new cue."""
    index = _at(lesson, at_ms)
    if index is None:
        return add_cue(lesson, make_cue(at=at_ms, marks=(mark,)))
    return _replace(lesson, index, marks=(*lesson.cues[index].marks, mark))


def clear_marks(lesson: Lesson, index: int) -> Lesson:
    """A cue without its marks; a cue that had nothing else goes."""
    cue = lesson.cues[index]
    if not cue.marks:
        raise _no_cue(f"the cue at {format_ms(cue.at)} has no marks")
    if cue.show is None and cue.fen is None and cue.think is None:
        return remove_cue(lesson, index)
    return _replace(lesson, index, marks=())


def _at(lesson: Lesson, at_ms: int) -> int | None:
    """The last cue at exactly this time."""
    found = [i for i, cue in enumerate(lesson.cues) if cue.at == at_ms]
    return found[-1] if found else None


# -- the lesson
def set_title(lesson: Lesson, title: str) -> Lesson:
    return _changed(lesson, title=title)


def add_chapter(lesson: Lesson, at_ms: int, title: str) -> Lesson:
    """One more chapter of one's own; at the time of another it takes that one's place."""
    try:
        fresh = ChapterSpec(at=at_ms, title=title)
    except ValidationError as error:
        raise _refused(error) from None
    return set_chapters(lesson, [*(c for c in lesson.chapters.listed if c.at != at_ms), fresh])


def remove_chapter(lesson: Lesson, at_ms: int) -> Lesson:
    """The lesson without the chapter at a time. Raises LessonFileError (``no-such-chapter``)."""
    rest = [c for c in lesson.chapters.listed if c.at != at_ms]
    if len(rest) == len(lesson.chapters.listed):
        raise LessonFileError.of(
            "no-such-chapter",
            f"the lesson file has no chapter at {format_ms(at_ms)}",
            fix="`plyline edit DIR list` shows them; suggested chapters are changed by listing one's own",
        )
    return set_chapters(lesson, rest)


def set_chapters(lesson: Lesson, chapters: Sequence[ChapterSpec]) -> Lesson:
    """One's own chapters; an empty list lets them be suggested again."""
    listed = tuple(sorted(chapters, key=lambda c: c.at))
    return _changed(lesson, chapters=lesson.chapters.model_copy(update={"listed": listed}))


def shift_all(lesson: Lesson, by_ms: int, *, from_ms: int = 0) -> Lesson:
    """Everything at or after ``from_ms`` later (or, with a negative ``by_ms``, earlier) by the same time.

    For a recording that was cut or lengthened; a chapter at 0:00 stays. Raises LessonFileError
    (``before-start``, ``past-another``) rather than press two times together.
    """
    captions, settled, listed = lesson.captions, lesson.reconstruct.played, lesson.chapters.listed
    times = [c.at for c in lesson.cues] + [c.at for c in listed if c.at] + [told.at for told in settled]
    times += [label.at for label in captions.labels]
    times += [at for e in captions.edits for at in (e.at, e.until) if at is not None]
    if any(at >= from_ms and at + by_ms < 0 for at in times):
        raise LessonFileError.of(
            "before-start", f"that would put {format_ms(min(t for t in times if t >= from_ms))} before the start"
        )
    stay = [at for at in times if at < from_ms]
    go = [at + by_ms for at in times if at >= from_ms]
    if stay and go and min(go) < max(stay):
        raise LessonFileError.of(
            "past-another",
            f"that would carry what is at {format_ms(min(go) - by_ms)} past what is at {format_ms(max(stay))}",
            fix="shift by less, or remove what lies between",
        )

    def moved(items: Iterable[Timed]) -> tuple[Timed, ...]:
        changed = []
        for item in items:
            ends = {key: getattr(item, key, None) for key in ("at", "until")}
            late = {key: max(0, at + by_ms) for key, at in ends.items() if at is not None and at >= from_ms}
            changed.append(item.model_copy(update=late))
        return tuple(changed)

    return _changed(
        lesson,
        cues=moved(lesson.cues),
        chapters=lesson.chapters.model_copy(
            update={"listed": (*(c for c in listed if not c.at), *moved(c for c in listed if c.at))}
        ),
        follow=lesson.follow.model_copy(update={"rejected": moved(lesson.follow.rejected)}),
        reconstruct=lesson.reconstruct.model_copy(update={"played": moved(settled)}),
        captions=captions.model_copy(
            update={
                "labels": moved(captions.labels),
                "edits": moved(captions.edits),
                "refuse": moved(captions.refuse),
            }
        ),
        accept=moved(lesson.accept),
    )

"""A person's hand in the follower's cues, seen by comparing the lesson file with what the follower last wrote."""

from __future__ import annotations

from collections.abc import Sequence

from timeline.lesson import CueSpec, Lesson, Rejected

MOVED_MS = 10_000
"""A cue for the same position this near is the written one, moved."""


def adopt(lesson: Lesson, written: Sequence[CueSpec]) -> Lesson:
    """The lesson with hand-edited cues of the follower made a person's, and hand-removed ones rejected.

    ``written`` are the cues that the last follow wrote; empty when that is not
    known, and then nothing changes. A lesson from which all of them are gone
    was emptied to start again: nothing is rejected. Nothing changes either
    where another follow wrote the file (``from_another_follow``).
    """
    if not written or from_another_follow(lesson, written):
        return lesson
    known = set(map(_shown, written))
    cues = tuple(cue if cue.fixed or _shown(cue) in known else _persons(cue) for cue in lesson.cues)
    here = {_shown(cue) for cue in cues if not cue.fixed}
    fixed = [cue for cue in cues if cue.fixed]
    gone = [cue for cue in written if _shown(cue) not in here and not any(_stands_for(other, cue) for other in fixed)]
    if not here and not fixed:
        gone = []
    rejected = list(lesson.follow.rejected)
    for cue in gone:
        entry = Rejected(at=cue.at, show=cue.show)
        if entry not in rejected:
            rejected.append(entry)
    if cues == lesson.cues and len(rejected) == len(lesson.follow.rejected):
        return lesson
    follow = lesson.follow.model_copy(update={"rejected": tuple(rejected)})
    return lesson.model_copy(update={"cues": cues, "follow": follow})


def from_another_follow(lesson: Lesson, written: Sequence[CueSpec]) -> bool:
    """Whether a follow other than the last one here wrote the lesson: an earlier file brought back, or one from another
    machine. Told by how sure its cues are: a person's hand changes what a cue shows and says, not that."""
    known = {cue.sure for cue in written}
    return any(cue.sure not in known for cue in lesson.cues if not cue.fixed and cue.sure is not None)


def not_written_again(before: Lesson, after: Lesson) -> tuple[CueSpec, ...]:
    """The follower's unlocked cues of a lesson that another does not have just so."""
    kept = set(map(_shown, after.cues))
    return tuple(cue for cue in before.cues if not cue.fixed and _shown(cue) not in kept)


def _shown(cue: CueSpec) -> CueSpec:
    """What a cue shows and when, without the follower's evidence and whether it is locked."""
    return cue.model_copy(update={"sure": None, "said": None, "runner_up": None, "lock": False})


def _persons(cue: CueSpec) -> CueSpec:
    return cue.model_copy(update={"by": "person", "sure": None, "runner_up": None})


def _stands_for(fixed: CueSpec, written: CueSpec) -> bool:
    if fixed.at == written.at:
        return True
    return fixed.show is not None and fixed.show == written.show and abs(fixed.at - written.at) <= MOVED_MS

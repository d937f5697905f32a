"""What the follower found becomes cues of the lesson; what a person made or locked stays."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence

import chess

from timeline.follow.result import Ask, Follow
from timeline.lesson import CueSpec, Lesson, MarkSpec
from timeline.problems import AddressError
from timeline.score import Score
from timeline.tracks import MarkSpan
from timeline.transcript.words import Word

NEAR_MS = 1500
"""A follower's cue this near to a person's cue for the same position, or to a rejected one, is the same cue."""
TOGETHER_MS = 50
"""Cues this near are one moment for the eye: not two frames at 30 a second."""
ASK_NEAR_MS = 10_000
"""A person's think-pause this near to a question of the talk is the pause for that question."""
LEAST_HOLD_S = 1.0
"""A hold shorter than this looks like a fault of the film, not like a pause (our choice)."""
SAID_CHARS = 80

Place = tuple[int, str | None]


def merge_follow(lesson: Lesson, follow: Follow, words: Sequence[Word] = (), score: Score | None = None) -> Lesson:
    """The lesson with the follower's own unlocked cues replaced by what ``follow`` found.

    Fixed cues (a person's, or locked) stay as they are and win where both
    speak of the same moment. A question to the viewer becomes a think cue,
    shortened by the silence that the recording leaves there; marks become cue
    marks with ``for``. ``words`` give each cue the text that announces it;
    ``score`` lets two spellings of one address count as the same.
    """
    settings = lesson.follow
    name = _namer(score)
    fixed = [cue for cue in lesson.cues if cue.fixed]
    rejected = [(r.at, name(r.show)) for r in settings.rejected]
    made: list[CueSpec] = []
    if settings.cues:
        taken = [(c.at, name(c.show)) for c in fixed if c.show is not None] + rejected
        for found in follow.cues:
            place = (found.at_ms, name(found.address))
            if any(_one_moment(place, other) for other in taken):
                continue
            said = _said(words, found.first, found.last)
            made.append(
                CueSpec(
                    at=found.at_ms,
                    show=found.address,
                    by="follow",
                    sure=round(found.sure, 3),
                    said=said,
                    runner_up=found.runner_up,
                )
            )
        made = _without_repeats(made, fixed, name)
        made += _pauses(follow.asks, settings.think_s, [*fixed, *made], rejected)
    if settings.marks:
        made = _with_marks(made, follow.marks, [c.at for c in fixed if c.marks], rejected)
    # At one time a person's cue comes last, so that its position is the one that stands.
    cues = sorted([*made, *fixed], key=lambda cue: (cue.at, cue.fixed))
    return lesson.model_copy(update={"cues": tuple(cues)})


def _namer(score: Score | None) -> Callable[[str | None], str | None]:
    """One spelling for each position of the score."""

    def name(address: str | None) -> str | None:
        if address is None or score is None:
            return address
        try:
            return score.address(score.resolve(address))
        except AddressError:
            return address

    return name


def _one_moment(place: Place, other: Place) -> bool:
    apart = abs(place[0] - other[0])
    return apart <= (NEAR_MS if place[1] == other[1] else TOGETHER_MS if other[1] is not None else -1)


def _said(words: Sequence[Word], first: int, last: int) -> str | None:
    if first < 0 or first >= len(words):
        return None
    text = " ".join(word.text for word in words[first : last + 1])
    return text if len(text) <= SAID_CHARS else text[: SAID_CHARS - 1].rstrip() + "…"


def _without_repeats(
    made: Iterable[CueSpec], fixed: Iterable[CueSpec], name: Callable[[str | None], str | None]
) -> list[CueSpec]:
    """The made cues that change the position; the others would be clutter in the file."""
    kept: list[CueSpec] = []
    standing: str | None = "start"
    for cue in sorted([*made, *fixed], key=lambda c: (c.at, c.fixed)):
        if cue.fen is not None:
            standing = None
        elif cue.show is not None:
            shown = name(cue.show)
            if cue.by == "follow" and not cue.lock and shown != standing:
                kept.append(cue)
            standing = shown
    return kept


def _pauses(asks: Iterable[Ask], think_s: float, cues: Sequence[CueSpec], rejected: Sequence[Place]) -> list[CueSpec]:
    own = [c.at for c in cues if c.think is not None]
    shows = {c.at for c in cues if c.show is not None or c.fen is not None}
    refused = [at for at, show in rejected if show is None]
    pauses = []
    for ask in asks:
        hold_s = round(think_s - ask.spoken_pause_ms / 1000, 1)
        at = ask.at_ms
        if hold_s < LEAST_HOLD_S or any(abs(at - other) <= ASK_NEAR_MS for other in own):
            continue
        if any(abs(at - other) <= NEAR_MS for other in refused):
            continue
        while at in shows and at > 0:  # the pause must come before the answer is shown
            at -= 1
        pauses.append(CueSpec(at=at, think=hold_s, by="follow"))
    return pauses


def _with_marks(
    made: Sequence[CueSpec], marks: Iterable[MarkSpan], taken: Sequence[int], rejected: Sequence[Place]
) -> list[CueSpec]:
    groups: dict[int, list[MarkSpec]] = {}
    for mark in marks:
        if any(abs(mark.start_ms - at) <= NEAR_MS for at in taken):
            continue
        if any(abs(mark.start_ms - at) <= (NEAR_MS if show is None else TOGETHER_MS) for at, show in rejected):
            continue
        groups.setdefault(mark.start_ms, []).append(mark_spec(mark))
    cues = list(made)
    for index, cue in enumerate(cues):
        if cue.at in groups:
            cues[index] = cue.model_copy(update={"marks": tuple(groups.pop(cue.at))})
    return cues + [CueSpec(at=at, marks=tuple(specs), by="follow") for at, specs in groups.items()]


def mark_spec(mark: MarkSpan) -> MarkSpec:
    """A mark span as it is written in a cue."""
    names = [chess.square_name(square) for square in mark.squares]
    data = {"role": mark.role, "for": max(1, mark.end_ms - mark.start_ms)}
    data[mark.kind] = (" " if mark.kind == "square" else "-").join(names)
    return MarkSpec.model_validate(data)

"""Chapters found in the talk: where something new begins, and what to call it.

Every sentence start is a candidate. It is scored by the silence before it, by
the words that open it, and by what the board does there (the game begins, a
sideline is left or entered, the viewer is asked). The best set of candidates
is chosen at once, by dynamic programming, with a prior on chapter lengths.
The unit of the scores is a second of silence. The weights are ours: their
proportions were read off a logistic regression over sixteen lessons (those of
``tests/data/lessons`` among them), cost and length prior chosen on the same
and checked by leaving one lesson out.
"""

from __future__ import annotations

import math
import re
from bisect import bisect_left, bisect_right
from collections.abc import Sequence
from dataclasses import dataclass

from timeline.chapters.phrases import CLOSERS, OPENERS
from timeline.chapters.rules import LEAST_COUNT
from timeline.chapters.settings import ChapterSettings
from timeline.chapters.titles import Section, title_sections
from timeline.score import Score
from timeline.tracks import BoardTrack, Chapter
from timeline.transcript.words import Word

_OPENERS = tuple((re.compile(pattern), weight) for pattern, weight in OPENERS)
_SENTENCE_END = re.compile(r"[.?!…][\"')\]”’]*$")

PAUSE_MS = 350
"""A silence this long ends a sentence where the transcript has no punctuation."""
COST = 0.9
"""What a chapter must bring, in seconds of silence; higher gives fewer chapters."""
LENGTH_WEIGHT = 0.55
"""How strongly the typical length pulls."""
FIRST_SHARE = 0.45
"""The first chapter, before the game begins, is about this share of the typical length."""


@dataclass(frozen=True, slots=True)
class _Candidate:
    at_ms: int
    word: int
    score: float


def suggest_chapters(
    words: Sequence[Word],
    board: BoardTrack,
    score: Score,
    *,
    asks: Sequence[int] = (),
    settings: ChapterSettings | None = None,
    language: str = "en",
    mended: Sequence[str] = (),
) -> tuple[Chapter, ...]:
    """Suggested chapters in recording time, the first at 0; at least three where the length allows.

    ``board`` is the lesson's board track, ``asks`` the times (ms) at which the
    viewer is asked for a move. ``mended`` is the text of each word as
    corrected by the follower (default: as heard). The opening and summing-up
    phrases are English; in other languages silences and the board decide.
    """
    settings = settings or ChapterSettings()
    texts = list(mended) if mended else [word.text for word in words]
    end_ms = board.end_ms
    candidates = _candidates(words, texts, board, sorted(asks), english=language.lower().startswith("en"))
    least_ms = max(1, math.ceil(settings.least_s * 1000))
    starts = _choose(candidates, end_ms, least_ms, 1000 * (settings.typical_s or typical_s(end_ms)))
    while len(starts) < LEAST_COUNT and end_ms >= LEAST_COUNT * least_ms:
        more = _split_longest(starts, candidates, end_ms, least_ms)
        if more is None:
            break
        starts = more
    ends = [*starts[1:], end_ms]
    onsets = [word.onset_ms for word in words]
    sections = []
    for start, end in zip(starts, ends, strict=True):
        said = slice(bisect_left(onsets, start if start else -1), bisect_left(onsets, end))
        sections.append(Section(start, end, tuple(texts[said]), tuple(onsets[said])))
    titles = title_sections(sections, board, score, sorted(asks), english=language.lower().startswith("en"))
    return tuple(Chapter(start, title) for start, title in zip(starts, titles, strict=True))


def typical_s(end_ms: int) -> float:
    """A chapter's usual length in seconds: a minute in five, growing with the square root, 45 to 120."""
    return min(120.0, max(45.0, 60.0 * math.sqrt(end_ms / 300_000)))


def _candidates(
    words: Sequence[Word], texts: Sequence[str], board: BoardTrack, asks: Sequence[int], *, english: bool
) -> list[_Candidate]:
    lower = [re.sub(r"[^\w'-]", "", text.lower()) for text in texts]
    timed = sum(word.confidence for word in words) / len(words) if words else 0.0
    game = _game_start(board)
    result = []
    for index in range(1, len(words)):
        before, word = words[index - 1], words[index]
        gap_ms = word.onset_ms - before.end_ms
        new_block = word.block != before.block
        if not (_SENTENCE_END.search(before.text) or gap_ms >= PAUSE_MS or new_block):
            continue
        value = min(gap_ms, 2200) / 1000
        if new_block and timed < 0.9:
            value += 0.3
        opening = " ".join(lower[index : index + 8])
        if english:
            value += max((weight for pattern, weight in _OPENERS if pattern.match(opening)), default=0.0)
            if CLOSERS.match(" ".join(lower[index : index + 10])) and word.onset_ms > board.end_ms * 0.7:
                value += 2.0
        value += _board_value(board, asks, game, word.onset_ms)
        result.append(_Candidate(word.onset_ms, index, value))
    return result


def _game_start(board: BoardTrack) -> int | None:
    """When the first move is shown."""
    return next((span.start_ms for span in board.spans if span.path), None)


def _board_value(board: BoardTrack, asks: Sequence[int], game: int | None, at: int) -> float:
    value = 0.0
    if game is not None and -400 <= game - at <= 3500:
        value += 1.5 - abs(game - at) / 3500
    before = board.at(max(0, at - 400))
    soon = board.at(min(board.end_ms - 1, at + 2500))
    if before.origin == "sideline" and soon.origin == "sideline":
        value -= 0.6
    near = asks[bisect_right(asks, at) : bisect_right(asks, at + 12_000)]
    if near:
        value += 0.1
    return value


def _choose(candidates: Sequence[_Candidate], end_ms: int, least_ms: int, typical_ms: float) -> list[int]:
    """Starts, 0 first, that bring most: a shortest-path over candidates in order of time."""
    points = [_Candidate(0, 0, 0.0), *(c for c in candidates if least_ms <= c.at_ms <= end_ms - least_ms)]
    best: list[float] = [0.0]
    back: list[int] = [0]

    def length_cost(start: int, length_ms: int) -> float:
        typical = typical_ms * (FIRST_SHARE if start == 0 else 1.0)
        return LENGTH_WEIGHT * math.log(length_ms / typical) ** 2

    for index in range(1, len(points)):
        options = [
            (best[k] - length_cost(points[k].at_ms, points[index].at_ms - points[k].at_ms), k)
            for k in range(index)
            if points[index].at_ms - points[k].at_ms >= least_ms
        ]
        value, origin = max(options)
        best.append(value + points[index].score - COST)
        back.append(origin)
    last = max(range(len(points)), key=lambda k: best[k] - length_cost(points[k].at_ms, end_ms - points[k].at_ms))
    chosen = []
    while last:
        chosen.append(points[last].at_ms)
        last = back[last]
    return [0, *reversed(chosen)]


def _split_longest(starts: list[int], candidates: Sequence[_Candidate], end_ms: int, least_ms: int) -> list[int] | None:
    """One more start: the best candidate in the longest stretch; its middle when the talk offers none."""
    ends = [*starts[1:], end_ms]
    start, end = max(zip(starts, ends, strict=True), key=lambda pair: pair[1] - pair[0])
    if end - start < 2 * least_ms:
        return None
    inside = [c for c in candidates if start + least_ms <= c.at_ms <= end - least_ms]
    at = max(inside, key=lambda c: c.score).at_ms if inside else (start + end) // 2
    return sorted([*starts, at])

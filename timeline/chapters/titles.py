"""Titles for sections of a talk, made from what they are about; never the speaker's sentences."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import chess

from timeline.chapters.openings import opening_of
from timeline.chapters.phrases import CLOSERS, THEMES, WEAK_THEMES
from timeline.chapters.rules import MOST_TITLE_CHARS
from timeline.score import Score
from timeline.tracks import BoardSpan, BoardTrack

_THEMES = tuple((re.compile(rf"\b(?:{pattern})\b"), title) for pattern, title in THEMES)

LATE = 0.7
"""From this share of a section on its end is near."""
IN_SIDELINE, IN_SIDELINES, AT_THE_END = 0.3, 0.5, 0.5
"""Weights of a theme mentioned in a sideline in passing, in a section that is mostly sidelines, and near the end (our
choice): below .6 in all it gives no title."""


@dataclass(frozen=True, slots=True)
class Section:
    """A stretch of the talk in recording time, ms, its words, and when they begin."""

    start_ms: int
    end_ms: int
    words: tuple[str, ...]
    onsets_ms: tuple[int, ...] = ()

    @property
    def text(self) -> str:
        return " ".join(re.sub(r"[^\w' -]", "", word.lower()) for word in self.words)


@dataclass(frozen=True)
class _Talk:
    """What titles are made from."""

    sections: Sequence[Section]
    board: BoardTrack
    score: Score
    asks: Sequence[int]
    themes: Sequence[Sequence[str]]
    english: bool

    @cached_property
    def game_ms(self) -> int | None:
        """When the first move is shown."""
        return next((span.start_ms for span in self.board.spans if span.path), None)

    @cached_property
    def opening(self) -> tuple[str, int] | None:
        return opening_of(self.score)


def title_sections(
    sections: Sequence[Section], board: BoardTrack, score: Score, asks: Sequence[int], *, english: bool
) -> list[str]:
    """A title for each section, all different, at most 60 characters, first letter capital."""
    talk = _Talk(sections, board, score, asks, _themes(sections, board) if english else [()] * len(sections), english)
    titles: list[str] = []
    for index in range(len(sections)):
        options = [_cut(title[:1].upper() + title[1:]) for title in _options(talk, index)]
        fresh = next((title for title in options if title not in titles), None)
        count = 2
        while fresh is None:
            numbered = f"{options[-1]} ({count})"
            fresh = None if numbered in titles else numbered
            count += 1
        titles.append(fresh)
    return titles


def _cut(title: str) -> str:
    """At most 60 characters, ended at a word, without a dangling comma."""
    if len(title) <= MOST_TITLE_CHARS:
        return title
    return title[: MOST_TITLE_CHARS + 1].rsplit(" ", 1)[0].rstrip(" ,:;-")[:MOST_TITLE_CHARS]


def _options(talk: _Talk, index: int) -> Iterator[str]:
    """Titles in order of preference; the last one always applies."""
    section, board, score = talk.sections[index], talk.board, talk.score
    themes = talk.themes[index]
    set_up = score.start.fen() != chess.STARTING_FEN
    last = index == len(talk.sections) - 1
    game_ms = talk.game_ms
    begins = game_ms is not None and section.start_ms - 500 <= game_ms < section.end_ms
    if index == 0 and (game_ms is None or game_ms > 8000):
        yield "The position" if set_up else "Introduction"
    if talk.english and last and any(CLOSERS.match(sentence) for sentence in _sentences(section)):
        yield "What to remember"
    if begins and not set_up:
        named = talk.opening is not None and _reached(board, talk.opening[1], section)
        yield f"The opening: {talk.opening[0]}" if named and talk.opening else "The opening"
    strong = [theme for theme in themes if theme not in WEAK_THEMES]
    if strong:
        yield strong[0]
    sideline = _sideline(board, score, section)
    asked = talk.asks[bisect_left(talk.asks, section.start_ms) : bisect_left(talk.asks, section.end_ms)]
    if asked and asked[0] - section.start_ms <= 20_000:
        side = "White" if board.at(asked[0]).fen.split()[1] == "w" else "Black"
        yield f"{side} to move: your turn"
    if sideline and sideline[1] > 0.5 * (section.end_ms - section.start_ms):
        yield f"The try {sideline[0]}"
    yield from themes
    if last and score.moves and _ends_game(board, score, section):
        yield "The end of the game"
    moves = _moves(board, score, section)
    if moves:
        yield moves
    if sideline:
        yield f"The try {sideline[0]}"
    if index and not last and board.at(section.start_ms).path:
        yield f"Position after {_last_move(board.at(section.start_ms), score)}"
    yield "First moves" if begins else "Introduction" if index == 0 else "The last word" if last else "The position"


def _sentences(section: Section) -> list[str]:
    texts: list[str] = []
    sentence: list[str] = []
    for word in section.words:
        sentence.append(re.sub(r"[^\w'-]", "", word.lower()))
        if word[-1:] in ".?!":
            texts.append(" ".join(sentence))
            sentence = []
    return [*texts, " ".join(sentence)]


def _themes(sections: Sequence[Section], board: BoardTrack) -> list[list[str]]:
    """For each section the themes that are more its own than the other sections', best first."""
    said = [{title: _places(pattern, section) for pattern, title in _THEMES} for section in sections]
    totals = {title: sum(len(places[title]) for places in said) for _, title in _THEMES}
    counts = [
        {title: sum(_weight(section, board, place) for place in found) for title, found in places.items()}
        for section, places in zip(sections, said, strict=True)
    ]
    result = []
    for count in counts:
        scored = []
        for title, here in count.items():
            if here:
                share = here / totals[title]
                scored.append((share * min(here, 4) * (0.5 if title in WEAK_THEMES else 1.0), title))
        scored.sort(key=lambda pair: (-pair[0], pair[1]))
        result.append([title for value, title in scored if value >= 0.6])
    return result


def _places(pattern: re.Pattern[str], section: Section) -> list[int]:
    return [found.start() for found in pattern.finditer(section.text)]


def _weight(section: Section, board: BoardTrack, place: int) -> float:
    """What a theme's words, at a place in the section's text, say of the whole section: little where they belong to a
    sideline, or where the section is nearly over (the next one may be about it)."""
    if not section.onsets_ms:
        return 1.0
    at_ms = section.onsets_ms[section.text.count(" ", 0, place)]
    late = at_ms > section.start_ms + LATE * (section.end_ms - section.start_ms)
    span = board.at(min(at_ms, board.end_ms - 1))
    weight = 1.0
    if span.origin == "sideline":
        weight = IN_SIDELINES if _mostly_sidelines(board, section) else IN_SIDELINE
    return weight * (AT_THE_END if late else 1.0)


def _mostly_sidelines(board: BoardTrack, section: Section) -> bool:
    inside = (
        min(span.end_ms, section.end_ms) - max(span.start_ms, section.start_ms)
        for span in board.spans
        if span.origin == "sideline"
    )
    return 2 * sum(ms for ms in inside if ms > 0) > section.end_ms - section.start_ms


def _shown(board: BoardTrack, section: Section) -> list[BoardSpan]:
    """Spans that begin in the section."""
    return [s for s in board.spans if section.start_ms - 500 <= s.start_ms < section.end_ms - 500]


def _reached(board: BoardTrack, ply: int, section: Section) -> bool:
    """Whether the game is shown as far as ``ply`` within the section."""
    return any(len(s.path) >= ply and s.shared >= ply for s in _shown(board, section))


def _moves(board: BoardTrack, score: Score, section: Section) -> str | None:
    """``Moves 12 to 18``, from the game's moves shown in the section; a glance back or ahead does not count."""
    plies = _steadily([len(s.path) for s in _shown(board, section) if s.origin == "score" and s.path])
    if not plies:
        return None
    first, last = (score.boards[ply - 1].fullmove_number for ply in (min(plies), max(plies)))
    return f"Move {first}" if first == last else f"Moves {first} to {last}"


def _steadily(plies: Sequence[int]) -> list[int]:
    """The longest run of plies, not next to each other by need, that never goes back."""
    runs: list[list[int]] = []
    for ply in plies:
        before = max((run for run in runs if run[-1] <= ply), key=len, default=[])
        runs.append([*before, ply])
    return max(runs, key=len, default=[])


def _ends_game(board: BoardTrack, score: Score, section: Section) -> bool:
    return any(s.origin == "score" and len(s.path) == len(score.moves) for s in _shown(board, section))


def _sideline(board: BoardTrack, score: Score, section: Section) -> tuple[str, int] | None:
    """The section's longest try off the game as ``14...Nxd5``, and how long (ms) such tries are on the board."""
    tries: dict[tuple[str, ...], int] = {}
    total = 0
    for span in board.spans:
        if span.origin != "sideline":
            continue
        inside = min(span.end_ms, section.end_ms) - max(span.start_ms, section.start_ms)
        if inside > 0:
            key = span.path[: span.shared + 1]
            tries[key] = tries.get(key, 0) + inside
            total += inside
    if not tries:
        return None
    path = max(tries, key=lambda key: (tries[key], key))
    return _move(score.boards[len(path) - 1], path[-1]), total


def _last_move(span: BoardSpan, score: Score) -> str:
    before = score.board_at([chess.Move.from_uci(uci) for uci in span.path[:-1]])
    return _move(before, span.path[-1])


def _move(before: chess.Board, uci: str) -> str:
    """``14...Nxd5``."""
    dots = "." if before.turn else "..."
    return f"{before.fullmove_number}{dots}{before.san(chess.Move.from_uci(uci))}"

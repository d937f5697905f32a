"""Talks and captions made on the spot."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from timeline.captions.build import CaptionResult, build_captions
from timeline.captions.settings import CaptionSettings
from timeline.captions.units import Unit
from timeline.follow import follow_words
from timeline.score import Score, read_score
from timeline.timemap import TimeMap
from timeline.transcript.words import Timing, Word

WORD_MS, SPACE_MS, PAUSE_MS = 300, 20, 500


def words_of(text: str, *, start_ms: int = 500, word_ms: int = WORD_MS, timing: Timing = Timing.ALIGNED) -> list[Word]:
    """Words one after the other, a pause after each sentence; ``/`` is a pause of a second, ``ANNA:`` a speaker."""
    words, now, speaker, block = [], start_ms, None, 0
    for token in text.split():
        if token == "/":
            now += 1000
            block += 1
        elif token.endswith(":") and token[:-1].isupper():
            speaker = token[:-1].title()
        else:
            words.append(Word(token, now, now + word_ms, timing=timing, block=block, speaker=speaker))
            now += word_ms + SPACE_MS + (PAUSE_MS if token.endswith((".", "?", "!")) else 0)
    return words


def units_of(text: str, **options: Any) -> list[Unit]:
    """Units as they come from a talk without corrections."""
    return [Unit(w.text, k, k, w.onset_ms, w.end_ms, w.speaker) for k, w in enumerate(words_of(text, **options))]


def caption(
    text: str | Sequence[Word],
    pgn: str | Score = "",
    *,
    language: str = "en",
    glossary: dict[str, str] | None = None,
    names: Sequence[str] = (),
    end_ms: int | None = None,
    timemap: TimeMap | None = None,
    **settings: Any,
) -> CaptionResult:
    """The text followed over the score, where there is one, and captioned."""
    words = words_of(text) if isinstance(text, str) else list(text)
    score = pgn if isinstance(pgn, Score) else read_score(pgn) if pgn else None
    follow = follow_words(words, score) if score and words else None
    return build_captions(
        words,
        follow,
        score,
        settings=CaptionSettings.model_validate(settings),
        language=language,
        glossary=glossary,
        names=names,
        end_ms=end_ms or (words[-1].end_ms + 2000 if words else 5000),
        board_changes_ms=[c.at_ms for c in follow.cues] if follow else (),
        timemap=timemap,
    )


def plain(result: CaptionResult) -> str:
    """All captions as one line."""
    return " ".join(c.text.replace("\n", " ") for c in result.captions)

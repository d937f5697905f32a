"""Words with times: what every transcript reader gives and the follower takes."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Timing(StrEnum):
    """How a word's time is known, best first."""

    WORD = "word"  # the transcript itself times each word
    ALIGNED = "aligned"  # forced alignment to the sound
    SNAPPED = "snapped"  # spread by duration, then moved to the sound's silences
    CAPTION = "caption"  # spread inside a caption of a few seconds
    BLOCK = "block"  # spread inside a stamped paragraph


@dataclass(frozen=True, slots=True)
class Word:
    """One spoken word.

    ``text`` is as heard by the recogniser, with its case and punctuation, and
    holds no white space. Times are whole milliseconds from the recording's
    start, ``end_ms >= onset_ms``. ``confidence`` in [0, 1] says how far the
    *timing* can be trusted (1.0: within some 50 ms). ``block`` numbers the
    transcript's block (paragraph, caption, segment) from 0.
    """

    text: str
    onset_ms: int
    end_ms: int
    confidence: float = 1.0
    timing: Timing = Timing.WORD
    block: int = 0
    speaker: str | None = None


@dataclass(frozen=True, slots=True)
class Block:
    """A stretch of transcript with one start and (maybe estimated) end, in ms."""

    start_ms: int
    end_ms: int
    text: str
    line: int = 0
    speaker: str | None = None


@dataclass(frozen=True, slots=True)
class Sound:
    """Something marked in the transcript that is not spoken: applause, laughter, music, words not understood.

    ``text`` is what a label says (no brackets), ``heard`` how the file has it,
    in line ``line`` (0: the format has no lines). It stands before the word
    number ``before``. ``at_ms`` and ``end_ms`` (ms of the recording) where the
    file says when. ``unclear``: it stands for words that nobody understood.
    """

    text: str
    heard: str
    at_ms: int | None
    end_ms: int | None
    before: int
    line: int = 0
    unclear: bool = False


@dataclass(frozen=True, slots=True)
class Transcript:
    """All words in order, and the blocks they came from. ``kind`` names the reader."""

    words: tuple[Word, ...]
    blocks: tuple[Block, ...]
    kind: str
    sounds: tuple[Sound, ...] = ()

    @property
    def end_ms(self) -> int:
        return self.words[-1].end_ms if self.words else 0

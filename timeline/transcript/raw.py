"""What a format's reader gives before anybody has judged order, overlap and length."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import NoReturn

from timeline.problems import Finding, Severity, TranscriptError

LONGEST_MS = 360_000_000
"""100 hours: a time beyond this is a slip of the pen, not a lesson."""


@dataclass(frozen=True, slots=True)
class RawWord:
    """One word of a file that times words. ``confidence`` is the recogniser's own, in [0, 1]."""

    text: str
    onset_ms: int | None
    end_ms: int | None = None
    confidence: float | None = None


@dataclass(frozen=True, slots=True)
class RawBlock:
    """A stamped stretch as it stands in the file, markup already taken off.

    ``lines`` keep the file's line breaks (rolling captions are told by them).
    ``end_ms`` is None where the format has none. ``line`` counts from 1.
    ``words`` is empty where the format times blocks only. ``turns``: another
    speaker begins with the word of that number (sounds not counted).
    """

    start_ms: int
    end_ms: int | None
    lines: tuple[str, ...]
    line: int = 0
    speaker: str | None = None
    words: tuple[RawWord, ...] = ()
    turns: tuple[tuple[int, str], ...] = ()

    @property
    def text(self) -> str:
        return " ".join(self.lines)


@dataclass(slots=True)
class Source:
    """The file being read: its name for messages, and the findings so far.

    ``rough``: the file says itself that its word times are only rough.
    ``declared``: speakers' names that the lesson file gives.
    """

    name: str
    rows: list[str] = field(default_factory=list)
    rough: bool = False
    declared: tuple[str, ...] = ()
    findings: list[Finding] = field(default_factory=list)

    def fail(self, code: str, message: str, *, line: int | None = None, fix: str, at_ms: int | None = None) -> NoReturn:
        """Stop: the file cannot be used as it is."""
        raise TranscriptError.of(code, message, file=self.name, line=line, source=self._row(line), fix=fix, at_ms=at_ms)

    def warn(
        self, code: str, message: str, *, line: int | None = None, fix: str | None = None, at_ms: int | None = None
    ) -> None:
        self.findings.append(
            Finding(
                code, message, Severity.WARNING, file=self.name, line=line, source=self._row(line), fix=fix, at_ms=at_ms
            )
        )

    def _row(self, line: int | None) -> str | None:
        if line is None or not 0 < line <= len(self.rows):
            return None
        return "".join(c if c.isprintable() else " " for c in self.rows[line - 1][:300])


def sentences(words: Sequence[RawWord]) -> list[RawBlock]:
    """One block a sentence (or at most 40 words), for files that list words and nothing else.

    The first word must have an onset.
    """
    blocks: list[RawBlock] = []
    run: list[RawWord] = []
    for word in words:
        ended = run and (len(run) >= 40 or run[-1].text.rstrip("\"'”’)")[-1:] in (".", "?", "!"))
        if ended and word.onset_ms is not None:
            blocks.append(_block_of(run))
            run = []
        run.append(word)
    return [*blocks, _block_of(run)] if run else blocks


def _block_of(run: Sequence[RawWord]) -> RawBlock:
    start = next(w.onset_ms for w in run if w.onset_ms is not None)
    return RawBlock(start, run[-1].end_ms, (" ".join(w.text for w in run),), 0, None, tuple(run))


Reader = Callable[[str, Source], list[RawBlock]]

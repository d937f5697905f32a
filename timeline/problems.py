"""What can be wrong: findings are values, errors carry them.

PlylineError              anything a user can mend; the command line prints it and exits with 2
|-- LessonFileError       lesson.yaml
|-- ScoreError            the PGN
|-- AddressError          an address that leads nowhere
|-- TranscriptError       the transcript
|-- RecordingError        the sound or film
`-- OutputError           writing results (disk full, locked by another run)
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from enum import StrEnum
from typing import Any, Self


class Severity(StrEnum):
    ERROR = "error"
    WARNING = "warning"
    NOTE = "note"


@dataclass(frozen=True, slots=True)
class Finding:
    """One result of looking at something a person wrote, said or recorded.

    ``code`` is a stable kebab-case name. ``line`` and ``column`` count from 1.
    ``at_ms`` is a time in the recording, whole milliseconds. ``sure`` is a
    probability in [0, 1]. ``fix`` says what to type or change.
    """

    code: str
    message: str
    severity: Severity = Severity.ERROR
    file: str | None = None
    line: int | None = None
    column: int | None = None
    source: str | None = None
    fix: str | None = None
    at_ms: int | None = None
    end_ms: int | None = None
    address: str | None = None
    said: str | None = None
    actual: str | None = None
    sure: float | None = None
    accepted: str | None = None
    extra: dict[str, Any] = field(default_factory=dict)

    @property
    def place(self) -> str:
        """Where: ``file:line:column``, a time, or both; empty if unknown."""
        parts = []
        if self.file is not None:
            parts.append(":".join(str(p) for p in (self.file, self.line, self.column) if p is not None))
        if self.at_ms is not None:
            from timeline.timecode import format_ms

            parts.append(format_ms(self.at_ms))
        return " at ".join(parts)

    def __str__(self) -> str:
        head = f"{self.place}: " if self.place else ""
        text = f"{head}{self.severity}[{self.code}]: {self.message}"
        if self.source is not None:
            first = max(0, (self.column or 1) - 50)
            text += f"\n    {self.source[first : first + 90]}"
            if self.column is not None:
                text += "\n    " + " " * (self.column - 1 - first) + "^"
        if self.fix:
            text += f"\n  mend: {self.fix}"
        return text


class PlylineError(Exception):
    """Something the user can mend. ``findings`` holds at least one."""

    def __init__(self, *findings: Finding) -> None:
        super().__init__("\n".join(str(f) for f in findings))
        self.findings: tuple[Finding, ...] = findings

    @classmethod
    def of(cls, code: str, message: str, **where: Any) -> Self:
        """One error finding, raised as this class."""
        return cls(Finding(code, message, **where))


class LessonFileError(PlylineError):
    """lesson.yaml cannot be used."""


class ScoreError(PlylineError):
    """The PGN cannot be used."""


class AddressError(PlylineError):
    """An address does not lead to a position of this score."""


class TranscriptError(PlylineError):
    """The transcript cannot be used."""


class RecordingError(PlylineError):
    """The recording cannot be used."""


class OutputError(PlylineError):
    """A result could not be written."""


def worst(findings: Iterable[Finding]) -> Severity | None:
    """The gravest severity among findings that are not accepted; None if there are none."""
    order = [Severity.NOTE, Severity.WARNING, Severity.ERROR]
    ranks = [order.index(f.severity) for f in findings if f.accepted is None]
    return order[max(ranks)] if ranks else None

"""Reading a transcript in a test: what is read, what is warned of, what is refused."""

from __future__ import annotations

from pathlib import Path

import pytest

from timeline.problems import Severity, TranscriptError
from timeline.transcript.read import read_transcript
from timeline.transcript.words import Transcript


def read(text: str, name: str = "talk.txt", end_ms: int | None = None) -> Transcript:
    return read_transcript(text, name=name, suffix=Path(name).suffix, end_ms=end_ms)[0]


def warnings(text: str, name: str = "talk.txt", end_ms: int | None = None) -> list[str]:
    found = read_transcript(text, name=name, suffix=Path(name).suffix, end_ms=end_ms)[1]
    assert all(f.severity is Severity.WARNING and f.file == name for f in found)
    return [f.code for f in found]


def refused(text: str, name: str = "talk.txt", end_ms: int | None = None):
    with pytest.raises(TranscriptError) as caught:
        read(text, name, end_ms)
    finding = caught.value.findings[0]
    assert finding.file == name
    assert finding.fix
    return finding


def texts(transcript: Transcript) -> list[str]:
    return [w.text for w in transcript.words]


def starts(transcript: Transcript) -> list[int]:
    return [b.start_ms for b in transcript.blocks]


def caption(start: str, end: str, body: str, number: object = 1) -> str:
    return f"{number}\n{start} --> {end}\n{body}\n\n"

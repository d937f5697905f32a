"""What is marked in a transcript and not spoken, parted from the words before anybody follows them."""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass, replace

from timeline.problems import Finding, Severity
from timeline.timecode import format_ms
from timeline.transcript.markup import words_of
from timeline.transcript.raw import RawBlock, Source
from timeline.transcript.soundmarks import MARK, Kind, kind_of, mark_of
from timeline.transcript.words import Sound, Transcript

_MOST_SHOWN = 3


@dataclass(frozen=True, slots=True)
class Parted:
    """A mark as the file has it: ``after`` words of its block stand before it; ``number`` is that block's."""

    heard: str
    text: str
    kind: Kind
    number: int
    after: int
    at_ms: int | None
    end_ms: int | None


def part_sounds(blocks: Sequence[RawBlock], source: Source) -> tuple[list[RawBlock], list[Parted]]:
    """The blocks with their words alone, and the marks. What says nothing is left out with a note."""
    found: list[Parted] = []
    spoken: list[RawBlock] = []
    wordless: list[RawBlock] = []
    for number, block in enumerate(blocks):
        marks = _marks(block, number)
        found += marks
        rest = _without(block) if marks else block
        spoken.append(rest)
        if not marks and rest.text.strip() and not (rest.words or words_of(rest.text)):
            wordless.append(rest)
    lost = [(m.heard, blocks[m.number]) for m in found if m.kind is Kind.NOTHING]
    _tell(source, "marks-left-out", "marks that nothing is said are left out", lost)
    _tell(source, "block-without-words", "blocks hold no word and are left out", [(b.text, b) for b in wordless])
    return spoken, [m for m in found if m.kind is not Kind.NOTHING]


def with_sounds(transcript: Transcript, parted: Sequence[Parted], blocks: Sequence[RawBlock]) -> Transcript:
    """The transcript with its sounds, each before the word that it stands before in the file."""
    starts = [transcript.blocks[word.block].start_ms for word in transcript.words]
    sounds = []
    for mark in parted:
        block = blocks[mark.number]
        following = next((b.start_ms for b in blocks[mark.number + 1 :] if b.start_ms > block.start_ms), None)
        last = len(starts) if following is None else bisect_left(starts, following)
        before = min(bisect_left(starts, block.start_ms) + mark.after, last)
        sounds.append(
            Sound(mark.text, mark.heard, mark.at_ms, mark.end_ms, before, block.line, mark.kind is Kind.UNCLEAR)
        )
    return replace(transcript, sounds=tuple(sounds))


def _marks(block: RawBlock, number: int) -> list[Parted]:
    found: list[Parted] = []
    rows = [(w.text, w.onset_ms, w.end_ms) for w in block.words] or [(w, None, None) for w in words_of(block.text)]
    alone = all(MARK.fullmatch(text) for text, *_ in rows)
    after = 0
    for text, onset, end in rows:
        if not MARK.fullmatch(text):
            after += 1
            continue
        heard, shown = mark_of(text)
        kind = kind_of(heard) or Kind.SOUND
        if onset is None and after == 0:  # it begins with its block; alone, it has all its time
            onset, end = block.start_ms, block.end_ms if alone else None
        found.append(Parted(heard, shown, kind, number, after, onset, end))
    return found


def _without(block: RawBlock) -> RawBlock:
    words = tuple(w for w in block.words if not MARK.fullmatch(w.text))
    if not any(w.onset_ms is not None for w in words):
        words = ()
    lines = tuple(" ".join(MARK.sub(" ", line).split()) for line in block.lines)
    return replace(block, lines=tuple(line for line in lines if line), words=words)


def _tell(source: Source, code: str, what: str, places: Sequence[tuple[str, RawBlock]]) -> None:
    if not places:
        return
    shown = ", ".join(f"{text[:40]!r} at {format_ms(block.start_ms)}" for text, block in places[:_MOST_SHOWN])
    more = f" and {len(places) - _MOST_SHOWN} more" if len(places) > _MOST_SHOWN else ""
    first = places[0][1]
    source.findings.append(
        Finding(
            code,
            f"{what}: {shown}{more}",
            Severity.NOTE,
            file=source.name,
            line=first.line or None,
            at_ms=first.start_ms,
            fix="if something is said there, write its words into the transcript",
        )
    )

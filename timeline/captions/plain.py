"""The transcript as plain text: paragraphs with the time they begin, as the captions read."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from timeline.captions.songs import run_on
from timeline.captions.units import ends_sentence
from timeline.captions.writers import About, caption_writer
from timeline.timecode import format_clock
from timeline.tracks import Caption

_LONG_CHARS, _LONGEST_CHARS = 320, 900
_SILENCE_MS = 1200


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Sentences that belong together. ``start_ms`` of the first caption, ``end_ms`` of the last."""

    start_ms: int
    end_ms: int
    text: str
    speaker: str | None


@caption_writer(".txt")
def write_transcript(captions: Sequence[Caption], about: About) -> str:
    """Title, then ``[m:ss] paragraph`` blocks with a blank line between. Line breaks of captions are lost."""
    head = [about.title, ""] if about.title else []
    blocks = [
        f"[{format_clock(p.start_ms)}] {p.text}\n" for p in paragraphs(captions, [c.start_ms for c in about.chapters])
    ]
    return "\n".join([*head, *blocks])


def paragraphs(captions: Sequence[Caption], borders_ms: Sequence[int] = ()) -> list[Paragraph]:
    """Captions joined to paragraphs: a new one at a border (a chapter), a speaker, or a sentence's end when it is long."""
    found: list[Paragraph] = []
    begun: list[Caption] = []
    waiting = sorted(borders_ms)

    def close() -> None:
        if begun:
            text = run_on([c.text.replace("\n", " ") for c in begun])
            found.append(Paragraph(begun[0].start_ms, begun[-1].end_ms, text, begun[0].speaker))
            begun.clear()

    for caption in captions:
        passed = [b for b in waiting if b <= caption.start_ms + 500]
        waiting = waiting[len(passed) :]
        if begun:
            length = sum(len(c.text) for c in begun)
            done = ends_sentence(begun[-1].text)
            silent = caption.start_ms - begun[-1].end_ms >= _SILENCE_MS
            if (
                passed
                or caption.speaker != begun[-1].speaker
                or length > _LONGEST_CHARS
                or (done and (length > _LONG_CHARS or (silent and length > _LONG_CHARS // 3)))
            ):
                close()
        begun.append(caption)
    close()
    return found

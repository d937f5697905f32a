"""The finished MP4: pictures from the parts, sound, soft captions, chapters, title; index in front."""

from __future__ import annotations

import heapq
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import av

from overlays.captiontrack import add_captions, caption_packets
from overlays.parts import packets

if TYPE_CHECKING:
    from av.container import OutputContainer
    from av.stream import Stream

    from overlays.packets import AnyPacket
    from timeline.tracks import Caption, Chapter

MOST_CHAPTERS = 255
TITLE_BYTES = 255
"""The chapter list of MP4 files counts in one byte, and so does a title's length."""

SoundPackets = Callable[["OutputContainer"], tuple["Stream", Iterator["AnyPacket"]]]
"""Adds the sound's stream to a container and gives its packets, in order."""


@dataclass(frozen=True, slots=True)
class FilmText:
    """What is written into the file: film times in ms. ``language`` as in BCP 47."""

    title: str
    artist: str | None
    language: str
    chapters: Sequence[Chapter]
    captions: Sequence[Caption]
    end_ms: int


def write_mp4(
    path: Path, parts: Sequence[tuple[int, Path]], rate: Fraction, text: FilmText, sound: SoundPackets | None
) -> None:
    """Join film parts (each with the number of its first frame) and everything else into one MP4 file."""
    with av.open(str(parts[0][1])) as template:
        container = av.open(str(path), "w", format="mp4", options={"movflags": "+faststart"})
        try:
            video = container.add_stream_from_template(template.streams.video[0])
            video.time_base = 1 / rate
            streams: list[Iterable[AnyPacket]] = [_shifted(parts, video, rate)]
            language = iso_639_2(text.language)
            if sound is not None:
                stream, sound_packets = sound(container)
                stream.metadata["language"] = language
                streams.append(sound_packets)
            if text.captions:
                captions = add_captions(container)
                captions.metadata["language"] = language
                streams.append(caption_packets(captions, text.captions))
            container.metadata["title"] = text.title
            if text.artist:
                container.metadata["artist"] = text.artist
            container.set_chapters(_chapters(text))
            container.start_encoding()
            for packet in heapq.merge(*streams, key=_time):
                container.mux(packet)
        finally:
            container.close()


def _time(packet: AnyPacket) -> Fraction:
    return (packet.dts or 0) * packet.time_base


def _shifted(parts: Iterable[tuple[int, Path]], stream: Stream, rate: Fraction) -> Iterator[AnyPacket]:
    """Packets of all parts in frames of the whole film."""
    zero = None
    for first, path in parts:
        zero = first if zero is None else zero
        for packet in packets(path):
            assert packet.pts is not None
            assert packet.dts is not None
            packet.pts = first - zero + round(packet.pts * packet.time_base * rate)
            packet.dts = first - zero + round(packet.dts * packet.time_base * rate)
            packet.time_base = 1 / rate
            packet.duration = 1
            packet.stream = stream
            yield packet


def _chapters(text: FilmText) -> list[av.container.Chapter]:
    """Chapters from 0 to the end without holes: readers fill holes and move a late first one to 0."""
    starts: dict[int, str] = {}
    for chapter in text.chapters:
        starts.setdefault(max(0, chapter.start_ms) if starts else 0, chapter.title)
    ordered = [(start, title) for start, title in sorted(starts.items()) if start < text.end_ms][:MOST_CHAPTERS]
    ends = [*(start for start, _ in ordered[1:]), text.end_ms]
    return [
        {
            "id": number,
            "start": start,
            "end": end,
            "time_base": Fraction(1, 1000),
            "metadata": {"title": cut_title(title)},
        }
        for number, ((start, title), end) in enumerate(zip(ordered, ends, strict=False), 1)
    ]


def cut_title(title: str) -> str:
    """At most TITLE_BYTES of UTF-8, cut between characters.

    >>> len(cut_title("é" * 200).encode())
    254
    """
    return title.encode()[:TITLE_BYTES].decode(errors="ignore")


def iso_639_2(language: str) -> str:
    """The three-letter code that MP4 wants (ISO 639-2/T) for a BCP 47 tag; ``und`` when we do not know it.

    >>> iso_639_2("de-CH"), iso_639_2("fil"), iso_639_2("xx")
    ('deu', 'fil', 'und')
    """
    primary = language.partition("-")[0].lower()
    return primary if len(primary) == 3 else _THREE_LETTERS.get(primary, "und")


_PAIRS = (
    "ar ara bg bul ca cat cs ces cy cym da dan de deu el ell en eng eo epo es spa et est eu eus fa fas fi fin fr fra "
    "ga gle gl glg he heb hi hin hr hrv hu hun hy hye id ind is isl it ita ja jpn ka kat kk kaz ko kor la lat lt lit "
    "lv lav mk mkd mn mon ms msa nb nob nl nld nn nno no nor pl pol pt por ro ron ru rus sk slk sl slv sq sqi sr srp "
    "sv swe sw swa ta tam te tel th tha tr tur uk ukr ur urd uz uzb vi vie zh zho"
).split()
_THREE_LETTERS = dict(zip(_PAIRS[::2], _PAIRS[1::2], strict=True))

"""The film's sound stream: the recording's AAC packets where they fit as they are, else encoded anew."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import av

from overlays.sound import SoundForm, film_sound, sound_form
from timeline.problems import Finding, Severity
from timeline.recording import open_recording

if TYPE_CHECKING:
    from av.audio.stream import AudioStream
    from av.container import OutputContainer
    from av.stream import Stream

    from overlays.packets import AnyPacket
    from timeline.timemap import TimeMap

_BITS = {"mono": 96_000, "stereo": 160_000}
"""AAC-LC bits a second: transparent for speech by common practice."""
_LOOSE_S = Fraction(1, 20)


@dataclass
class SoundPlan:
    """How the film gets its sound. ``packets`` fits ``overlays.mux.write_mp4``."""

    recording: Path
    form: SoundForm
    timemap: TimeMap
    start: Fraction
    end: Fraction
    how: Literal["copied", "encoded"]
    findings: list[Finding] = field(default_factory=list)

    def packets(self, container: OutputContainer) -> tuple[Stream, Iterator[AnyPacket]]:
        """Add the stream and give its packets."""
        if self.how == "copied":
            return self._copied(container)
        stream = container.add_stream("aac", rate=self.form.rate, layout=self.form.layout)
        stream.bit_rate = _BITS[self.form.layout]
        return stream, self._encoded(stream)

    def _encoded(self, stream: AudioStream) -> Iterator[AnyPacket]:
        at = 0
        blocks = film_sound(self.recording, self.form, self.timemap, self.start, self.end, self.findings)
        for block in blocks:
            frame = av.AudioFrame.from_ndarray(block, format="fltp", layout=self.form.layout)
            frame.sample_rate, frame.pts, frame.time_base = self.form.rate, at, Fraction(1, self.form.rate)
            at += frame.samples
            yield from stream.encode(frame)
        yield from stream.encode(None)

    def _copied(self, container: OutputContainer) -> tuple[Stream, Iterator[AnyPacket]]:
        source = open_recording(self.recording)
        template = source.streams.audio[0]
        stream = container.add_stream_from_template(template)

        def copied() -> Iterator[AnyPacket]:
            zero = Fraction(source.start_time or 0, 1_000_000)
            with source:
                for packet in source.demux(template):
                    if packet.pts is None or packet.dts is None or packet.time_base is None:
                        continue
                    shift = round(zero / packet.time_base)
                    if (packet.pts - shift) * packet.time_base >= self.end:
                        return
                    packet.pts -= shift
                    packet.dts -= shift
                    packet.stream = stream
                    yield packet

        return stream, copied()


def _fits(recording: Path, timemap: TimeMap, start: Fraction, end: Fraction) -> bool:
    """Whether the recording's AAC packets can go into the film as they are.

    They cannot when a pause is inserted, when the film begins elsewhere, when
    packet times are rounded (to ms, in Matroska), when the sound begins late,
    ends early or has a hole, or when a packet does not decode.
    """
    if start or timemap.pauses:
        return False
    with open_recording(recording) as container:
        stream = container.streams.audio[0]
        rate = stream.codec_context.sample_rate
        if stream.codec_context.name != "aac" or not stream.time_base or not rate:
            return False
        if (1 / (rate * stream.time_base)).denominator != 1 or stream.codec_context.channels > 2:
            return False
        zero = Fraction(container.start_time or 0, 1_000_000)
        until = Fraction(0)
        try:
            for packet in container.demux(stream):
                for frame in packet.decode():
                    if frame.pts is None or frame.time_base is None:
                        return False
                    time = frame.pts * frame.time_base - zero
                    if abs(time - until) > _LOOSE_S:
                        return False
                    until = time + Fraction(frame.samples, frame.sample_rate)
                if until >= end:
                    return True
        except av.FFmpegError:
            return False
    return until >= end - _LOOSE_S


def plan_sound(
    recording: Path, timemap: TimeMap, start: Fraction, end: Fraction, findings: list[Finding]
) -> SoundPlan | None:
    """The plan for film seconds ``[start, end)``; None, and a finding, when the recording has no sound."""
    form = sound_form(recording)
    if form is None:
        findings.append(
            Finding(
                "no-sound",
                "the recording has no sound; the film is silent",
                Severity.WARNING,
                file=recording.name,
                fix="give the file with the narration",
            )
        )
        return None
    how: Literal["copied", "encoded"] = "copied" if _fits(recording, timemap, start, end) else "encoded"
    return SoundPlan(recording, form, timemap, start, end, how, findings)

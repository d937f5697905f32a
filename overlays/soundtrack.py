"""The film's sound stream: the recording's AAC packets where they fit as they are, else encoded anew."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

import av
from av.codec.context import Flags

from overlays.loudness import Level, level_for, leveled
from overlays.sound import Block, SoundForm, exactly, film_sound, sound_form
from timeline.problems import Finding, Severity
from timeline.recording import open_recording

if TYPE_CHECKING:
    from av.container import OutputContainer
    from av.stream import Stream

    from overlays.packets import AnyPacket
    from timeline.timemap import TimeMap

_BITS = {"mono": 96_000, "stereo": 160_000}
"""AAC-LC bits a second: transparent for speech by common practice."""
_LOOSE_S = Fraction(1, 20)
_REPORTED_LU = 0.5


@dataclass
class SoundPlan:
    """How the film gets its sound. ``packets`` fits ``overlays.mux.write_mp4``."""

    recording: Path
    form: SoundForm
    timemap: TimeMap
    start: Fraction
    end: Fraction
    how: Literal["copied", "encoded"]
    level: Level | None = None
    findings: list[Finding] = field(default_factory=list)

    def packets(self, container: OutputContainer) -> tuple[Stream, Iterator[AnyPacket]]:
        """Add the stream and give its packets."""
        if self.how == "copied":
            return self._copied(container)
        sound = self.sound()
        if self.level is not None:
            sound = exactly(leveled(sound, self.form, self.level), self.form, self.samples)
        return add_sound(container, self.form, sound)

    @property
    def samples(self) -> int:
        """Samples of the whole sound."""
        return round((self.end - self.start) * self.form.rate)

    def sound(self, findings: list[Finding] | None = None) -> Iterator[Block]:
        """The sound as recorded, in film time."""
        findings = self.findings if findings is None else findings
        return film_sound(self.recording, self.form, self.timemap, self.start, self.end, findings)

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


def add_sound(
    container: OutputContainer, form: SoundForm, sound: Iterator[Block]
) -> tuple[Stream, Iterator[AnyPacket]]:
    """Add an AAC stream to a container and give the packets of a sound."""
    stream = container.add_stream("aac", rate=form.rate, layout=form.layout)
    stream.bit_rate = _BITS[form.layout]
    return stream, _encoded(stream, sound, form)


def _encoded(stream: Any, sound: Iterator[Block], form: SoundForm) -> Iterator[AnyPacket]:
    """The packets of a sound; ``stream`` is an AAC stream, or an encoder alone."""
    at = 0
    for block in sound:
        frame = av.AudioFrame.from_ndarray(block, format="fltp", layout=form.layout)
        frame.sample_rate, frame.pts, frame.time_base = form.rate, at, Fraction(1, form.rate)
        at += frame.samples
        yield from stream.encode(frame)
    yield from stream.encode(None)


def coded(sound: Iterator[Block], form: SoundForm) -> Iterator[Block]:
    """What a listener gets of a sound after AAC."""
    encoder = av.CodecContext.create("aac", "w")
    encoder.sample_rate, encoder.layout, encoder.format = form.rate, form.layout, "fltp"
    encoder.bit_rate = _BITS[form.layout]
    encoder.flags |= Flags.global_header
    encoder.open()
    decoder = av.CodecContext.create("aac", "r")
    decoder.extradata = encoder.extradata
    for packet in _encoded(encoder, sound, form):
        for frame in decoder.decode(packet):
            yield frame.to_ndarray()  # type: ignore[misc]


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
    recording: Path,
    timemap: TimeMap,
    start: Fraction,
    end: Fraction,
    findings: list[Finding],
    target_lufs: float | None = None,
    peak_dbtp: float = -1.0,
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
    if target_lufs is None:
        how: Literal["copied", "encoded"] = "copied" if _fits(recording, timemap, start, end) else "encoded"
        return SoundPlan(recording, form, timemap, start, end, how, findings=findings)
    # One channel is played on two loudspeakers and so 3 LU louder than it measures: deliver what was measured.
    plan = SoundPlan(recording, SoundForm(form.rate, "stereo"), timemap, start, end, "encoded", findings=findings)
    found = level_for(lambda: plan.sound([]), plan.form, target_lufs, peak_dbtp, lambda sound: coded(sound, plan.form))
    if found is not None:
        plan.level, after = found
        if abs(after.lufs - target_lufs) > _REPORTED_LU:
            findings.append(
                Finding(
                    "loudness-not-reached",
                    f"the film's sound comes to {after.lufs:.1f} LUFS, not {target_lufs:g}: its peaks are as high as "
                    f"{peak_dbtp:g} dBTP allows",
                    Severity.NOTE,
                    file=recording.name,
                    fix="choose a lower target_lufs",
                )
            )
    return plan

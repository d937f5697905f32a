"""The recording's sound in film time: read with true times, silent while the film holds."""

from __future__ import annotations

from collections.abc import Generator, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
from numpy.typing import NDArray

from overlays.holds import pieces
from timeline.problems import Finding, Severity
from timeline.recording import open_recording
from timeline.timecode import format_ms
from timeline.timemap import TimeMap

Block = NDArray[np.float32]
"""Samples in [-1, 1], shape (channels, any)."""

KEPT_RATES = (32_000, 44_100, 48_000)
_RATE = 48_000
_HOLE_S = Fraction(1, 20)
"""Holes and overlaps below this are clocks that drift, not missing sound."""
_FADE_S = Fraction(1, 200)
_MANY_FAULTS = 500
_SHORT_MS = 100
_SEEKABLE = ("mov", "matroska", "wav")


@dataclass(frozen=True, slots=True)
class SoundForm:
    """How the film's sound is made: samples a second, ``mono`` or ``stereo``."""

    rate: int
    layout: str

    @property
    def channels(self) -> int:
        return 1 if self.layout == "mono" else 2


def sound_form(path: Path) -> SoundForm | None:
    """The form that suits a recording; None when it has no sound."""
    with open_recording(path) as container:
        if not container.streams.audio:
            return None
        context = container.streams.audio[0].codec_context
        rate = context.sample_rate if context.sample_rate in KEPT_RATES else _RATE
        return SoundForm(rate, "mono" if context.channels == 1 else "stereo")


def film_sound(
    path: Path, form: SoundForm, timemap: TimeMap, start: Fraction, end: Fraction, findings: list[Finding]
) -> Iterator[Block]:
    """The sound of film seconds ``[start, end)``, exactly as many samples as they last.

    What the recording lacks is silent, and told in ``findings``.
    """
    plan = pieces(timemap, start, end)
    first = next((p.recording for p in plan if p.moves), Fraction(0))
    reader = _Reader(path, form, first, findings)
    for piece in plan:
        samples = round((piece.end - start) * form.rate) - round((piece.start - start) * form.rate)
        if not piece.moves:
            yield from _silence(form, samples)
            continue
        blocks = reader.take(samples)
        before, after = piece is not plan[0], piece is not plan[-1]
        yield from _faded(blocks, samples, round(_FADE_S * form.rate), before, after)
    reader.close()
    last_ms = round(max((p.recording + p.end - p.start for p in plan if p.moves), default=first) * 1000)
    if last_ms - reader.read_ms > _SHORT_MS:
        findings.append(
            Finding(
                "recording-short",
                f"the recording's sound ends at {format_ms(reader.read_ms)}, the lesson at {format_ms(last_ms)}; "
                "the film is silent from there",
                Severity.WARNING,
                at_ms=reader.read_ms,
                fix="give the whole recording, or take the cues after its end away",
            )
        )


def exactly(blocks: Iterable[Block], form: SoundForm, samples: int) -> Iterator[Block]:
    """The sound cut, or filled with silence, to so many samples."""
    for block in blocks:
        block = block[:, :samples]
        samples -= block.shape[1]
        if block.shape[1]:
            yield block
    yield from _silence(form, samples)


def _silence(form: SoundForm, samples: int) -> Iterator[Block]:
    while samples > 0:
        count = min(samples, form.rate)
        yield np.zeros((form.channels, count), np.float32)
        samples -= count


def _faded(blocks: Iterable[Block], samples: int, fade: int, rises: bool, falls: bool) -> Iterator[Block]:
    """Ends at a hold without a click: a fade of ``fade`` samples at the inner ends."""
    at = 0
    for block in blocks:
        count = block.shape[1]
        if (rises and at < fade) or (falls and at + count > samples - fade):
            place = np.arange(at, at + count, dtype=np.float32)
            gain = np.ones(count, np.float32)
            if rises:
                gain = np.minimum(gain, (place + 0.5) / fade)
            if falls:
                gain = np.minimum(gain, (samples - place - 0.5) / fade)
            block = block * np.maximum(gain, 0)
        at += count
        yield block


class _Reader:
    """Samples of a recording from a time on, one after the other; silence for whatever cannot be read."""

    def __init__(self, path: Path, form: SoundForm, start: Fraction, findings: list[Finding]) -> None:
        self._form = form
        self._findings = findings
        self._name = path.name
        self._container = open_recording(path)
        self._blocks = self._placed(round(start * form.rate))
        self._left: Block = np.zeros((form.channels, 0), np.float32)
        self._at = round(start * form.rate)
        if start > 30 and self._container.format.name.startswith(_SEEKABLE):
            self._container.seek(int((start - 5 + self._zero) * 1_000_000))

    @property
    def read_ms(self) -> int:
        """How far the recording's sound has been read."""
        return round(Fraction(self._at * 1000, self._form.rate))

    def close(self) -> None:
        self._blocks.close()
        self._container.close()

    def take(self, samples: int) -> Iterator[Block]:
        """The next samples; silence beyond the recording's end."""
        while samples > 0:
            if not self._left.shape[1]:
                block = next(self._blocks, None)
                if block is None:
                    yield from _silence(self._form, samples)
                    return
                self._left = block
            block, self._left = self._left[:, :samples], self._left[:, samples:]
            samples -= block.shape[1]
            self._at += block.shape[1]
            yield block

    @property
    def _zero(self) -> Fraction:
        return Fraction(self._container.start_time or 0, 1_000_000)

    def _placed(self, at: int) -> Generator[Block, None, None]:
        """Samples from number ``at`` of the recording on, without holes or overlaps."""
        drop = 0
        for position, block in self._segments():
            if position is not None:
                yield from _silence(self._form, position - at)
                drop = max(0, at - position)
                at = max(at, position)
            dropped = min(drop, block.shape[1])
            drop -= dropped
            if dropped < block.shape[1]:
                at += block.shape[1] - dropped
                yield block[:, dropped:]

    def _segments(self) -> Iterator[tuple[int | None, Block]]:
        """Blocks of about a second; the first of each unbroken stretch with the number of its first sample."""
        rate = self._form.rate
        batch: list[Block] = []
        resampler: av.AudioResampler | None = None
        position: int | None = None
        expected, kind = Fraction(0), None
        for frame in self._frames():
            time = None
            if frame.pts is not None and frame.time_base is not None:
                time = frame.pts * frame.time_base - self._zero
            broken = kind != (frame.sample_rate, frame.layout.name, frame.format.name) or (
                time is not None and abs(time - expected) > _HOLE_S
            )
            if broken:
                if resampler is not None:
                    yield position, _joined(self._form, batch + _arrays(resampler.resample(None)))
                resampler = av.AudioResampler(format="fltp", layout=self._form.layout, rate=rate)
                kind, batch = (frame.sample_rate, frame.layout.name, frame.format.name), []
                expected = expected if time is None else time
                position = round(expected * rate)
            expected += Fraction(frame.samples, frame.sample_rate)
            frame.pts = None  # the resampler counts by itself
            assert resampler is not None
            batch += _arrays(resampler.resample(frame))
            if sum(block.shape[1] for block in batch) >= rate:
                yield position, _joined(self._form, batch)
                position, batch = None, []
        if resampler is not None:
            yield position, _joined(self._form, batch + _arrays(resampler.resample(None)))

    def _frames(self) -> Iterator[av.AudioFrame]:
        faults = 0
        time: Fraction | None = None
        packets = self._container.demux(self._container.streams.audio[0])
        while faults < _MANY_FAULTS:
            try:
                packet = next(packets)
                frames = packet.decode()
            except StopIteration:
                return
            except av.FFmpegError:
                if not faults:
                    self._damaged(time)
                faults += 1
                continue
            for frame in frames:
                if frame.pts is not None and frame.time_base is not None:
                    time = frame.pts * frame.time_base - self._zero
                yield frame

    def _damaged(self, time: Fraction | None) -> None:
        at_ms = round((time or 0) * 1000)
        self._findings.append(
            Finding(
                "recording-damaged",
                f"the recording's sound cannot be read at {format_ms(at_ms)}; unreadable stretches are silent",
                Severity.WARNING,
                file=self._name,
                at_ms=at_ms,
                fix="listen to the film there; copy or export the recording again if words are missing",
            )
        )


def _arrays(frames: list[av.AudioFrame]) -> list[Block]:
    return [frame.to_ndarray() for frame in frames]  # type: ignore[misc]


def _joined(form: SoundForm, blocks: list[Block]) -> Block:
    return np.concatenate(blocks, axis=1) if blocks else np.zeros((form.channels, 0), np.float32)

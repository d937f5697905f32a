"""How loud a recording is: integrated loudness, range, true peak, silences, clipping. Read as a stream.

Loudness by ITU-R BS.1770-4 and EBU Tech 3341/3342, through FFmpeg's own meter
(its ``ebur128`` filter, which PyAV carries). A recording with one channel is
measured as it is heard, on two loudspeakers: 3 LU above the single channel.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from timeline.recording import open_recording

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

STEP_MS = 100  # the meter gives a value every 100 ms
CLIP_LEVEL = 0.999  # of full scale
CLIP_RUN = 3  # samples in a row at one level
SILENT_LUFS = -60.0
SILENCE = -120.0
BELOW_LU = 35.0  # silence is this far below the integrated loudness, or below SILENT_LUFS
SPEECH_BLOCK = 48_000


@dataclass(frozen=True)
class Loudness:
    """What a recording's sound measures.

    ``integrated`` in LUFS, None for silence; ``range_lu`` in LU; ``true_peak``
    in dBTP, None for silence. ``short`` is the short-term loudness (3 s) at
    every 100 ms, ``momentary`` the same over 400 ms. ``clipped``: (ms, flat
    tops) for each second that has some.
    """

    duration_ms: int
    integrated: float | None
    range_lu: float
    true_peak: float | None
    short: tuple[float, ...] = ()
    momentary: tuple[float, ...] = ()
    clipped: tuple[tuple[int, int], ...] = field(default=())

    def gain_to(self, target_lufs: float, peak_dbtp: float = -1.0) -> float:
        """dB that bring the sound to ``target_lufs`` without the true peak going above ``peak_dbtp``; 0 for silence."""
        if self.integrated is None or self.true_peak is None:
            return 0.0
        return min(target_lufs - self.integrated, peak_dbtp - self.true_peak)

    def silences(self, least_ms: int) -> list[tuple[int, int]]:
        """Stretches (start, end) in ms of at least ``least_ms`` without sound."""
        if self.integrated is None:
            return [(0, self.duration_ms)] if self.duration_ms >= least_ms else []
        floor = max(SILENT_LUFS, self.integrated - BELOW_LU)
        found: list[tuple[int, int]] = []
        start: int | None = None
        for index, level in enumerate([*self.momentary, 0.0]):
            if level < floor and start is None:
                start = index
            elif level >= floor and start is not None:
                # A momentary value looks 400 ms back: sound ended up to 300 ms before the first quiet one.
                found.append((max(0, start * STEP_MS - 300), index * STEP_MS))
                start = None
        return [(a, min(b, self.duration_ms)) for a, b in found if b - a >= least_ms]

    def loud_passages(self, above_lu: float) -> list[tuple[int, int, float]]:
        """(start, end, LU above the whole) where the short-term loudness exceeds the whole by ``above_lu``."""
        if self.integrated is None:
            return []
        found: list[tuple[int, int, float]] = []
        for index, level in enumerate(self.short):
            over = level - self.integrated
            if over <= above_lu:
                continue
            start, end = max(0, index * STEP_MS - 2900), (index + 1) * STEP_MS
            if found and start <= found[-1][1]:
                found[-1] = (found[-1][0], end, max(found[-1][2], over))
            else:
                found.append((start, end, over))
        return found


Blocks = Iterable["NDArray[np.float32]"]


def measure_file(
    path: Path, *, name: str | None = None, progress: Callable[[int, int], None] | None = None
) -> Loudness | None:
    """The loudness of a recording's first sound stream; None when it has none. Raises RecordingError.

    Decoded block by block: memory does not grow with the length but for ten
    numbers a second. ``progress`` gets milliseconds done and in all.
    """
    import av
    import numpy as np

    with open_recording(path, name=name) as container:
        if not container.streams.audio:
            return None
        stream = container.streams.audio[0]
        rate = stream.codec_context.sample_rate
        channels = min(2, stream.codec_context.channels) or 1
        whole = round(float(stream.duration * stream.time_base) * 1000) if stream.duration and stream.time_base else 0

        def blocks() -> Iterator[NDArray[np.float32]]:
            layout = "mono" if channels == 1 else "stereo"
            resampler = av.AudioResampler(format="fltp", layout=layout, rate=rate)
            faults = 0
            for packet in container.demux(stream):
                try:
                    frames = packet.decode()
                except av.FFmpegError:
                    faults += 1
                    if faults > 500:
                        return
                    continue
                for frame in frames:
                    if progress is not None and frame.time is not None:
                        progress(min(whole, round(frame.time * 1000)), whole)
                    for out in resampler.resample(frame):
                        yield out.to_ndarray().astype(np.float32, copy=False)

        return measure(blocks(), rate)


def measure(blocks: Blocks, rate: int) -> Loudness:
    """The loudness of samples in [-1, 1], given as blocks of shape (channels, any) at ``rate`` a second."""
    meter = _Meter(rate)
    for block in blocks:
        meter.add(block)
    return meter.result()


def _level(text: str) -> float:
    """A loudness of the meter; digital silence, which it calls nan, is as quiet as it can say."""
    value = float(text)
    return SILENCE if math.isnan(value) else max(SILENCE, value)


class _Meter:
    def __init__(self, rate: int) -> None:
        self.rate = rate
        self.samples = 0
        self.loudest = 0.0
        self.last: dict[str, str] = {}
        self.short: list[float] = []
        self.momentary: list[float] = []
        self.clipped: dict[int, int] = {}
        self._graph: Any = None
        self._run = 0

    def add(self, block: NDArray[np.float32]) -> None:
        import av
        import numpy as np

        if not block.size:
            return
        channels = block.shape[0]
        layout = "mono" if channels == 1 else "stereo" if channels == 2 else "5.1" if channels == 6 else None
        if layout is None:
            raise ValueError(f"sound of {channels} channels is not measured")
        if self._graph is None:
            self._graph = self._open(layout)
        self._clips(block)
        self.loudest = max(self.loudest, float(np.abs(block).max()))
        for first in range(0, block.shape[1], SPEECH_BLOCK):
            part = np.ascontiguousarray(block[:, first : first + SPEECH_BLOCK], dtype=np.float32)
            frame = av.AudioFrame.from_ndarray(part, format="fltp", layout=layout)
            frame.sample_rate, frame.pts = self.rate, self.samples
            self.samples += part.shape[1]
            self._graph.push(frame)
            self._pull()

    def _open(self, layout: str) -> Any:
        import av.filter

        graph = av.filter.Graph()
        source = graph.add_abuffer(
            sample_rate=self.rate, format="fltp", layout=layout, time_base=Fraction(1, self.rate)
        )
        meter = graph.add("ebur128", "metadata=1:peak=true:dualmono=true:framelog=quiet")
        sink = graph.add("abuffersink")
        source.link_to(meter)
        meter.link_to(sink)
        graph.configure()
        return graph

    def _pull(self) -> None:
        import av.error

        while True:
            try:
                frame = self._graph.pull()
            except (BlockingIOError, av.error.EOFError):
                return
            data = frame.metadata
            if "lavfi.r128.M" in data:
                self.last = data
                self.momentary.append(_level(data["lavfi.r128.M"]))
                self.short.append(_level(data["lavfi.r128.S"]))

    def _clips(self, block: NDArray[np.float32]) -> None:
        """Runs of samples that stay at full scale: the tops that a converter cuts off."""
        import numpy as np

        for channel in block:
            hot = np.abs(channel) >= CLIP_LEVEL
            if not hot.any():
                continue
            edges = np.flatnonzero(np.diff(np.concatenate(([0], hot.view(np.int8), [0]))))
            for start, end in zip(edges[::2], edges[1::2], strict=True):
                if end - start >= CLIP_RUN:
                    second = int((self.samples + int(start)) / self.rate)
                    self.clipped[second] = self.clipped.get(second, 0) + 1

    def result(self) -> Loudness:
        duration = round(self.samples * 1000 / self.rate) if self.rate else 0
        if self._graph is not None:
            self._graph.push(None)
            self._pull()
        if not self.last or self.loudest == 0.0:
            return Loudness(duration, None, 0.0, None, (), tuple(self.momentary))
        integrated = float(self.last["lavfi.r128.I"])
        peaks = [float(v) for k, v in self.last.items() if k.startswith("lavfi.r128.true_peaks_ch")]
        peak = max([*peaks, self.loudest])
        return Loudness(
            duration,
            integrated if integrated > -70.0 else None,
            float(self.last["lavfi.r128.LRA"]),
            20 * math.log10(peak),
            tuple(self.short),
            tuple(self.momentary),
            tuple((second * 1000, count) for second, count in sorted(self.clipped.items())),
        )

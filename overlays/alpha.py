"""Overlay C: the drawing with transparency, for a video editor or a web page."""

from __future__ import annotations

from collections import OrderedDict, deque
from collections.abc import Callable, Hashable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Literal

import av
import numpy as np
from av.codec.context import ThreadType
from av.video.frame import PictureType
from av.video.reformatter import Colorspace, Interpolation, VideoReformatter
from av.video.stream import VideoStream

from overlays.frames import cut_runs, film_frames, sync_interval
from overlays.over import to_yuva
from overlays.wholefile import whole_file
from overlays.yuv import BT709, LIMITED

if TYPE_CHECKING:
    from av.container import OutputContainer
    from numpy.typing import NDArray

    from overlays.packets import AnyPacket
    from overlays.show import Painter, Run

AlphaCodec = Literal["prores", "qtrle", "vp9"]
SUFFIXES: dict[AlphaCodec, str] = {"prores": ".mov", "qtrle": ".mov", "vp9": ".webm"}
"""ProRes 4444 is what editors like best, QuickTime RLE is lossless, VP9 is for web pages."""

_CODERS: dict[AlphaCodec, tuple[str, str, dict[str, str]]] = {
    "prores": ("prores_ks", "yuva444p10le", {"profile": "4444", "alpha_bits": "16", "vendor": "apl0"}),
    "qtrle": ("qtrle", "argb", {}),
    "vp9": (
        "libvpx-vp9",
        "yuva420p",
        {"crf": "18", "b": "0", "deadline": "good", "cpu-used": "5", "auto-alt-ref": "0", "lag-in-frames": "0"},
    ),
}
"""Encoder, pixel format, options. VP9's hidden frames (auto-alt-ref) do not go with alpha."""
_KEPT_PACKETS = 24


@dataclass(frozen=True, slots=True)
class OverlayReport:
    """What was written. ``encoded`` pictures went through the encoder, all other frames repeat a packet."""

    path: Path
    frames: int
    encoded: int
    bytes: int


def render_overlay(
    painter: Painter,
    out: Path,
    *,
    rate: Fraction,
    codec: AlphaCodec = "prores",
    span_ms: tuple[int, int] | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> OverlayReport:
    """Write the painter's pictures with straight alpha, without sound.

    ProRes and QuickTime RLE films have a constant rate and only sync frames: a
    picture is encoded once, its packet written again for every repeat. VP9
    films have a frame where the picture changes, and at least every two
    seconds. ``out`` is written whole or not at all. Raises OutputError, and
    what the painter raises.
    """
    runs = list(painter.runs(rate))
    first, last = film_frames(span_ms, sum(run.count for run in runs), rate)
    runs = list(cut_runs(runs, first, last))
    with whole_file(out) as temporary:
        form = "webm" if codec == "vp9" else "mov"
        container = av.open(str(temporary), "w", format=form)
        try:
            stream = _add_stream(container, codec, painter, rate)
            writer = _Changes(stream, painter, rate) if codec == "vp9" else _Repeats(stream, painter, rate)
            for done, packet in writer.packets(runs):
                container.mux(packet)
                if progress is not None:
                    progress(done, last - first)
        finally:
            container.close()
        size = temporary.stat().st_size
    return OverlayReport(out, last - first, writer.encoded, size)


def _add_stream(container: OutputContainer, codec: AlphaCodec, painter: Painter, rate: Fraction) -> VideoStream:
    name, pixels, options = _CODERS[codec]
    stream = container.add_stream(name, rate=rate, options=dict(options))
    assert isinstance(stream, VideoStream)
    stream.width, stream.height, stream.pix_fmt = painter.width, painter.height, pixels
    context = stream.codec_context
    context.time_base = stream.time_base = 1 / rate
    context.color_primaries = context.color_trc = BT709
    if codec != "qtrle":
        context.colorspace, context.color_range = BT709, LIMITED
    if codec != "vp9":
        stream.gop_size = 1
    context.thread_type = ThreadType.SLICE if codec == "prores" else ThreadType.AUTO
    context.thread_count = 0
    return stream


class _Repeats:
    """One packet for each picture, written again for every frame that it stands."""

    def __init__(self, stream: VideoStream, painter: Painter, rate: Fraction) -> None:
        self._stream = stream
        self._painter = painter
        self._tick = 1 / rate
        self._reformatter = VideoReformatter()
        self._kept: OrderedDict[Hashable, bytes] = OrderedDict()
        self._sent: deque[Hashable] = deque()
        self.encoded = 0

    def packets(self, runs: list[Run]) -> Iterator[tuple[int, AnyPacket]]:
        """Frames done, and the next packet."""
        at = 0
        for run in runs:
            data = self._coded(run.key)
            for _ in range(run.count):
                packet = av.Packet(data)
                packet.stream, packet.time_base = self._stream, self._tick
                packet.pts = packet.dts = at
                packet.duration, packet.is_keyframe = 1, True
                at += 1
                yield at, packet

    def _coded(self, key: Hashable) -> bytes:
        if key not in self._kept:
            frame = self._frame(self._painter.rgba(key))
            frame.pts, frame.time_base = self.encoded, self._tick
            frame.color_primaries = frame.color_trc = BT709  # ProRes writes the picture's, not the stream's
            found = self._stream.encode(frame)
            assert len(found) == 1, "an encoder of single pictures gives each at once"
            self._kept[key] = bytes(found[0])
            self.encoded += 1
            while len(self._kept) > _KEPT_PACKETS:
                self._kept.popitem(last=False)
        self._kept.move_to_end(key)
        return self._kept[key]

    def _frame(self, rgba: NDArray[np.uint8]) -> av.VideoFrame:
        frame = av.VideoFrame.from_numpy_buffer(np.ascontiguousarray(rgba), format="rgba")
        if self._stream.pix_fmt == "argb":
            return self._reformatter.reformat(frame, format="argb")
        return self._reformatter.reformat(
            frame,
            format=self._stream.pix_fmt,
            interpolation=Interpolation.BICUBIC | Interpolation.ACCURATE_RND,
            dst_colorspace=Colorspace.ITU709,
            dst_color_range="MPEG",
        )


class _Changes:
    """A frame where the picture changes, at sync intervals, and the last one."""

    def __init__(self, stream: VideoStream, painter: Painter, rate: Fraction) -> None:
        self._stream = stream
        self._painter = painter
        self._rate = rate
        self.encoded = 0

    def packets(self, runs: list[Run]) -> Iterator[tuple[int, AnyPacket]]:
        """Frames done, and the next packet. Packets last until the next one."""
        reformatter = VideoReformatter()
        sync = sync_interval(self._rate)
        last = sum(run.count for run in runs) - 1
        begin = 0
        for run in runs:
            frame = to_yuva(reformatter, self._painter.rgba(run.key))
            end = begin + run.count
            for at in sorted({begin, *range(-(-begin // sync) * sync, end, sync), *({last} if end > last else ())}):
                frame.pts, frame.time_base = at, 1 / self._rate
                frame.pict_type = PictureType.NONE if at % sync else PictureType.I
                self.encoded += 1
                for packet in self._stream.encode(frame):
                    yield at + 1, packet
            begin = end
        for packet in self._stream.encode(None):
            yield begin, packet

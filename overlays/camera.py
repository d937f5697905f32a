"""The recording's picture at any time: upright, square pixels, BT.709, in its place on the stage."""

from __future__ import annotations

import os
from collections.abc import Generator
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import av
from av.filter import Graph

from overlays.x264 import MOST_THREADS
from overlays.yuv import BT709, LIMITED
from timeline.problems import Finding, RecordingError, Severity
from timeline.recording import open_recording
from timeline.timecode import format_ms

if TYPE_CHECKING:
    from av.container import InputContainer
    from av.video.stream import VideoStream

    from overlays.stage import Box

HDR = (16, 18)
"""Transfer characteristics (ITU-T H.273) of high dynamic range: PQ (SMPTE ST 2084) and HLG (ARIB STD-B67)."""
_TURNS = {90: "transpose=cclock", 180: "hflip,vflip", 270: "transpose=clock"}
_MOST_CUT = 0.25
_FAR_S = 10
_MANY_FAULTS = 200
_BT601 = 6
_UNSPECIFIED = 2


class Camera:
    """A recording's pictures in rising time; jumping back or far ahead seeks."""

    def __init__(self, path: Path, rate: Fraction, findings: list[Finding]) -> None:
        self._path = path
        self._slack = 1 / (2 * rate)
        self._findings = findings
        self._container: InputContainer | None = None
        self._frames: Generator[tuple[Fraction, av.VideoFrame], None, None] | None = None
        self._shown: tuple[Fraction, av.VideoFrame] | None = None
        self._next: tuple[Fraction, av.VideoFrame] | None = None
        self._told: set[str] = set()
        self._earliest: Fraction | None = None
        self.pixel_shape = Fraction(1)
        """Width of a pixel over its height, known after the first picture."""

    def close(self) -> None:
        if self._frames is not None:
            self._frames.close()
        if self._container is not None:
            self._container.close()
        self._frames = self._container = self._shown = self._next = None

    def at(self, time: Fraction) -> av.VideoFrame:
        """The picture nearest to a second of the recording; before its first and after its last one, those.

        Raises RecordingError when there is none at all.
        """
        if self._shown is None or self._is_far(time, self._shown[0]):
            self._open(time)
        while self._next is not None and self._next[0] < time + self._slack:
            self._shown, self._next = self._next, self._following()
        assert self._shown is not None
        if self._next is None and time > self._shown[0] + 1:
            self._tell(
                "recording-short",
                f"the recording's picture ends at {format_ms(round(self._shown[0] * 1000))}; the last one stays",
                self._shown[0],
                "give the whole recording, or take the cues after its end away",
            )
        return self._shown[1]

    def _is_far(self, time: Fraction, shown: Fraction) -> bool:
        back = time < shown - self._slack and shown != self._earliest
        return back or (time > shown + _FAR_S and self._next is not None)

    def _open(self, time: Fraction) -> None:
        """Start again so that the first picture is at or before ``time``, if there is one."""
        for seek in (True, False):
            self.close()
            self._container = open_recording(self._path)
            stream = camera_stream(self._container)
            if stream is None:
                raise RecordingError.of(
                    "no-picture",
                    "the recording has no picture to show",
                    file=self._path.name,
                    fix="choose a layout without camera, or give a film",
                )
            self.pixel_shape = stream.sample_aspect_ratio or Fraction(1)
            sought = seek and time > _FAR_S
            if sought:
                self._container.seek(int((time + self._zero) * 1_000_000))
            self._frames = self._decoded(self._container, stream)
            self._shown = self._following()
            if not sought:
                self._earliest = self._shown[0] if self._shown is not None else None
                break
            if self._shown is not None and self._shown[0] <= time + self._slack:
                break
        if self._shown is None:
            raise RecordingError.of(
                "no-picture",
                "no picture of the recording can be read",
                file=self._path.name,
                fix="check that it plays; copy or export it again",
            )
        self._next = self._following()

    @property
    def _zero(self) -> Fraction:
        assert self._container is not None
        return Fraction(self._container.start_time or 0, 1_000_000)

    def _following(self) -> tuple[Fraction, av.VideoFrame] | None:
        assert self._frames is not None
        return next(self._frames, None)

    def _decoded(
        self, container: InputContainer, stream: VideoStream
    ) -> Generator[tuple[Fraction, av.VideoFrame], None, None]:
        stream.thread_type = "AUTO"
        stream.codec_context.thread_count = min(MOST_THREADS, os.cpu_count() or 1)
        zero = self._zero
        faults = 0
        last = Fraction(-1)
        packets = container.demux(stream)
        while faults < _MANY_FAULTS:
            try:
                packet = next(packets)
                frames = packet.decode()
            except StopIteration:
                return
            except av.FFmpegError:
                faults += 1
                self._damaged(max(last, Fraction(0)))
                continue
            for frame in frames:
                if frame.is_corrupt:
                    self._damaged(max(last, Fraction(0)))
                    continue
                if frame.pts is None or frame.time_base is None:
                    continue
                time = frame.pts * frame.time_base - zero
                if time > last:
                    last = time
                    yield time, frame

    def _damaged(self, time: Fraction) -> None:
        self._tell(
            "recording-damaged",
            f"the recording's picture cannot be read at {format_ms(round(time * 1000))}; the one before stands on",
            time,
            "look at the film there; copy or export the recording again if it matters",
        )

    def _tell(self, code: str, message: str, time: Fraction, fix: str) -> None:
        if code not in self._told:
            self._told.add(code)
            at_ms = round(time * 1000)
            self._findings.append(Finding(code, message, Severity.WARNING, file=self._path.name, at_ms=at_ms, fix=fix))


def camera_stream(container: InputContainer) -> VideoStream | None:
    """The first stream of moving pictures; a cover picture is none."""
    cover = av.stream.Disposition.attached_pic
    return next((s for s in container.streams.video if not s.disposition & cover), None)


class Placing:
    """Brings camera pictures into their box on a black stage of the film's size, as yuv420p."""

    def __init__(self, width: int, height: int, box: Box) -> None:
        self._size = width, height
        self._box = box
        self._kind: tuple[object, ...] = ()
        self._graph: Graph | None = None

    def placed(self, frame: av.VideoFrame, pixel_shape: Fraction) -> av.VideoFrame:
        """One picture. The filters are set up anew when the recording's pictures change their kind."""
        rotation = round(frame.rotation) % 360
        if self._fits(frame, rotation, pixel_shape):
            frame.colorspace, frame.color_range = BT709, LIMITED
            return frame
        kind = (frame.width, frame.height, frame.format.name, rotation, frame.colorspace, frame.color_trc)
        if self._graph is None or kind != self._kind:
            self._kind = kind
            shape = Fraction(frame.width, frame.height) * pixel_shape
            self._graph = _graph(frame, placing_filters(frame, rotation, shape, *self._size, self._box))
        pts, frame.pts = frame.pts, 0  # no filter here looks at the time
        self._graph.push(frame)
        frame.pts = pts
        placed = self._graph.pull()
        assert isinstance(placed, av.VideoFrame)
        return placed

    def _fits(self, frame: av.VideoFrame, rotation: int, pixel_shape: Fraction) -> bool:
        """Whether the picture already is what would be made of it."""
        whole = (self._box.x, self._box.y, self._box.width, self._box.height) == (0, 0, *self._size)
        plain = rotation == 0 and pixel_shape == 1 and frame.format.name == "yuv420p"
        matrix = frame.colorspace == BT709 or (frame.colorspace == _UNSPECIFIED and frame.height >= 720)
        known = matrix and frame.color_range in (0, LIMITED) and frame.color_trc not in HDR
        return whole and plain and known and (frame.width, frame.height) == self._size


def placing_filters(frame: av.VideoFrame, rotation: int, shape: Fraction, width: int, height: int, box: Box) -> str:
    """The filter chain for pictures like ``frame``, which are ``shape`` times as wide as high before turning.

    A box that is not the whole stage may cut a quarter of the picture away.
    """
    if rotation not in (0, *_TURNS):
        raise RecordingError.of(
            "odd-rotation",
            f"the recording is turned by {rotation} degrees",
            fix="turn it upright in a video editor and export it",
        )
    if rotation in (90, 270):
        shape = 1 / shape
    inner_w, inner_h, cut = fitted(shape, box.width, box.height, cut=(box.width, box.height) != (width, height))
    matrix = frame.colorspace if frame.colorspace != _UNSPECIFIED else (BT709 if frame.height >= 720 else _BT601)
    scale = f"scale={inner_w}:{inner_h}:flags=bicubic:in_color_matrix={matrix}:out_color_matrix=bt709:out_range=tv"
    if frame.color_trc in HDR:
        scale += ":out_primaries=bt709:out_transfer=bt709"
    chain = [_TURNS[rotation]] if rotation else []
    chain += [scale, "format=yuv420p", "setsar=1"]
    if cut:
        chain.append(f"crop={box.width & ~1}:{box.height & ~1}")
        inner_w, inner_h = box.width & ~1, box.height & ~1
    x, y = box.x + (box.width - inner_w) // 2, box.y + (box.height - inner_h) // 2
    chain.append(f"pad={width}:{height}:{x & ~1}:{y & ~1}:black")
    return ",".join(chain)


def fitted(shape: Fraction, width: int, height: int, *, cut: bool) -> tuple[int, int, bool]:
    """Size in the box of a picture with ``shape`` (width / height), even, and whether it reaches beyond the box.

    With ``cut`` it fills the box if that cuts no more than a quarter of it away.
    """
    wide = shape > Fraction(width, height)
    loss = 1 - (Fraction(width, height) / shape if wide else shape / Fraction(width, height))
    fill = cut and 0 < loss <= _MOST_CUT
    if wide != fill:  # the width decides
        size = width, round(width / shape)
    else:
        size = round(height * shape), height
    if fill:
        return size[0] + size[0] % 2, size[1] + size[1] % 2, True
    return max(2, size[0] & ~1), max(2, size[1] & ~1), False


def _graph(frame: av.VideoFrame, filters: str) -> Graph:
    graph = Graph()
    source = graph.add(
        "buffer",
        f"video_size={frame.width}x{frame.height}:pix_fmt={frame.format.name}:time_base=1/1000"
        f":colorspace={frame.colorspace}:range={frame.color_range}",
    )
    last = source
    for text in filters.split(","):
        name, _, arguments = text.partition("=")
        node = graph.add(name, arguments or None)
        last.link_to(node)
        last = node
    sink = graph.add("buffersink")
    last.link_to(sink)
    graph.configure()
    return graph

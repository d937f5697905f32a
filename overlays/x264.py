"""H.264 by x264 (in PyAV): the settings, and the plain way of encoding."""

from __future__ import annotations

import os
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Literal

from overlays.yuv import BT709, LIMITED

if TYPE_CHECKING:
    import av
    from av.container import OutputContainer
    from av.video.stream import VideoStream

    from overlays.packets import AnyPacket

    Pictures = Iterable[tuple[int, av.VideoFrame]]
    """Pictures in order, each with the number of frames that it stands."""

Mode = Literal["plain", "skip"]
_SKIP = "bframes=0:ref=1:weightp=0:cabac=0:no-deblock=1"
"""What hand-made skip slices need: one reference, no reordering, no weights, variable-length coding.

The deblocking filter is off as well: drawn edges are sharper without it, and it costs time.
"""
_CAMERA = "rc-lookahead=7:sync-lookahead=0"
"""Fewer camera pictures held in memory than the preset has."""
_QUALITY = {"plain": "18", "skip": "21", "camera": "20"}
"""x264's constant rate factor. Without deblocking 21 is nearer to the drawing than 18 is with it."""
MOST_THREADS = 4
"""Each thread holds pictures of its own."""


@dataclass(frozen=True, slots=True)
class Coding:
    """How to encode. ``sync`` is the most frames between sync frames; ``reorder`` allows B-frames (camera pictures)."""

    width: int
    height: int
    rate: Fraction
    sync: int
    mode: Mode = "plain"
    reorder: bool = False
    draft: bool = False

    @property
    def options(self) -> dict[str, str]:
        """x264's options. The parameter sets must not depend on what is encoded: parts are joined."""
        if self.mode == "skip":  # looking ahead is of no use where every picture is a new one
            preset, params = "superfast", f"keyint=infinite:scenecut=0:mbtree=0:rc-lookahead=0:{_SKIP}"
        else:
            preset, params = "veryfast", f"keyint={self.sync}:open-gop=0:" + (_CAMERA if self.reorder else "bframes=0")
        quality = _QUALITY["camera" if self.reorder else self.mode]
        return {
            "preset": "ultrafast" if self.draft else preset,
            "crf": "26" if self.draft else quality,
            "forced-idr": "1",
            "x264-params": params,
        }


def add_video(container: OutputContainer, coding: Coding) -> VideoStream:
    """The film's video stream in a new container: yuv420p, BT.709, limited range, constant rate."""
    from av.codec.context import ThreadType

    stream = container.add_stream("libx264", rate=coding.rate, options=coding.options)
    stream.width, stream.height = coding.width, coding.height
    stream.pix_fmt = "yuv420p"
    context = stream.codec_context
    context.time_base = stream.time_base = 1 / coding.rate
    context.color_primaries = context.color_trc = context.colorspace = BT709
    context.color_range = LIMITED
    context.thread_type = ThreadType.FRAME  # sliced threads would cut each picture in pieces
    context.thread_count = min(MOST_THREADS, os.cpu_count() or 1)
    return stream


def encode_plain(stream: VideoStream, coding: Coding, pictures: Pictures) -> Iterator[AnyPacket]:
    """Every frame goes through the encoder; a standing picture is sent again as it is."""
    at = 0
    for count, frame in pictures:
        for _ in range(count):
            frame.pts, frame.time_base = at, 1 / coding.rate
            at += 1
            yield from stream.encode(frame)
    yield from stream.encode(None)

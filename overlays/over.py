"""Film B: the painter's pictures over the teacher's own recording."""

from __future__ import annotations

from collections import OrderedDict, deque
from collections.abc import Hashable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

import av
import numpy as np
from av.filter import Graph
from av.video.reformatter import Colorspace, Interpolation, VideoReformatter

from overlays.camera import Camera, Placing
from overlays.holds import Piece, pieces

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from overlays.frames import Stretch
    from overlays.show import Painter
    from overlays.stage import Box
    from timeline.problems import Finding
    from timeline.timemap import TimeMap

_KEPT = 2
_TICK = Fraction(1, 1000)


class OverRecording:
    """Pictures of film B. ``box`` is where the recording shows; ``painter.rgba`` lies over it."""

    def __init__(
        self,
        painter: Painter,
        rate: Fraction,
        recording: Path,
        box: Box,
        timemap: TimeMap,
        frames: int,
        findings: list[Finding],
    ) -> None:
        self._painter = painter
        self._rate = rate
        self._camera = Camera(recording, rate, findings)
        self._placing = Placing(painter.width, painter.height, box)
        self._pieces = pieces(timemap, Fraction(0), (frames + 1) / rate)
        self._reformatter = VideoReformatter()
        self._kept: OrderedDict[Hashable, av.VideoFrame] = OrderedDict()
        self.drawn = 0

    def close(self) -> None:
        self._camera.close()

    def pictures(self, stretch: Stretch) -> Iterator[tuple[int, av.VideoFrame]]:
        """Composed pictures in order, each with the number of frames that it stands."""
        overlay = _Overlay(self._painter.width, self._painter.height)
        counts: deque[int] = deque()
        ground: tuple[av.VideoFrame, av.VideoFrame] | None = None
        for key, count, camera in self._changes(stretch):
            if ground is None or ground[0] is not camera:
                ground = camera, self._placing.placed(camera, self._camera.pixel_shape)
            counts.append(count)
            for frame in overlay.push(ground[1], self._layer(key)):
                yield counts.popleft(), frame
        for frame in overlay.finish():
            yield counts.popleft(), frame

    def _changes(self, stretch: Stretch) -> Iterator[tuple[Hashable, int, av.VideoFrame]]:
        """Key, number of frames and camera picture, as long as none of both changes."""
        number = stretch.first
        index = 0
        for run in stretch.runs:
            count, shown = 0, None
            for _ in range(run.count):
                index = _piece_at(self._pieces, number / self._rate, index)
                camera = self._camera.at(self._pieces[index].at(number / self._rate))
                if shown is not None and camera is not shown:
                    yield run.key, count, shown
                    count = 0
                shown = camera
                count += 1
                number += 1
            if shown is not None:
                yield run.key, count, shown

    def _layer(self, key: Hashable) -> av.VideoFrame:
        """The painter's picture as yuva420p; the last few are kept."""
        if key not in self._kept:
            self._kept[key] = to_yuva(self._reformatter, self._painter.rgba(key))
            self.drawn += 1
            while len(self._kept) > _KEPT:
                self._kept.popitem(last=False)
        self._kept.move_to_end(key)
        return self._kept[key]


def to_yuva(reformatter: VideoReformatter, rgba: NDArray[np.uint8]) -> av.VideoFrame:
    """A picture with straight alpha, shape (height, width, 4), as yuva420p in BT.709, limited range."""
    return reformatter.reformat(
        av.VideoFrame.from_numpy_buffer(np.ascontiguousarray(rgba), format="rgba"),
        format="yuva420p",
        interpolation=Interpolation.BICUBIC | Interpolation.ACCURATE_RND | Interpolation.FULL_CHR_H_INP,
        dst_colorspace=Colorspace.ITU709,
        dst_color_range="MPEG",
        threads=1,
    )


def _piece_at(plan: list[Piece], time: Fraction, index: int) -> int:
    while index + 1 < len(plan) and plan[index].end <= time:
        index += 1
    return index


class _Overlay:
    """FFmpeg's overlay filter. Composed pictures come late, but in order and one for one."""

    def __init__(self, width: int, height: int) -> None:
        self._graph = Graph()
        size = f"video_size={width}x{height}:time_base={_TICK}:colorspace=bt709:range=tv"
        self._ground = self._graph.add("buffer", f"{size}:pix_fmt=yuv420p")
        self._layer = self._graph.add("buffer", f"{size}:pix_fmt=yuva420p")
        overlay = self._graph.add("overlay", "format=yuv420")
        self._sink = self._graph.add("buffersink")
        self._ground.link_to(overlay, 0, 0)
        self._layer.link_to(overlay, 0, 1)
        overlay.link_to(self._sink)
        self._graph.configure()
        self._number = 0

    def push(self, ground: av.VideoFrame, layer: av.VideoFrame) -> Iterator[av.VideoFrame]:
        """One pair; gives what is ready."""
        for frame in (ground, layer):
            frame.pts, frame.time_base = self._number, _TICK
        self._ground.push(ground)
        self._layer.push(layer)
        self._number += 1
        yield from self._ready()

    def finish(self) -> Iterator[av.VideoFrame]:
        """The rest."""
        self._ground.push(None)
        self._layer.push(None)
        yield from self._ready()

    def _ready(self) -> Iterator[av.VideoFrame]:
        while True:
            try:
                frame = self._sink.pull()
            except (av.BlockingIOError, av.EOFError):
                return
            assert isinstance(frame, av.VideoFrame)
            yield frame

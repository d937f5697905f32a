"""RGB pictures to the film's YUV: each once, and of each only what differs from the one before."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable, Iterator
from typing import TYPE_CHECKING

import av
import numpy as np
from av.video.reformatter import Colorspace, Interpolation, VideoReformatter

if TYPE_CHECKING:
    from av.video.plane import VideoPlane
    from numpy.typing import NDArray

    from overlays.frames import Stretch
    from overlays.show import Painter

BT709 = 1
"""ITU-T H.273: primaries 1, transfer 1 and matrix 1 are BT.709."""
LIMITED = 1
"""FFmpeg's AVCOL_RANGE_MPEG: luma 16 to 235."""

_KEPT = 4
_REACH = 8
"""Pixels: a chroma sample is made of fewer than so many on each side (bicubic, two pixels a sample)."""
_STEP = 16


class Painted:
    """The painter's pictures as yuv420p, BT.709, limited range. The last few are kept."""

    def __init__(self, painter: Painter) -> None:
        self._painter = painter
        self._converter = Converter()
        self._kept: OrderedDict[Hashable, av.VideoFrame] = OrderedDict()
        self.drawn = 0

    def pictures(self, stretch: Stretch) -> Iterator[tuple[int, av.VideoFrame]]:
        """A stretch's pictures in order, each with the number of frames that it stands."""
        for run in stretch.runs:
            yield run.count, self.frame(run.key)

    def close(self) -> None:
        """Nothing is held open."""

    def frame(self, key: Hashable) -> av.VideoFrame:
        """The picture's frame. It is shared: set its time, send it, and do not change its pixels."""
        if key in self._kept:
            self._kept.move_to_end(key)
            return self._kept[key]
        frame = self._converter.frame(self._painter.rgb(key))
        self.drawn += 1
        self._kept[key] = frame
        while len(self._kept) > _KEPT:
            self._kept.popitem(last=False)
        return frame


class Converter:
    """Converts pictures of one size one after the other; the same pixels as ``to_yuv`` gives, sooner.

    The pictures must not be changed afterwards: the latest one is compared with the next.
    """

    def __init__(self) -> None:
        self._reformatter = VideoReformatter()
        self._latest: tuple[NDArray[np.uint8], av.VideoFrame] | None = None

    def frame(self, rgb: NDArray[np.uint8]) -> av.VideoFrame:
        """The picture, shape (height, width, 3), in the film's pixel format; a frame of its own."""
        before = self._latest
        box = _difference(before[0], rgb) if before and before[0].shape == rgb.shape else None
        if before is None or box is None:
            frame = to_yuv(self._reformatter, rgb)
        else:
            frame = self._changed(before[1], rgb, box)
        self._latest = rgb, frame
        return frame

    def _changed(self, before: av.VideoFrame, rgb: NDArray[np.uint8], box: tuple[int, int, int, int]) -> av.VideoFrame:
        """A copy of the frame before, with one rectangle (left, top, right, bottom) converted anew."""
        height, width = rgb.shape[:2]
        frame = av.VideoFrame(width, height, "yuv420p")
        frame.colorspace, frame.color_range = before.colorspace, before.color_range
        left, top, right, bottom = _grown(box, _REACH, width, height)
        x0, y0, x1, y1 = _grown((left, top, right, bottom), 2 * _REACH, width, height)
        part = to_yuv(self._reformatter, rgb[y0:y1, x0:x1])
        for number, (new, old, fresh) in enumerate(zip(frame.planes, before.planes, part.planes, strict=True)):
            pixels, shift = _pixels(new), 1 if number else 0
            pixels[:] = _pixels(old)
            rows, columns = slice(top >> shift, bottom >> shift), slice(left >> shift, right >> shift)
            inner = _pixels(fresh)[
                (top - y0) >> shift : (bottom - y0) >> shift, (left - x0) >> shift : (right - x0) >> shift
            ]
            pixels[rows, columns] = inner
        return frame


def _pixels(plane: VideoPlane) -> NDArray[np.uint8]:
    """A plane's pixels, shape (height, width), to be read and written."""
    pixels: NDArray[np.uint8] = np.frombuffer(memoryview(plane), np.uint8)
    return pixels.reshape(plane.height, plane.line_size)[:, : plane.width]


def _difference(one: NDArray[np.uint8], other: NDArray[np.uint8]) -> tuple[int, int, int, int] | None:
    """The rectangle (left, top, right, bottom) that holds all differences; None for half the picture or more."""
    height, width = one.shape[:2]
    a, b = (np.ascontiguousarray(p).reshape(height, -1) for p in (one, other))
    wide = 8 if width * 3 % 8 == 0 else 1
    if wide == 8:
        a, b = a.view(np.uint64), b.view(np.uint64)
    rows = np.flatnonzero((a != b).any(axis=1))
    if not len(rows):
        return 0, 0, 2, 2
    top, bottom = int(rows[0]), int(rows[-1]) + 1
    columns = np.flatnonzero((a[top:bottom] != b[top:bottom]).any(axis=0))
    left, right = int(columns[0]) * wide // 3, -(-(int(columns[-1]) + 1) * wide // 3)
    if 2 * (right - left) * (bottom - top) >= width * height:
        return None
    return left, top, min(right, width), bottom


def _grown(box: tuple[int, int, int, int], by: int, width: int, height: int) -> tuple[int, int, int, int]:
    """The rectangle with ``by`` more on each side as far as there is room, its edges on multiples of _STEP."""
    left, top, right, bottom = box
    return (
        max(0, left - by) // _STEP * _STEP,
        max(0, top - by) // _STEP * _STEP,
        min(width, -(-(right + by) // _STEP) * _STEP),
        min(height, -(-(bottom + by) // _STEP) * _STEP),
    )


def to_yuv(reformatter: VideoReformatter, rgb: NDArray[np.uint8]) -> av.VideoFrame:
    """An RGB picture, shape (height, width, 3), in the film's pixel format."""
    return reformatter.reformat(
        av.VideoFrame.from_numpy_buffer(np.ascontiguousarray(rgb), format="rgb24"),
        format="yuv420p",
        interpolation=Interpolation.BICUBIC | Interpolation.ACCURATE_RND | Interpolation.FULL_CHR_H_INP,
        dst_colorspace=Colorspace.ITU709,
        dst_color_range="MPEG",
        threads=1,
    )

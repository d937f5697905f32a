"""RGB pictures to the film's YUV, each once."""

from __future__ import annotations

from collections import OrderedDict
from collections.abc import Hashable, Iterator
from typing import TYPE_CHECKING

import av
import numpy as np
from av.video.reformatter import Colorspace, Interpolation, VideoReformatter

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from overlays.frames import Stretch
    from overlays.show import Painter

BT709 = 1
"""ITU-T H.273: primaries 1, transfer 1 and matrix 1 are BT.709."""
LIMITED = 1
"""FFmpeg's AVCOL_RANGE_MPEG: luma 16 to 235."""

_KEPT = 8


class Painted:
    """The painter's pictures as yuv420p, BT.709, limited range. The last few are kept."""

    def __init__(self, painter: Painter) -> None:
        self._painter = painter
        self._reformatter = VideoReformatter()
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
        frame = to_yuv(self._reformatter, self._painter.rgb(key))
        self.drawn += 1
        self._kept[key] = frame
        while len(self._kept) > _KEPT:
            self._kept.popitem(last=False)
        return frame


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

"""A flash meter over film frames: general and red flashes, WCAG 2.2, success criterion 2.3.1. A stream, fixed memory.

WCAG: not more than three general or red flashes in any second, unless the area
that flashes together is at most 25 % of any 341 x 256 px of a 1024 x 768
screen; the film is taken to fill that screen. A general flash is a pair of
opposing changes of relative luminance of 0.10 or more with the darker state
below 0.80; a red flash a pair of changes to or from a saturated red
(R/(R+G+B) >= 0.8, linear) with a step of more than 0.2 in CIE 1976 u'v'. A
fourth flash counts from its first half on (the seventh change within a second).
Flashing within these limits for more than five seconds is reported, too
(ITU-R BT.1702, quoted second-hand).

This is no certified analyser; broadcasters' own rules and tools decide.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING, Any

from timeline.recording import open_recording

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FIELD = (341, 256)
SCREEN = (1024, 768)
SHARE = 0.25
GRID = 640  # cells along the longer side of the picture: less than two reference pixels each
CHANGE = 0.10
DARKER = 0.80
RED = 0.80
STEP_UV = 0.20
CHANGES = 7
SECOND_MS = 1000
LONG_MS = 5000
WHITE_UV = (0.19784, 0.46834)  # D65; a black cell has no chromaticity of its own


@dataclass(frozen=True, slots=True)
class Flashing:
    """A stretch that flashes. ``kind``: "general", "red" or "long". ``share`` of the 10-degree field, at most 1."""

    kind: str
    start_ms: int
    end_ms: int
    share: float


@dataclass
class FlashMeter:
    """Feed frames in order with ``add``; read ``found`` after ``finish``. Frames like the one before may be left out.

    ``width`` and ``height`` are the film's in pixels. Frames come as uint8 RGB
    arrays of shape (rows, columns, 3), all of one shape, of the film's aspect;
    smaller ones (see ``grid_size``) are enough.
    """

    width: int
    height: int
    found: list[Flashing] = field(default_factory=list)
    _state: Any = None
    _open: dict[str, tuple[int, int, float]] = field(default_factory=dict)
    _calm: tuple[int, int, float] | None = None

    def grid_size(self) -> tuple[int, int]:
        """(columns, rows) to which frames may be reduced: less than two reference pixels a cell."""
        scale = min(1.0, GRID / max(self.width, self.height))
        return max(1, round(self.width * scale)), max(1, round(self.height * scale))

    def add(self, at_ms: int, frame: NDArray[np.uint8]) -> None:
        """One frame shown from ``at_ms``."""
        if self._state is None:
            self._state = _Cells(frame.shape[0], frame.shape[1], self._window(frame.shape[1], frame.shape[0]))
        general, red, slow = self._state.step(at_ms, frame)
        for kind, share in (("general", general), ("red", red)):
            if kind in self._open and at_ms - self._open[kind][1] > SECOND_MS:
                self._close(kind)
            if share > SHARE:
                start, _, most = self._open.get(kind, (max(0, at_ms - SECOND_MS), at_ms, share))
                self._open[kind] = (start, at_ms, max(most, share))
        self._slow(at_ms, slow)

    def _slow(self, at_ms: int, share: float) -> None:
        if share > SHARE:
            if self._calm is not None and at_ms - self._calm[1] <= SECOND_MS:
                self._calm = (self._calm[0], at_ms, max(self._calm[2], share))
            else:
                self._end_slow()
                self._calm = (at_ms, at_ms, share)

    def _end_slow(self) -> None:
        if self._calm is not None and self._calm[1] - self._calm[0] > LONG_MS:
            self.found.append(Flashing("long", *self._calm))
        self._calm = None

    def _close(self, kind: str) -> None:
        start, end, share = self._open.pop(kind)
        self.found.append(Flashing(kind, start, end, min(1.0, share)))

    def finish(self) -> list[Flashing]:
        """Everything found, in order of time; long flashing only where it is within the limits."""
        for kind in list(self._open):
            self._close(kind)
        self._end_slow()
        hard = [f for f in self.found if f.kind != "long"]
        self.found = sorted(
            (
                f
                for f in self.found
                if f.kind != "long" or not any(h.start_ms <= f.end_ms and f.start_ms <= h.end_ms for h in hard)
            ),
            key=lambda f: f.start_ms,
        )
        return self.found

    def _window(self, columns: int, rows: int) -> tuple[int, int]:
        """Columns and rows of the 10-degree field in a frame of this size."""
        scale = max(self.width / SCREEN[0], self.height / SCREEN[1])
        across = FIELD[0] * scale * columns / self.width
        down = FIELD[1] * scale * rows / self.height
        return max(1, min(columns, round(across))), max(1, min(rows, round(down)))


class _Cells:
    """What is remembered of every cell: the last extreme, the times of its last changes, its last colour.

    All arrays are flat, one entry a cell; a frame is worked on only where it differs from the one before.
    """

    def __init__(self, rows: int, columns: int, window: tuple[int, int]) -> None:
        import numpy as np

        self.shape = (rows, columns)
        count = rows * columns
        codes = np.arange(256) / 255
        self.linear = np.where(codes <= 0.04045, codes / 12.92, ((codes + 0.055) / 1.055) ** 2.4).astype(np.float32)
        self.window = window
        self.before: NDArray[np.uint8] | None = None
        self.low = np.zeros(count, np.float32)
        self.high = np.zeros(count, np.float32)
        self.rising = np.zeros(count, np.int8)
        self.times = np.full((CHANGES, count), -1e9, np.float32)
        self.red_times = np.full((CHANGES, count), -1e9, np.float32)
        self.u = np.zeros(count, np.float32)
        self.v = np.zeros(count, np.float32)
        self.red = np.zeros(count, bool)
        self.any_red = False

    def step(self, at_ms: int, frame: NDArray[np.uint8]) -> tuple[float, float, float]:
        """Shares of the field that flash too often (general, red), and that flash at all (once a second)."""
        import numpy as np

        flat = frame.reshape(-1, 3)
        first = self.before is None
        if self.before is None:
            where = np.arange(len(flat))
        else:
            other = flat != self.before
            where = np.flatnonzero(other[:, 0] | other[:, 1] | other[:, 2])
        if not len(where):
            return 0.0, 0.0, 0.0
        r, g, b = (self.linear[flat[where, i]] for i in range(3))
        light = 0.2126 * r + 0.7152 * g + 0.0722 * b
        red = (r >= RED * (r + g + b)) & (r > 0.01)
        if not self.any_red and red.any():
            # Colours are followed only from the first red on: take those of the frame before it.
            self.any_red = True
            old = flat if self.before is None else self.before
            self.u[:], self.v[:] = _chromaticity(*(self.linear[old[:, i]] for i in range(3)))
        self.before = flat.copy()
        if first:
            self.low[:], self.high[:] = light, light
            self.red[:] = red
            return 0.0, 0.0, 0.0
        general = slow = 0.0
        changed = self._luminance(where, light)
        if len(changed):
            self._note(self.times, changed, at_ms)
            general = self._share(at_ms - self.times[CHANGES - 1] < SECOND_MS)
            slow = self._share(at_ms - self.times[1] < SECOND_MS)
        reds = 0.0
        turned = self._chroma(where, _chromaticity(r, g, b), red)
        if len(turned):
            self._note(self.red_times, turned, at_ms)
            reds = self._share(at_ms - self.red_times[CHANGES - 1] < SECOND_MS)
        return general, reds, slow

    def _luminance(self, where: NDArray[np.intp], light: NDArray[np.float32]) -> NDArray[np.intp]:
        """The cells that completed a change of 0.10 against the direction of their last one."""
        import numpy as np

        low, high = np.minimum(self.low[where], light), np.maximum(self.high[where], light)
        rising = self.rising[where]
        up = (rising <= 0) & (light - low >= CHANGE - 1e-6) & (low < DARKER)
        down = (rising >= 0) & (high - light >= CHANGE - 1e-6) & (light < DARKER)
        turned = up | down
        rising[up], rising[down] = 1, -1
        low[turned], high[turned] = light[turned], light[turned]
        self.low[where], self.high[where], self.rising[where] = low, high, rising
        return where[turned]

    def _chroma(self, where: NDArray[np.intp], uv: tuple[Any, Any], red: NDArray[np.bool_]) -> NDArray[np.intp]:
        """The cells that changed to or from a saturated red; others take the new colour."""
        import numpy as np

        if not self.any_red:
            return where[:0]
        u, v = uv
        was = self.red[where]
        turned = (np.hypot(u - self.u[where], v - self.v[where]) > STEP_UV) & (red | was)
        taken = turned | ~(was | red)
        cells = where[taken]
        self.u[cells], self.v[cells], self.red[cells] = u[taken], v[taken], red[taken]
        result: NDArray[np.intp] = where[turned]
        return result

    def _note(self, times: NDArray[np.float32], where: NDArray[np.intp], at_ms: int) -> None:
        """The newest change first."""
        times[1:, where] = times[:-1, where]
        times[0, where] = at_ms

    def _share(self, cells: NDArray[np.bool_]) -> float:
        """The largest share of a 10-degree field that these cells fill, wherever the field lies."""
        import numpy as np

        if not cells.any():
            return 0.0
        cells = cells.reshape(self.shape)
        across, down = self.window
        sums = np.zeros((cells.shape[0] + 1, cells.shape[1] + 1), np.int32)
        sums[1:, 1:] = cells.cumsum(0, dtype=np.int32).cumsum(1, dtype=np.int32)
        inside = sums[down:, across:] - sums[:-down, across:] - sums[down:, :-across] + sums[:-down, :-across]
        return float(inside.max()) / (across * down)


def _chromaticity(r: Any, g: Any, b: Any) -> tuple[Any, Any]:
    """CIE 1976 u', v' of linear sRGB; a black cell has the white point's."""
    import numpy as np

    x = 0.4124564 * r + 0.3575761 * g + 0.1804375 * b
    y = 0.2126729 * r + 0.7151522 * g + 0.0721750 * b
    z = 0.0193339 * r + 0.1191920 * g + 0.9503041 * b
    whole = x + 15 * y + 3 * z
    dark = whole < 1e-4
    whole = np.where(dark, 1, whole)
    return np.where(dark, WHITE_UV[0], 4 * x / whole), np.where(dark, WHITE_UV[1], 9 * y / whole)


def measure_flashes(
    path: Path, *, name: str | None = None, progress: Callable[[int, int], None] | None = None
) -> list[Flashing]:
    """Flashes in a film file's first picture stream. Raises RecordingError; empty when it has no picture."""
    import av

    with open_recording(path, name=name) as container:
        if not container.streams.video:
            return []
        stream = container.streams.video[0]
        stream.thread_type = "AUTO"
        meter = FlashMeter(stream.codec_context.width, stream.codec_context.height)
        columns, rows = meter.grid_size()
        whole = round(float(stream.duration * stream.time_base) * 1000) if stream.duration and stream.time_base else 0
        before: tuple[bytes, ...] = ()
        for at_ms, frame in _frames(container, stream):
            planes = tuple(bytes(plane) for plane in frame.planes)
            if planes == before:
                continue  # our own films stand still most of the time
            before = planes
            small = frame.reformat(columns, rows, "rgb24", interpolation=av.video.reformatter.Interpolation.AREA)
            meter.add(at_ms, small.to_ndarray())
            if progress is not None:
                progress(min(at_ms, whole), whole)
        return meter.finish()


def _frames(container: Any, stream: Any) -> Iterator[tuple[int, Any]]:
    for frame in container.decode(stream):
        if frame.time is not None:
            yield round(frame.time * 1000), frame


def measure_frames(frames: Iterable[tuple[int, NDArray[np.uint8]]], width: int, height: int) -> list[Flashing]:
    """Flashes in frames that are at hand: (ms, RGB array)."""
    meter = FlashMeter(width, height)
    for at_ms, frame in frames:
        meter.add(at_ms, frame)
    return meter.finish()

"""How well the sounds of the acoustic model fit what is heard: its Gaussian mixtures, worked out in NumPy.

The figures are those of pocketsphinx's own evaluation (phonetically tied
mixtures: the four best of 128 densities a phone and stream, weighted anew for
each of its senones) but for its rounding, in less than half the time: matrix
products take many frames at once.
"""

from __future__ import annotations

import math
import struct
from pathlib import Path
from typing import TYPE_CHECKING

from timeline.transcript.pronounce import model_folder

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_LOG = math.log(1.0001)
UNIT = 1024 * _LOG
"""Scores are logs to base 1.0001 shifted by 10 bits, in natural log units: about 0.1."""
STREAM = 13
"""Figures a stream: a frame's cepstra, their rise, and the rise of that."""
_STREAMS = 3
_SPREAD = (14.4, 17.4, 13.6, 18.1, 16.7, 14.1, 15.3, 14.6, 14.0, 14.1, 12.8, 12.0, 11.2)
"""Standard deviations of the cepstra by the model's own means and variances, all phones alike and a fifth silence."""
_DRAWN, _MOST_DRAWN = 0.7, 3.0
_TOP = 4
_FLOOR = 96 * UNIT  # no density is held to be worse than the best by more
_LEAST_VARIANCE = 1e-4
_FRAMES = 125  # at once: what fits a processor's cache
_END_OF_HEAD = b"endhdr\n"
_BYTE_ORDER = 4


def hmm_folder() -> Path:
    """The acoustic model in pocketsphinx's wheel."""
    folder = model_folder()
    if folder is None:
        raise RuntimeError("pocketsphinx is installed without its US-English model")
    return folder / "en-us"


def features(cepstra: NDArray[np.float32]) -> NDArray[np.float32]:
    """(frames, 39): cepstra less their mean, how they rise around each frame, and how that rises.

    Noise and music lie over a voice's quiet sounds and so press its cepstra
    together, which makes every sound look like every other: they are drawn out
    again, most of the way to what the model was trained with (a milder form of
    variance normalisation, Viikki and Laurila, Speech Communication 1998).
    A clear recording stays as it is.
    """
    import numpy as np

    middle = cepstra - cepstra.mean(axis=0)
    spread = np.maximum(middle.std(axis=0), 1e-3)
    middle *= np.clip((np.array(_SPREAD, np.float32) / spread) ** _DRAWN, 1, _MOST_DRAWN)
    wide = np.concatenate((np.repeat(middle[:1], 3, axis=0), middle, np.repeat(middle[-1:], 3, axis=0)))

    def at(step: int) -> NDArray[np.float32]:
        return wide[3 + step : 3 + step + len(middle)]

    return np.concatenate((middle, at(2) - at(-2), at(3) - at(-1) - at(1) + at(-3)), axis=1)


class Mixtures:
    """The densities of all phones and their weights in each senone."""

    def __init__(self, folder: Path, phone_of: NDArray[np.int64]) -> None:
        """``phone_of``: the phone that each senone belongs to."""
        import numpy as np

        means, spreads = (_parameters(folder / name) for name in ("means", "variances"))
        weights = _weights(folder / "sendump")
        self._phones, streams, self._densities, size = means.shape
        if (streams, size) != (_STREAMS, STREAM) or weights.shape != (streams, self._densities, len(phone_of)):
            raise RuntimeError(f"{folder} is not the acoustic model that this version reads")
        spreads = np.maximum(spreads, _LEAST_VARIANCE)
        # pocketsphinx keeps whole numbers here, which tells where they are small.
        half = np.trunc(0.5 / spreads / _LOG) * _LOG
        level = -0.5 * np.log(2 * math.pi * spreads).sum(axis=-1) - (half * means**2).sum(axis=-1)
        # -(x - mean)² / 2 variance, taken apart into what is multiplied with x, x² and 1.
        parts = np.concatenate((2 * half * means, -half, level[..., None]), axis=-1)
        self._parts = [parts[:, f].reshape(-1, 2 * size + 1).T.astype(np.float32) for f in range(streams)]
        self._senones = [np.flatnonzero(phone_of == phone) for phone in range(self._phones)]
        self._order = np.argsort(np.concatenate(self._senones))
        share = np.exp(np.float32(-UNIT) * np.arange(256, dtype=np.float32))
        self._shares = [[share[weights[f][:, own]] for own in self._senones] for f in range(streams)]

    def misfits(self, frames: NDArray[np.float32]) -> NDArray[np.int16]:
        """(frames, senones): how much worse than the frame's best each senone is, in ``UNIT``; 0 is the best."""
        import numpy as np

        found = np.empty((len(frames), len(self._order)), np.int16)
        wide = min(_FRAMES, len(frames))
        room = _Room(wide, self._phones, self._densities, len(self._order))
        for at in range(0, len(frames), _FRAMES):
            some = frames[at : at + _FRAMES]
            fits = self._fits(some, room if len(some) == wide else room.of(len(some)))
            fits -= fits.max(axis=1, keepdims=True)
            fits *= np.float32(-1 / UNIT)
            found[at : at + _FRAMES] = np.rint(fits, out=fits)[:, self._order]
        return found

    def _fits(self, frames: NDArray[np.float32], room: _Room) -> NDArray[np.float32]:
        """Log likelihoods, senones phone by phone, but for a constant a frame."""
        import numpy as np

        room.fits[:] = 0
        for f, parts in enumerate(self._parts):
            x = frames[:, f * STREAM : (f + 1) * STREAM]
            near = np.matmul(np.concatenate((x, x * x, np.ones((len(x), 1), np.float32)), axis=1), parts, out=room.flat)
            near -= near.max(axis=1, keepdims=True)
            np.copyto(room.ordered, room.near)
            room.ordered.sort(axis=-1)
            np.greater_equal(room.near, room.ordered[:, :, -_TOP, None], out=room.top)
            np.exp(np.maximum(near, np.float32(-_FLOOR), out=near), out=near)
            np.multiply(room.near.transpose(1, 0, 2), room.top.transpose(1, 0, 2), out=room.by_phone)
            at = 0
            for densities, shares in zip(room.by_phone, self._shares[f], strict=True):
                np.matmul(densities, shares, out=room.stream[:, at : at + shares.shape[1]])
                at += shares.shape[1]
            room.fits += np.log(room.stream, out=room.stream)
        return room.fits


class _Room:
    """Arrays for some frames, made once: fresh ones for every product would take as long as the product."""

    def __init__(self, frames: int, phones: int, densities: int, senones: int) -> None:
        import numpy as np

        self._shape = phones, densities, senones
        self.flat = np.empty((frames, phones * densities), np.float32)
        self.near = self.flat.reshape(frames, phones, densities)
        self.ordered = np.empty_like(self.near)
        self.top = np.empty(self.near.shape, np.bool_)
        self.by_phone = np.empty((phones, frames, densities), np.float32)
        self.stream, self.fits = (np.empty((frames, senones), np.float32) for _ in range(2))

    def of(self, frames: int) -> _Room:
        return _Room(frames, *self._shape)


def _parameters(path: Path) -> NDArray[np.float64]:
    """(phones, streams, densities, figures a stream) of a ``means`` or ``variances`` file."""
    import numpy as np

    data = path.read_bytes()
    at = data.index(_END_OF_HEAD) + len(_END_OF_HEAD) + _BYTE_ORDER
    phones, streams, densities = struct.unpack_from("<3i", data, at)
    sizes = struct.unpack_from(f"<{streams}i", data, at + 12)
    at += 16 + 4 * streams
    if len(set(sizes)) != 1 or len(data) < at + 4 * phones * densities * sum(sizes):
        raise RuntimeError(f"{path} is not the acoustic model that this version reads")
    flat = np.frombuffer(data, "<f4", phones * densities * sum(sizes), at)
    return flat.reshape(phones, streams, densities, sizes[0]).astype(np.float64)


def _weights(path: Path) -> NDArray[np.uint8]:
    """(streams, densities, senones) of a ``sendump`` file: how rare each density is in a senone, in ``UNIT``."""
    import numpy as np

    data = path.read_bytes()
    at = 0
    while length := struct.unpack_from("<i", data, at)[0]:
        at += 4 + length
    densities, senones = struct.unpack_from("<2i", data, at + 4)
    return np.frombuffer(data, np.uint8, _STREAMS * densities * senones, at + 12).reshape(_STREAMS, densities, senones)

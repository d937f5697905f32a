"""How well each sound of US English fits each hundredth of a second: pocketsphinx's acoustic model, frame by frame.

pocketsphinx (Huggins-Daines et al., ICASSP 2006) and the US-English model in
its wheel do the acoustic work: it writes the cepstra of a stretch of sound,
the model's mixtures score all its tied states (senones) with them, and the
model's own table says which three of them make up a phone between two others.
"""

from __future__ import annotations

import shutil
import struct
import tempfile
import weakref
from collections.abc import Sequence
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from timeline.problems import OutputError
from timeline.transcript.mixtures import STREAM, Mixtures, features, hmm_folder
from timeline.transcript.sound import RATE

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

FRAME_MS = 10
SILENCE = "SIL"
QUIET = (SILENCE, "+NSN+")
"""What may stand for a pause: silence, and noise that is no speech."""
_INSIDE, _BEGIN, _END, _SINGLE = range(4)
_HOP = RATE * FRAME_MS // 1000
_CHUNK = 2000
_SEAM = 20
_LAST_FRAMES = 4
_COUNT, _CEPSTRUM = 4, 4  # bytes
_NOTHING = 16  # of 32768: -66 dB of full scale


class PhoneTable:
    """Which senones stand for a phone, by its neighbours and its place in the word (the model's ``mdef`` file)."""

    def __init__(self, path: Path) -> None:
        import numpy as np

        data = path.read_bytes()
        magic, version, told = struct.unpack_from("<4sii", data)
        if magic != b"BMDF" or version != 1:
            raise RuntimeError(f"{path} is not the phone table that this version reads")
        at = 12 + told
        names, phones, states, plain, self.senones, _, _, _, tree, _ = struct.unpack_from("<10i", data, at)
        at += 40
        self.phones: dict[str, int] = {}
        for k in range(names):
            end = data.index(b"\0", at)
            self.phones[data[at:end].decode("ascii")] = k
            at = end + 1
        at = (at + 3) // 4 * 4 + 8 * tree
        row = np.dtype([("states", "<i4"), ("moves", "<i4"), ("place", "u1"), ("near", "u1", 3)])
        table = np.frombuffer(data, row, phones, at)
        at += row.itemsize * phones
        count = struct.unpack_from("<i", data, at)[0]
        self._states = np.frombuffer(data, "<u2", count, at + 4).reshape(-1, states)
        self.plain = plain
        self._alone = table["states"][:names]
        near = table["near"][names:].astype(np.int64)
        key = ((near[:, 0] * names + near[:, 1]) * names + near[:, 2]) * 4 + table["place"][names:]
        order = np.argsort(key, kind="stable")
        self._keys, self._found = key[order], table["states"][names:][order]
        self._names = names

    def phone_of(self) -> NDArray[np.int64]:
        """The phone of each senone, by number."""
        import numpy as np

        phones = np.empty(self.senones, np.int64)
        phones[self._states[self._alone]] = np.arange(self._names)[:, None]
        phones[self._states[self._found]] = (self._keys // (4 * self._names**2))[:, None]
        return phones

    def alone(self, phone: str) -> list[int]:
        """The senones of a phone whatever stands beside it."""
        return [int(s) for s in self._states[self._alone[self.phones[phone]]]]

    def between(self, phone: str, before: str, after: str, place: int) -> list[int]:
        """The senones of a phone between two others; those of the phone alone where the model has not met it so."""
        import numpy as np

        for where in dict.fromkeys((place, _INSIDE, _BEGIN, _END, _SINGLE)):
            key = self.phones[phone]
            for neighbour in (before, after):
                key = key * self._names + self.phones[neighbour]
            key = key * 4 + where
            at = int(np.searchsorted(self._keys, key))
            if at < len(self._keys) and self._keys[at] == key:
                return [int(s) for s in self._states[self._found[at]]]
        return self.alone(phone)

    def word(self, phones: Sequence[str], before: str, after: str) -> list[int]:
        """The senones of a word between two phones, in order."""
        last = len(phones) - 1
        found: list[int] = []
        for k, phone in enumerate(phones):
            place = _SINGLE if last == 0 else _BEGIN if k == 0 else _END if k == last else _INSIDE
            found += self.between(phone, phones[k - 1] if k else before, phones[k + 1] if k < last else after, place)
        return found


@lru_cache(maxsize=1)
def phone_table() -> PhoneTable:
    """The table of the model in the wheel."""
    return PhoneTable(hmm_folder() / "mdef")


@lru_cache(maxsize=1)
def _mixtures() -> Mixtures:
    return Mixtures(hmm_folder(), phone_table().phone_of())


def _no_room(folder: Path) -> OutputError:
    """pocketsphinx does not say when its scores cannot be written."""
    return OutputError.of(
        "cannot-write",
        "what was heard could not be written to the folder for temporary files",
        file=str(folder),
        fix="free some 10 MB there, or set TMPDIR to another folder",
    )


class Ear:
    """Scores stretches of sound. Not thread-safe; a stretch's scores do not depend on those before it."""

    def __init__(self) -> None:
        import pocketsphinx

        self.scratch = folder = Path(tempfile.mkdtemp(prefix="plyline-"))
        weakref.finalize(self, shutil.rmtree, folder, ignore_errors=True)
        words = folder / "words.dict"
        words.write_text("a AH\n", encoding="ascii")
        self._decoder: Any = pocketsphinx.Decoder(
            hmm=str(hmm_folder()), dict=str(words), lm=None, bestpath=False, loglevel="FATAL", mfclogdir=str(folder)
        )  # fmt: skip
        # A search that costs nothing: the cepstra are all that is wanted.
        decoder = self._decoder
        decoder.add_fsg("none", decoder.create_fsg("none", 0, 1, [(0, 1, 1.0, "a")]))
        decoder.activate_search("none")

    def scores(self, sound: NDArray[np.int16]) -> NDArray[np.int16]:
        """(frames, senones): how much worse than the frame's best each senone is, in ``UNIT``; 0 is the best."""
        import numpy as np

        decoder = self._decoder
        try:
            decoder.start_utt()
        except RuntimeError:
            raise _no_room(self.scratch) from None
        decoder.process_raw(sound.tobytes(), no_search=True, full_utt=True)
        decoder.end_utt()
        path = next(self.scratch.glob("*.mfc"), None)
        if path is None:
            raise _no_room(self.scratch)
        data = path.read_bytes()
        path.unlink()
        frames = (len(data) - _COUNT) // (_CEPSTRUM * STREAM)
        cepstra = np.frombuffer(data, ">f4", frames * STREAM, _COUNT).reshape(frames, STREAM)
        return _mixtures().misfits(features(cepstra.astype(np.float32)))


class SoundScores:
    """A recording's scores, chunk by chunk as they are asked for; only the last few chunks are kept.

    A chunk's frames are scored with a little sound on both sides, so that
    chunks join without a seam.
    """

    def __init__(self, samples: NDArray[np.int16]) -> None:
        self._samples = samples
        self._ear = Ear()
        self._kept: dict[int, NDArray[np.int16]] = {}
        self.frames = len(samples) // _HOP

    def between(self, first: int, last: int) -> NDArray[np.int16]:
        """(``last - first``, senones): the scores of frames ``first`` to ``last`` (exclusive)."""
        import numpy as np

        last = min(last, self.frames)
        chunks = range(first // _CHUNK, -(-last // _CHUNK))
        self._kept = {k: v for k, v in self._kept.items() if k in chunks}
        parts = []
        for k in chunks:
            if k not in self._kept:
                self._kept[k] = self._chunk(k)
            parts.append(self._kept[k][max(0, first - k * _CHUNK) : last - k * _CHUNK])
        return np.concatenate(parts)

    def silent(self, first: int, last: int) -> bool:
        """Whether there is nothing to hear in these frames, not even a quiet room."""
        sound = self._samples[first * _HOP : last * _HOP]
        return not len(sound) or max(int(sound.max()), -int(sound.min())) < _NOTHING

    def _chunk(self, k: int) -> NDArray[np.int16]:
        import numpy as np

        first, last = k * _CHUNK, min((k + 1) * _CHUNK, self.frames)
        start = max(0, first - _SEAM)
        rows = self._ear.scores(self._samples[start * _HOP : (last + _SEAM) * _HOP])[first - start :]
        short = last - first - len(rows)
        if short > _LAST_FRAMES:
            raise _no_room(self._ear.scratch)
        # The last frames need sound beyond the recording's end: they are taken to go on as the last one that had it.
        return np.concatenate((rows, np.repeat(rows[-1:], short, axis=0))) if short > 0 else rows[: last - first]

"""The film in parts of a few seconds: made once, kept, and used again after a stop or a small change."""

from __future__ import annotations

import contextlib
import hashlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TYPE_CHECKING

import av

from overlays.frames import Stretch
from overlays.skipslice import encode_skip
from overlays.wholefile import whole_file
from overlays.x264 import Coding, add_video, encode_plain

if TYPE_CHECKING:
    from overlays.packets import AnyPacket
    from overlays.x264 import Pictures

SYNCS = 5
"""Sync intervals in one part: ten seconds of film are lost at most."""
_SUFFIX = ".part.mp4"


@dataclass
class Parts:
    """A folder of film parts. ``look`` names everything that decides the pictures besides their keys."""

    folder: Path
    look: str
    made: int = 0
    used: set[Path] = field(default_factory=set)

    def get(self, stretch: Stretch, coding: Coding, pictures: Callable[[Stretch], Pictures], basis: str = "") -> Path:
        """The part's file; made unless it is there. ``basis`` names what else it depends on."""
        path = self.folder / (self._name(stretch, coding, basis) + _SUFFIX)
        if path not in self.used and not _readable(path, stretch.frames):
            with whole_file(path) as temporary:
                _write(temporary, coding, pictures(stretch))
            self.made += 1
        self.used.add(path)
        return path

    def prune(self) -> None:
        """Remove the parts of earlier films that this one did not use."""
        for path in self.folder.glob("*" + _SUFFIX):
            if path not in self.used:
                with contextlib.suppress(OSError):
                    path.unlink()

    def _name(self, stretch: Stretch, coding: Coding, basis: str) -> str:
        digest = hashlib.blake2b(digest_size=16)
        digest.update(repr((self.look, basis, coding, av.library_versions, av.__version__)).encode())
        for run in stretch.runs:
            digest.update(f"{run.count} {run.key!r}\n".encode())
        return digest.hexdigest()


def packets(path: Path) -> Iterator[AnyPacket]:
    """A part's packets, times counted from its first frame."""
    with av.open(str(path)) as container:
        for packet in container.demux(container.streams.video[0]):
            if packet.size:
                yield packet


def _write(path: Path, coding: Coding, pictures: Pictures) -> None:
    container = av.open(str(path), "w", format="mp4")
    try:
        stream = add_video(container, coding)
        encode = encode_skip if coding.mode == "skip" else encode_plain
        for packet in encode(stream, coding, pictures):
            container.mux(packet)
    finally:
        container.close()


def _readable(path: Path, frames: int) -> bool:
    try:
        with av.open(str(path)) as container:
            return container.streams.video[0].frames == frames
    except (OSError, av.FFmpegError, IndexError):
        return False

"""Encoding changed pictures only: every repeated frame is a hand-made slice of skipped macroblocks."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from dataclasses import dataclass
from enum import Enum, auto
from typing import TYPE_CHECKING

import av
from av.video.frame import PictureType

from overlays.h264 import Parameters

if TYPE_CHECKING:
    from av.video.stream import VideoStream

    from overlays.packets import AnyPacket
    from overlays.x264 import Coding, Pictures


class Kind(Enum):
    """What a frame that is not a repeat becomes."""

    SYNC = auto()
    CHANGE = auto()
    SYNC_AGAIN = auto()
    """The picture of the sync frame before, nothing changed between: the same bytes once more."""


@dataclass(frozen=True, slots=True)
class Step:
    """One frame that is not a repeat, and how many repeats follow it."""

    frame: int
    kind: Kind
    repeats: int


def steps(first: int, count: int, sync: int) -> Iterator[Step]:
    """What becomes of ``count`` equal frames from number ``first`` on, with a sync frame at every ``sync``th.

    >>> [(s.frame, s.kind.name, s.repeats) for s in steps(3, 6, 4)]
    [(3, 'CHANGE', 0), (4, 'SYNC', 3), (8, 'SYNC_AGAIN', 0)]
    """
    frame, end = first, first + count
    kind = Kind.CHANGE if first % sync else Kind.SYNC
    while frame < end:
        stop = min(end, (frame // sync + 1) * sync)
        yield Step(frame, kind, stop - frame - 1)
        kind = Kind.SYNC if kind is Kind.CHANGE else Kind.SYNC_AGAIN
        frame = stop


def encode_skip(stream: VideoStream, coding: Coding, pictures: Pictures) -> Iterator[AnyPacket]:
    """Packets of a film part: x264's for changes, ours for repeats. Every ``coding.sync`` frames an IDR picture."""
    writer = _Writer(stream, coding)
    first = 0
    for count, frame in pictures:
        for step in steps(first, count, coding.sync):
            writer.waiting.append(step)
            if step.kind is not Kind.SYNC_AGAIN:
                frame.pts, frame.time_base = step.frame, 1 / coding.rate
                frame.pict_type = PictureType.I if step.kind is Kind.SYNC else PictureType.NONE
                writer.coded.extend(bytes(packet) for packet in stream.encode(frame))
            yield from writer.ready()
        first += count
    writer.coded.extend(bytes(packet) for packet in stream.encode(None))
    yield from writer.ready()


class _Writer:
    """Puts x264's packets, which come late but in order, and the repeats into one row."""

    def __init__(self, stream: VideoStream, coding: Coding) -> None:
        self.waiting: deque[Step] = deque()
        self.coded: deque[bytes] = deque()
        self._stream = stream
        self._tick = 1 / coding.rate
        self._parameters: Parameters | None = None
        self._repeats: list[bytes] = []
        self._number = 0  # frame_num of the next picture (7.4.3): counts references since the IDR
        self._sync = b""

    def ready(self) -> Iterator[AnyPacket]:
        """All packets that can be written by now."""
        while self.waiting and (self.coded or self.waiting[0].kind is Kind.SYNC_AGAIN):
            step = self.waiting.popleft()
            parameters = self._read_parameters()
            if step.kind is Kind.CHANGE:
                data = parameters.renumbered(self.coded.popleft(), self._number)
            else:
                self._number = 0
                if step.kind is Kind.SYNC:
                    self._sync = parameters.renumbered(self.coded.popleft(), 0)
                data = self._sync
            yield self._packet(data, step.frame, step.kind is not Kind.CHANGE)
            for repeat in range(1, step.repeats + 1):
                yield self._packet(self._repeats[self._number % len(self._repeats)], step.frame + repeat, False)

    def _read_parameters(self) -> Parameters:
        if self._parameters is None:
            self._parameters = Parameters.read(bytes(self._stream.codec_context.extradata or b""))
            self._repeats = [self._parameters.skip_slice(n) for n in range(1 << self._parameters.frame_num_bits)]
        return self._parameters

    def _packet(self, data: bytes, frame: int, sync: bool) -> AnyPacket:
        self._number += 1
        packet = av.Packet(data)
        packet.stream = self._stream
        packet.time_base = self._tick
        packet.pts = packet.dts = frame
        packet.duration = 1
        packet.is_keyframe = sync
        return packet

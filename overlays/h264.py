"""Just enough of H.264's syntax (ITU-T H.264, 08/2021) to write slices that repeat a picture.

Clause numbers refer to that text: NAL units 7.3.1, sequence parameters
7.3.2.1.1, picture parameters 7.3.2.2, slice header 7.3.3, slice data 7.3.4,
Exp-Golomb codes 9.1. Streams are in Annex B's byte form.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

SLICE, SYNC_SLICE, SEQUENCE, PICTURE = 1, 5, 7, 8
"""NAL unit types (table 7-1) that matter here."""
_START = b"\0\0\1"
_HIGH_PROFILES = (100, 110, 122, 244)
_HEAD = 24
"""Bytes that hold a slice header up to frame_num, with room to spare."""


class Unsupported(ValueError):
    """The stream uses something that hand-made slices do not provide for."""


class Bits:
    """Reading bits from the front, of bytes without emulation prevention."""

    def __init__(self, data: bytes) -> None:
        self._value = int.from_bytes(data, "big")
        self._length = len(data) * 8
        self.at = 0

    def u(self, count: int) -> int:
        """``count`` bits, unsigned."""
        self.at += count
        if self.at > self._length:
            raise Unsupported("the syntax ends early")
        return (self._value >> (self._length - self.at)) & ((1 << count) - 1)

    def ue(self) -> int:
        """Exp-Golomb, unsigned (9.1)."""
        zeros = 0
        while not self.u(1):
            zeros += 1
        return (1 << zeros) - 1 + (self.u(zeros) if zeros else 0)

    def se(self) -> int:
        """Exp-Golomb, signed (9.1.1)."""
        code = self.ue()
        return (code + 1) // 2 if code & 1 else -(code // 2)


def ue(value: int) -> str:
    """The unsigned Exp-Golomb code as a text of bits.

    >>> [ue(n) for n in (0, 1, 2, 3)]
    ['1', '010', '011', '00100']
    """
    bits = f"{value + 1:b}"
    return "0" * (len(bits) - 1) + bits


def unescaped(data: bytes) -> bytes:
    """Without emulation prevention bytes (7.4.1)."""
    return data.replace(b"\0\0\3", b"\0\0")


def escaped(data: bytes) -> bytes:
    """With emulation prevention bytes: never 00 00 followed by 00..03 (7.4.1)."""
    result = bytearray()
    zeros = 0
    for byte in data:
        if zeros >= 2 and byte <= 3:
            result.append(3)
            zeros = 0
        result.append(byte)
        zeros = zeros + 1 if byte == 0 else 0
    return bytes(result)


def nal_units(stream: bytes) -> Iterator[bytes]:
    """The NAL units of a byte stream (Annex B), without start codes."""
    begin = stream.find(_START)
    while begin >= 0:
        begin += len(_START)
        end = stream.find(_START, begin)
        yield (stream[begin:] if end < 0 else stream[begin:end]).rstrip(b"\0")
        begin = end


@dataclass(frozen=True, slots=True)
class Parameters:
    """What the parameter sets say that a slice header depends on."""

    frame_num_bits: int
    macroblocks: int
    deblocking_told: bool

    @classmethod
    def read(cls, extradata: bytes) -> Parameters:
        """From both parameter sets. Raises Unsupported for streams that hand-made slices do not fit."""
        units = {unit[0] & 31: Bits(unescaped(unit[1:])) for unit in nal_units(extradata)}
        if SEQUENCE not in units or PICTURE not in units:
            raise Unsupported("the parameter sets are missing")
        frame_num_bits, macroblocks = _sequence(units[SEQUENCE])
        return cls(frame_num_bits, macroblocks, _picture(units[PICTURE]))

    def skip_slice(self, frame_num: int) -> bytes:
        """A whole picture of skipped macroblocks: the one before, once more (a P slice, used for reference)."""
        bits = ue(0) + ue(5) + ue(0)  # first macroblock, P in the whole picture, picture parameter set
        bits += f"{frame_num % (1 << self.frame_num_bits):0{self.frame_num_bits}b}"
        bits += "000"  # default reference count, list in its order, oldest reference leaves
        bits += ue(0)  # quantiser as told
        if self.deblocking_told:
            bits += ue(1)  # no filter: nothing was coded
        bits += ue(self.macroblocks) + "1"  # skip them all; stop bit
        bits += "0" * (-len(bits) % 8)
        nal = bytes([2 << 5 | SLICE]) + int(bits, 2).to_bytes(len(bits) // 8, "big")
        return b"\0" + _START + escaped(nal)

    def renumbered(self, packet: bytes, frame_num: int) -> bytes:
        """An encoder's packet with another frame_num in its slice; parameter sets inside are dropped."""
        result = b""
        slices = 0
        for unit in nal_units(packet):
            kind = unit[0] & 31
            if kind in (SEQUENCE, PICTURE):
                continue
            if kind in (SLICE, SYNC_SLICE):
                slices += 1
                unit = self._with_number(unit, frame_num)
            result += b"\0" + _START + unit
        if slices != 1:
            raise Unsupported(f"a picture in {slices} slices")
        return result

    def _with_number(self, unit: bytes, frame_num: int) -> bytes:
        # Only the head is rewritten. Cut behind a byte that is not 0, so that the escaping of the rest stays right.
        cut = min(_HEAD, len(unit))
        while cut < len(unit) and unit[cut - 1] == 0:
            cut += 1
        head = unescaped(unit[:cut])
        bits = Bits(head[1:])
        for _ in range(3):
            bits.ue()
        at = 8 + bits.at
        shift = len(head) * 8 - at - self.frame_num_bits
        mask = ((1 << self.frame_num_bits) - 1) << shift
        value = int.from_bytes(head, "big") & ~mask | frame_num % (1 << self.frame_num_bits) << shift
        return escaped(value.to_bytes(len(head), "big")) + unit[cut:]


def _sequence(bits: Bits) -> tuple[int, int]:
    """Bits of frame_num, macroblocks of a picture."""
    profile = bits.u(8)
    bits.u(16)
    bits.ue()
    if profile in _HIGH_PROFILES:
        if bits.ue() != 1:
            raise Unsupported("not 4:2:0")
        bits.ue()
        bits.ue()
        bits.u(1)
        if bits.u(1):
            raise Unsupported("scaling matrices")
    frame_num_bits = bits.ue() + 4
    if bits.ue() != 2:
        raise Unsupported("picture order that has to be written (order type 0 or 1)")
    if bits.ue() != 1:
        raise Unsupported("more than one reference picture")
    bits.u(1)
    macroblocks = (bits.ue() + 1) * (bits.ue() + 1)
    if not bits.u(1):
        raise Unsupported("interlaced pictures")
    return frame_num_bits, macroblocks


def _picture(bits: Bits) -> bool:
    """Whether slice headers say how to deblock."""
    bits.ue()
    bits.ue()
    if bits.u(1):
        raise Unsupported("arithmetic coding")
    bits.u(1)
    if bits.ue():
        raise Unsupported("slice groups")
    if bits.ue():
        raise Unsupported("more than one reference by default")
    bits.ue()
    if bits.u(1):
        raise Unsupported("weighted prediction")
    bits.u(2)
    bits.se()
    bits.se()
    bits.se()
    return bool(bits.u(1))

"""Hand-made slices: the syntax against the standard's tables, the result against decoders."""

from __future__ import annotations

import io
from fractions import Fraction

import av
import numpy as np
import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from overlays.h264 import Bits, Parameters, Unsupported, escaped, nal_units, ue, unescaped
from overlays.skipslice import encode_skip
from overlays.x264 import Coding, add_video
from overlays.yuv import to_yuv


def bits(text: str) -> Bits:
    text = text.replace(" ", "")
    text += "0" * (-len(text) % 8)
    return Bits(int(text, 2).to_bytes(len(text) // 8, "big"))


def test_exp_golomb_codes_are_the_standards():
    # ITU-T H.264 (08/2021), table 9-2: bit strings and codeNum; table 9-3: codeNum to signed values
    table = {"1": 0, "010": 1, "011": 2, "00100": 3, "00101": 4, "00110": 5, "00111": 6, "0001000": 7, "0001001": 8}
    for text, number in table.items():
        assert ue(number) == text
        assert bits(text).ue() == number
    signed = {0: 0, 1: 1, 2: -1, 3: 2, 4: -2, 5: 3, 6: -3}
    assert {n: bits(ue(n)).se() for n in signed} == signed


@given(st.integers(0, 10**6))
def test_exp_golomb_codes_are_read_as_written(number):
    reader = bits(ue(number))
    assert reader.ue() == number
    assert reader.at == len(ue(number))


@given(st.binary(max_size=60) | st.lists(st.sampled_from([0, 0, 0, 1, 2, 3, 4]), max_size=60).map(bytes))
@example(b"\0\0\0\0\0\0")
def test_escaped_bytes_hold_no_start_code_and_come_back(data):
    # 7.4.1: within a NAL unit 00 00 00, 00 00 01, 00 00 02 must not occur
    result = escaped(data)
    assert not any(result[i : i + 2] == b"\0\0" and result[i + 2] < 3 for i in range(len(result) - 2))
    assert unescaped(result) == data


def encode(counts: list[int], size: tuple[int, int], sync: int, seed: int = 1):
    """A film of runs of random blocks, encoded with skip slices: its file and the pictures meant."""
    width, height = size
    random = np.random.default_rng(seed)
    meant, pictures = [], []
    picture = np.full((height, width, 3), 90, np.uint8)
    for count in counts:
        picture = picture.copy()
        y, x = random.integers(0, height - 8), random.integers(0, width - 8)
        picture[y : y + 24, x : x + 24] = random.integers(0, 255, 3)
        frame = to_yuv(av.video.reformatter.VideoReformatter(), picture)
        meant += [frame.to_ndarray()] * count
        pictures.append((count, frame))
    file = io.BytesIO()
    coding = Coding(width, height, Fraction(25), sync, "skip")
    with av.open(file, "w", format="mp4") as container:
        stream = add_video(container, coding)
        for packet in encode_skip(stream, coding, pictures):
            container.mux(packet)
    file.seek(0)
    return file, meant


def decode(file) -> tuple[list[np.ndarray], list[bool]]:
    with av.open(file) as container:
        frames = list(container.decode(video=0))
        assert [f.pts * f.time_base for f in frames] == [Fraction(n, 25) for n in range(len(frames))]
        return [f.to_ndarray() for f in frames], [bool(f.key_frame) for f in frames]


@settings(max_examples=15)
@given(
    st.lists(st.integers(1, 45), min_size=1, max_size=8),
    st.sampled_from([(64, 48), (96, 80), (66, 50), (130, 34)]),
    st.integers(2, 30),
    st.integers(0, 10**6),
)
@example([200], (64, 48), 50, 1)  # frame_num runs round, IDR pictures are repeated
@example([1] * 40, (64, 48), 12, 2)  # never a repeat
def test_a_repeated_frame_is_the_frame_before_to_the_bit(counts, size, sync, seed):
    file, meant = encode(counts, size, sync, seed)
    frames, keys = decode(file)
    assert len(frames) == len(meant)
    assert [n for n, key in enumerate(keys) if key] == list(range(0, len(frames), sync))
    at = 0
    for count in counts:
        for number in range(at + 1, at + count):
            if number % sync:
                assert np.array_equal(frames[number], frames[number - 1])
        at += count
    for got, wanted in zip(frames, meant, strict=True):
        # 35 dB: these few pixels are all edges; films are held to 40 dB. A wrong picture has less than 25.
        assert np.mean((got.astype(float) - wanted) ** 2) < 255**2 / 10**3.5


def test_a_picture_that_stands_is_encoded_once_even_over_sync_frames():
    file, _ = encode([300], (64, 48), 50)
    with av.open(file) as container:
        packets = [p for p in container.demux(video=0) if p.size]
    sync = [bytes(p) for p in packets if p.is_keyframe]
    assert len(sync) == 6
    # x264 puts a note about itself into its first packet; the copies are made from the bytes as they are
    assert len(set(sync)) == 1
    assert {len(bytes(p)) for p in packets if not p.is_keyframe} <= set(range(8, 20))


def parameters(**options: str) -> bytes:
    context = av.CodecContext.create("libx264", "w")
    context.width, context.height, context.pix_fmt = 64, 48, "yuv420p"
    context.time_base = Fraction(1, 25)
    context.flags |= av.codec.context.Flags.global_header
    context.options = {"preset": "veryfast", "x264-params": ":".join(f"{k}={v}" for k, v in options.items())}
    context.open()
    return bytes(context.extradata)


FITTING = {"bframes": "0", "ref": "1", "weightp": "0", "cabac": "0"}


def test_parameter_sets_are_read():
    found = Parameters.read(parameters(**FITTING))
    assert found.macroblocks == 4 * 3
    assert found.frame_num_bits == 4


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"cabac": "1"}, "arithmetic"),
        ({"weightp": "2"}, "weighted"),
        ({"ref": "3"}, "more than one reference"),
        ({"bframes": "2"}, "picture order"),
    ],
)
def test_streams_that_hand_made_slices_do_not_fit_are_refused(change, says):
    with pytest.raises(Unsupported, match=says):
        Parameters.read(parameters(**{**FITTING, **change}))


def test_headers_that_end_early_and_missing_sets_are_refused():
    with pytest.raises(Unsupported):
        Parameters.read(b"")
    with pytest.raises(Unsupported):
        Parameters.read(parameters(**FITTING)[:9])
    with pytest.raises(Unsupported, match="0 slices"):
        Parameters.read(parameters(**FITTING)).renumbered(b"\0\0\0\1\6\1", 0)


@given(st.integers(0, 15), st.binary(min_size=40, max_size=80))
def test_another_frame_number_changes_nothing_else(number, rest):
    # a slice head as x264 writes it: first_mb 0, P, set 0, frame_num in four bits, and any payload
    params = Parameters(4, 12, True)
    head = int("1" + ue(5) + "1" + "0101" + "0" * 13, 2).to_bytes(3, "big")
    before = bytes([0x41]) + head + rest + b"\x80"
    (changed,) = nal_units(params.renumbered(b"\0\0\0\1" + escaped(before), number))
    after = unescaped(changed)
    reader = Bits(after[1:])
    assert [reader.ue(), reader.ue(), reader.ue(), reader.u(4)] == [0, 5, 0, number]
    assert after[4:] == before[4:]

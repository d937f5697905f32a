"""Loudness against the EBU's own test signals, clipping, silence, and what is said about a recording."""

from __future__ import annotations

import dataclasses
import wave
from pathlib import Path

import numpy as np
import pytest

from timeline.checks.loudness import measure, measure_file

RATE = 48_000


def tone(level_db: float, seconds: float, frequency: float = 1000, channels: int = 2) -> np.ndarray:
    time = np.arange(int(seconds * RATE)) / RATE
    one = 10 ** (level_db / 20) * np.sin(2 * np.pi * frequency * time)
    return np.stack([one] * channels).astype(np.float32)


def joined(*parts: np.ndarray) -> np.ndarray:
    return np.concatenate(parts, axis=1)


THIRD = joined(tone(-36, 10), tone(-23, 60), tone(-36, 10))


@pytest.mark.parametrize(
    ("signal", "expected"),
    [
        (tone(-23, 20), -23.0),
        (tone(-33, 20), -33.0),
        (THIRD, -23.0),
        (joined(tone(-72, 10), THIRD, tone(-72, 10)), -23.0),
        (joined(tone(-26, 20), tone(-20, 20.1), tone(-26, 20)), -23.0),
    ],
    ids=["1", "2", "3", "4", "5"],
)
def test_integrated_loudness(signal: np.ndarray, expected: float) -> None:
    """EBU Tech 3341, test signals 1 to 5: within 0.1 LU (levels as quoted in public test suites)."""
    assert measure([signal], RATE).integrated == pytest.approx(expected, abs=0.1)


def test_integrated_loudness_of_five_channels() -> None:
    """EBU Tech 3341, test signal 6: L R -28, C -24, Ls Rs -30 dBFS: -23.0 LUFS."""
    signal = np.zeros((6, 20 * RATE), np.float32)
    for channel, level in ((0, -28), (1, -28), (2, -24), (4, -30), (5, -30)):  # channel 3 is low frequency effects
        signal[channel] = tone(level, 20, channels=1)[0]
    assert measure([signal], RATE).integrated == pytest.approx(-23.0, abs=0.1)


def test_one_channel_of_two_at_full_scale() -> None:
    """ITU-R BS.1770-4: 0 dBFS, 997 Hz in one front channel reads -3.01 LUFS."""
    signal = tone(0, 10, 997)
    signal[1] = 0
    assert measure([signal], RATE).integrated == pytest.approx(-3.01, abs=0.1)


def test_a_single_channel_is_measured_as_heard_on_two_loudspeakers() -> None:
    assert measure([tone(-23, 10, channels=1)], RATE).integrated == pytest.approx(-23.0, abs=0.1)


@pytest.mark.parametrize(
    ("levels", "expected"),
    [((-20, -30), 10), ((-20, -15), 5), ((-40, -20), 20), ((-50, -35, -20, -35, -50), 15)],
)
def test_loudness_range(levels: tuple[int, ...], expected: float) -> None:
    """EBU Tech 3342, test signals 1 to 4: within 1 LU."""
    signal = joined(*(tone(level, 20) for level in levels))
    assert measure([signal], RATE).range_lu == pytest.approx(expected, abs=1)


@pytest.mark.parametrize(
    ("frequency", "phase", "size", "expected"),
    [
        (RATE / 4, 0, 0.5, -6.0),
        (RATE / 4, 45, 0.5, -6.0),
        (RATE / 6, 60, 0.5, -6.0),
        (RATE / 8, 67.5, 0.5, -6.0),
        (RATE / 4, 45, 1.41, 3.0),
    ],
)
def test_true_peak(frequency: float, phase: float, size: float, expected: float) -> None:
    """EBU Tech 3341, test signals 15 to 19: +0.2/-0.4 dB. Faded in: a step at the start has true overshoots."""
    time = np.arange(RATE) / RATE
    wave_ = size * np.sin(2 * np.pi * frequency * time + np.deg2rad(phase))
    ramp = np.minimum(1, np.minimum(np.arange(RATE), np.arange(RATE)[::-1]) / (0.01 * RATE))
    found = measure([np.stack([wave_ * ramp] * 2).astype(np.float32)], RATE).true_peak
    assert found is not None
    assert expected - 0.4 <= found <= expected + 0.2


def test_integrated_loudness_agrees_with_pyloudnorm() -> None:
    """pyloudnorm, an independent implementation of BS.1770; it is known to sit 0.02 to 0.06 LU low."""
    pyloudnorm = pytest.importorskip("pyloudnorm")
    noise = np.random.default_rng(5).normal(0, 0.05, (2, 8 * RATE)).astype(np.float32)
    theirs = pyloudnorm.Meter(RATE).integrated_loudness(noise.T.astype(np.float64))
    assert measure([noise], RATE).integrated == pytest.approx(theirs, abs=0.1)


def test_silence_has_no_loudness() -> None:
    quiet = measure([np.zeros((2, 3 * RATE), np.float32)], RATE)
    assert quiet.integrated is None
    assert quiet.true_peak is None
    assert quiet.gain_to(-23) == 0
    assert measure([], RATE).integrated is None


def test_blocks_of_any_size_measure_alike() -> None:
    signal = joined(tone(-30, 2), tone(-20, 3))
    parts = [signal[:, a : a + 7_777] for a in range(0, signal.shape[1], 7_777)]
    whole, split = measure([signal], RATE), measure(parts, RATE)
    assert whole.integrated == pytest.approx(split.integrated, abs=0.01)
    assert whole.duration_ms == split.duration_ms == 5000


def test_gain_never_lifts_the_peak_over_the_limit() -> None:
    """EBU R 128: true peak at most -1 dBTP. A quiet recording with one loud click is not raised past it."""
    found = measure([tone(-40, 5)], RATE)
    assert found.gain_to(-23) == pytest.approx(17, abs=0.2)
    clicked = dataclasses.replace(found, true_peak=-6.0)
    assert clicked.gain_to(-23) == pytest.approx(5.0)


def test_clipping_silence_and_sudden_loudness_are_placed() -> None:
    time = np.arange(RATE) / RATE
    flat = np.clip(3 * np.sin(2 * np.pi * 100 * time), -1, 1).astype(np.float32)
    parts = [
        tone(-30, 8),
        np.zeros((2, 10 * RATE), np.float32),
        tone(-30, 8),
        tone(-12, 4),
        tone(-30, 8),
        np.stack([flat, flat]),
    ]
    found = measure([joined(*parts)], RATE)
    assert found.clipped
    assert found.clipped[0][0] == 38_000
    ((start, end),) = found.silences(5000)
    assert start == pytest.approx(8000, abs=400)
    assert end == pytest.approx(18_000, abs=400)
    loud = measure([joined(*parts[:5])], RATE).loud_passages(6)
    assert loud
    assert 23_000 <= loud[0][0] <= 27_000


def _wav(path: Path, signal: np.ndarray) -> None:
    with wave.open(str(path), "wb") as out:
        out.setnchannels(signal.shape[0])
        out.setsampwidth(2)
        out.setframerate(RATE)
        out.writeframes((signal.T * 32767).clip(-32768, 32767).astype("<i2").tobytes())


def test_a_file_is_measured_and_judged(tmp_path: Path) -> None:
    from judging_lesson import context

    from timeline.checks.run import run_checks

    _wav(tmp_path / "talk.wav", tone(-40, 6))
    assert measure_file(tmp_path / "talk.wav").integrated == pytest.approx(-40, abs=0.2)
    found = run_checks(context(recording=tmp_path / "talk.wav"), families=["sound"])
    assert [f.code for f in found] == ["too-quiet"]
    _wav(tmp_path / "hot.wav", tone(0, 6))
    codes = {f.code for f in run_checks(context(recording=tmp_path / "hot.wav"), families=["sound"])}
    assert {"too-loud", "true-peak"} <= codes
    _wav(tmp_path / "silent.wav", np.zeros((1, RATE), np.float32))
    assert [f.code for f in run_checks(context(recording=tmp_path / "silent.wav"), families=["sound"])] == ["no-sound"]

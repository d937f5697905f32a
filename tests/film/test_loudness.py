"""Loudness against the EBU's signals, an independent meter, and what is in the finished film."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pyloudnorm
import pytest

from overlays.film import render_film
from overlays.loudness import Level, leveled, measured
from overlays.sound import SoundForm, film_sound
from timeline.filmsettings import FilmSettings
from timeline.timemap import TimeMap

RATE = 48_000
STEREO = SoundForm(RATE, "stereo")


def blocks(sound: np.ndarray):
    for at in range(0, sound.shape[1], RATE):
        yield np.ascontiguousarray(sound[:, at : at + RATE], dtype=np.float32)


def sine(level_db: float, seconds: float, hz: float = 1000, phase: float = 0) -> np.ndarray:
    time = np.arange(round(seconds * RATE))
    wave = 10 ** (level_db / 20) * np.sin(2 * np.pi * hz * time / RATE + np.radians(phase))
    fade = np.minimum(1, np.minimum(time, time[::-1]) / 480)  # without fades the meter's peak reads high
    return np.stack([wave * fade] * 2)


# EBU Tech 3341 (2016), table 1, minimum requirements: signals 1 to 5, tolerance 0.1 LU
SIGNALS = {
    "1": ([(-23, 20)], -23.0),
    "2": ([(-33, 20)], -33.0),
    "3": ([(-36, 10), (-23, 60), (-36, 10)], -23.0),
    "4": ([(-72, 10), (-36, 10), (-23, 60), (-36, 10), (-72, 10)], -23.0),
    "5": ([(-26, 20), (-20, 20.1), (-26, 20)], -23.0),
}


@pytest.mark.parametrize("name", SIGNALS)
def test_the_meter_reads_the_ebus_signals(name):
    steps, expected = SIGNALS[name]
    sound = np.concatenate([sine(level, seconds) for level, seconds in steps], axis=1)
    assert measured(blocks(sound), STEREO).lufs == pytest.approx(expected, abs=0.1)


# EBU Tech 3341, true peak signals 15 to 18 and 19 (from memory of the table; recomputed): +0.2/-0.4 dB
@pytest.mark.parametrize(
    ("part", "phase", "amplitude", "expected"),
    [(4, 0, 0.5, -6.0), (4, 45, 0.5, -6.0), (6, 60, 0.5, -6.0), (8, 67.5, 0.5, -6.0), (4, 45, 1.41, 3.0)],
)
def test_the_meter_sees_peaks_between_samples(part, phase, amplitude, expected):
    sound = sine(20 * np.log10(amplitude), 2, RATE / part, phase)
    assert -0.4 <= measured(blocks(sound), STEREO).peak_dbtp - expected <= 0.2


def test_silence_has_no_loudness():
    silence = measured(blocks(np.zeros((2, 3 * RATE))), STEREO)
    assert silence.lufs == silence.peak_dbtp == -np.inf


def test_the_limiter_holds_peaks_and_keeps_the_time():
    sound = sine(-20, 6)
    sound[:, 2 * RATE : 2 * RATE + 400] *= 9
    result = np.concatenate(list(leveled(blocks(sound), STEREO, Level(6, -3))), axis=1)
    assert abs(result.shape[1] - sound.shape[1]) <= 8
    assert measured(blocks(result), STEREO).peak_dbtp <= -2.9
    quiet = slice(RATE, RATE + 4800)
    shift = [np.sum(np.roll(result[0], n)[quiet] * sound[0, quiet]) for n in range(-8, 9)]
    assert abs(int(np.argmax(shift)) - 8) <= 1
    assert np.abs(result[0, quiet]).max() == pytest.approx(10 ** (-14 / 20), rel=0.02)


def talk(seconds: int) -> np.ndarray:
    """Something like speech: noise in syllables, with pauses."""
    random = np.random.default_rng(5)
    noise = np.convolve(random.normal(0, 1, seconds * RATE), np.ones(24) / 24, "same")
    time = np.arange(seconds * RATE) / RATE
    envelope = np.clip(np.sin(2 * np.pi * 2.2 * time), 0, None) * (np.sin(2 * np.pi * time / 7) > -0.6)
    return (0.25 * noise * envelope)[np.newaxis]


@pytest.mark.parametrize("target", [-23.0, -16.0])
def test_the_film_comes_to_its_target_with_peaks_below(tiny, make, tmp_path, target):
    recording = make.sound(tmp_path / "talk.wav", talk(8), "pcm_s16le")
    show, painter = tiny([1000], 8000)
    out = tmp_path / "film.mp4"
    report = render_film(
        show, painter, out, settings=FilmSettings(), recording=recording, target_lufs=target, peak_dbtp=-1.0
    )
    assert not report.findings
    delivered = np.concatenate(list(film_sound(out, STEREO, TimeMap(), Fraction(0), Fraction(8), [])), axis=1)
    # EBU R 128: 1 LU where quality control is not per programme; ours is half of that
    assert pyloudnorm.Meter(RATE).integrated_loudness(delivered.T.astype(float)) == pytest.approx(target, abs=0.5)
    assert measured(blocks(delivered), STEREO).peak_dbtp <= -1.0


def test_a_target_out_of_reach_is_told_and_peaks_still_hold(tiny, make, tmp_path):
    recording = make.sound(tmp_path / "talk.wav", make.clicks([500, 1500, 2500], 4000) * 0.5, "pcm_s16le")
    show, painter = tiny([], 4000)
    out = tmp_path / "film.mp4"
    report = render_film(show, painter, out, settings=FilmSettings(), recording=recording, target_lufs=-10.0)
    assert [f.code for f in report.findings] == ["loudness-not-reached"]
    delivered = list(film_sound(out, STEREO, TimeMap(), Fraction(0), Fraction(4), []))
    assert measured(delivered, STEREO).peak_dbtp <= -1.0


def test_silence_stays_silent(tiny, make, tmp_path):
    recording = make.sound(tmp_path / "talk.wav", np.zeros((1, 2 * RATE)), "pcm_s16le")
    show, painter = tiny([], 2000)
    out = tmp_path / "film.mp4"
    report = render_film(show, painter, out, settings=FilmSettings(), recording=recording, target_lufs=-16.0)
    assert report.sound == "encoded"

"""Alignment on a human voice, in rooms and lines that teachers record in; see tests/data/transcript/SOURCE.txt."""

from __future__ import annotations

import json
from pathlib import Path
from statistics import median

import numpy as np
import pytest

from timeline.transcript.align import align_words
from timeline.transcript.read import read_transcript
from timeline.transcript.sound import RATE, load_sound
from timeline.transcript.words import Timing, Transcript

DATA = Path(__file__).parents[1] / "data/transcript"
BLOCKS = json.loads((DATA / "reading.json").read_text())["blocks"]
TRUTH = [onset for block in BLOCKS for _, onset in block["words"]]


@pytest.fixture(scope="module")
def voice() -> np.ndarray:
    return load_sound(DATA / "reading.opus")


def reading(off_ms: int = 0) -> Transcript:
    rows = []
    for block in BLOCKS:
        ms = max(0, block["start_ms"] + off_ms)
        rows.append(f"[0:{ms // 1000:02d}.{ms % 1000:03d}] {' '.join(w for w, _ in block['words'])}")
    return read_transcript("\n".join(rows), name="reading", end_ms=30_000)[0]


def as_is(voice: np.ndarray) -> np.ndarray:
    return voice.astype(np.float64)


def room(voice: np.ndarray) -> np.ndarray:
    """A living room: a tail of echoes that falls by 60 dB in 0.6 s."""
    count = RATE * 6 // 10
    tail = np.random.default_rng(2).standard_normal(count) * np.exp(-6.9 * np.arange(count) / count) * 0.06
    tail[0] = 1
    heard = np.fft.irfft(np.fft.rfft(voice, 2**20) * np.fft.rfft(tail, 2**20))[: len(voice)]
    return heard * 8000 / np.abs(heard).max()


def telephone(voice: np.ndarray) -> np.ndarray:
    """300 to 3400 Hz (common practice for telephone lines)."""
    spectrum = np.fft.rfft(voice.astype(np.float64))
    freqs = np.fft.rfftfreq(len(voice), 1 / RATE)
    spectrum[(freqs < 300) | (freqs > 3400)] = 0
    return np.fft.irfft(spectrum, len(voice))


def far_too_quiet(voice: np.ndarray) -> np.ndarray:
    return voice * 0.01


def clipped(voice: np.ndarray) -> np.ndarray:
    return voice * 12.0


def noisy(voice: np.ndarray) -> np.ndarray:
    """White noise 10 dB below the voice."""
    noise = np.random.default_rng(1).standard_normal(len(voice))
    return voice + noise * np.sqrt((voice[np.abs(voice) > 200].astype(float) ** 2).mean()) * 10**-0.5


@pytest.mark.parametrize(
    ("sounding", "median_ms", "p95_ms"),
    [
        (as_is, 50, 150),
        (room, 60, 250),
        (telephone, 60, 250),
        (far_too_quiet, 60, 250),
        (clipped, 60, 250),
        (noisy, 60, 250),
    ],
)
def test_a_human_voice_is_followed(voice, sounding, median_ms, p95_ms):
    heard = np.clip(sounding(voice), -32768, 32767).astype(np.int16)
    talk = reading()
    words = align_words(talk, heard)
    off = sorted(abs(w.onset_ms - t) for w, t in zip(words, TRUTH, strict=True))
    assert median(off) <= median_ms
    assert off[round(0.95 * (len(off) - 1))] <= p95_ms
    assert sum(w.timing is Timing.ALIGNED for w in words) >= 0.9 * len(words)


def test_a_human_voice_with_stamps_off_or_gone(voice):
    for talk in (
        reading(3000),
        read_transcript(" ".join(w for b in BLOCKS for w, _ in b["words"]), name="bare", end_ms=25_000)[0],
    ):
        words = align_words(talk, voice)
        off = sorted(abs(w.onset_ms - t) for w, t in zip(words, TRUTH, strict=True))
        assert off[round(0.95 * (len(off) - 1))] <= 150


def test_a_human_voice_that_says_something_else(voice):
    """The demo's words are not in this reading: none is claimed to be."""
    other = (Path(__file__).parents[2] / "demo_project/transcript.txt").read_text().split()
    said = [w for w in other if not w.startswith("[")][: len(TRUTH)]
    talk = read_transcript("[0:00.001] " + " ".join(said), name="other", end_ms=len(voice) * 1000 // RATE)[0]
    assert not any(w.timing is Timing.ALIGNED for w in align_words(talk, voice))

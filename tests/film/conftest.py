"""A small painter with known pictures, small recordings with known sounds, and what is read back of a film."""

from __future__ import annotations

import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import pairwise
from pathlib import Path

import av
import chess
import numpy as np
import pytest

from overlays.frames import frame_count
from overlays.show import Run, Show
from timeline.tracks import BoardSpan, BoardTrack

sys.path.insert(0, str(Path(__file__).parent))  # boardreader, which the benchmarks use as well

RATE = 48_000


class TinyPainter:
    """A board of eight by eight with one blot, on square ``key``; it moves at the show's changes, in film time."""

    def __init__(self, show: Show, width: int = 320, height: int = 180) -> None:
        self.show = show
        self.width, self.height = width, height
        self.painted: list[int] = []

    def runs(self, rate: Fraction):
        starts = [self.show.timemap.start(s.start_ms) if s.start_ms else 0 for s in self.show.board.spans]
        frames = [frame_count(ms, rate) for ms in (*starts, self.show.film_ms)]
        for key, (first, last) in enumerate(pairwise(frames)):
            if last > first:
                yield Run(last - first, key % 64)

    def rgb(self, key: int) -> np.ndarray:
        self.painted.append(key)
        side = self.height // 8
        picture = np.full((self.height, self.width, 3), (40, 52, 60), np.uint8)
        for square in range(64):
            x, y = square % 8 * side, square // 8 * side
            picture[y : y + side, x : x + side] = (214, 205, 190) if (square + square // 8) % 2 else (110, 126, 140)
        x, y = key % 8 * side, key // 8 * side
        picture[y + 3 : y + side - 3, x + 3 : x + side - 3] = (20, 24, 30)
        return picture

    def rgba(self, key: int) -> np.ndarray:
        alpha = np.zeros((self.height, self.width, 1), np.uint8)
        alpha[: self.height // 8 * 8, : self.height // 8 * 8] = 255
        return np.concatenate([self.rgb(key), alpha], axis=2)


def make_show(changes_ms: Sequence[int], end_ms: int, **more) -> Show:
    times = [0, *(t for t in changes_ms if 0 < t < end_ms), end_ms]
    spans = tuple(BoardSpan(a, b, chess.STARTING_FEN, (), 0, "start", "score") for a, b in pairwise(times))
    return Show(BoardTrack(chess.STARTING_FEN, (), spans), more.pop("title", "A small show"), **more)


def encode_sound(path: Path, sound: np.ndarray, codec: str, form: str | None = None) -> Path:
    """Samples in [-1, 1], shape (channels, any), at 48 kHz, as a file."""
    with av.open(str(path), "w", format=form) as container:
        layout = "mono" if len(sound) == 1 else "stereo"
        stream = container.add_stream(codec, rate=RATE, layout=layout)
        sample = stream.format.name
        for at in range(0, sound.shape[1], RATE):
            block = np.ascontiguousarray(sound[:, at : at + RATE], dtype=np.float32)
            frame = av.AudioFrame.from_ndarray(block, format="fltp", layout=layout)
            frame.sample_rate, frame.pts, frame.time_base = RATE, at, Fraction(1, RATE)
            if sample != "fltp":
                resampler = av.AudioResampler(format=sample, layout=layout, rate=RATE)
                frame = resampler.resample(frame)[0]
                frame.pts = at
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    return path


def clicks(times_ms: Sequence[int], end_ms: int) -> np.ndarray:
    """Short bursts of a high tone that begin exactly at the given times."""
    sound = np.zeros((1, end_ms * RATE // 1000), np.float32)
    burst = 0.8 * np.sin(2 * np.pi * 3000 * np.arange(RATE // 50) / RATE) * np.linspace(1, 0, RATE // 50)
    for ms in times_ms:
        at = ms * RATE // 1000
        part = sound[0, at : at + len(burst)]
        part[:] = burst[: len(part)]
    return sound


def write_camera(
    path: Path,
    *,
    size: tuple[int, int] = (160, 90),
    times_ms: Sequence[int] | None = None,
    frames: int = 60,
    picture: Callable[[int], np.ndarray] | None = None,
    sound: np.ndarray | None = None,
    rotation: int | None = None,
) -> Path:
    """A camera film; its picture number n is grey with a value that tells n, unless ``picture`` draws it."""
    width, height = size
    with av.open(str(path), "w") as container:
        stream = container.add_stream("libx264", rate=30, options={"crf": "10", "g": "15"})
        stream.width, stream.height = width, height
        stream.pix_fmt = "yuv420p" if width % 2 == height % 2 == 0 else "yuv444p"
        stream.time_base = stream.codec_context.time_base = Fraction(1, 1000)
        if rotation is not None:
            stream.set_display_rotation(rotation)
        audio = container.add_stream("aac", rate=RATE, layout="mono") if sound is not None else None
        for number in range(frames):
            grey = picture(number) if picture else np.full((height, width, 3), 20 + number % 60 * 3, np.uint8)
            frame = av.VideoFrame.from_ndarray(grey, format="rgb24")
            frame.pts = times_ms[number] if times_ms else round(number * 1000 / 30)
            frame.time_base = Fraction(1, 1000)
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
        if audio is not None and sound is not None:
            for at in range(0, sound.shape[1], RATE):
                block = av.AudioFrame.from_ndarray(
                    np.ascontiguousarray(sound[:, at : at + RATE]), format="fltp", layout="mono"
                )
                block.sample_rate, block.pts, block.time_base = RATE, at, Fraction(1, RATE)
                container.mux(audio.encode(block))
            container.mux(audio.encode(None))
    return path


@dataclass
class Film:
    """A film as PyAV reads it."""

    pictures: list[np.ndarray]
    times: list[Fraction]
    sync: list[int]
    sound: np.ndarray
    sound_start: Fraction


def read_film(path: Path) -> Film:
    with av.open(str(path)) as container:
        video = container.streams.video[0]
        pictures, times, sync = [], [], []
        for frame in container.decode(video):
            if frame.key_frame:
                sync.append(len(pictures))
            pictures.append(frame.to_ndarray())
            times.append(frame.pts * frame.time_base)
    sound, start = np.zeros((1, 0)), Fraction(0)
    with av.open(str(path)) as container:
        if container.streams.audio:
            frames = list(container.decode(audio=0))
            sound = np.concatenate([f.to_ndarray() for f in frames], axis=1)
            start = frames[0].pts * frames[0].time_base
    return Film(pictures, times, sync, sound, start)


def psnr(a: np.ndarray, b: np.ndarray) -> float:
    error = np.mean((a.astype(np.float64) - b) ** 2)
    return 99.0 if error == 0 else 10 * np.log10(255**2 / error)


def onsets(sound: np.ndarray, start: Fraction = Fraction(0), rate: int = RATE) -> list[float]:
    """Seconds at which bursts begin: the first loud sample after a tenth of a second of quiet."""
    loud = np.flatnonzero(np.abs(sound).max(axis=0) > 0.3)
    first = [int(n) for i, n in enumerate(loud) if i == 0 or n - loud[i - 1] > rate / 10]
    return [float(start) + n / rate for n in first]


@pytest.fixture
def tiny():
    """``tiny(changes_ms, end_ms, **show)`` gives a show and its painter."""

    def make(changes_ms: Sequence[int], end_ms: int, size: tuple[int, int] = (320, 180), **more):
        show = make_show(changes_ms, end_ms, **more)
        return show, TinyPainter(show, *size)

    return make


@pytest.fixture
def make():
    """The makers of recordings: ``make.sound``, ``make.clicks``, ``make.camera``."""

    class Makers:
        sound = staticmethod(encode_sound)
        clicks = staticmethod(clicks)
        camera = staticmethod(write_camera)

    return Makers


@pytest.fixture
def read():
    """``read.film``, ``read.onsets``, ``read.psnr``."""

    class Readers:
        film = staticmethod(read_film)
        onsets = staticmethod(onsets)
        psnr = staticmethod(psnr)

    return Readers

"""What a recording is: its length where the file does not say it, and what is none."""

from __future__ import annotations

import io
from pathlib import Path

import av
import numpy as np
import pytest
from PIL import Image

from timeline.problems import RecordingError
from timeline.recording import probe

RATE, SECONDS = 44_100, 20


def record(path: Path, kind: str, codec: str, **options: str) -> Path:
    """Two seconds of noise, then near-silence, written as if into a pipe: nothing can be put into the head later."""

    class Pipe(io.RawIOBase):
        def __init__(self) -> None:
            self.parts: list[bytes] = []

        def writable(self) -> bool:
            return True

        def write(self, data) -> int:
            self.parts.append(bytes(data))
            return len(data)

    pipe = Pipe()
    samples = np.random.default_rng(3).normal(0, 6000, RATE * SECONDS)
    samples[2 * RATE :] /= 1000
    with av.open(pipe, "w", format=kind, options=options) as out:
        stream = out.add_stream(codec, rate=RATE, layout="mono")
        for first in range(0, len(samples), 1024):
            frame = av.AudioFrame.from_ndarray(samples[None, first : first + 1024].astype(np.int16), "s16", "mono")
            frame.sample_rate, frame.pts = RATE, first
            out.mux(stream.encode(frame))
        out.mux(stream.encode(None))
    path.write_bytes(b"".join(pipe.parts))
    return path


@pytest.mark.parametrize(
    ("kind", "codec"), [("adts", "aac"), ("mp3", "libmp3lame"), ("flac", "flac"), ("wav", "pcm_s16le")]
)
def test_the_length_is_the_sounds_where_the_file_does_not_tell_it(tmp_path: Path, kind: str, codec: str):
    """FFmpeg's guess for raw AAC from size and first bit rate is several times off here."""
    found = probe(record(tmp_path / f"talk.{kind}", kind, codec))
    assert found.duration_ms == pytest.approx(1000 * SECONDS, abs=100)
    assert found.has_audio
    assert not found.has_video


@pytest.mark.parametrize("name", ["talk.txt", "talk.srt", "talk.vtt", "talk.png", "talk.jpg", "talk.webp"])
def test_text_and_pictures_are_no_recordings(tmp_path: Path, name: str):
    """FFmpeg opens them all: text as letters drawn one by one, a picture as a film of one frame."""
    path = tmp_path / name
    if name.endswith(("txt", "srt", "vtt")):
        path.write_text("WEBVTT\n\n1\n00:00:01.000 --> 00:00:02.000\nwhite plays e4\n" * 50)
    else:
        Image.new("RGB", (64, 48)).save(path)
    with pytest.raises(RecordingError) as caught:
        probe(path)
    assert caught.value.findings[0].code == "not-a-recording"

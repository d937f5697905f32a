"""Overlay C read back: alpha, colours, frames, packets written again, stills and their table."""

from __future__ import annotations

import csv
from fractions import Fraction

import av
import numpy as np
import pytest
from PIL import Image

from overlays.alpha import SUFFIXES, render_overlay
from overlays.show import Run
from overlays.stills import resting, write_stills
from timeline.filmsettings import RATES
from timeline.problems import OutputError

CHANGES = (400, 700, 2500, 4200)


def decoded(path, decoder: str | None = None):
    """Frames as (time, straight RGBA array, sync)."""
    with av.open(str(path)) as container:
        stream = container.streams.video[0]
        context = av.CodecContext.create(decoder, "r") if decoder else stream.codec_context
        frames, sync = [], set()
        for packet in container.demux(stream):
            if packet.is_keyframe and packet.size:
                sync.add(packet.pts * packet.time_base)
            if packet.size or not decoder:
                frames += context.decode(packet)
        if decoder:
            frames += context.decode(None)
        return [
            (f.pts * f.time_base, f.to_ndarray(format="rgba", src_colorspace="ITU709"), f.pts * f.time_base in sync)
            for f in frames
        ]


@pytest.mark.parametrize("rate", ["25", "29.97"])
@pytest.mark.parametrize(("codec", "step"), [("prores", 4), ("qtrle", 0)])
def test_editors_get_every_frame_as_a_sync_frame_with_straight_alpha(tiny, tmp_path, codec, step, rate):
    _show, painter = tiny(CHANGES, 5000)
    path = tmp_path / f"overlay{SUFFIXES[codec]}"
    report = render_overlay(painter, path, rate=RATES[rate], codec=codec)
    keys = [run.key for run in painter.runs(RATES[rate]) for _ in range(run.count)]
    frames = decoded(path)
    assert report.frames == len(frames) == len(keys)
    assert report.encoded == 5
    assert [t for t, _, _ in frames] == [n / RATES[rate] for n in range(len(keys))]
    assert all(sync for _, _, sync in frames)
    for number in (0, 9, 10, 11, 62, 63, len(keys) - 1):
        wanted = painter.rgba(keys[number])
        shown = wanted[..., 3] > 0
        got = frames[number][1]
        assert np.array_equal(got[..., 3], wanted[..., 3])
        error = np.abs(got[shown].astype(int) - wanted[shown])
        assert np.percentile(error, 99) <= step
    with av.open(str(path)) as container:
        assert container.streams.video[0].average_rate == RATES[rate]
        packets = [bytes(p) for p in container.demux(video=0) if p.size]
    assert len(set(packets)) == 5


def test_web_pages_get_a_frame_for_each_change_and_every_two_seconds(tiny, read, tmp_path):
    _show, painter = tiny(CHANGES, 5000)
    path = tmp_path / "overlay.webm"
    report = render_overlay(painter, path, rate=Fraction(25), codec="vp9")
    frames = decoded(path, "libvpx-vp9")  # FFmpeg's own VP9 decoder leaves alpha out
    times = [float(t) for t, _, _ in frames]
    assert times == pytest.approx([0, 0.4, 0.72, 2, 2.52, 4, 4.2, 4.96], abs=0.001)
    assert report.encoded == len(frames)
    assert {t for t, _, sync in frames if sync} >= {0, 2, 4}
    keys = [run.key for run in painter.runs(Fraction(25)) for _ in range(run.count)]
    for time, got, _ in frames:
        wanted = painter.rgba(keys[round(time * 25)])
        assert np.abs(got[..., 3].astype(int) - wanted[..., 3]).max() <= 3
        shown = wanted[..., 3] > 0
        assert read.psnr(got[shown][:, :3], wanted[shown][:, :3]) > 26  # 4:2:0 at the edges of small squares
    with av.open(str(path)) as container:
        assert container.streams.video[0].metadata.get("alpha_mode") == "1"


def test_a_picture_that_comes_again_is_not_encoded_again(tiny, tmp_path):
    _show, painter = tiny([], 1000)
    painter.runs = lambda rate: iter([Run(3, n % 3) for n in range(12)])
    report = render_overlay(painter, tmp_path / "overlay.mov", rate=Fraction(30))
    assert (report.frames, report.encoded) == (36, 3)


def test_an_excerpt_and_a_stop(tiny, tmp_path):
    _show, painter = tiny(CHANGES, 5000)
    report = render_overlay(painter, tmp_path / "part.mov", rate=Fraction(25), codec="qtrle", span_ms=(600, 1000))
    assert report.frames == 10

    def stop(done, whole):
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        render_overlay(painter, tmp_path / "whole.mov", rate=Fraction(25), progress=stop)
    with pytest.raises(OutputError):
        render_overlay(painter, tmp_path / "none.mov", rate=Fraction(25), span_ms=(9000, 9500))
    assert [p.name for p in tmp_path.iterdir()] == ["part.mov"]


def test_stills_and_their_table(tiny, tmp_path):
    _show, painter = tiny((1000, 1040, 1080, 2000, 3000), 5000)
    (tmp_path / "still_0099.png").write_bytes(b"of an earlier run")
    files = write_stills(painter, tmp_path, rate=Fraction(25))
    with (tmp_path / "stills.csv").open(newline="") as table:
        rows = list(csv.reader(table))
    assert rows[0] == ["file", "start", "end"]
    # frames 25 and 26 are a movement: the picture before stays until it has come to rest
    assert rows[1:] == [
        ["still_0001.png", "0.000", "1.080"],
        ["still_0002.png", "1.080", "2.000"],
        ["still_0003.png", "2.000", "3.000"],
        ["still_0004.png", "3.000", "5.000"],
    ]
    assert {p.name for p in files} == {p.name for p in tmp_path.iterdir()}
    assert np.array_equal(np.asarray(Image.open(tmp_path / "still_0002.png")), painter.rgba(3))


def test_a_still_that_comes_again_is_written_once(tiny, tmp_path):
    _show, painter = tiny([], 4000)
    painter.runs = lambda rate: iter([Run(30, 1), Run(30, 2), Run(30, 1)])
    write_stills(painter, tmp_path, rate=Fraction(30))
    assert sorted(p.name for p in tmp_path.iterdir()) == ["still_0001.png", "still_0002.png", "stills.csv"]
    assert (tmp_path / "stills.csv").read_text().splitlines()[-1] == "still_0001.png,2.000,3.000"


def test_a_film_of_nothing_but_movement_has_its_first_picture():
    runs = [Run(1, n) for n in range(5)]
    assert [(s.first, s.last, s.run.key) for s in resting(runs, Fraction(30))] == [(0, 5, 0)]


@pytest.mark.referee("ffmpeg")
@pytest.mark.parametrize("codec", ["prores", "qtrle"])
def test_ffmpegs_tools_read_them_too(tiny, tmp_path, codec, referee_path):
    import subprocess

    _show, painter = tiny(CHANGES, 3000)
    path = tmp_path / "overlay.mov"
    render_overlay(painter, path, rate=Fraction(25), codec=codec)
    command = [referee_path("ffmpeg"), "-v", "warning", "-i", path, "-f", "rawvideo", "-pix_fmt", "rgba", "-"]
    done = subprocess.run(command, capture_output=True, check=True)
    assert done.stderr == b""
    frames = np.frombuffer(done.stdout, np.uint8).reshape(-1, 180, 320, 4)
    assert len(frames) == 75
    assert np.array_equal(frames[30][..., 3], painter.rgba(2)[..., 3])

"""Films in programs of others: FFmpeg's tools, OpenH264's decoder, a browser, a media inspector."""

from __future__ import annotations

import hashlib
import json
import subprocess
from fractions import Fraction
from pathlib import Path

import av
import pytest
from browser import seen_by_browser

from overlays.film import render_film
from overlays.painter import BoardPainter
from overlays.samples import game_show
from timeline.filmsettings import FilmSettings
from timeline.tracks import Caption, Chapter

CHANGES = (300, 333, 366, 400, 2500, 4200, 4210, 4900)


@pytest.fixture(params=["plain", "skip"])
def film(request, tiny, make, tmp_path):
    show, painter = tiny(
        CHANGES,
        7000,
        captions=(Caption(500, 1500, "a caption"),),
        chapters=(Chapter(0, "Start"), Chapter(3000, "End")),
    )
    sound = make.sound(tmp_path / "talk.wav", make.clicks(CHANGES[3:6], 7000), "pcm_s16le")
    path = tmp_path / "film.mp4"
    render_film(show, painter, path, settings=FilmSettings(encoder=request.param), recording=sound)
    return path, painter


def run(*command: str | Path) -> str:
    done = subprocess.run([str(c) for c in command], capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout + done.stderr


def frame_hashes(program: str | Path, path: Path, *options: str) -> list[str]:
    text = run(program, "-v", "warning", *options, "-i", path, "-map", "0:v", "-f", "framemd5", "-")
    assert not [line for line in text.splitlines() if line.startswith("[")], text  # no complaint
    return [line.split(",")[-1].strip() for line in text.splitlines() if line and not line.startswith("#")]


def openh264() -> str:
    """The FFmpeg that comes with moviepy is built with OpenH264's decoder."""
    import imageio_ffmpeg

    return imageio_ffmpeg.get_ffmpeg_exe()


@pytest.mark.referee("ffmpeg")
def test_three_decoders_give_the_same_pictures_without_complaint(film, referee_path):
    path, _ = film
    hashes = frame_hashes(referee_path("ffmpeg"), path)
    assert len(hashes) == 210
    assert frame_hashes(openh264(), path) == hashes
    with av.open(str(path)) as container:
        assert len(list(container.decode(video=0))) == 210


def test_openh264_gives_the_same_pictures(film):
    path, _ = film
    assert frame_hashes(openh264(), path, "-c:v", "libopenh264") == frame_hashes(openh264(), path, "-c:v", "h264")


@pytest.mark.referee("ffmpeg")
@pytest.mark.parametrize("start", [2, 4])
def test_a_cut_without_encoding_again_begins_at_a_sync_frame_and_stays_whole(film, referee_path, tmp_path, start):
    path, _ = film
    cut = tmp_path / "cut.mp4"
    run(referee_path("ffmpeg"), "-v", "error", "-ss", str(start), "-t", "2.5", "-i", path, "-c", "copy", cut)
    whole = frame_hashes(referee_path("ffmpeg"), path)
    part = frame_hashes(referee_path("ffmpeg"), cut)
    assert len(part) in range(74, 78)
    assert part == whole[start * 30 : start * 30 + len(part)]


@pytest.mark.referee("ffmpeg")
def test_a_drawn_lesson_is_the_same_in_all_decoders_whole_and_cut(referee_path, tmp_path):
    """Moves, marks that fade, a sideline, a countdown. Whole lessons: tests/benchmarks/readback.py."""
    settings = FilmSettings(size="240p")
    painter = BoardPainter(game_show(), settings)
    path, cut = tmp_path / "film.mp4", tmp_path / "cut.mp4"
    report = render_film(painter.show, painter, path, settings=settings, span_ms=(12_000, 30_000))
    hashes = frame_hashes(referee_path("ffmpeg"), path)
    assert len(hashes) == report.frames == 540
    assert frame_hashes(openh264(), path, "-c:v", "libopenh264") == hashes
    run(referee_path("ffmpeg"), "-v", "error", "-ss", "4", "-t", "7", "-i", path, "-map", "0:v", "-c", "copy", cut)
    part = frame_hashes(openh264(), cut, "-c:v", "libopenh264")
    assert len(part) > 200
    assert part == hashes[120 : 120 + len(part)]


@pytest.mark.referee("ffmpeg")
def test_joined_cuts_play_on(film, referee_path, tmp_path):
    path, _ = film
    ffmpeg = referee_path("ffmpeg")
    for name, start in (("a", 4), ("b", 0)):
        run(
            ffmpeg,
            "-v",
            "error",
            "-ss",
            start,
            "-t",
            "2",
            "-i",
            path,
            "-map",
            "0:v",
            "-c",
            "copy",
            tmp_path / f"{name}.mp4",
        )
    (tmp_path / "list.txt").write_text("file a.mp4\nfile b.mp4\n")
    run(ffmpeg, "-v", "error", "-f", "concat", "-i", tmp_path / "list.txt", "-c", "copy", tmp_path / "joined.mp4")
    whole = frame_hashes(ffmpeg, path)
    joined = frame_hashes(ffmpeg, tmp_path / "joined.mp4")
    assert joined[:60] == whole[120:180]
    assert joined[60:120] == whole[:60]


@pytest.mark.referee("ffmpeg")
@pytest.mark.parametrize("frame", [0, 9, 59, 60, 61, 125, 127, 209])
def test_seeking_gives_the_frame_asked_for(film, referee_path, frame):
    path, _ = film
    ffmpeg = referee_path("ffmpeg")
    sought = frame_hashes(ffmpeg, path, "-ss", f"{max(0, frame - 0.5) / 30:.4f}")
    assert sought == frame_hashes(ffmpeg, path)[frame:]


@pytest.mark.referee("mediainfo")
def test_the_inspector_reads_what_was_meant(film, referee_path):
    path, _ = film
    tracks = json.loads(run(referee_path("mediainfo"), "--Output=JSON", path))["media"]["track"]
    video = next(t for t in tracks if t["@type"] == "Video")
    audio = next(t for t in tracks if t["@type"] == "Audio")
    general = tracks[0]
    assert general["IsStreamable"] == "Yes"
    assert (video["Format"], video["FrameRate_Mode"], video["FrameCount"]) == ("AVC", "CFR", "210")
    assert (video["ChromaSubsampling"], video["BitDepth"], video["ScanType"]) == ("4:2:0", "8", "Progressive")
    assert (video["colour_primaries"], video["transfer_characteristics"], video["matrix_coefficients"]) == (
        "BT.709",
    ) * 3
    assert video["colour_range"] == "Limited"
    assert (audio["Format"], audio["Format_AdditionalFeatures"]) == ("AAC", "LC")
    assert abs(float(audio["Duration"]) - 7) < 0.03
    assert any(t["@type"] == "Text" and t["Format"] == "Timed Text" for t in tracks)


@pytest.mark.referee("chromium")
def test_a_browser_decodes_the_same_and_seeks_to_the_right_picture(film, read, referee_path, tmp_path):
    path, painter = film
    frames = [5, 100, 61, 12, 209, 130, 60, 126]
    times = [(n + 0.5) / 30 for n in frames]
    seen = seen_by_browser(referee_path("chromium"), path, times, (painter.width, painter.height), tmp_path / "profile")
    ours = read.film(path).pictures
    assert seen.hashes == [hashlib.sha256(picture.tobytes()).hexdigest() for picture in ours]
    keys = [key for item in painter.runs(Fraction(30)) for key in [item.key] * item.count]
    for number, picture in zip(frames, seen.sought, strict=True):
        likeness = {key: read.psnr(picture, painter.rgb(key)) for key in set(keys)}
        assert max(likeness, key=likeness.get) == keys[number]
        assert likeness[keys[number]] > 27  # what a canvas gives back has gone through 4:2:0

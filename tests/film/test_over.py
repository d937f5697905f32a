"""Film B: the board over recordings of every kind that phones and cameras make."""

from __future__ import annotations

import subprocess
from fractions import Fraction

import av
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from overlays.camera import Camera, fitted
from overlays.film import render_film
from overlays.parts import Parts
from overlays.stage import Box
from timeline.filmsettings import FilmSettings
from timeline.problems import OutputError, RecordingError
from timeline.tracks import ThinkPause

WHOLE = Box(0, 0, 320, 180)
SETTINGS = FilmSettings()


def grey(number: int) -> int:
    """The camera's picture number n, as the maker of recordings draws it."""
    return 20 + number % 60 * 3


def luma(value):
    return 16 + 219 * np.float64(value) / 255


def seen(picture: np.ndarray) -> float:
    """Mean luma of the stage's right edge, where the camera shows."""
    return float(picture[60:120, 230:310].mean())


def test_camera_and_board_stand_where_they_should(tiny, make, read, tmp_path):
    camera = make.camera(tmp_path / "camera.mp4", size=(320, 180))
    show, painter = tiny([500, 1000], 2000)
    report = render_film(show, painter, tmp_path / "film.mp4", settings=SETTINGS, recording=camera, camera=WHOLE)
    film = read.film(tmp_path / "film.mp4")
    assert len(film.pictures) == report.frames == 60
    keys = [run.key for run in painter.runs(Fraction(30)) for _ in range(run.count)]
    for number, picture in enumerate(film.pictures):
        assert abs(seen(picture) - luma(grey(number))) < 2
        board = painter.rgb(keys[number]) @ [0.2126, 0.7152, 0.0722]
        assert read.psnr(picture[:176, :176], luma(board[:176, :176])) > 36
    assert max(b - a for a, b in zip(film.sync, [*film.sync[1:], 60], strict=True)) <= 60


def test_a_pause_freezes_the_recording(tiny, make, read, tmp_path):
    camera = make.camera(tmp_path / "camera.mp4", sound=make.clicks([400, 1500], 2000))
    show, painter = tiny([500], 2000, pauses=(ThinkPause(1000, 1000),))
    render_film(show, painter, tmp_path / "film.mp4", settings=SETTINGS, recording=camera, camera=WHOLE)
    film = read.film(tmp_path / "film.mp4")
    numbers = [*range(30), *[30] * 30, *range(30, 60)]
    assert len(film.pictures) == 90
    for number, picture in zip(numbers, film.pictures, strict=True):
        assert abs(seen(picture) - luma(grey(number))) < 2
    assert read.onsets(film.sound, film.sound_start) == pytest.approx([0.4, 2.5], abs=0.004)


def test_uneven_picture_times_are_followed(tiny, make, read, tmp_path):
    """A phone's variable rate: each film frame shows the picture nearest in time."""
    random = np.random.default_rng(3)
    times = np.cumsum(random.choice([17, 33, 34, 66, 120, 250], 40)).tolist()
    times = [0, *times]
    camera = make.camera(tmp_path / "camera.mkv", times_ms=times, frames=len(times))
    show, painter = tiny([500], 2000)
    render_film(show, painter, tmp_path / "film.mp4", settings=SETTINGS, recording=camera, camera=WHOLE)
    for frame, picture in enumerate(read.film(tmp_path / "film.mp4").pictures):
        meant = [n for n, ms in enumerate(times) if ms <= frame * 1000 / 30 + 18][-1]
        early = [n for n, ms in enumerate(times) if ms <= frame * 1000 / 30 + 15][-1]
        assert min(abs(seen(picture) - luma(grey(n))) for n in (meant, early)) < 2


@pytest.mark.parametrize(("rate", "count"), [("24", 48), ("29.97", 60), ("50", 100)])
def test_another_rate_shows_the_nearest_pictures(tiny, make, read, tmp_path, rate, count):
    camera = make.camera(tmp_path / "camera.mp4")
    show, painter = tiny([500], 2000)
    look = FilmSettings(rate=rate)
    render_film(show, painter, tmp_path / "film.mp4", settings=look, recording=camera, camera=WHOLE)
    film = read.film(tmp_path / "film.mp4")
    assert len(film.pictures) == count
    for frame, picture in enumerate(film.pictures):
        place = frame / look.frame_rate * 30
        assert min(abs(seen(picture) - luma(grey(n))) for n in (int(place), int(place) + 1)) < 2


def corners(_: int) -> np.ndarray:
    """Four quarters, each of its own brightness."""
    picture = np.zeros((120, 160, 3), np.uint8)
    picture[:60, :80], picture[:60, 80:], picture[60:, :80], picture[60:, 80:] = 40, 90, 150, 220
    return picture


@pytest.mark.referee("ffmpeg")
@pytest.mark.parametrize("rotation", [0, 90, 180, 270])
def test_a_turned_recording_is_shown_upright(tiny, make, read, tmp_path, rotation, referee_path):
    camera = make.camera(tmp_path / "camera.mp4", size=(160, 120), picture=corners, frames=30, rotation=rotation)
    show, painter = tiny([], 900)
    painter.rgba = lambda key: np.zeros((180, 320, 4), np.uint8)
    render_film(show, painter, tmp_path / "film.mp4", settings=SETTINGS, recording=camera, camera=WHOLE)
    ours = read.film(tmp_path / "film.mp4").pictures[10][:180]
    scale = "scale=320:180:force_original_aspect_ratio=decrease,pad=320:180:-1:-1,format=gray"
    raw = subprocess.run(
        [referee_path("ffmpeg"), "-v", "error", "-i", camera, "-frames:v", "1", "-vf", scale, "-f", "rawvideo", "-"],
        capture_output=True,
        check=True,
    ).stdout
    theirs = np.frombuffer(raw, np.uint8).reshape(180, 320)  # FFmpeg's tool turns by itself; full range
    for y in (45, 135):
        for x in (130, 190):
            assert abs(float(ours[y, x]) - luma(theirs[y, x])) < 3


def test_odd_sizes_and_bars(tiny, make, read, tmp_path):
    camera = make.camera(tmp_path / "camera.mp4", size=(101, 67), frames=30)
    show, painter = tiny([], 900)
    painter.rgba = lambda key: np.zeros((180, 320, 4), np.uint8)
    render_film(show, painter, tmp_path / "film.mp4", settings=SETTINGS, recording=camera, camera=WHOLE)
    picture = read.film(tmp_path / "film.mp4").pictures[6][:180]
    # 101:67 in 320x180 is 271 wide: bars of 24 on both sides
    assert abs(picture[:, 40:280].mean() - luma(grey(6))) < 2
    assert picture[:, :22].max() <= 20
    assert picture[:, 298:].max() <= 20


def test_ten_bit_pictures_are_read(tiny, read, tmp_path):
    with av.open(str(tmp_path / "camera.mkv"), "w") as container:
        stream = container.add_stream("libx264", rate=30)
        stream.width, stream.height, stream.pix_fmt = 160, 90, "yuv420p10le"
        for number in range(30):
            frame = av.VideoFrame.from_ndarray(np.full((90, 160, 3), 100, np.uint8), format="rgb24")
            frame.pts = number
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    show, painter = tiny([], 900)
    out = tmp_path / "film.mp4"
    render_film(show, painter, out, settings=SETTINGS, recording=tmp_path / "camera.mkv", camera=WHOLE)
    assert abs(seen(read.film(out).pictures[5]) - luma(100)) < 2


@pytest.mark.parametrize(("transfer", "white"), [(18, 0.75), (16, 0.58)], ids=["HLG", "PQ"])
def test_high_dynamic_range_is_brought_to_bt709(tiny, read, tmp_path, transfer, white):
    """Reference white (ITU-R BT.2408: 75 % of HLG, 58 % of PQ) becomes bright, and mid grey stays mid grey.

    Shown as it is, white would come out as 75 % or 58 % grey. How bright white
    becomes is the converter's choice, as long as it is nearer to white.
    """
    with av.open(str(tmp_path / "camera.mkv"), "w") as container:
        stream = container.add_stream("libx264", rate=30, options={"crf": "4"})
        stream.width, stream.height, stream.pix_fmt = 64, 36, "yuv420p10le"
        context = stream.codec_context
        context.color_primaries, context.color_trc, context.colorspace, context.color_range = 9, transfer, 9, 1
        for number in range(6):
            frame = av.VideoFrame(64, 36, "yuv420p10le")
            for plane, value in zip(frame.planes, (round(64 + 876 * white), 512, 512), strict=True):
                plane.update(np.full(plane.buffer_size // 2, value, "<u2").tobytes())
            frame.pts = number
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    show, painter = tiny([], 190, (64, 36))
    painter.rgba = lambda key: np.zeros((36, 64, 4), np.uint8)
    out = tmp_path / "film.mp4"
    box = Box(0, 0, 64, 36)
    render_film(show, painter, out, settings=SETTINGS, recording=tmp_path / "camera.mkv", camera=box)
    picture = read.film(out).pictures[2]
    shown = (float(picture[:36].mean()) - 16) / 219
    assert white + 0.1 < shown <= 1.01
    assert abs(float(picture[36:].mean()) - 128) < 2
    with av.open(str(out)) as container:
        assert container.streams.video[0].codec_context.color_trc == 1


def test_a_camera_in_a_box_beside_the_board(tiny, make, read, tmp_path):
    camera = make.camera(tmp_path / "camera.mp4", size=(160, 90), frames=30)
    show, painter = tiny([], 900)
    box = Box(200, 20, 100, 60)
    render_film(show, painter, tmp_path / "film.mp4", settings=SETTINGS, recording=camera, camera=box)
    picture = read.film(tmp_path / "film.mp4").pictures[10][:180]
    assert abs(picture[22:78, 202:298].mean() - luma(grey(10))) < 2
    assert picture[100:, 200:].max() <= 18


def test_a_recording_whose_picture_ends_early_stands_still(tiny, make, read, tmp_path):
    camera = make.camera(tmp_path / "camera.mp4", frames=30, sound=make.clicks([500], 3000))
    show, painter = tiny([500], 3000)
    report = render_film(show, painter, tmp_path / "film.mp4", settings=SETTINGS, recording=camera, camera=WHOLE)
    assert [f.code for f in report.findings] == ["recording-short"]
    film = read.film(tmp_path / "film.mp4")
    assert len(film.pictures) == 90
    assert abs(seen(film.pictures[-1]) - luma(grey(29))) < 2


def test_a_recording_damaged_in_the_middle_is_told(tiny, make, read, tmp_path):
    random = np.random.default_rng(1)
    noise = random.integers(60, 90, (60, 90, 160, 1), dtype=np.uint8)
    camera = make.camera(tmp_path / "camera.mp4", picture=lambda n: np.repeat(noise[n], 3, axis=2))
    data = bytearray(camera.read_bytes())
    begin = data.index(b"mdat") + 4
    end = data.index(b"moov")
    middle = begin + (end - begin) // 2
    data[middle : middle + 20_000] = bytes(20_000)
    camera.write_bytes(data)
    show, painter = tiny([500], 2000)
    report = render_film(show, painter, tmp_path / "film.mp4", settings=SETTINGS, recording=camera, camera=WHOLE)
    assert "recording-damaged" in [f.code for f in report.findings]
    assert len(read.film(tmp_path / "film.mp4").pictures) == 60


def test_what_has_no_picture_is_refused(tiny, make, tmp_path):
    sound = make.sound(tmp_path / "talk.wav", make.clicks([500], 1000), "pcm_s16le")
    show, painter = tiny([], 1000)
    with pytest.raises(RecordingError, match="no picture"):
        render_film(show, painter, tmp_path / "film.mp4", settings=SETTINGS, recording=sound, camera=WHOLE)
    with pytest.raises(OutputError, match="the lesson has none"):
        render_film(show, painter, tmp_path / "film.mp4", settings=SETTINGS, camera=WHOLE)
    assert [p.name for p in tmp_path.iterdir()] == ["talk.wav"]


def test_a_stopped_film_goes_on_in_the_middle_of_the_recording(tiny, make, read, tmp_path):
    """Same pictures at the same times, not same bytes.

    With B-frames on two threads x264 itself, given the very same pictures under load,
    writes other bytes now and then (measured: 4 of 300 films of 64x48, none without B-frames).
    """
    camera = make.camera(tmp_path / "camera.mp4", size=(64, 36), frames=900)
    show, painter = tiny([500], 30_000, (64, 36))
    box = Box(0, 0, 64, 36)

    def film(out, **more):
        return render_film(show, painter, out, settings=SETTINGS, recording=camera, camera=box, **more)

    def stop(done: int, whole: int) -> None:
        if done > 700:
            raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        film(tmp_path / "film.mp4", parts=Parts(tmp_path / "parts", "a"), progress=stop)
    report = film(tmp_path / "film.mp4", parts=Parts(tmp_path / "parts", "a"))
    assert (report.parts, report.made) == (3, 1)
    film(tmp_path / "whole.mp4")
    ours, whole = read.film(tmp_path / "film.mp4"), read.film(tmp_path / "whole.mp4")
    assert len(ours.pictures) == len(whole.pictures) == 900
    assert (ours.times, ours.sync) == (whole.times, whole.sync)
    for number, (picture, other) in enumerate(zip(ours.pictures, whole.pictures, strict=True)):
        assert np.abs(picture.astype(int) - other).max() <= 2
        assert abs(float(picture[4:32, 44:60].mean()) - luma(grey(number))) < 2  # right of the board


def test_any_time_of_a_recording_is_found(make, tmp_path):
    path = make.camera(tmp_path / "camera.mp4", size=(64, 36), frames=900)
    camera = Camera(path, Fraction(30), [])
    for second in (0, 1, 25, 3, 29, 12, Fraction(1, 3), 28):
        frame = camera.at(Fraction(second))
        assert abs(frame.pts * frame.time_base - second) <= Fraction(1, 59)
    camera.close()


@given(st.fractions(Fraction(1, 3), 3), st.integers(40, 2000), st.integers(40, 2000), st.booleans())
def test_pictures_keep_their_shape_and_lose_a_quarter_at_most(shape, width, height, cut):
    inner_w, inner_h, beyond = fitted(shape, width, height, cut=cut)
    assert abs(inner_w - shape * inner_h) <= 2 + 2 * shape
    if beyond:
        assert cut
        assert inner_w >= width - 1
        assert inner_h >= height - 1
        assert width * height >= 0.75 * (inner_w - 2) * (inner_h - 2) - 2
    else:
        assert inner_w <= width
        assert inner_h <= height
        assert inner_w >= width - 2 or inner_h >= height - 2

"""moviepy: the drawing as a clip, composed clips as films."""

from __future__ import annotations

import gc
import re
import textwrap
import warnings
from fractions import Fraction
from pathlib import Path

import av
import numpy as np
import pytest
from moviepy import ColorClip, CompositeVideoClip, VideoClip, VideoFileClip

import overlays
from timeline.filmsettings import RATES, FilmSettings
from timeline.problems import LessonFileError
from timeline.tracks import ThinkPause

CHANGES = (500, 1100, 1900)


def test_the_public_functions_come_when_asked_for():
    from overlays.bridge import clip

    assert overlays.clip is clip
    assert set(overlays.__all__) <= {name for name in overlays.__all__ if callable(getattr(overlays, name))}
    with pytest.raises(AttributeError):
        overlays.nothing  # noqa: B018


@pytest.mark.parametrize("rate", RATES)
def test_frame_n_at_n_over_the_rate_is_the_films_frame_n(tiny, rate):
    show, painter = tiny(CHANGES, 3000)
    made = overlays.clip(show, painter, settings=FilmSettings(rate=rate))
    keys = [run.key for run in painter.runs(RATES[rate]) for _ in range(run.count)]
    assert made.duration == pytest.approx(float(len(keys) / RATES[rate]))
    assert made.fps == pytest.approx(float(RATES[rate]))
    assert made.size == (320, 180)
    for number, key in enumerate(keys):
        for time in (number / float(RATES[rate]), number * (1 / made.fps)):  # as moviepy may count
            picture = made.get_frame(time)
        mask = made.mask.get_frame(time)
        assert picture[key // 8 * 22 + 11, key % 8 * 22 + 11].tolist() == [20, 24, 30]
    # once for the picture and once for its mask, never for each frame
    assert len(painter.painted) == 2 * len(set(keys))
    assert mask.shape == (180, 320)
    assert (mask.min(), mask.max()) == (0, 1)


def test_laid_over_another_clip_the_mask_lets_it_through(tiny):
    show, painter = tiny(CHANGES, 1000)
    ground = ColorClip((320, 180), color=(200, 30, 60), duration=1)
    picture = CompositeVideoClip([ground, overlays.clip(show, painter)]).get_frame(0.2)
    assert picture[100, 300].tolist() == [200, 30, 60]
    assert picture[11, 11].tolist() == [20, 24, 30]


def test_without_a_painter_the_board_is_drawn():
    from overlays.samples import game_show

    show = game_show()
    made = overlays.clip(show, settings=FilmSettings(size="180p", layout="over-top-left"))
    assert made.size == (320, 180)
    assert 0 < made.mask.get_frame(1).mean() < 0.5


@pytest.fixture
def moviepys_pipes():
    """moviepy 2.2.1 does not close the pipe of a reader that has come to its end."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ResourceWarning)
        yield
        gc.collect()


LESSON = """title: Composed
score: game.pgn
recording: talk.mp4
film: {size: 320x180}
cues:
  - {at: "0:00.500", show: 1w}
  - {at: "0:01.000", think: 1.0}
"""


@pytest.fixture
def folder(make, tmp_path):
    made = tmp_path / "my-lesson"
    made.mkdir()
    (made / "lesson.yaml").write_text(LESSON)
    (made / "game.pgn").write_text("1. e4 *")
    make.camera(made / "talk.mp4", size=(320, 180), sound=make.clicks(CHANGES, 2000))
    return made


@pytest.mark.usefixtures("moviepys_pipes")
def test_a_lessons_folder_is_a_clip_with_its_sound_and_settings(folder, read):
    made = overlays.clip(folder)
    assert made.size == (320, 180)
    assert made.duration == pytest.approx(3, abs=0.04)  # the pause is in it
    assert read.onsets(made.audio.to_soundarray(fps=48_000).T) == pytest.approx([0.5, 2.1, 2.9], abs=0.004)
    small = overlays.clip(str(folder), layout="over-top-left", rate="25")
    assert small.fps == 25
    assert 0 < small.mask.get_frame(1).mean() < 0.5
    with pytest.raises(LessonFileError):
        overlays.clip(folder / "nothing")
    with pytest.raises(ValueError, match="lay"):
        overlays.clip(folder, lay="tall")


def examples() -> list[str]:
    """The scripts that our texts show."""
    readme = (Path(__file__).parents[2] / "README.md").read_text(encoding="utf-8")
    return [
        *re.findall(r"```python\n(.*?)```", readme, flags=re.S),
        textwrap.dedent(overlays.__doc__.split("exact:\n")[1]),
    ]


@pytest.mark.usefixtures("moviepys_pipes")
@pytest.mark.parametrize("script", examples())
def test_the_scripts_that_our_texts_show(folder, read, monkeypatch, script):
    """Run as they stand beside a folder my-lesson: board on a ground, faded in, the pause held, sound in its place."""
    monkeypatch.chdir(folder.parent)
    exec(compile(script, "example", "exec"), {})
    film = read.film(folder.parent / "composed.mp4")
    assert len(film.pictures) == 90
    assert film.times[29] == Fraction(29 * 1001, 30000)
    assert read.onsets(film.sound, film.sound_start) == pytest.approx([0.5, 2.1, 2.9], abs=0.005)
    ground = film.pictures[60][100:400, 20:120].astype(float)
    assert np.abs(ground - (16 + 219 / 255 * (0.2126 * 70 + 0.7152 * 30 + 0.0722 * 50))).max() < 3
    assert film.pictures[60][100:400, 300:660].std() > 20  # the board
    assert film.pictures[1][100:400, 300:660].mean() < film.pictures[60][100:400, 300:660].mean() / 2


@pytest.mark.usefixtures("moviepys_pipes")
def test_the_recordings_sound_comes_along_silent_in_pauses(tiny, make, read, tmp_path):
    sound = make.sound(tmp_path / "talk.wav", make.clicks(CHANGES, 3000), "pcm_s16le")
    show, painter = tiny(CHANGES, 3000, pauses=(ThinkPause(1000, 700),))
    made = overlays.clip(show, painter, recording=sound)
    samples = made.audio.to_soundarray(fps=48_000)
    assert read.onsets(samples.T) == pytest.approx([0.5, 1.8, 2.6], abs=0.002)
    assert np.abs(samples[round(1.05 * 48_000) : round(1.65 * 48_000)]).max() == 0


@pytest.mark.usefixtures("moviepys_pipes")
@pytest.mark.parametrize("skip", [False, True])
@pytest.mark.parametrize("rate", ["23.976", "30"])
def test_a_composed_clip_becomes_a_film_of_exact_rate(tiny, make, read, tmp_path, skip, rate):
    camera = make.camera(tmp_path / "camera.mp4", size=(320, 180), sound=make.clicks(CHANGES, 2000))
    show, painter = tiny(CHANGES, 2000)
    with VideoFileClip(str(camera)) as recording:
        composed = CompositeVideoClip([recording, overlays.clip(show, painter)]).with_duration(2)
        frames = overlays.write_clip(composed, tmp_path / "film.mp4", rate=RATES[rate], skip=skip, title="Composed")
        film = read.film(tmp_path / "film.mp4")
        assert len(film.pictures) == frames == -(-2 * RATES[rate] // 1)
        assert film.times == [n / RATES[rate] for n in range(frames)]
        for number in (0, 13, 14, 40):
            drawn = composed.get_frame(float(number / RATES[rate])) @ [0.2126, 0.7152, 0.0722]
            assert read.psnr(film.pictures[number][:180], 16 + 219 * drawn / 255) > 36
    assert read.onsets(film.sound, film.sound_start) == pytest.approx([c / 1000 for c in CHANGES], abs=0.004)
    with av.open(str(tmp_path / "film.mp4")) as container:
        assert container.metadata["title"] == "Composed"
        assert container.streams.video[0].average_rate == RATES[rate]


def test_a_still_clip_without_sound(read, tmp_path):
    seen = []

    def picture(time):
        seen.append(time)
        return np.full((36, 64, 3), 90, np.uint8)

    frames = overlays.write_clip(
        VideoClip(picture, duration=1.0), tmp_path / "film.mp4", rate=Fraction(25), progress=lambda done, whole: None
    )
    film = read.film(tmp_path / "film.mp4")
    assert frames == len(film.pictures) == 25
    assert film.sound.shape[1] == 0
    assert np.abs(film.pictures[20][:36].astype(float) - (16 + 219 * 90 / 255)).max() < 2

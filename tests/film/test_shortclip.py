"""Short clips: the stretch asked for, soft ends, the recording's sound and picture read by moviepy."""

from __future__ import annotations

import gc
import warnings

import numpy as np
import pytest

from overlays.samples import game_show
from overlays.shortclip import Cut, short_clip, write_short_clip
from overlays.stage import Box
from timeline.filmsettings import FilmSettings
from timeline.tracks import ThinkPause

SETTINGS = FilmSettings(size="180p", rate="25")


@pytest.fixture(autouse=True)
def moviepys_pipes():
    """moviepy 2.2.1 does not close the pipe of a reader that has come to its end."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ResourceWarning)
        yield
        gc.collect()


def test_the_stretch_has_exact_frames_and_the_recordings_sound_at_its_place(tiny, make, read, tmp_path):
    sound = make.sound(tmp_path / "talk.wav", make.clicks([1400, 2200], 4000), "pcm_s16le")
    show, _ = tiny([500], 4000, size=(320, 180))
    frames = write_short_clip(show, SETTINGS, Cut(1000, 3000, 200), tmp_path / "clip.mp4", recording=sound)
    film = read.film(tmp_path / "clip.mp4")
    assert frames == len(film.pictures) == 50
    assert read.onsets(film.sound, film.sound_start) == pytest.approx([0.4, 1.2], abs=0.004)


def test_picture_and_sound_come_and_go_softly(make, tmp_path):
    noise = np.random.default_rng(1).uniform(-0.3, 0.3, (2, 48_000 * 3))
    sound = make.sound(tmp_path / "talk.wav", noise, "pcm_s16le")
    made = short_clip(game_show(), SETTINGS, Cut(500, 2500, 500), recording=sound)
    light = [float(made.get_frame(t).mean()) for t in (0, 0.25, 0.6, 1, 1.4, 1.75)]
    assert light[0] < 2
    assert light[1] == pytest.approx(light[2] / 2, rel=0.05)
    assert light[5] == pytest.approx(light[4] / 2, rel=0.05)
    samples = np.abs(made.audio.to_soundarray(fps=48_000))
    assert samples[:480].mean() < 0.02 < samples[40_000:50_000].mean()
    made.close()


def test_the_recordings_picture_runs_on_and_stands_still_while_the_film_holds(tiny, make, tmp_path):
    camera = make.camera(tmp_path / "camera.mp4", size=(320, 180))
    show, painter = tiny([500], 2000, pauses=(ThinkPause(1000, 800),))
    made = short_clip(
        show, SETTINGS, Cut(0, 2800, 0), painter=painter, recording=camera, camera=Box(0, 0, 320, 180)
    )  # fmt: skip
    grey = [float(made.get_frame(t)[60:120, 250:310].mean()) for t in (0.5, 1.1, 1.7, 2.3)]
    assert grey[0] == pytest.approx(20 + 15 * 3, abs=6)  # the camera's picture n is 20 + 3 (n mod 60), 30 a second
    assert grey[1] == pytest.approx(grey[2], abs=1)
    assert grey[3] == pytest.approx(20 + 45 * 3, abs=6)
    made.close()

"""``plyline clip`` as a teacher uses it."""

from __future__ import annotations

import gc
import warnings
from pathlib import Path

import av
import pytest
from typer.testing import CliRunner

from timeline.cli import app

GAME = '[White "Ilse Marrow"]\n[Black "Bo Tann"]\n\n1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 *\n'
LESSON = """title: A short one
score: game.pgn
recording: talk.wav
film: {size: 240p, rate: "25"}
cues:
  - {at: "0:01.000", show: 1w}
  - {at: "0:02.000", show: 2w}
"""


@pytest.fixture
def lesson(tmp_path: Path, make) -> Path:
    folder = tmp_path / "lesson"
    folder.mkdir()
    (folder / "game.pgn").write_text(GAME)
    (folder / "lesson.yaml").write_text(LESSON)
    make.sound(folder / "talk.wav", make.clicks([1000, 2000], 5000), "pcm_s16le")
    return folder


def run(*arguments: object):
    with warnings.catch_warnings():
        warnings.simplefilter("ignore", ResourceWarning)  # moviepy 2.2.1 leaves pipes open
        result = CliRunner().invoke(app, [str(a) for a in arguments])
        gc.collect()
    return result


def test_a_square_clip_of_two_seconds(lesson: Path) -> None:
    result = run("clip", lesson, "--from", "0:01", "--to", "0:03", "--layout", "square", "--size", "200p")
    assert result.exit_code == 0, result.output
    with av.open(str(lesson / "out/clip.mp4")) as film:
        video = film.streams.video[0]
        assert (video.width, video.height, video.frames, video.average_rate) == (200, 200, 50, 25)
        assert film.metadata["title"] == "A short one"
        assert film.streams.audio


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        (("--from", "0:03", "--to", "0:01"), "no stretch of the lesson"),
        (("--from", "0:03", "--to", "0:09"), "ends at 0:05.000"),
        (("--from", "0:01", "--to", "0:02", "--layout", "round"), "round"),
        (("--from", "0:01", "--to", "0:02", "--size", "big"), "size cannot be 'big'"),
        (("--from", "soon", "--to", "0:02"), "'soon' is not a time"),
        (("--from", "0:01", "--to", "0:02", "-o", "moment.avi"), "clips are written as MP4"),
    ],
)
def test_bad_wishes_get_one_clear_error_and_leave_nothing(lesson: Path, arguments: tuple[str, ...], words: str) -> None:
    result = run("clip", lesson, *arguments)
    assert result.exit_code == 2
    assert words in result.output
    assert not (lesson / "out/clip.mp4").exists()

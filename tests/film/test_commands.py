"""``still``, ``sheet`` and ``batch`` as a teacher types them."""

from __future__ import annotations

import json
import os
import re
import shutil
import subprocess
import sys
import time
from pathlib import Path

import av
import numpy as np
import pytest
from PIL import Image
from typer.testing import CliRunner

from timeline.cli import app

PGN = '[White "Mara Ilvesson"]\n[Black "Tobias Quell"]\n\n1. e4 e5 2. Nf3 Nc6 *\n'
CUES = """
cues:
  - {at: "0:02.000", show: 1w, marks: [{arrow: f1-b5, role: plan}]}
  - {at: "0:04.000", show: 1b}
  - {at: "0:06.000", think: 3.0}
  - {at: "0:07.000", show: 2w}
"""
LESSON = f'title: x\nscore: game.pgn\nlength: "0:10"\nfilm: {{size: 320x180, rate: "24"}}\n{CUES}'


def run(*arguments: object):
    return CliRunner().invoke(app, [str(a) for a in arguments])


def make_lesson(folder: Path, text: str = LESSON) -> Path:
    folder.mkdir(parents=True)
    (folder / "game.pgn").write_text(PGN)
    (folder / "lesson.yaml").write_text(text)
    return folder


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return make_lesson(tmp_path / "my lesson")


def pixels(path: Path) -> np.ndarray:
    with Image.open(path) as picture:
        return np.asarray(picture.convert("RGB")).astype(int)


# -- still
def test_a_still_is_what_the_film_shows_at_that_moment(folder: Path):
    """After the pause of three seconds the film is that much later than the recording."""
    assert run("film", folder, "-q").exit_code == 0
    with av.open(str(folder / "out" / "film.mp4")) as film:
        frames = [f.to_ndarray()[:180].astype(float) for f in film.decode(video=0)]
    moments = {"0:03": 3, "0:05": 5, "7.5": 10.5}
    for at, film_s in moments.items():
        done = run("still", folder, "--at", at)
        assert (done.exit_code, done.stderr.strip()) == (0, f"wrote {folder / 'out' / 'still.png'}")
        still = pixels(folder / "out" / "still.png")
        # ITU-R BT.709-6, 3.2: luma from R'G'B', 8 bits, limited range
        luma = 16 + 219 / 255 * (still @ [0.2126, 0.7152, 0.0722])
        errors = {s: np.abs(frames[round(s * 24)] - luma).mean() for s in moments.values()}
        assert min(errors, key=errors.get) == film_s
        assert errors[film_s] < 1


def test_a_still_takes_a_name_and_a_size(folder: Path, tmp_path: Path):
    done = run("still", folder, "--at", "0:03", "-o", tmp_path / "new" / "moment.png", "--size", "720p", "--json")
    assert json.loads(done.stdout) == {"file": str(tmp_path / "new" / "moment.png"), "findings": []}
    assert pixels(tmp_path / "new" / "moment.png").shape == (720, 1280, 3)
    assert not (folder / "out" / "still.png").exists()
    assert run("still", folder, "--at", "0:03", "-q").output == ""


@pytest.mark.parametrize(
    ("options", "told"),
    [
        (["--at", "0:10"], ["no-moment", "the lesson ends at 0:10.000"]),
        (["--at", "later"], ["bad-time", "'later' is not a time"]),
        (["--at", "0:03", "--size", "huge"], ["bad-size", "1920x1080"]),
        (["--at", "0:03", "--size", "333x111"], ["width and height are even"]),
        (["--at", "0:03", "-o", "moment.jpg"], ["unknown-format", "PNG"]),
    ],
)
def test_a_still_that_cannot_be_is_refused_and_nothing_is_written(folder: Path, options: list[str], told: list[str]):
    done = run("still", folder, *options)
    assert done.exit_code == 2
    assert all(text in done.stderr for text in told)
    assert "Traceback" not in done.output
    assert not list(folder.rglob("*.png"))


def test_a_still_shows_the_recordings_picture_where_the_film_does(folder: Path, make):
    make.camera(folder / "talk.mp4", frames=300, picture=lambda n: np.full((90, 160, 3), (250, 30, 30), np.uint8))
    text = LESSON.replace("film: {", "recording: talk.mp4\nfilm: {layout: camera-inset, ")
    (folder / "lesson.yaml").write_text(text)
    assert run("still", folder, "--at", "0:05").exit_code == 0
    red = pixels(folder / "out" / "still.png")
    assert ((red[..., 0] > 200) & (red[..., 1] < 80)).mean() > 0.02


# -- film
@pytest.mark.parametrize("encoder", ["plain", "skip"])
def test_the_encoder_can_be_chosen_for_once(folder: Path, encoder: str):
    """x264 names its settings in the stream (H.264, D.2.7): hand-made slices go with variable-length codes only."""
    assert run("film", folder, "--encoder", encoder, "-q").exit_code == 0
    with av.open(str(folder / "out" / "film.mp4")) as film:
        packets = [bytes(packet) for packet in film.demux(video=0) if packet.size]
    assert len(packets) == 13 * 24
    assert (b"cabac=0" in packets[0]) == (encoder == "skip")
    assert (b"cabac=1" in packets[0]) == (encoder == "plain")
    assert run("film", folder, "--encoder", "fast").exit_code == 2


def test_a_draft_of_a_stretch_has_its_frames_and_no_text(folder: Path):
    (folder / "lesson.yaml").write_text(LESSON + 'chapters: {list: [{at: "0:00", title: Start}]}\n')
    assert run("film", folder, "--draft", "--from", "0:05", "--to", "0:07", "-q").exit_code == 0
    with av.open(str(folder / "out" / "excerpt.mp4")) as film:
        assert film.streams.video[0].frames == 5 * 24  # the pause is in it
        assert not film.chapters()
        assert not film.streams.subtitles


# -- look
@pytest.fixture
def themed(folder: Path) -> Path:
    """A lesson with a theme of its own, in two files, with a logo; the film is made."""
    (folder / "base.toml").write_text('[words]\nthink = "Na?"\n')
    (folder / "look.toml").write_text('inherits = "base.toml"\nlogo = "logo.svg"\n')
    (folder / "logo.svg").write_text(
        '<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 9 9"><rect width="9" height="9"/></svg>'
    )
    (folder / "lesson.yaml").write_text(LESSON.replace("film: {", "film: {theme: look.toml, "))
    assert run("build", folder, "-q").exit_code == 0
    return folder


@pytest.mark.parametrize("name", ["base.toml", "look.toml", "logo.svg"])
def test_a_change_in_any_file_of_the_theme_makes_the_film_anew(themed: Path, name: str):
    assert "up to date" in run("film", themed).stderr
    (themed / name).write_text(
        (themed / name).read_text().replace("Na?", "So?").replace("rect ", "rect fill='#fff' ") + "\n"
    )
    assert "wrote" in run("film", themed).stderr


def test_a_theme_that_leads_out_of_the_folder_is_refused(themed: Path):
    (themed / "look.toml").write_text('logo = "../logo.svg"\n')
    done = run("still", themed, "--at", "0:01")
    assert done.exit_code == 2
    assert "error[outside-path]" in done.stderr
    shutil.move(themed / "logo.svg", themed.parent)
    with (themed / "lesson.yaml").open("a") as file:
        file.write("outside: true\n")
    assert run("still", themed, "--at", "0:01").exit_code == 0


# -- sheet
def test_a_sheet_holds_every_position_and_the_pause(folder: Path):
    done = run("sheet", folder)
    assert done.exit_code == 0
    plain = pixels(folder / "out" / "sheet.png")
    assert plain.shape[1] == 3 * (480 + 12) + 12  # five pictures: start, e4, e5, think, Nf3
    assert plain.shape[0] == 2 * (270 + 22 + 12) + 12
    assert run("sheet", folder, "--vision", "deutan", "-o", folder / "d.png").exit_code == 0
    seen = pixels(folder / "d.png")
    assert seen.shape == plain.shape
    assert np.abs(seen - plain).max() > 20


def test_without_a_lesson_the_sheet_shows_samples(tmp_path: Path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    monkeypatch.setattr("overlays.contactsheet._rows", lambda: [[np.zeros((90, 160, 3), np.uint8)] * 2])
    assert run("sheet", "-q").exit_code == 0
    assert pixels(tmp_path / "sheet.png").shape[1] == 2400


# -- batch
@pytest.fixture
def lessons(tmp_path: Path) -> Path:
    make_lesson(tmp_path / "club" / "one")
    make_lesson(tmp_path / "club" / "deep" / "two", LESSON.replace("show: 2w", "show: 9w"))
    make_lesson(tmp_path / "club" / "three")
    return tmp_path / "club"


def test_a_batch_builds_all_names_what_failed_and_does_nothing_twice(lessons: Path):
    done = run("batch", lessons, "--jobs", "1")
    assert done.exit_code == 1
    assert "2 of 3 lessons are built" in done.stdout
    assert "deep/two: failed" in done.stderr
    assert "deep/two/lesson.yaml:10:" in done.stderr
    assert "Traceback" not in done.output
    films = [lessons / name / "out" / "film.mp4" for name in ("one", "three")]
    made = [film.stat().st_mtime_ns for film in films]
    (lessons / "deep" / "two" / "lesson.yaml").write_text(LESSON)
    again = json.loads(run("batch", lessons, "--jobs", "2", "--json").stdout)
    assert again["failed"] == 0
    assert {r["lesson"]: r["says"].split(",")[0] == "up to date" for r in again["lessons"]} == {
        "one": True,
        "three": True,
        "deep/two": False,
    }
    assert [film.stat().st_mtime_ns for film in films] == made


def test_a_batch_without_lessons_or_with_a_contradiction_is_refused(tmp_path: Path):
    empty = run("batch", tmp_path)
    assert empty.exit_code == 2
    assert "no folder in here has a lesson.yaml" in empty.stderr
    assert run("batch", tmp_path / "nowhere").exit_code == 2
    both = run("batch", tmp_path, "--cluster", "tcp://127.0.0.1:1", "--jobs", "2")
    assert both.exit_code == 2
    assert "a cluster decides" in both.stderr


def test_a_batch_builds_on_a_cluster(lessons: Path):
    distributed = pytest.importorskip("distributed")
    shutil.rmtree(lessons / "three")
    with distributed.LocalCluster(
        n_workers=1, threads_per_worker=1, host="127.0.0.1", dashboard_address=None, silence_logs=50
    ) as local:
        done = run("batch", lessons, "--cluster", local.scheduler_address)
    assert done.exit_code == 1
    assert "1 of 2 lessons are built" in done.stdout
    assert (lessons / "one" / "out" / "film.mp4").stat().st_size > 1000


def test_what_a_killed_worker_left_half_written_goes_away(folder: Path):
    left = [folder / name / ".plyline-0a1b2c3d.tmp" for name in ("out", ".plyline/film")]
    for path in left:
        path.parent.mkdir(parents=True)
        path.write_text("half a film")
    assert run("build", folder, "-q").exit_code == 0
    assert not any(path.exists() for path in left)


@pytest.mark.skipif(os.name == "nt", reason="POSIX signals")
def test_ctrl_c_stops_a_batch_and_nothing_half_made_is_left(lessons: Path):
    for name in ("one", "three"):
        text = LESSON.replace('length: "0:10"', 'length: "9:00"').replace("320x180", "640x360, encoder: plain")
        (lessons / name / "lesson.yaml").write_text(text)
    code = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"  # a shell's & ignores it
    code += "from timeline.cli import main; main()"
    command = [sys.executable, "-c", code, "batch", str(lessons), "--jobs", "2"]
    with subprocess.Popen(command, stderr=subprocess.PIPE, text=True, start_new_session=True) as process:
        end = time.monotonic() + 300
        while not (begun := list(lessons.glob("one/.plyline/film/*"))) and time.monotonic() < end:
            time.sleep(0.05)
        os.killpg(process.pid, 2)  # the terminal sends Ctrl-C to every process of the command
        said = process.communicate(timeout=120)[1]
    assert begun, said
    assert process.returncode == 130, said
    assert "nothing is half-written" in said
    assert "Traceback" not in said
    assert not list(lessons.rglob("*.tmp"))
    assert not list(lessons.rglob("film.mp4"))


def test_a_pause_can_leave_the_films_time_alone(folder: Path):
    """film: {think: card}: a countdown is drawn, and film, captions and sound keep the recording's times."""
    assert run("film", folder, "-q").exit_code == 0
    with av.open(str(folder / "out" / "film.mp4")) as film:
        assert film.streams.video[0].frames == 13 * 24
    (folder / "lesson.yaml").write_text(LESSON.replace("film: {", "film: {think: card, "))
    assert run("build", folder, "-q").exit_code == 0
    with av.open(str(folder / "out" / "film.mp4")) as film:
        frames = [f.to_ndarray()[:180].astype(int) for f in film.decode(video=0)]
    assert len(frames) == 10 * 24
    below = slice(149, 172), slice(186, 304)  # where the countdown stands
    before, during, after = (frames[round(s * 24)][below] for s in (5.9, 6.5, 9.5))
    assert np.abs(before - during).max() > 60
    assert np.abs(before - after).max() < 12


@pytest.mark.parametrize(
    ("setting", "told"),
    [
        ("theme: slate", "film.theme: there is no theme 'slate'"),
        ("theme: club.toml", "film.theme: there is no file 'club.toml'"),
        ("layout: round", "film.layout: there is no layout 'round'"),
        ("layout: mine.toml", "film.layout: there is no file 'mine.toml'"),
        ("logo: club.svg", "film.logo: there is no file 'club.svg'"),
        ("size: 333x111", "film.size: a film cannot be 333x111"),
    ],
)
def test_a_look_that_there_is_not_is_told_at_its_place_in_the_lesson(folder: Path, setting: str, told: str):
    (folder / "lesson.yaml").write_text(
        re.sub(r"film: \{.*\}", f"film:\n  # as the club likes it\n  {setting}", LESSON)
    )
    line = next(n for n, row in enumerate((folder / "lesson.yaml").read_text().split("\n"), 1) if setting in row)
    done = run("still", folder, "--at", "0:03")
    assert done.exit_code == 2
    assert f"lesson.yaml:{line}:" in done.stderr
    assert told in done.stderr

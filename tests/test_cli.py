"""The command line: exit codes, messages without tracebacks, help with examples, light imports."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
import tomllib
from pathlib import Path

import av
import pytest
from typer.testing import CliRunner

from timeline.cli import app
from timeline.lesson import Lesson

PGN = '[White "A"]\n[Black "B"]\n\n1. e4 e5 2. Nf3 Nc6 *\n'
SMALL = 'film: {size: 320x180, rate: "24"}\n'
LESSON = f'title: x\nscore: game.pgn\ntranscript: talk.txt\nlength: "0:20"\n{SMALL}'
TALK = "[0:00] White begins with e4, and Black answers e5.\n[0:08] Then knight f3, knight c6. That is all.\n"


def run(*arguments: object):
    return CliRunner().invoke(app, [str(a) for a in arguments])


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    folder = tmp_path / "my lesson"
    folder.mkdir()
    (folder / "game.pgn").write_text(PGN)
    (folder / "talk.txt").write_text(TALK)
    (folder / "lesson.yaml").write_text(LESSON)
    return folder


def commands() -> list[list[str]]:
    """Every command and subcommand that is registered."""
    found = [[c.name or c.callback.__name__] for c in app.registered_commands]
    for group in app.registered_groups:
        found.append([group.name])
        found += [[group.name, "DIR", c.name] for c in group.typer_instance.registered_commands]
        for inner in group.typer_instance.registered_groups:
            found += [[group.name, "DIR", inner.name, c.name] for c in inner.typer_instance.registered_commands]
    return found


@pytest.mark.parametrize("name", ["batch", "captions", "make"])
def test_a_command_module_can_be_the_first_to_be_imported(name: str):
    """As the worker processes of a batch do."""
    subprocess.run([sys.executable, "-c", f"import timeline.cli.{name}"], check=True, timeout=60)



def test_the_command_imports_nothing_heavy():
    """In a fresh interpreter: what decodes, draws, computes, follows or checks is imported only where it is used."""
    libraries = ("moviepy", "numpy", "av", "PIL", "pocketsphinx", "overlays", "rich", "uharfbuzz")
    heavy = (*libraries, "timeline.checks.run", "timeline.follow.follow")
    code = f"import sys, timeline.cli.program; print([m for m in {heavy!r} if m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


@pytest.mark.parametrize("command", commands(), ids=" ".join)
def test_every_command_helps_with_an_example(command: list[str]):
    done = run(*command, "--help")
    assert done.exit_code == 0
    if command != ["edit"]:
        assert "Example: plyline " in done.output


def test_new_build_and_results(tmp_path: Path, folder: Path):
    made = run("new", tmp_path / "l", "--score", folder / "game.pgn", "--transcript", folder / "talk.txt")
    assert made.exit_code == 0
    assert "next: plyline build" in made.stderr
    assert made.stdout == ""
    with (tmp_path / "l" / "lesson.yaml").open("a") as file:
        file.write(SMALL)
    built = run("build", tmp_path / "l")
    assert built.exit_code == 0
    assert "positions.csv" in built.stdout
    assert "followed 4 cues" in built.stdout
    again = run("build", tmp_path / "l")
    assert "up to date" in again.stdout
    assert "written" not in again.stdout
    assert "written" in run("build", tmp_path / "l", "--again").stdout
    with av.open(str(tmp_path / "l" / "out" / "film.mp4")) as film:
        picture = film.streams.video[0]
        assert (picture.width, picture.height, picture.average_rate) == (320, 180, 24)
        assert picture.frames * 1000 // 24 == round(film.duration / 1000)
        assert film.chapters()[0]["start"] == 0


def test_an_excerpt_is_a_film_of_its_own(folder: Path):
    done = run("film", folder, "--from", "0:02", "--to", "0:04.5", "--draft")
    assert done.exit_code == 0
    with av.open(str(folder / "out" / "excerpt.mp4")) as film:
        assert film.streams.video[0].frames == 60
    assert not (folder / "out" / "film.mp4").exists()


@pytest.mark.parametrize("command", ["build", "follow", "captions"])
def test_why_steps_are_left_out_is_said_once(folder: Path, command: str):
    (folder / "lesson.yaml").write_text(LESSON.replace("transcript: talk.txt\n", "cues: [{at: 1, show: 1w}]\n"))
    done = run(command, folder)
    assert done.exit_code == 0
    assert done.output.count("has no transcript;") == 1
    assert "left out (" in done.output


@pytest.mark.parametrize("command", ["film", "overlay"])
def test_a_stretch_that_is_none_is_told_in_times_of_the_recording(folder: Path, command: str):
    """The lesson is twenty seconds long; a pause makes the film longer, but that is not what was typed."""
    with (folder / "lesson.yaml").open("a") as file:
        file.write('cues: [{at: "0:05.000", think: 30}]\n')
    assert "there is nothing at 0:30.000: the lesson ends at 0:20.000" in refused(command, folder, "--from", "0:30")
    for stretch in (("--from", "0:08", "--to", "0:08"), ("--from", "0:09", "--to", "0:02")):
        message = refused(command, folder, *stretch)
        assert f"error[no-stretch]: nothing lies between {stretch[1]}.000 and {stretch[3]}.000" in message


@pytest.mark.parametrize(
    ("layout", "told"), [("board-panel", True), ("board", True), ("over-top-left", False), ("camera-inset", False)]
)
def test_an_overlay_that_hides_what_lies_under_it_says_so(folder: Path, layout: str, told: bool):
    """Alpha is 255 everywhere exactly where the note is."""
    text = LESSON.replace("film: {", f"film: {{layout: {layout}, ").replace("transcript: talk.txt\n", "")
    (folder / "lesson.yaml").write_text(text + "cues: [{at: 1, show: 1w}]\n")
    done = run("overlay", folder, "--codec", "qtrle", "--from", "0:02", "--to", "0:02.2")
    assert ("note[nothing-see-through]" in done.stderr) == told
    with av.open(str(folder / "out" / "overlay.mov")) as film:
        alpha = next(film.decode(video=0)).to_ndarray(format="rgba")[..., 3]
    assert (alpha.min() == 255) == told
    assert ("note[nothing-see-through]" in run("overlay", folder, "--stills").stderr) == told


def test_help_lists_every_command_as_a_teacher_meets_them():
    told = [
        line.split()[1] for line in run("--help").stdout.splitlines() if line.startswith("│ ") and line[2].isalpha()
    ]
    assert told[:4] == ["new", "build", "listen", "follow"]
    assert sorted(told) == sorted(command[0] for command in commands() if len(command) == 1)


def test_the_version_is_the_projects():
    wanted = tomllib.loads((Path(__file__).parents[1] / "pyproject.toml").read_text(encoding="utf-8"))["project"]
    done = run("--version")
    assert (done.exit_code, done.stdout) == (0, f"plyline {wanted['version']}\n")


@pytest.mark.parametrize(
    ("command", "wanted"),
    [
        (("sheet", "--vision", "bad"), "'bad' is none of normal, protan, deutan, tritan"),
        (("overlay", "x", "--codec", "bad"), "'bad' is none of prores, qtrle, vp9"),
        (("film", "x", "--encoder", "bad"), "'bad' is none of skip, plain"),
        (("check", "x", "--fail-on", "bad"), "'bad' is none of error, warning, note"),
        (("overlay", "x", "--stills", "--codec", "vp9"), "written as PNG"),
        (("overlay", "x", "--stills", "--from", "1"), "made of the whole lesson"),
    ],
)
def test_what_an_option_does_not_take_is_told_with_what_it_takes(command: tuple[str, ...], wanted: str):
    done = run(*command)
    told = " ".join(done.stderr.replace("│", " ").split())
    assert (done.exit_code, wanted in told) == (2, True), told
    assert "Value error" not in told


def test_quiet_says_nothing(folder: Path):
    for command in ("follow", "chapters", "positions", "build"):
        done = run(command, folder, "-q")
        assert (done.exit_code, done.output) == (0, "")


def test_json_is_json_and_nothing_else_on_stdout(folder: Path):
    for command in (["build"], ["follow"], ["chapters"], ["positions"]):
        data = json.loads(run(*command, folder, "--json").stdout)
        assert data["steps"][0]["name"] in ("words", "positions")
    data = json.loads(run("build", folder, "--json").stdout)
    assert data["follow"]["cues"] == 4
    assert json.loads(run("edit", folder, "list", "--json").stdout)["cues"][0]["show"] == "1w"


def test_schema_is_the_lesson_file_and_knows_its_keys():
    schema = json.loads(run("schema").stdout)
    assert schema["$schema"].endswith("2020-12/schema")
    assert set(schema["properties"]) == set(Lesson.model_fields)
    assert schema["additionalProperties"] is False
    assert {"for", "role"} <= set(schema["$defs"]["MarkSpec"]["properties"])


def test_a_lesson_without_cues_is_told(folder: Path):
    done = run("positions", folder)
    assert done.exit_code == 0
    assert "the lesson has no cues: the board stays at its start" in done.stderr
    run("follow", folder)
    assert "no cues" not in run("positions", folder).stderr


def test_check_exits_by_the_gravity_asked_for_and_writes_its_findings(folder: Path):
    clean = run("check", folder)
    assert clean.exit_code == 0
    assert "no-cues" in clean.stdout
    assert run("check", folder, "--fail-on", "warning").exit_code == 1
    written = json.loads((folder / "out" / "findings.json").read_text())
    assert written == json.loads(run("check", folder, "--json").stdout)
    assert "no-cues" in [f["code"] for f in written["findings"]]


def test_an_accepted_finding_does_not_count(folder: Path):
    text = (folder / "lesson.yaml").read_text()
    (folder / "talk.txt").write_text(TALK.replace("That is all", "And it is checkmate"))
    run("follow", folder, "-q")
    told = run("check", folder)
    assert told.exit_code == 1
    assert "error[not-checkmate]" in told.stdout
    (folder / "lesson.yaml").write_text(text + "accept:\n  - {code: not-checkmate, reason: a joke}\n")
    run("follow", folder, "-q")
    assert run("check", folder).exit_code == 0
    assert "not-checkmate" not in run("check", folder).stdout
    assert "accepted: a joke" in run("check", folder, "--accepted").stdout


def test_an_engine_that_is_not_there(folder: Path):
    assert "no-such-engine" in refused("check", folder, "--engine", "no-such-engine")


# -- what a user can get wrong: exit 2, one clear message, nothing lost
def refused(*arguments: object) -> str:
    done = run(*arguments)
    assert done.exit_code == 2
    assert "Traceback" not in done.output
    assert done.stdout == ""
    return str(done.stderr)


def test_no_folder(tmp_path: Path):
    assert "there is no such lesson folder" in refused("build", tmp_path / "none")
    assert not (tmp_path / "none").exists()
    assert "there is no lesson.yaml in it" in refused("build", tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_undo_of_no_lesson_makes_no_folder(tmp_path: Path):
    for way in ("undo", "redo"):
        assert "there is no such lesson folder" in refused("edit", tmp_path / "none", way)
    assert list(tmp_path.iterdir()) == []


def test_a_time_after_the_end_is_no_moment(folder: Path):
    run("follow", folder)
    assert "no-moment" in refused("follow", folder, "--explain", "59:00")
    late = refused("edit", folder, "chapter", "add", "59:00", "Late")
    assert "chapter-after-end" in late
    assert "the lesson ends at" in late


def test_a_listed_chapter_after_the_end_is_told_at_its_line(folder: Path):
    before = (folder / "lesson.yaml").read_text()
    chapters = 'chapters:\n  list:\n    - {at: "0:00", title: A}\n    - {at: "59:00", title: B}\n'
    (folder / "lesson.yaml").write_text(before + chapters)
    line = before.count("\n") + 4
    told = refused("chapters", folder)
    assert f"lesson.yaml:{line}:7 at 59:00.000: error[chapter-after-end]: chapter 'B' starts after" in told
    (folder / "lesson.yaml").write_text(before + chapters.replace("59:00", "0:12"))
    done = run("chapters", folder)
    assert done.exit_code == 0
    assert f"lesson.yaml:{line}:7 at 0:12.000: warning[short-chapter]: chapter 'B' lasts from 0:12 to" in done.stderr


def test_listing_a_lesson_without_cues_says_so(folder: Path):
    assert "there are no cues yet" in run("edit", folder, "list").stderr


def test_usage_errors_exit_with_2(folder: Path):
    assert run("build").exit_code == 2
    assert run("nonsense").exit_code == 2
    assert run("edit", folder, "cue", "think", "0:05", "long").exit_code == 2


@pytest.mark.parametrize(
    ("file", "content", "told"),
    [
        ("lesson.yaml", b"", ["lesson.yaml: error[empty-file]", "the file is empty"]),
        (
            "lesson.yaml",
            b"title: x\nscore: game.pgn\ntranscripd: t\n",
            ["lesson.yaml:3:1:", "did you mean 'transcript'"],
        ),
        ("game.pgn", None, ["lesson.yaml:2:8:", "score: there is no file 'game.pgn'"]),
        ("game.pgn", b"", ["game.pgn", "the file is empty"]),
        ("game.pgn", b"1. e4 e5 2. Qg5 *", ["game.pgn:1:13:", "2. Qg5", "legal there: Qe2 Qf3 Qg4 Qh5"]),
        ("game.pgn", (PGN + "\n" + PGN).encode(), ["there are 2 games in it (1: A - B; 2: A - B)", "game: 1"]),
        ("talk.txt", None, ["lesson.yaml:3:13:", "transcript: there is no file 'talk.txt'"]),
        ("talk.txt", b"", ["talk.txt", "the file is empty"]),
        ("talk.txt", b"\x00\x01\x02\x7fELF" * 99, ["talk.txt"]),
    ],
)
def test_bad_files_get_one_clear_error_and_lose_nothing(
    folder: Path, file: str, content: bytes | None, told: list[str]
):
    if content is None:
        (folder / file).unlink()
    else:
        (folder / file).write_bytes(content)
    before = {p: p.read_bytes() for p in folder.iterdir() if p.is_file()}
    message = refused("build", folder)
    for part in told:
        assert part in message
    assert {p: p.read_bytes() for p in folder.iterdir() if p.is_file()} == before
    assert not list(folder.rglob("*.tmp"))


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_transcripts_in_the_usual_encodings(folder: Path, encoding: str):
    (folder / "talk.txt").write_bytes(TALK.replace("That", "Voilà, that").encode(encoding))
    assert run("build", folder).exit_code == 0
    words = json.loads((folder / ".plyline" / "words.json").read_text(encoding="utf-8"))["value"]["words"]
    assert "Voilà," in [word["text"] for word in words]


@pytest.mark.parametrize(
    ("talk", "told"),
    [
        ("[0:08] Then e4 is played.\n[0:02] And e5 comes.\n", "0:02"),
        ("[0:00] White plays e4.\n[9:00] Black plays e5.\n", "9:00"),
        ("1\n00:00:01,000 --> 00:00:05,000\nWhite plays e4\n\n2\n00:00:04,000 --> 00:00:08,000\nBlack plays e5\n", ""),
    ],
    ids=["backwards", "beyond the end", "overlapping"],
)
def test_odd_times_are_told_and_lose_nothing(folder: Path, talk: str, told: str):
    (folder / "talk.txt").write_text(talk)
    before = (folder / "lesson.yaml").read_bytes()
    done = run("chapters", folder)
    assert done.exit_code in (0, 2)
    assert "talk.txt:" in done.stderr
    assert told in done.stderr
    assert (folder / "lesson.yaml").read_bytes() == before


def test_a_huge_transcript_is_refused_at_once(folder: Path):
    """200 MB, as a file with a hole: it is refused by its size, not read."""
    with (folder / "talk.txt").open("wb") as file:
        file.truncate(200_000_000)
    began = time.process_time()  # of this process alone: a busy machine makes no difference
    assert "200 MB is too large for a text file" in refused("build", folder)
    assert time.process_time() - began < 5


def test_a_huge_lesson_file_is_refused_at_once(folder: Path):
    with (folder / "lesson.yaml").open("wb") as file:
        file.truncate(200_000_000)
    assert "too large" in refused("build", folder)


def test_a_cue_that_leads_nowhere(folder: Path):
    text = (folder / "lesson.yaml").read_text() + 'cues:\n  - {at: "0:03.000", show: 17b}\n'
    (folder / "lesson.yaml").write_text(text)
    for command in ("positions", "chapters", "build", "follow"):
        message = refused(command, folder)
        assert "lesson.yaml:7:5 at 0:03.000: error[bad-address]" in message
        assert "the mainline has no 17b; it ends at 2b" in message
    assert (folder / "lesson.yaml").read_text() == text
    assert not (folder / "out").exists()


def test_an_edit_that_cannot_be_shown_is_refused(folder: Path):
    before = (folder / "lesson.yaml").read_text()
    assert "the mainline has no 9w" in refused("edit", folder, "cue", "add", "0:05", "--show", "9w")
    assert "the lesson ends at 0:20.000" in refused("edit", folder, "cue", "add", "0:25", "--show", "1w")
    assert "'5:99' is not a time" in refused("edit", folder, "cue", "add", "5:99", "--show", "1w")
    assert "there is no change to take back" in refused("edit", folder, "undo")
    assert (folder / "lesson.yaml").read_text() == before


def test_edits_one_after_the_other(folder: Path):
    steps = [
        ("cue", "add", "0:05", "1w", "--lock"),
        ("cue", "mark", "0:05", "--arrow", "e1-e8", "--role", "attack", "--for", "2.5"),
        ("cue", "think", "0:07", "3"),
        ("cue", "move", "#2", "0:08.5"),
        ("cue", "show", "0:05", "1w c5"),
        ("chapter", "add", "0:00", 'Tea & "chess"'),
        ("title", "The new title"),
        ("shift", "--later", "1"),
        ("cue", "unlock", "0:06"),
    ]
    for step in steps:
        assert run("edit", folder, *step).exit_code == 0
    assert (folder / "lesson.yaml").read_text() == (
        LESSON.replace("title: x", "title: The new title").replace(SMALL, "")
        + 'chapters:\n  list:\n    - {at: "0:00.000", title: "Tea & \\"chess\\""}\n'
        + SMALL
        + "cues:\n"
        '  - {at: "0:06.000", show: 1w c5, marks: [{arrow: e1-e8, role: attack, for: "0:02.500"}]}\n'
        '  - {at: "0:09.500", think: 3.0}\n'
    )
    listed = run("edit", folder, "list").stdout
    assert "#1       0:06.000  1w c5, 1 mark" in listed
    for _ in steps:
        assert run("edit", folder, "undo").exit_code == 0
    assert "cues" not in (folder / "lesson.yaml").read_text()
    assert run("edit", folder, "redo").exit_code == 0


def test_an_edit_says_which_cue_a_near_time_named(folder: Path):
    for at, show in (("0:05", "1w"), ("0:05.4", "1b")):
        assert run("edit", folder, "cue", "add", at, "--show", show).exit_code == 0
    assert run("edit", folder, "cue", "lock", "#1").stderr == "locked the cue 0:05.000 (1w)\n"
    assert run("edit", folder, "cue", "show", "5.1", "1w c5").stderr == "now 1w c5 at the cue 0:05.000 (1w)\n"
    assert run("edit", folder, "cue", "remove", "5.35").stderr == "removed the cue 0:05.400 (1b)\n"
    assert run("edit", folder, "cue", "remove", "5.4").stderr == "removed the cue 0:05.000 (1w c5)\n"
    assert run("edit", folder, "undo").stderr == "taken back: removed the cue 0:05.000 (1w c5)\n"


def test_a_cue_that_is_not_there_is_told_with_the_nearest(folder: Path):
    assert "the lesson has no pause" in refused("edit", folder, "cue", "think", "0:12", "0")
    for step in (("add", "0:05", "1w"), ("add", "0:09", "--show", "1b"), ("think", "0:12.12", "3")):
        assert run("edit", folder, "cue", *step).exit_code == 0
    before = (folder / "lesson.yaml").read_text()
    assert "the nearest cue is #2 at 0:09.000 (1b)" in refused("edit", folder, "cue", "lock", "0:07.4")
    assert "the nearest pause is #3 at 0:12.120;" in refused("edit", folder, "cue", "think", "0:09", "0")
    assert "is an address already" in refused("edit", folder, "cue", "add", "0:15", "1b", "--show", "1w")
    assert (folder / "lesson.yaml").read_text() == before
    assert run("edit", folder, "cue", "think", "0:12", "0").stderr == "removed the pause at 0:12.120\n"
    assert "think" not in (folder / "lesson.yaml").read_text()


def test_the_help_gives_no_value_to_an_option_that_takes_none():
    """``--lock true`` would name a position."""
    line = next(line for line in run("edit", "x", "cue", "add", "--help").stdout.splitlines() if "--lock" in line)
    assert "<" not in line


def test_a_title_with_markup_stays_text_in_every_chapter_file(folder: Path):
    title = "<script>alert(1)</script> & [red] --> ]]>"
    assert run("edit", folder, "chapter", "add", "0:00", title).exit_code == 0
    assert run("edit", folder, "title", title).exit_code == 0
    assert run("chapters", folder).exit_code == 0
    out = folder / "out"
    assert "<script>" not in (out / "chapters.vtt").read_text()
    assert "<script>" not in (out / "chapters.xml").read_text()
    assert json.loads((out / "chapters.json").read_text())["chapters"][0]["title"] == title
    assert title in (out / "chapters.txt").read_text()
    assert "[red]" in run("edit", folder, "list").stdout


def interrupted(folder: Path, patch: str) -> str:
    """A real SIGINT into a build that ``patch`` makes wait, saying ``working``; returns what was told."""
    code = "import signal; signal.signal(signal.SIGINT, signal.default_int_handler)\n"  # a shell's & ignores it
    code += f"import time\ndef stop(*a, **k): print('working', flush=True); time.sleep(600)\n{patch}\n"
    code += "from timeline.cli import main; main()\n"
    command = [sys.executable, "-c", code, "build", str(folder), "-q"]
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) as process:
        assert process.stdout is not None
        assert process.stdout.readline() == "working\n"
        process.send_signal(signal.SIGINT)
        _, talk = process.communicate(timeout=120)
    assert process.returncode == 130
    assert "Run the same command again: finished steps are kept" in talk
    assert "Traceback" not in talk
    assert not list(folder.rglob("*.tmp"))
    return str(talk)


@pytest.mark.skipif(os.name == "nt", reason="POSIX signals")
def test_ctrl_c_says_how_to_go_on_and_exits_130(folder: Path):
    interrupted(folder, "import timeline.work as w; w.Work.make_follow = stop")
    done = run("build", folder)
    assert done.exit_code == 0
    assert "followed 4 cues" in done.stdout


@pytest.mark.skipif(os.name == "nt", reason="POSIX signals")
def test_ctrl_c_while_modules_are_read_ends_the_same_way(folder: Path):
    patch = "import sys\nclass Slow:\n    def find_spec(self, name, *rest):\n        if name == 'pydantic': stop()\n"
    interrupted(folder, patch + "sys.meta_path.insert(0, Slow())")


@pytest.mark.skipif(os.name == "nt", reason="POSIX signals")
def test_ctrl_c_in_the_middle_of_a_film_keeps_what_was_drawn(folder: Path):
    interrupted(folder, "import overlays.film as f; f.write_mp4 = stop")
    out = folder / "out"
    assert not [*out.glob("film*"), *out.glob("*.mp4")]
    parts = {p: p.stat().st_mtime_ns for p in (folder / ".plyline" / "film").iterdir()}
    assert len(parts) >= 2
    assert run("build", folder, "-q").exit_code == 0
    assert (out / "film.mp4").stat().st_size > 1000
    assert {p: p.stat().st_mtime_ns for p in parts} == parts


def silent_film(path: Path) -> None:
    with av.open(str(path), "w") as container:
        stream = container.add_stream("mpeg4", rate=10)
        stream.width = stream.height = 64
        for _ in range(200):
            container.mux(stream.encode(av.VideoFrame(64, 64, "yuv420p")))
        container.mux(stream.encode())


def test_a_recording_without_sound_is_told_and_filmed_silently(folder: Path):
    silent_film(folder / "talk.mp4")
    with (folder / "lesson.yaml").open("a") as file:
        file.write("recording: talk.mp4\n")
    done = run("build", folder)
    assert done.exit_code == 0
    assert "talk.mp4: warning[no-sound]" in done.stderr
    with av.open(str(folder / "out" / "film.mp4")) as film:
        assert not film.streams.audio


@pytest.mark.parametrize(
    ("codec", "name"), [("prores", "overlay.mov"), ("qtrle", "overlay.mov"), ("vp9", "overlay.webm")]
)
def test_overlays_have_an_alpha_channel_and_the_stretch_asked_for(folder: Path, codec: str, name: str):
    done = run("overlay", folder, "--codec", codec, "--from", "0:01", "--to", "0:03")
    assert (done.exit_code, done.stderr.splitlines()[-1]) == (0, f"wrote {folder / 'out' / name}")
    with av.open(str(folder / "out" / name)) as film:
        assert film.duration == pytest.approx(2_000_000, abs=50_000)
        picture = film.streams.video[0]
        assert "a" in picture.codec_context.pix_fmt or picture.metadata.get("alpha_mode") == "1"


def test_stills_come_with_a_table_of_times(folder: Path):
    run("follow", folder, "-q")
    assert run("overlay", folder, "--stills", "-q").output == ""
    rows = (folder / "out" / "stills" / "stills.csv").read_text().splitlines()
    assert rows[0] == "file,start,end"
    assert rows[-1].endswith(",20.000")
    assert all((folder / "out" / "stills" / row.split(",")[0]).is_file() for row in rows[1:])


def test_a_layout_with_a_camera_shows_the_recording_or_tells(folder: Path):
    silent_film(folder / "talk.mp4")
    text = (folder / "lesson.yaml").read_text().replace("film: {", "film: {layout: camera-inset, ")
    (folder / "lesson.yaml").write_text(text)
    assert "lesson.yaml:5:16: warning[no-picture]" in run("film", folder).stderr
    (folder / "lesson.yaml").write_text(text + "recording: talk.mp4\n")
    done = run("film", folder)
    assert done.exit_code == 0
    assert "no-picture" not in done.stderr


def test_a_recording_that_stops_in_the_middle_is_told_and_loses_nothing(folder: Path):
    silent_film(folder / "whole.mp4")
    (folder / "talk.mp4").write_bytes((folder / "whole.mp4").read_bytes()[:2000])
    text = (folder / "lesson.yaml").read_text() + "recording: talk.mp4\n"
    (folder / "lesson.yaml").write_text(text)
    message = refused("build", folder)
    assert "talk.mp4: error[not-a-recording]" in message
    assert "copy or export it again" in message
    assert (folder / "lesson.yaml").read_text() == text
    assert not (folder / "out").exists()


def test_a_second_writer_is_refused(folder: Path):
    code = "import sys, time; from pathlib import Path; from timeline.files import lesson_lock\n" \
        "with lesson_lock(Path(sys.argv[1])): print('held', flush=True); time.sleep(600)\n"  # fmt: skip
    process = subprocess.Popen([sys.executable, "-c", code, str(folder)], stdout=subprocess.PIPE, text=True)
    try:
        assert process.stdout is not None
        assert process.stdout.readline() == "held\n"
        before = (folder / "lesson.yaml").read_bytes()
        for command in (["build", folder], ["follow", folder], ["edit", folder, "title", "y"]):
            assert "another plyline" in refused(*command)
        assert (folder / "lesson.yaml").read_bytes() == before
    finally:
        process.kill()
        process.communicate()
    assert run("edit", folder, "title", "y").exit_code == 0

"""Only what is out of date is made, and what was stopped goes on."""

from __future__ import annotations

import json
import shutil
import wave
from functools import cached_property
from pathlib import Path

import pytest

import timeline.work as work_module
from timeline.build import BuildReport, Step, build
from timeline.cache import code_fingerprint, fingerprint, load_cached, save_cached
from timeline.edit import lock_cue, remove_cue, set_title
from timeline.files import write_atomic
from timeline.history import change_lesson, redo, undo
from timeline.problems import LessonFileError, OutputError
from timeline.steps import STEPS
from timeline.store import load_lesson
from timeline.transcript.words import Word
from timeline.work import Heard, Work

PGN = '[White "A"]\n[Black "B"]\n\n1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 *\n'
TALK = """\
[0:00] Welcome to the lantern club. This is a quiet game about one bishop.
[0:08] White begins with e4, and Black answers e5. Then knight f3, knight c6.
[0:20] Now bishop b5, and a6 asks a question. Bishop a4. And knight f6.
[0:34] What to remember: the bishop likes its diagonal.
"""
LESSON = 'title: The bishop\nscore: game.pgn\ntranscript: talk.txt\nrecording: talk.wav\nfollow: {align: "off"}\n'


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "game.pgn").write_text(PGN)
    (tmp_path / "talk.txt").write_text(TALK)
    (tmp_path / "lesson.yaml").write_text(LESSON)
    with wave.open(str(tmp_path / "talk.wav"), "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(1)
        sound.setframerate(8000)
        sound.writeframes(b"\x80" * 8000 * 42)
    return tmp_path


def states(report: BuildReport) -> dict[str, str]:
    return {step.name: step.state for step in report.steps}


def made(report: BuildReport) -> list[str]:
    return [step.name for step in report.steps if step.state == "made"]


def test_a_build_makes_everything_once(folder: Path):
    report = build(folder, STEPS)
    assert set(states(report).values()) == {"made"}
    assert all(path.is_file() for path in report.files)
    assert (folder / "out" / "positions.csv").read_text().startswith("start,end,fen,address,origin\n0.000,")
    assert (folder / "out" / "chapters.txt").read_text().startswith("0:00 Introduction\n")
    cues = load_lesson(folder).lesson.cues
    assert [c.show for c in cues if c.show] == ["1w", "1b", "2w", "2b", "3w", "3b", "4w", "4b"]
    assert all(c.by == "follow" and c.said for c in cues if c.show)
    again = build(folder, STEPS)
    assert made(again) == []
    assert [p for p in again.files if "out" in p.parts] == [p for p in report.files if "out" in p.parts]


def test_the_same_input_gives_the_same_bytes(folder: Path):
    build(folder, STEPS)
    before = {p: p.read_bytes() for p in [*(folder / "out").iterdir(), folder / "lesson.yaml"]}
    build(folder, STEPS, force=[step.name for step in STEPS])
    assert {p: p.read_bytes() for p in before} == before


def edit(path: Path, old: str, new: str) -> None:
    text = path.read_text()
    assert old in text
    path.write_text(text.replace(old, new))


def test_only_what_depends_on_a_change_is_made_again(folder: Path):
    build(folder, STEPS)
    edit(folder / "lesson.yaml", "title: The bishop", "title: Another")
    assert made(build(folder, STEPS)) == ["captions", "chapters", "transcript"]  # the title stands in all
    edit(folder / "lesson.yaml", "score: game.pgn", "score: game.pgn\nchapters: {least_s: 12}")
    assert made(build(folder, STEPS)) == ["chapters", "transcript"]
    edit(folder / "talk.txt", "quiet", "silent")
    assert made(build(folder, STEPS)) == ["words", "follow", "cues", "captions", "chapters", "transcript"]
    edit(folder / "game.pgn", "4. Ba4", "4. Ba4 {a retreat}")
    assert made(build(folder, STEPS)) == ["follow", "cues", "captions", "chapters", "transcript", "positions"]
    (folder / "out" / "positions.csv").unlink()
    assert made(build(folder, STEPS)) == ["positions"]
    (folder / "out" / "chapters.txt").write_text("cut")
    assert made(build(folder, STEPS)) == ["chapters"]
    (folder / "game.pgn").touch()
    assert made(build(folder, STEPS)) == []


def test_a_persons_cue_leads_a_new_follow_and_stays(folder: Path):
    build(folder, STEPS)
    line = next(x for x in (folder / "lesson.yaml").read_text().splitlines() if "show: 3w" in x)
    edit(folder / "lesson.yaml", line, '  - {at: "0:21.500", show: 3w}  # mine')
    assert made(build(folder, STEPS)) == ["follow", "cues", "captions", "chapters", "transcript", "positions"]
    text = (folder / "lesson.yaml").read_text()
    assert '  - {at: "0:21.500", show: 3w}  # mine\n' in text
    assert text.count("show: 3w,") + text.count("show: 3w}") == 1
    assert made(build(folder, STEPS)) == []


def test_a_followed_cue_edited_by_hand_is_a_persons_from_then_on(folder: Path):
    """Whoever edits a line need not know that it says ``by: follow``."""
    build(folder, STEPS)
    line = next(x for x in (folder / "lesson.yaml").read_text().splitlines() if "show: 3w" in x)
    edit(folder / "lesson.yaml", line, line.replace("show: 3w", "show: 3b"))
    (folder / "talk.txt").write_text(TALK + "\n[0:38] Thank you.\n")
    build(folder, STEPS)
    (mine,) = [c for c in load_lesson(folder).lesson.cues if c.by == "person"]
    assert (mine.show, mine.sure) == ("3b", None)
    assert made(build(folder, STEPS)) == []


def test_a_followed_cue_removed_by_hand_does_not_come_back(folder: Path):
    build(folder, STEPS)
    line = next(x for x in (folder / "lesson.yaml").read_text().splitlines() if "show: 3w" in x)
    edit(folder / "lesson.yaml", line + "\n", "")
    assert "cues" in made(build(folder, STEPS))
    (folder / "talk.txt").write_text(TALK + "\n[0:38] Thank you.\n")
    build(folder, STEPS)
    lesson = load_lesson(folder).lesson
    assert "3w" not in [c.show for c in lesson.cues]
    assert [r.show for r in lesson.follow.rejected] == ["3w"]


def test_emptying_the_cues_starts_again(folder: Path):
    build(folder, STEPS)
    before = load_lesson(folder).lesson.cues
    text = (folder / "lesson.yaml").read_text()
    (folder / "lesson.yaml").write_text(text[: text.index("cues:")])
    build(folder, STEPS)
    assert load_lesson(folder).lesson.cues == before


def test_undoing_a_follow_is_not_taken_for_removing_its_cues(folder: Path):
    build(folder, STEPS)
    before = load_lesson(folder).lesson
    undo(folder)
    assert load_lesson(folder).lesson.cues == ()
    build(folder, STEPS)
    assert load_lesson(folder).lesson == before


def codes(report: BuildReport) -> list[str]:
    return [finding.code for finding in report.findings]


def test_undo_and_redo_are_no_change_by_hand(folder: Path):
    """They bring back what an earlier follow wrote, also where a later one wrote something else."""
    build(folder, STEPS)
    whole = load_lesson(folder).lesson
    place = next(i for i, cue in enumerate(whole.cues) if cue.show == "3w")
    change_lesson(folder, lambda loaded: remove_cue(loaded.lesson, place), "removed")
    assert "followed-elsewhere" not in codes(build(folder, STEPS))
    less = load_lesson(folder).lesson
    for turn, then in ((undo, whole), (redo, less), (undo, whole)):
        turn(folder)
        assert load_lesson(folder).lesson == then
        assert "followed-elsewhere" not in codes(build(folder, STEPS, force=["follow", "cues"]))
        assert load_lesson(folder).lesson == then


def test_after_an_undo_a_hand_is_still_seen(folder: Path):
    build(folder, STEPS)
    change_lesson(folder, lambda loaded: set_title(loaded.lesson, "Another"), "title")
    undo(folder)
    line = next(x for x in (folder / "lesson.yaml").read_text().splitlines() if "show: 3w" in x)
    edit(folder / "lesson.yaml", line, line.replace("show: 3w", "show: 3b"))
    assert codes(build(folder, STEPS)) == []
    assert [(c.show, c.by) for c in load_lesson(folder).lesson.cues if c.by == "person"] == [("3b", "person")]


def test_a_cue_that_is_unlocked_again_is_the_followers(folder: Path):
    build(folder, STEPS)
    before = load_lesson(folder).lesson
    for lock in (True, False):
        change_lesson(folder, lambda loaded, lock=lock: lock_cue(loaded.lesson, 2, lock=lock), "lock")
        assert codes(build(folder, STEPS)) == []
    assert load_lesson(folder).lesson.cues == before.cues


def test_a_copy_of_a_followed_lesson_is_spoken_of_only_where_its_cues_change(folder: Path):
    build(folder, STEPS)
    shutil.rmtree(folder / ".plyline")
    assert codes(build(folder, STEPS)) == []
    shutil.rmtree(folder / ".plyline")
    line = next(x for x in (folder / "lesson.yaml").read_text().splitlines() if "show: 3w" in x)
    edit(folder / "lesson.yaml", line, line.replace("show: 3w", "show: 3b"))
    (found,) = build(folder, STEPS).findings
    assert found.code == "followed-elsewhere"
    assert "1 of them did not come out the same (the first: 3b)" in found.message


def test_only_the_wanted_steps_run_and_the_lesson_is_left_alone(folder: Path):
    report = build(folder, STEPS, only=["chapters"])
    assert list(states(report)) == ["words", "follow", "chapters"]
    assert (folder / "lesson.yaml").read_text() == LESSON


def test_steps_that_do_not_apply_say_why(folder: Path):
    (folder / "lesson.yaml").write_text('title: x\nscore: game.pgn\nlength: "1:00"\n')
    report = build(folder, STEPS)
    assert made(report) == ["positions"]
    assert {s.name: s.why for s in report.steps if s.state == "left"}["words"].startswith("the lesson has no transcript;")


def test_a_stopped_build_keeps_finished_steps_and_goes_on(folder: Path):
    def stop(work: Work) -> list[Path]:
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        build(folder, [*STEPS[:3], Step("stop", "stopping", lambda work: None, stop), *STEPS[3:]])
    assert not (folder / "out").exists()
    report = build(folder, STEPS)
    assert states(report) == {
        "words": "fresh",
        "follow": "fresh",
        "cues": "fresh",
        "captions": "made",
        "chapters": "made",
        "transcript": "made",
        "positions": "made",
    }


def test_a_full_disk_stops_the_build_and_keeps_what_was_there(folder: Path, monkeypatch):
    build(folder, STEPS)
    before = {p: p.read_bytes() for p in folder.rglob("*") if p.is_file() and p.name != "lock"}
    edit(folder / "lesson.yaml", "title: The bishop", "title: Another")
    before[folder / "lesson.yaml"] = (folder / "lesson.yaml").read_bytes()

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("timeline.files.os.fsync", full)
    with pytest.raises(OutputError) as caught:
        build(folder, STEPS)
    assert caught.value.findings[0].code == "disk-full"
    assert {p: p.read_bytes() for p in folder.rglob("*") if p.is_file() and p.name != "lock"} == before


def test_a_build_sweeps_what_a_killed_one_left(folder: Path):
    (folder / ".plyline-dead.tmp").write_text("half")
    build(folder, STEPS)
    assert not (folder / ".plyline-dead.tmp").exists()


@pytest.mark.parametrize("name", ["state.json", "words.json", "follow.json", "files.json"])
@pytest.mark.parametrize("damage", ["{", '{"steps": 5, "key": 1}'])
def test_damaged_memory_is_made_anew(folder: Path, name: str, damage: str):
    build(folder, STEPS)
    before = (folder / "out" / "positions.csv").read_bytes()
    (folder / ".plyline" / name).write_text(damage)
    build(folder, STEPS)
    assert (folder / "out" / "positions.csv").read_bytes() == before


def test_a_bad_cue_stops_the_build_with_its_place(folder: Path):
    text = LESSON + 'cues:\n  - {at: "0:09.000", show: 9b Nd5}\n'
    (folder / "lesson.yaml").write_text(text)
    with pytest.raises(LessonFileError) as caught:
        build(folder, STEPS)
    (finding,) = caught.value.findings
    assert (finding.code, finding.line, finding.column) == ("bad-address", 7, 5)
    assert "it ends at 4b" in finding.message
    assert (folder / "lesson.yaml").read_text() == text


def test_progress_names_what_is_done(folder: Path):
    seen: list[str] = []
    build(folder, STEPS, progress=lambda step, done, whole: seen.append(step))
    assert list(dict.fromkeys(seen))[:2] == ["listening for the words", "following the moves"]


def test_a_reload_forgets_everything_that_was_worked_out():
    lazy = {name for name, value in vars(Work).items() if isinstance(value, cached_property)}
    assert lazy == set(work_module._WORKED_OUT)


# -- memory
def test_cached_values_come_back_equal_and_only_for_their_key(tmp_path: Path):
    heard = Heard((Word("knight", 0, 500, 0.5), Word("naïve 🐴", 500, 900)))
    save_cached(tmp_path / "w.json", "k1", heard, Heard)
    assert load_cached(tmp_path / "w.json", "k1", Heard) == heard
    assert load_cached(tmp_path / "w.json", "k2", Heard) is None
    assert load_cached(tmp_path / "none.json", "k1", Heard) is None


def test_fingerprints():
    assert fingerprint({"a": 1, "b": [2]}) == fingerprint({"b": [2], "a": 1})
    assert fingerprint([1]) != fingerprint(["1"])
    assert code_fingerprint("timeline.chapters") != code_fingerprint("timeline.positions")
    with pytest.raises(ValueError, match="no module"):
        code_fingerprint("timeline.nonsense")


def test_state_is_written_after_each_step(folder: Path):
    def look(work: Work) -> list[Path]:
        steps = json.loads((work.folder / ".plyline" / "state.json").read_text())["steps"]
        assert list(steps) == ["words", "follow", "cues"]
        path = work.loaded.out / "look"
        write_atomic(path, "x")
        return [path]

    assert "look" in made(build(folder, [*STEPS[:3], Step("look", "looking", lambda work: 1, look)]))

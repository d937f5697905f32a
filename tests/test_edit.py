"""Edit operations, and taking them back."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from timeline import edit
from timeline.captions.settings import CaptionEdit, CaptionSettings, LabelSpec, Refusal
from timeline.chapters.settings import ChapterSettings, ChapterSpec
from timeline.history import Change, change_lesson, load_history, redo, undo
from timeline.lesson import (
    Accepted,
    CueSpec,
    FollowSettings,
    Lesson,
    MarkSpec,
    ReconstructSettings,
    Rejected,
    Told,
)
from timeline.problems import LessonFileError, OutputError, PlylineError
from timeline.store import load_lesson

FOLLOWED = CueSpec(at=5000, show="1b", by="follow", sure=0.5, said="e five", runner_up="1w")
LESSON = Lesson(title="x", score="g", cues=(CueSpec(at=2000, show="1w"), FOLLOWED, CueSpec(at=9000, think=4)))


def code_of(call) -> str:
    with pytest.raises(PlylineError) as caught:
        call()
    assert caught.value.findings[0].message
    return caught.value.findings[0].code


# -- finding
@pytest.mark.parametrize(("named", "index"), [("0:02", 0), ("5", 1), ("0:05.4", 1), ("#3", 2), ("0:09.000", 2)])
def test_a_cue_is_found_by_time_or_number(named: str, index: int):
    assert edit.find_cue(LESSON, named) == index


def test_a_cue_that_is_not_there_or_not_the_only_one():
    assert code_of(lambda: edit.find_cue(LESSON, "0:03")) == "no-such-cue"
    assert code_of(lambda: edit.find_cue(LESSON, "#4")) == "no-such-cue"
    assert code_of(lambda: edit.find_cue(LESSON, "soon")) == "bad-time"
    twice = edit.add_cue(LESSON, CueSpec(at=2000, think=3))
    with pytest.raises(LessonFileError) as caught:
        edit.find_cue(twice, "0:02")
    assert caught.value.findings[0].fix == "name it by number: #1 or #2"


# -- operations
def test_adding_keeps_the_order_of_time():
    added = edit.add_cue(LESSON, CueSpec(at=5000, show="2w"))
    assert [(c.at, c.show) for c in added.cues] == [(2000, "1w"), (5000, "1b"), (5000, "2w"), (9000, None)]


def test_an_edited_cue_of_the_follower_becomes_a_persons():
    for changed in (
        edit.move_cue(LESSON, 1, 6000).cues[1],
        edit.set_show(LESSON, 1, "2w").cues[1],
        edit.set_fen(LESSON, 1, "8/8/8/8/8/8/8/8 w - - 0 1").cues[1],
        edit.set_think(LESSON, 5000, 3).cues[1],
        edit.add_mark(LESSON, 5000, MarkSpec(square="e4")).cues[1],
    ):
        assert (changed.by, changed.fixed, changed.sure, changed.runner_up) == ("person", True, None, None)


def test_locking_keeps_the_followers_evidence():
    locked = edit.lock_cue(LESSON, 1).cues[1]
    assert locked == FOLLOWED.model_copy(update={"lock": True})
    assert edit.lock_cue(edit.lock_cue(LESSON, 1), 1, lock=False) == LESSON


def test_removing_a_followed_cue_is_remembered():
    less = edit.remove_cue(LESSON, 1)
    assert less.follow.rejected == (Rejected(at=5000, show="1b"),)
    assert edit.remove_cue(LESSON, 0).follow.rejected == ()


def test_pauses():
    assert edit.set_think(LESSON, 9000, 8).cues[2].think == 8
    assert len(edit.set_think(LESSON, 9000, 0).cues) == 2
    assert edit.set_think(LESSON, 3000, 8).cues[1] == CueSpec(at=3000, think=8)
    assert code_of(lambda: edit.set_think(LESSON, 2000, 0)) == "no-such-cue"
    assert code_of(lambda: edit.set_think(LESSON, 2000, -1)) == "bad-value"


def test_marks():
    marked = edit.add_mark(edit.add_mark(LESSON, 2000, MarkSpec(square="e4")), 3000, MarkSpec(arrow="e1-e8"))
    assert [(c.at, len(c.marks)) for c in marked.cues] == [(2000, 1), (3000, 1), (5000, 0), (9000, 0)]
    assert edit.clear_marks(edit.clear_marks(marked, 1), 0) == LESSON
    assert code_of(lambda: edit.clear_marks(LESSON, 0)) == "no-such-cue"


@pytest.mark.parametrize(
    "values",
    [{}, {"arrow": "e1"}, {"arrow": "e1-e8", "square": "e4"}, {"square": "i9"}, {"square": "e4", "role": "joy"}],
)
def test_bad_marks_are_refused_in_plain_words(values):
    with pytest.raises(LessonFileError) as caught:
        edit.make_mark(**values)
    assert "Input" not in caught.value.findings[0].message


@pytest.mark.parametrize(
    "values",
    [{"at": -1, "show": "1w"}, {"at": 1}, {"at": 1, "show": "1w", "fen": "x"}, {"at": 1, "think": 1000}],
)
def test_bad_cues_are_refused(values):
    assert code_of(lambda: edit.make_cue(**values)) == "bad-value"


def test_title_and_chapters():
    assert edit.set_title(LESSON, "y").title == "y"
    assert code_of(lambda: edit.set_title(LESSON, "")) == "bad-value"
    two = edit.add_chapter(edit.add_chapter(LESSON, 60_000, "Later"), 0, " Start ")
    assert two.chapters.listed == (ChapterSpec(at=0, title="Start"), ChapterSpec(at=60_000, title="Later"))
    assert edit.add_chapter(two, 0, "Begin").chapters.listed[0].title == "Begin"
    assert edit.remove_chapter(edit.remove_chapter(two, 0), 60_000) == LESSON
    assert code_of(lambda: edit.remove_chapter(LESSON, 0)) == "no-such-chapter"
    assert code_of(lambda: edit.add_chapter(LESSON, 0, "a\nb")) == "bad-value"
    assert code_of(lambda: edit.add_chapter(LESSON, 0, "x" * 101)) == "bad-value"


def test_shifting_moves_everything_from_a_time_on():
    lesson = Lesson(
        title="x",
        score="g",
        cues=LESSON.cues,
        chapters=ChapterSettings(listed=(ChapterSpec(at=0, title="A"), ChapterSpec(at=9000, title="B"))),
        accept=(Accepted(code="c", at=9500, reason="r"), Accepted(code="d", reason="r")),
        follow=FollowSettings(rejected=(Rejected(at=7000, show="1w"),)),
    )
    moved = edit.shift_all(lesson, 1500, from_ms=5000)
    assert [c.at for c in moved.cues] == [2000, 6500, 10_500]
    assert [c.at for c in moved.chapters.listed] == [0, 10_500]
    assert [a.at for a in moved.accept] == [11_000, None]
    assert moved.follow.rejected[0].at == 8500
    assert edit.shift_all(moved, -1500, from_ms=5000) == lesson


def test_what_a_person_said_of_the_captions_and_the_game_moves_along():
    captions = CaptionSettings(
        labels=(LabelSpec(at=500, text="clock"), LabelSpec(at=6000, text="bell", for_ms=2000)),
        edits=(CaptionEdit(at=4000, until=5500, text="a"), CaptionEdit(at=7000, until=9000, text="b")),
        refuse=(Refusal(at=8000), Refusal(heard="night")),
    )
    settled = ReconstructSettings(played=(Told(at=3000, moves="e4"), Told(at=6000, moves="e5")))
    lesson = Lesson(title="x", transcript="t", cues=LESSON.cues, captions=captions, reconstruct=settled)
    moved = edit.shift_all(lesson, 1500, from_ms=5000)
    assert [(label.at, label.for_ms) for label in moved.captions.labels] == [(500, None), (7500, 2000)]
    assert [(e.at, e.until) for e in moved.captions.edits] == [(4000, 7000), (8500, 10_500)]
    assert [r.at for r in moved.captions.refuse] == [9500, None]
    assert [told.at for told in moved.reconstruct.played] == [3000, 7500]
    assert edit.shift_all(moved, -1500, from_ms=5000) == lesson
    assert code_of(lambda: edit.shift_all(lesson, -1000)) == "before-start"
    assert code_of(lambda: edit.shift_all(lesson, -2000, from_ms=5500)) == "past-another"


def test_a_shift_that_would_press_times_together_is_refused():
    assert code_of(lambda: edit.shift_all(LESSON, -3000)) == "before-start"
    assert code_of(lambda: edit.shift_all(LESSON, -4000, from_ms=5000)) == "past-another"


@given(st.integers(0, 100_000), st.integers(0, 100_000))
def test_shifting_every_cue_shifts_every_time_and_back(by_ms: int, start: int):
    moved = edit.shift_all(LESSON, by_ms)
    assert [c.at - b.at for c, b in zip(moved.cues, LESSON.cues, strict=True)] == [by_ms] * 3
    assert edit.shift_all(moved, -by_ms) == LESSON
    assert len(edit.shift_all(LESSON, by_ms, from_ms=start).cues) == 3


# -- history
TEXT = "# mine\ntitle: x  # why\nscore: game.pgn\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "lesson.yaml").write_text(TEXT)
    (tmp_path / "game.pgn").write_text("1. e4 e5 *\n")
    return tmp_path


def retitle(folder: Path, title: str) -> None:
    change_lesson(folder, lambda loaded: edit.set_title(loaded.lesson, title), f"title {title}")


def test_undo_brings_back_the_very_text_and_redo_the_change(folder: Path):
    retitle(folder, "y")
    retitle(folder, "z")
    assert undo(folder) == "title z"
    assert undo(folder) == "title y"
    assert (folder / "lesson.yaml").read_text() == TEXT
    assert redo(folder) == "title y"
    assert load_lesson(folder).lesson.title == "y"
    assert redo(folder) == "title z"
    assert code_of(lambda: redo(folder)) == "nothing-to-redo"


def test_a_new_change_forgets_what_was_undone(folder: Path):
    retitle(folder, "y")
    undo(folder)
    retitle(folder, "z")
    assert code_of(lambda: redo(folder)) == "nothing-to-redo"
    undo(folder)
    assert code_of(lambda: undo(folder)) == "nothing-to-undo"


def test_undo_does_not_undo_a_persons_own_edit(folder: Path):
    retitle(folder, "y")
    mine = (folder / "lesson.yaml").read_text() + "teacher: me\n"
    (folder / "lesson.yaml").write_text(mine)
    assert code_of(lambda: undo(folder)) == "edited-by-hand"
    assert (folder / "lesson.yaml").read_text() == mine


def test_a_change_of_nothing_is_not_remembered(folder: Path):
    assert change_lesson(folder, lambda loaded: loaded.lesson, "nothing")[1] is False
    assert load_history(folder).changes == ()


def test_an_operation_that_fails_changes_nothing(folder: Path):
    assert code_of(lambda: retitle(folder, "")) == "bad-value"
    assert (folder / "lesson.yaml").read_text() == TEXT
    assert load_history(folder).changes == ()


def test_history_is_bounded_and_survives_damage(folder: Path, monkeypatch):
    monkeypatch.setattr("timeline.history.KEEP", 3)
    for number in range(5):
        retitle(folder, f"t{number}")
    assert [c.what for c in load_history(folder).changes] == ["title t2", "title t3", "title t4"]
    (folder / ".plyline" / "history.json").write_text('{"done": 3, "changes": [')
    assert load_history(folder).changes == ()
    retitle(folder, "y")
    assert undo(folder) == "title y"


@given(st.text("ab\n", max_size=12), st.text("ab\n", max_size=12))
def test_a_change_turns_one_text_into_the_other_and_back(before: str, after: str):
    change = Change.of("x", before, after)
    assert change.redone(before) == after
    assert change.undone(after) == before


def test_a_full_disk_while_editing_keeps_the_lesson(folder: Path, monkeypatch):
    retitle(folder, "y")
    before = (folder / "lesson.yaml").read_text()

    def full(handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("timeline.files.os.fsync", full)
    with pytest.raises(OutputError):
        retitle(folder, "z")
    monkeypatch.undo()
    assert (folder / "lesson.yaml").read_text() == before
    assert undo(folder) == "title y"

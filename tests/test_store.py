"""Lesson folders: what is read, what is refused, what a save changes and what it leaves alone."""

from __future__ import annotations

import os
import re
import shutil
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from timeline.lesson import CueSpec, Lesson, MarkSpec
from timeline.lessontext import parse_lesson_text
from timeline.problems import LessonFileError, OutputError, PlylineError, RecordingError, ScoreError, TranscriptError
from timeline.rewrite import scalar
from timeline.store import (
    LoadedLesson,
    changed_text,
    load_lesson,
    new_lesson,
    read_lesson,
    save_lesson,
)
from timeline.upgrade import UPGRADES, upgrade

PGN = '[White "A"]\n[Black "B"]\n\n1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 *\n'
DATA = Path(__file__).parent / "data" / "lesson"


def lesson_folder(folder: Path, text: str) -> Path:
    folder.mkdir(exist_ok=True)
    (folder / "game.pgn").write_text(PGN, encoding="utf-8")
    (folder / "lesson.yaml").write_text(text, encoding="utf-8")
    return folder


def code_of(call, kind: type[PlylineError] = LessonFileError) -> str:
    with pytest.raises(kind) as caught:
        call()
    return caught.value.findings[0].code


# -- reading
def test_a_hand_written_lesson_is_read_as_meant(tmp_path: Path):
    folder = lesson_folder(
        tmp_path / "l",
        "title: My lesson\nscore: game.pgn\nlength: 10:00\ncues:\n"
        '  - {at: "0:18.250", show: 1w}\n'
        "  - {at: 1:03, marks: [{arrow: e1-e8, role: attack, for: 2.5}]}\n"
        "  - at: 70.25\n    think: 8\n    show: 1w c5\n    lock: true\n",
    )
    lesson = load_lesson(folder).lesson
    assert lesson.length == 600_000
    assert lesson.cues[0] == CueSpec(at=18_250, show="1w")
    assert lesson.cues[1] == CueSpec(at=63_000, marks=(MarkSpec(arrow="e1-e8", role="attack", for_ms=2500),))
    assert lesson.cues[2] == CueSpec(at=70_250, think=8.0, show="1w c5", lock=True)


def test_the_lesson_file_itself_may_be_named(tmp_path: Path):
    folder = lesson_folder(tmp_path / "l", "title: x\nscore: game.pgn\n")
    assert load_lesson(folder / "lesson.yaml").folder == folder


def test_no_folder_and_no_file(tmp_path: Path):
    assert code_of(lambda: load_lesson(tmp_path / "none")) == "no-folder"
    assert code_of(lambda: load_lesson(tmp_path)) == "no-file"


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings_of_the_lesson_file(tmp_path: Path, encoding: str):
    lesson_folder(tmp_path, "")
    (tmp_path / "lesson.yaml").write_bytes("title: Königsjagd\r\nscore: game.pgn\r\n".encode(encoding))
    assert load_lesson(tmp_path).lesson.title == "Königsjagd"


# -- paths
@pytest.mark.parametrize(
    ("path", "code"),
    [
        ("/etc/passwd", "absolute-path"),
        ("C:\\\\talks\\\\game.pgn", "absolute-path"),
        ("\\\\\\\\server\\\\game.pgn", "absolute-path"),
        ("~/game.pgn", "absolute-path"),
        ("../game.pgn", "outside-path"),
        ("a/../../game.pgn", "outside-path"),
        ("   ", "bad-path"),
    ],
)
def test_paths_that_are_not_inside_the_folder_are_refused(tmp_path: Path, path: str, code: str):
    folder = lesson_folder(tmp_path / "l", f'title: x\nscore: "{path}"\n')
    with pytest.raises(LessonFileError) as caught:
        load_lesson(folder)
    assert caught.value.findings[0].code == code
    assert caught.value.findings[0].line == 2


def test_a_link_that_leads_out_counts_as_climbing(tmp_path: Path):
    folder = lesson_folder(tmp_path / "l", "title: x\nscore: linked.pgn\n")
    (tmp_path / "elsewhere.pgn").write_text(PGN)
    (folder / "linked.pgn").symlink_to(tmp_path / "elsewhere.pgn")
    assert code_of(lambda: load_lesson(folder)) == "outside-path"
    (folder / "inner.pgn").symlink_to(folder / "game.pgn")
    (folder / "lesson.yaml").write_text("title: x\nscore: inner.pgn\n")
    assert load_lesson(folder).file("score").exists()


def test_outside_on_purpose(tmp_path: Path):
    folder = lesson_folder(tmp_path / "l", "title: x\nscore: ../shared.pgn\noutside: true\n")
    (tmp_path / "shared.pgn").write_text(PGN)
    assert load_lesson(folder).file("score").read_text() == PGN


def test_results_do_not_follow_a_link_out_of_the_folder(tmp_path: Path):
    folder = lesson_folder(tmp_path / "l", "title: x\nscore: game.pgn\n")
    (tmp_path / "home").mkdir()
    (folder / "out").symlink_to(tmp_path / "home")
    assert code_of(lambda: load_lesson(folder).out, OutputError) == "outside-path"


def test_a_file_that_is_named_but_not_there(tmp_path: Path):
    folder = lesson_folder(tmp_path / "l", "title: x\nscore: gone.pgn\n")
    loaded = load_lesson(folder)
    with pytest.raises(LessonFileError) as caught:
        loaded.file("score")
    assert (caught.value.findings[0].code, caught.value.findings[0].line) == ("no-file", 2)
    assert code_of(lambda: loaded.file("transcript")) == "missing-key"


# -- writing
TEXT = """\
# mine, all mine
title: "My: lesson"  # a title
score: game.pgn

# how it looks
film: {rate: "25"}  # for television
orientation: black
cues:
  # the opening
  - {at: "0:18.250", show: 1w}  # says "e four"
  # the answer
  - at: 20
    show: 1b  # why?
  - {at: 0:23.700, show: 2w, marks: [{arrow: e1-e8, role: attack}]}
# the end
captions:
  # which
  profile: learner
length: 1:00
"""


def test_a_save_without_change_writes_nothing(tmp_path: Path):
    folder = lesson_folder(tmp_path / "l", TEXT)
    before = (folder / "lesson.yaml").stat()
    loaded = load_lesson(folder)
    save_lesson(loaded, loaded.lesson)
    assert (folder / "lesson.yaml").stat().st_mtime_ns == before.st_mtime_ns
    assert (folder / "lesson.yaml").read_text() == TEXT


def test_a_save_changes_the_lines_it_must_and_no_other(tmp_path: Path):
    folder = lesson_folder(tmp_path / "l", TEXT)
    loaded = load_lesson(folder)
    cues = list(loaded.lesson.cues)
    cues[0] = cues[0].model_copy(update={"lock": True})
    cues[2] = cues[2].model_copy(update={"at": 23_900})
    cues.append(CueSpec(at=250_000, think=8, show="14b"))
    save_lesson(loaded, loaded.lesson.model_copy(update={"title": "Ωmega 😀", "cues": tuple(cues), "teacher": "A. B."}))
    assert (
        (folder / "lesson.yaml").read_text(encoding="utf-8")
        == """\
# mine, all mine
title: "Ωmega 😀"  # a title
teacher: A. B.
score: game.pgn

# how it looks
film: {rate: "25"}  # for television
orientation: black
cues:
  # the opening
  - {at: "0:18.250", show: 1w, lock: true}  # says "e four"
  # the answer
  - at: 20
    show: 1b  # why?
  - {at: "0:23.900", show: 2w, marks: [{arrow: e1-e8, role: attack}]}
  - {at: "4:10.000", think: 8.0, show: 14b}
# the end
captions:
  # which
  profile: learner
length: 1:00
"""
    )


def test_comments_of_removed_cues_stay(tmp_path: Path):
    folder = lesson_folder(tmp_path / "l", TEXT)
    loaded = load_lesson(folder)
    save_lesson(loaded, loaded.lesson.model_copy(update={"cues": ()}))
    text = (folder / "lesson.yaml").read_text()
    assert load_lesson(folder).lesson.cues == ()
    for comment in re.findall(r"#[^\n]*", TEXT):
        assert comment in text


def test_cues_are_written_as_the_handbook_shows_them(tmp_path: Path):
    folder = lesson_folder(tmp_path / "l", "title: x\nscore: game.pgn\n")
    loaded = load_lesson(folder)
    cues = (
        CueSpec(at=18_250, show="1w"),
        CueSpec(at=123_700, show="9b Nd5 exd5", marks=(MarkSpec(arrow="e1-e8", role="attack"),)),
        CueSpec(at=250_000, think=8.0, show="14b", lock=True),
        CueSpec(at=251_000, show="17b Qxf7#", by="follow", sure=0.87, said='he said "mate"', runner_up="start"),
    )
    save_lesson(loaded, loaded.lesson.model_copy(update={"cues": cues}))
    assert (
        (folder / "lesson.yaml").read_text().split("cues:\n")[1]
        == """\
  - {at: "0:18.250", show: 1w}
  - {at: "2:03.700", show: 9b Nd5 exd5, marks: [{arrow: e1-e8, role: attack}]}
  - {at: "4:10.000", think: 8.0, show: 14b, lock: true}
  - {at: "4:11.000", show: 17b Qxf7#, by: follow, sure: 0.87, said: "he said \\"mate\\"", else: start}
"""
    )


def test_a_lesson_changed_by_someone_else_is_not_overwritten(tmp_path: Path):
    folder = lesson_folder(tmp_path / "l", TEXT)
    loaded = load_lesson(folder)
    mine = TEXT + "# I was here\n"
    (folder / "lesson.yaml").write_text(mine)
    changed = loaded.lesson.model_copy(update={"title": "other"})
    assert code_of(lambda: save_lesson(loaded, changed), OutputError) == "changed-meanwhile"
    assert (folder / "lesson.yaml").read_text() == mine


def test_line_ends_of_windows_are_kept(tmp_path: Path):
    folder = lesson_folder(tmp_path / "l", "")
    (folder / "lesson.yaml").write_bytes(TEXT.replace("\n", "\r\n").encode())
    loaded = load_lesson(folder)
    save_lesson(loaded, loaded.lesson.model_copy(update={"title": "other"}))
    data = (folder / "lesson.yaml").read_bytes()
    assert data.count(b"\n") == data.count(b"\r\n") == TEXT.count("\n")


def test_a_lesson_in_braces_is_written_anew():
    text = '{"title": "x", "score": "game.pgn"}\n'
    lesson, source = read_lesson(text)
    loaded = LoadedLesson(Path(), lesson, source)
    fresh = changed_text(loaded, lesson.model_copy(update={"title": "y"}))
    assert read_lesson(fresh)[0].title == "y"


# -- properties
COMMENT = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs", "Zl", "Zp", "Co", "Cn"]), max_size=20)
TITLE = st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), min_size=1, max_size=30)
ADDRESS = st.sampled_from(["start", "1w", "1b", "2w Bb5 a6", "1e5", "0x1f", "no", "2b Nxd4#"])
MARK = st.builds(
    MarkSpec,
    arrow=st.sampled_from(["e1-e8", "a1-h8"]),
    role=st.sampled_from(["attack", "key square"]),
    for_ms=st.none() | st.integers(1, 99_999),
)
CUE = st.builds(
    CueSpec,
    at=st.integers(0, 5_000_000),
    show=ADDRESS,
    marks=st.lists(MARK, max_size=2).map(tuple),
    think=st.none() | st.floats(0.5, 60).map(lambda x: round(x, 2)),
    lock=st.booleans(),
    by=st.sampled_from(["person", "follow"]),
    sure=st.none() | st.floats(0, 1),
    said=st.none() | TITLE,
)
CUES = st.lists(CUE, max_size=6).map(lambda cues: tuple(sorted(cues, key=lambda cue: cue.at)))
LESSON = st.builds(
    Lesson,
    title=TITLE,
    teacher=st.none() | TITLE,
    score=st.just("game.pgn"),
    length=st.none() | st.integers(0, 9_999_999),
    orientation=st.sampled_from(["white", "black"]),
    names=st.lists(TITLE, max_size=3).map(tuple),
    glossary=st.dictionaries(TITLE, TITLE, max_size=3),
    cues=CUES,
)


def with_comments(text: str, comments: list[tuple[int, bool, str]]) -> str:
    """Comments put between lines (indented like the line after) or at ends of lines."""
    lines = text.split("\n")[:-1]
    for where, own, comment in comments:
        at = where % len(lines)
        if own:
            pad = lines[at][: len(lines[at]) - len(lines[at].lstrip())]
            lines.insert(at, f"{pad}#{comment}")
        elif not lines[at].rstrip().endswith("#") and "#" not in lines[at]:
            lines[at] += f"  #{comment}"
    return "\n".join(lines) + "\n"


@given(LESSON, LESSON, st.lists(st.tuples(st.integers(0, 99), st.booleans(), COMMENT), max_size=6))
def test_saving_keeps_the_model_and_every_comment(first: Lesson, second: Lesson, comments):
    """Whatever is written and changed, it reads back as meant, and no comment is lost."""
    empty = LoadedLesson(Path(), *read_lesson("title: x\nscore: game.pgn\n"))
    text = with_comments(changed_text(empty, first), comments)
    lesson, source = read_lesson(text)
    assert lesson == first
    changed = changed_text(LoadedLesson(Path(), lesson, source), second)
    assert read_lesson(changed)[0] == second
    for _, own, comment in comments:
        if own or f"  #{comment}\n" in text:
            assert f"#{comment}".rstrip() in changed


@given(TITLE)
def test_any_text_survives_as_a_scalar(text: str):
    assert parse_lesson_text(f"key: {scalar(text)}\n").plain["key"] == text
    assert parse_lesson_text(f"key: {{in: [{scalar(text)}, 1]}}\n").plain["key"]["in"][0] == text


# -- upgrades
def test_every_older_format_has_a_step():
    assert sorted(UPGRADES) == [0]


def test_format_0_is_read_and_a_save_writes_format_1(tmp_path: Path):
    shutil.copy(DATA / "format-0.yaml", tmp_path / "lesson.yaml")
    (tmp_path / "game.pgn").write_text(PGN)
    loaded = load_lesson(tmp_path)
    assert loaded.lesson.recording == "talk.wav"
    assert [(cue.at, cue.show) for cue in loaded.lesson.cues] == [(1000, "1w"), (2500, "1b")]
    assert loaded.lesson.accept[0].at == 2000
    save_lesson(loaded, loaded.lesson.model_copy(update={"title": "The loud rook"}))
    again = load_lesson(tmp_path)
    assert again.written["plyline"] == 1
    assert again.lesson == loaded.lesson.model_copy(update={"title": "The loud rook"})
    text = (tmp_path / "lesson.yaml").read_text()
    for comment in ("# Lantern Club", "# recorded in the back room", "# the first moves", "# he hesitated here"):
        assert comment in text


def test_upgrading_is_pure_and_leaves_current_documents_alone():
    old = {"version": 0, "audio": "a.wav", "cues": [{"time": 1, "show": "1w"}]}
    kept = {**old, "cues": [dict(old["cues"][0])]}
    new = upgrade(old)
    assert old == kept
    assert new == {"plyline": 1, "recording": "a.wav", "cues": [{"at": 1, "show": "1w"}]}
    assert upgrade(new) is new


# -- new
TALK = "[0:00] We begin with e four.\n[0:05] And e five.\n"


def sources(tmp_path: Path) -> dict[str, Path]:
    (tmp_path / "in").mkdir()
    (tmp_path / "in" / "game.pgn").write_text(PGN)
    (tmp_path / "in" / "talk.txt").write_text(TALK)
    return {"score": tmp_path / "in" / "game.pgn", "transcript": tmp_path / "in" / "talk.txt"}


def test_new_makes_a_folder_that_loads(tmp_path: Path):
    loaded = new_lesson(tmp_path / "l", **sources(tmp_path), title="Tea & chess")
    assert loaded.lesson.title == "Tea & chess"
    assert loaded.file("score").read_text() == PGN
    assert not (tmp_path / "l" / "game.pgn").is_symlink()
    assert new_lesson(tmp_path / "m", score=tmp_path / "in" / "game.pgn").lesson.title == "A - B"


@pytest.mark.parametrize("name", ["a b", "quo\"te's", "émoji 🐴", "שח-מט", "- dash: #1", "x" * 150])
def test_odd_names_of_folders_and_files(tmp_path: Path, name: str):
    given = sources(tmp_path)
    odd = given["score"].rename(tmp_path / "in" / f"{name}.pgn")
    loaded = new_lesson(tmp_path / name, score=odd, transcript=given["transcript"])
    assert loaded.lesson.score == f"{name}.pgn"
    assert save_lesson(loaded, loaded.lesson.model_copy(update={"title": name})).lesson.title == name
    assert load_lesson(tmp_path / name).file("score").read_text() == PGN


def test_new_refuses_to_overwrite_and_leaves_all_as_it_was(tmp_path: Path):
    given = sources(tmp_path)
    new_lesson(tmp_path / "l", **given)
    before = {p: p.read_bytes() for p in (tmp_path / "l").iterdir() if p.is_file()}
    assert code_of(lambda: new_lesson(tmp_path / "l", **given), OutputError) == "exists"
    (tmp_path / "m").mkdir()
    (tmp_path / "m" / "game.pgn").write_text("precious")
    assert code_of(lambda: new_lesson(tmp_path / "m", **given), OutputError) == "exists"
    assert (tmp_path / "m" / "game.pgn").read_text() == "precious"
    assert [p.name for p in (tmp_path / "m").iterdir()] == ["game.pgn"]
    (tmp_path / "n").write_text("a file")
    assert code_of(lambda: new_lesson(tmp_path / "n", **given), OutputError) == "exists"
    assert {p: p.read_bytes() for p in (tmp_path / "l").iterdir() if p.is_file()} == before


def test_new_uses_files_that_lie_in_the_folder_already(tmp_path: Path):
    given = sources(tmp_path)
    loaded = new_lesson(tmp_path / "in", **given)
    assert loaded.lesson.score == "game.pgn"
    assert not loaded.lesson.outside


def test_new_with_link_leaves_the_files_where_they_are(tmp_path: Path):
    loaded = new_lesson(tmp_path / "l", **sources(tmp_path), link=True)
    assert loaded.lesson.score == "../in/game.pgn"
    assert loaded.lesson.outside
    assert sorted(p.name for p in (tmp_path / "l").iterdir()) == [".plyline", "lesson.yaml"]


@pytest.mark.parametrize(
    ("broken", "content", "kind", "code"),
    [
        ("score", "", ScoreError, "empty-file"),
        ("score", None, ScoreError, "no-file"),
        ("score", "1. e4 e5 2. Qh6 *", ScoreError, "illegal-move"),
        ("score", PGN + "\n" + PGN, ScoreError, "several-games"),
        ("transcript", "", TranscriptError, "empty-file"),
        ("transcript", None, TranscriptError, "no-file"),
        ("recording", None, RecordingError, "no-file"),
        ("recording", "", RecordingError, "empty-file"),
        ("recording", "not sound", RecordingError, "not-a-recording"),
    ],
)
def test_new_writes_nothing_when_a_file_is_bad(tmp_path: Path, broken, content, kind, code):
    given = {**sources(tmp_path), "recording": tmp_path / "in" / "talk.wav"}
    if broken != "recording":
        del given["recording"]
    given[broken].unlink(missing_ok=True)
    if content is not None:
        given[broken].write_text(content)
    assert code_of(lambda: new_lesson(tmp_path / "l", **given), kind) == code
    assert not (tmp_path / "l").exists()


def test_new_that_cannot_copy_leaves_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch):
    given = sources(tmp_path)

    def full(*args: object) -> None:
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr("timeline.store.shutil.copyfileobj", full)
    assert code_of(lambda: new_lesson(tmp_path / "l", **given), OutputError) == "disk-full"
    assert not (tmp_path / "l").exists()

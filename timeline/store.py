"""Lesson folders: reading ``lesson.yaml`` with places, and writing it so that nothing is lost."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path, PureWindowsPath
from typing import TYPE_CHECKING, Any, NoReturn

from pydantic import ValidationError

from timeline.fields import FROM_FILE
from timeline.files import (
    in_turn,
    lesson_lock,
    state_folder,
    sweep,
    write_atomic,
    write_error,
)
from timeline.lesson import SCHEMA_VERSION, Lesson
from timeline.lessontext import LessonText, explain, parse_lesson_text
from timeline.problems import Finding, LessonFileError, OutputError
from timeline.rewrite import new_text, rewrite
from timeline.textfile import decode_text, read_text
from timeline.upgrade import Document, format_of, upgrade

if TYPE_CHECKING:
    from timeline.score import Score

__all__ = [
    "HEARD_FILE",
    "LESSON_FILE",
    "LoadedLesson",
    "lesson_lock",
    "load_lesson",
    "new_lesson",
    "read_lesson",
    "save_lesson",
    "state_folder",
    "sweep",
    "write_atomic",
]

LESSON_FILE = "lesson.yaml"
OUT_FOLDER = "out"
HEARD_FILE = "heard.json"
"""The transcript of a lesson whose recording was listened to."""

_HEADING = """\
# A plyline lesson. Times are m:ss.mmm (or h:mm:ss.mmm) from the start of the recording.
# `plyline schema` prints all keys; paths are relative to this folder.
"""
_NO_SCORE = """\
# No score was given: the game is reconstructed from the talk (out/reconstructed.pgn says where it is in doubt).
# Settle a doubt with `plyline edit DIR played TIME MOVE`; or mend that file, copy it here and name it: `score: …`.
"""


@dataclass(frozen=True)
class LoadedLesson:
    """A lesson as read: the model, the text with its places, and the folder it lies in.

    ``written`` is the document as it stands in the file, before any upgrade.
    """

    folder: Path
    lesson: Lesson
    source: LessonText

    @property
    def written(self) -> Document:
        return self.source.plain

    @property
    def out(self) -> Path:
        """The folder for results, made when missing. Raises OutputError when it leads out of the lesson's folder."""
        path = self.folder / OUT_FOLDER
        if not self.lesson.outside and not _inside(self.folder, path):
            raise OutputError.of(
                "outside-path",
                f"{OUT_FOLDER} is a link that leads out of the lesson's folder",
                file=str(path),
                fix="remove the link, or set `outside: true` in lesson.yaml if you want this",
            )
        try:
            path.mkdir(exist_ok=True)
        except OSError as fault:
            raise write_error(path, fault) from None
        return path

    def file(self, key: str) -> Path:
        """The path of ``score``, ``transcript`` or ``recording``; LessonFileError when not given or not there."""
        relative = getattr(self.lesson, key)
        if relative is None:
            raise LessonFileError.of(
                "missing-key", f"this needs a {key}, and the lesson names none", file=LESSON_FILE, fix=f"add `{key}: …`"
            )
        path = self.folder / str(relative)
        if not path.exists():
            raise LessonFileError.of(
                "no-file",
                f"{key}: there is no file {relative!r}",
                **self.place(key),
                fix="check the name and the folder",
            )
        return path

    def place(self, *location: int | str) -> dict[str, Any]:
        """File, line, column and source line of a value of the lesson, for a Finding."""
        return self.source.place(location)

    def cue_place(self, index: int) -> dict[str, Any]:
        """Where a cue stands in lesson.yaml."""
        return self.place("cues", index)


@lru_cache(maxsize=4)  # one command reads the same text several times, and reading is slow: 0.5 ms a cue
def read_lesson(text: str, *, name: str = LESSON_FILE) -> tuple[Lesson, LessonText]:
    """A lesson text as a model, and the text with its places. Raises LessonFileError listing every fault."""
    source = parse_lesson_text(text, name=name)
    version = format_of(source.plain)
    if not isinstance(version, int) or isinstance(version, bool) or version > SCHEMA_VERSION or version < 0:
        key = "plyline" if "plyline" in source.plain else "version"
        raise LessonFileError.of(
            "format",
            f"{key}: {version!r} is not a format this plyline reads (it reads 0 to {SCHEMA_VERSION})",
            **source.place((key,)),
            fix="upgrade plyline" if isinstance(version, int) and version > SCHEMA_VERSION else "write `plyline: 1`",
        )
    try:
        lesson = Lesson.model_validate(upgrade(source.plain), context=FROM_FILE, by_alias=True, by_name=False)
    except ValidationError as error:
        raise LessonFileError(*explain(error, source, Lesson)) from None
    return lesson, source


def load_lesson(folder: Path) -> LoadedLesson:
    """The lesson in a folder (or named by its lesson.yaml).

    Raises LessonFileError: no such folder or file, not YAML, wrong keys or
    values, or a path that is absolute or leads out of the folder without
    ``outside: true``.
    """
    if folder.name == LESSON_FILE and not folder.is_dir():
        folder = folder.parent
    if not folder.is_dir():
        raise LessonFileError.of(
            "no-folder", "there is no such lesson folder", file=str(folder), fix="make one with `plyline new`"
        )
    path = folder / LESSON_FILE
    if not path.exists():
        raise LessonFileError.of(
            "no-file", f"there is no {LESSON_FILE} in it", file=str(folder), fix="make one with `plyline new`"
        )
    lesson, source = read_lesson(read_text(path, LessonFileError, name=str(path)), name=str(path))
    loaded = LoadedLesson(folder, lesson, source)
    findings = [f for location, path in _paths(lesson) if (f := _path_fault(loaded, location, path))]
    if findings:
        raise LessonFileError(*findings)
    return loaded


def _inside(folder: Path, path: Path) -> bool:
    return path.resolve().is_relative_to(folder.resolve())


def _paths(lesson: Lesson) -> Iterator[tuple[tuple[str, ...], str]]:
    """Every path that a lesson names, with the key it stands under."""
    for key in ("score", "transcript", "recording"):
        value = getattr(lesson, key)
        if value is not None:
            yield (key,), value
    film = lesson.film
    if film.logo is not None:
        yield ("film", "logo"), film.logo
    for key, value in (("theme", film.theme), ("layout", film.layout)):
        if value.endswith(".toml"):  # else it is the name of one of ours
            yield ("film", key), value


def _path_fault(loaded: LoadedLesson, location: tuple[str, ...], relative: str) -> Finding | None:
    key = ".".join(location)
    place = loaded.place(*location)
    windows = PureWindowsPath(relative)
    if Path(relative).is_absolute() or windows.is_absolute() or relative.startswith(("~/", "\\")):
        return Finding(
            "absolute-path",
            f"{key}: {relative!r} is not a path relative to the lesson's folder",
            fix="write it relative to this folder",
            **place,
        )
    if "\x00" in relative or not relative.strip():
        return Finding("bad-path", f"{key}: this is not a file name", fix="write the file's name", **place)
    if not loaded.lesson.outside and not _inside(loaded.folder, loaded.folder / relative):
        link = ".." not in Path(relative).parts
        return Finding(
            "outside-path",
            f"{key}: {relative!r} {'is a link that ' if link else ''}leads out of the lesson's folder",
            fix="put the file into the folder, or add `outside: true` if this is on purpose",
            **place,
        )
    return None


def save_lesson(loaded: LoadedLesson, lesson: Lesson) -> LoadedLesson:
    """Write the lesson's changes into its text and file; everything else in the text stays as it is.

    Takes the lesson's lock. Raises OutputError: ``locked``, ``changed-meanwhile``
    (the file is no longer what was loaded), ``disk-full``, ``cannot-write``.
    """
    path = loaded.folder / LESSON_FILE
    text = changed_text(loaded, lesson)
    with lesson_lock(loaded.folder), in_turn:
        try:
            data = path.read_bytes()
        except OSError:
            data = b""
        if decode_text(data) != loaded.source.text:
            raise OutputError.of(
                "changed-meanwhile",
                f"{LESSON_FILE} was changed by someone else since it was read; nothing was written",
                file=str(path),
                fix="run the command again",
            )
        if text != loaded.source.text:
            write_atomic(path, text.replace("\n", "\r\n") if b"\r\n" in data else text)
    return LoadedLesson(loaded.folder, lesson, read_lesson(text, name=loaded.source.name)[1])


def changed_text(loaded: LoadedLesson, lesson: Lesson) -> str:
    """The lesson's text with the model's changes; checked to mean exactly ``lesson``."""
    upgraded = upgrade(loaded.written)
    new = _tree(_dump(lesson), _dump(lesson, sparse=True), upgraded)
    if upgraded is loaded.written:
        old = _tree(_dump(loaded.lesson), _dump(loaded.lesson, sparse=True), upgraded)
    else:
        old = loaded.written
    text = rewrite(loaded.source.text, loaded.source.document, old, new)
    try:
        back, _ = read_lesson(text, name=loaded.source.name)
    except LessonFileError:
        back = None
    if back != lesson:
        raise OutputError.of(
            "layout",
            f"{LESSON_FILE} is laid out in a way that cannot be changed safely; nothing was written",
            file=str(loaded.folder / LESSON_FILE),
            fix="give each key and each cue a line of its own",
        )
    return text


def _dump(lesson: Lesson, *, sparse: bool = False) -> Document:
    return lesson.model_dump(mode="json", by_alias=True, exclude_defaults=sparse)


def _tree(full: Document, sparse: Document, written: Document) -> Document:
    """What the file should hold: the keys that stand in it already, and those that are not at their default."""
    result: Document = {}
    for key, value in full.items():
        there = written.get(key)
        if isinstance(value, dict) and isinstance(there, dict | None):
            inner = _tree(value, sparse.get(key, {}), there or {})
            if inner or key in written:
                result[key] = inner
        elif key in sparse:
            result[key] = sparse[key]
        elif key in written and value is not None:
            result[key] = value
    return result


def new_lesson(
    folder: Path,
    *,
    score: Path | None = None,
    transcript: Path | None = None,
    recording: Path | None = None,
    title: str | None = None,
    game: int | None = None,
    link: bool = False,
    hear: Callable[[Score | None], str] | None = None,
) -> LoadedLesson:
    """Make a lesson folder and return it as loaded; without a score the game is to be reconstructed from the talk.

    The given files are read first: nothing is written unless they are good.
    ``hear`` then gives the text of the transcript, where none is given.
    They are copied in; with ``link`` they stay where they are and the lesson
    names them by relative paths (and says ``outside: true``). Files that lie
    in the folder already are used as they are. Raises the readers' errors,
    and OutputError (``exists``) rather than overwrite anything.
    """
    from timeline.score import load_score

    target = folder / LESSON_FILE
    if target.exists() or target.is_symlink():
        raise OutputError.of("exists", "there is a lesson already", file=str(target), fix="choose another folder")
    if folder.exists() and not folder.is_dir():
        raise OutputError.of("exists", "this is a file, not a folder", file=str(folder), fix="choose another name")
    if score is None and transcript is None and hear is None:
        raise OutputError.of(
            "missing-key",
            "a lesson needs a score, or a transcript that tells the game",
            fix="give --score, or --transcript"
            + (", or have the recording heard: --listen MODEL" if recording else ""),
        )
    game_score = load_score(score, game=game, name=str(score)) if score is not None else None
    length_ms = _length(recording)
    if transcript is not None:
        from timeline.transcript.read import load_transcript

        load_transcript(transcript, name=str(transcript), end_ms=length_ms)
    given = {"score": score, "transcript": transcript, "recording": recording}
    names = {key: _name_in(folder, path, link=link) for key, path in given.items() if path is not None}
    copies = _copies(folder, {key: path for key, path in given.items() if path is not None}, names)
    heard = None
    if hear is not None:
        if (folder / HEARD_FILE).exists():
            _refuse_two(folder / HEARD_FILE)
        heard, names["transcript"] = hear(game_score), HEARD_FILE
    lesson = Lesson(
        title=title or (_title(game_score) if game_score else None) or folder.resolve().name or "Lesson",
        score=names.get("score"),
        game=game if score is not None else None,
        transcript=names.get("transcript"),
        recording=names.get("recording"),
        outside=any(not _inside(folder, folder / name) for name in names.values()),
    )
    plain = {"plyline": SCHEMA_VERSION, **_dump(lesson, sparse=True)}
    made = not folder.exists()
    done: list[Path] = []
    try:
        folder.mkdir(parents=True, exist_ok=True)
        with lesson_lock(folder):
            for source, goal in copies:
                _copy(source, goal, done)
            if heard is not None:
                done.append(folder / HEARD_FILE)
                write_atomic(folder / HEARD_FILE, heard)
            write_atomic(target, new_text(plain, heading=_HEADING + ("" if score is not None else _NO_SCORE)))
    except BaseException as fault:
        for goal in done:
            goal.unlink(missing_ok=True)
        if made:
            shutil.rmtree(folder, ignore_errors=True)
        if isinstance(fault, OSError):
            raise write_error(folder, fault) from None
        raise
    return load_lesson(folder)


def _length(recording: Path | None) -> int | None:
    if recording is None:
        return None
    from timeline.recording import probe

    return probe(recording).duration_ms


def _title(score: Any) -> str | None:
    white, black, event = (score.header(tag) for tag in ("White", "Black", "Event"))
    if white and black:
        return f"{white} - {black}"
    return event if event is None else str(event)


def _name_in(folder: Path, path: Path, *, link: bool) -> str:
    """How the lesson names a file: relative to the folder, with forward slashes."""
    if link or _inside(folder, path):
        try:
            return Path(os.path.relpath(path.resolve(), folder.resolve())).as_posix()
        except ValueError:  # another drive on Windows
            raise OutputError.of(
                "outside-path", "it lies on another drive and cannot be linked", file=str(path), fix="leave out --link"
            ) from None
    return path.name


def _copies(folder: Path, given: dict[str, Path], names: dict[str, str]) -> list[tuple[Path, Path]]:
    """Which files to copy where: not those that lie in the folder already, or that the lesson names outside it."""
    copies: list[tuple[Path, Path]] = []
    for key, path in given.items():
        goal = folder / names[key]
        if names[key] != path.name or (goal.exists() and goal.samefile(path)):
            continue
        if goal.exists() or goal.is_symlink() or any(goal == other for _, other in copies):
            _refuse_two(goal)
        copies.append((path, goal))
    return copies


def _refuse_two(goal: Path) -> NoReturn:
    raise OutputError.of(
        "exists", f"a file named {goal.name!r} is there already", file=str(goal), fix="rename one of the two"
    )


def _copy(source: Path, goal: Path, done: list[Path]) -> None:
    """Copy content to a file that must not exist yet, flushed to the disk; ``done`` gets it once it is ours."""
    with source.open("rb") as reader, goal.open("xb") as writer:
        done.append(goal)
        shutil.copyfileobj(reader, writer, 1 << 20)
        writer.flush()
        os.fsync(writer.fileno())

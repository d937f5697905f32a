"""A lesson as a show: the plain data that painters and the film encoder take."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from timeline.cache import code_fingerprint, file_fingerprint
from timeline.filmsettings import FilmSettings
from timeline.problems import LessonFileError
from timeline.work import Work

if TYPE_CHECKING:
    from overlays.show import Show

_NOT_FIRST = {"jr", "sr", "ii", "iii", "iv"}


def show_of(work: Work, *, text: bool = True) -> Show:
    """The lesson's show. Raises what the lesson's parts raise when they are read.

    Without ``text`` it has no chapters, and captions only where they are burnt
    into the picture: a lesson that was never listened to is then shown at once.
    """
    from overlays.show import Show

    lesson, tracks, score = work.loaded.lesson, work.tracks, work.score
    return Show(
        board=tracks.board,
        title=lesson.title,
        marks=tracks.marks,
        captions=work.caption_result.captions if text or lesson.film.captions else (),
        chapters=work.chapters if text else (),
        pauses=tracks.pauses,
        white=said_name(score.header("White")),
        black=said_name(score.header("Black")),
        teacher=lesson.teacher,
        orientation=lesson.orientation,
    )


def said_name(name: str | None) -> str | None:
    """A player's name as it is said: PGN files have the family name first (PGN standard, 8.1.1.4, from memory).

    >>> said_name("Vask, Jorun"), said_name("Vask,J."), said_name("Jorun Vask"), said_name("Vask, Jr.")
    ('Jorun Vask', 'J. Vask', 'Jorun Vask', 'Vask, Jr.')
    """
    family, comma, first = (name or "").partition(",")
    first = first.strip()
    if not comma or not first or not family.strip() or "," in first or first.rstrip(".").lower() in _NOT_FIRST:
        return name
    return f"{first} {family.strip()}"


def film_settings(work: Work) -> FilmSettings:
    """The lesson's film settings, with the files they name found in the lesson's folder.

    Raises LessonFileError where they name a theme, layout, logo or size that
    there is not; ThemeError for a theme that cannot be read, or that names
    files outside the folder when the lesson does not.
    """
    film = work.loaded.lesson.film
    _there(work, film)
    found = {key: str(work.folder / name) for key, name in _files(film).items()}
    if "theme" in found and not work.loaded.lesson.outside:
        _keep_inside(work.folder, found["theme"])
    return film.model_copy(update=found)


def _there(work: Work, film: FilmSettings) -> None:
    """Names that lead nowhere are told at their place in lesson.yaml."""
    from overlays.stage import LayoutError, film_size, layout_names
    from overlays.theme import theme_names

    def fail(key: str, code: str, message: str, fix: str | None) -> None:
        raise LessonFileError.of(code, f"film.{key}: {message}", fix=fix, **work.loaded.place("film", key))

    for key, known in (("theme", theme_names()), ("layout", layout_names())):
        name = getattr(film, key)
        if not name.endswith(".toml") and name not in known:
            fail(key, f"no-{key}", f"there is no {key} {name!r}", f"choose {', '.join(known)} or give a .toml file")
    for key, name in _files(film).items():
        if not (work.folder / name).is_file():
            fail(key, f"no-{key}", f"there is no file {name!r}", "check the name and the folder")
    if "x" in film.size:
        try:
            film_size(film.size, (1, 1))
        except LayoutError as error:
            fault = error.findings[0]
            fail("size", fault.code, fault.message, fault.fix)


def _keep_inside(folder: Path, theme: str) -> None:
    from overlays.theme import ThemeError, theme_files

    for path in theme_files(theme):
        if not path.resolve().is_relative_to(folder.resolve()):
            raise ThemeError.of(
                "outside-path",
                f"it names {path.name!r}, which lies outside the lesson's folder",
                file=theme,
                fix="put the file into the folder, or add `outside: true` to lesson.yaml if this is on purpose",
            )


def _files(film: FilmSettings) -> dict[str, str]:
    files = {key: name for key, name in (("theme", film.theme), ("layout", film.layout)) if name.endswith(".toml")}
    if film.logo is not None:
        files["logo"] = film.logo
    return files


def look_inputs(work: Work) -> dict[str, Any]:
    """Everything that decides the pictures besides what stands on the board when."""
    lesson, score = work.loaded.lesson, work.score
    names = [said_name(score.header(side)) for side in ("White", "Black")]
    files = {key: work.folder / name for key, name in _files(lesson.film).items()}
    if "theme" in files:
        from overlays.theme import theme_files

        files |= {f"theme {n}": path for n, path in enumerate(theme_files(str(files.pop("theme"))))}
    return {
        "title": [lesson.title, lesson.teacher, *names, lesson.orientation],
        "settings": lesson.film.model_dump(mode="json"),
        "files": {key: _content(path) for key, path in files.items()},
        "mainline": [score.start.fen(), score.chess960, *(move.uci() for move in score.moves)],
        "code": code_fingerprint("overlays"),
    }


def _content(path: Path) -> str | None:
    return file_fingerprint(path) if path.is_file() else None

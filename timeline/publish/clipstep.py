"""A short clip of the lesson to share, in a shape of its own."""

from __future__ import annotations

from pathlib import Path

from pydantic import ValidationError

from timeline.filmsettings import FilmSettings
from timeline.problems import OutputError
from timeline.publish.filmstep import camera_box
from timeline.publish.lessonshow import film_settings, show_of
from timeline.timecode import format_ms
from timeline.work import Work

DRAWING = "drawing the clip"
LONGEST_MS = 180_000
"""Longer stretches are films: three minutes, where most places that take clips stop (common practice)."""


def draw_clip(
    work: Work, first_ms: int, last_ms: int, out: Path | None = None, *, fade_ms: int = 500, **look: str | bool | None
) -> Path:
    """The recording's ``[first_ms, last_ms)`` as ``out/clip.mp4`` with soft ends; gives the file.

    ``look`` overrides film settings of the lesson (``layout``, ``size``,
    ``captions``) where not None. Raises OutputError for a stretch that is
    empty, outside the lesson or longer than three minutes, or a setting that
    is none; and what the painter raises.
    """
    from overlays.shortclip import Cut, write_short_clip
    from overlays.stage import load_stage

    if not 0 <= first_ms < last_ms <= work.end_ms:
        raise OutputError.of(
            "no-stretch",
            f"{format_ms(first_ms)} to {format_ms(last_ms)} is no stretch of the lesson, "
            f"which ends at {format_ms(work.end_ms)}",
            fix="give --from and --to in this order, in times of the recording",
        )
    if last_ms - first_ms > LONGEST_MS:
        raise OutputError.of(
            "long-clip",
            f"a clip lasts at most {format_ms(LONGEST_MS)}, this {format_ms(last_ms - first_ms)}",
            fix="take a shorter stretch, or plyline film --from --to",
        )
    if out is not None and out.suffix.lower() != ".mp4":
        raise OutputError.of("unknown-format", f"clips are written as MP4, not {out.name!r}", fix="name it … .mp4")
    settings = _with(film_settings(work), {key: value for key, value in look.items() if value is not None})
    show = show_of(work)
    stage = load_stage(settings.layout, settings.size, captions=settings.captions)
    camera = camera_box(work, stage)
    path = out or work.loaded.out / "clip.mp4"
    write_short_clip(
        show,
        settings,
        Cut(show.timemap.start(first_ms), show.timemap.end(last_ms), fade_ms),
        path,
        recording=work.loaded.file("recording") if work.loaded.lesson.recording else None,
        camera=camera,
        title=work.loaded.lesson.title,
        progress=lambda done, whole: work.progress(DRAWING, done, whole),
    )
    return path


def _with(settings: FilmSettings, changes: dict[str, str | bool]) -> FilmSettings:
    try:
        return FilmSettings.model_validate(settings.model_dump() | changes)
    except ValidationError as error:
        key = str(error.errors()[0]["loc"][0])
        raise OutputError.of(
            "bad-setting", f"{key} cannot be {changes.get(key)!r}", fix=f"see {key} under film: in the README"
        ) from None

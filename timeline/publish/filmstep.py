"""The film as the last step of a build."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any, Literal

from timeline.build import Step
from timeline.cache import code_fingerprint, fingerprint
from timeline.files import state_folder, sweep
from timeline.problems import Finding, Severity
from timeline.steps import caption_inputs, chapter_inputs, track_inputs
from timeline.work import Work

if TYPE_CHECKING:
    from overlays.alpha import AlphaCodec
    from overlays.film import FilmReport
    from overlays.stage import Box, Stage

DRAWING = "drawing the film"


def _inputs(work: Work) -> dict[str, Any]:
    from timeline.publish.lessonshow import look_inputs

    return {
        "look": look_inputs(work),
        "tracks": track_inputs(work),
        "chapters": chapter_inputs(work),
        "captions": caption_inputs(work) if work.loaded.lesson.transcript else None,
        "recording": work.file_hash("recording"),
        "sound": work.loaded.lesson.sound.model_dump(mode="json"),
        "language": work.loaded.lesson.language,
        "code": code_fingerprint("timeline.publish.lessonshow", "timeline.timemap", "timeline.filmsettings"),
    }


def render(
    work: Work,
    out: Path,
    *,
    span_ms: tuple[int, int] | None = None,
    draft: bool = False,
    encoder: Literal["plain", "skip"] | None = None,
) -> FilmReport:
    """Film a lesson into ``out``; only the stretch ``span_ms`` of film time where given.

    A ``draft`` is quicker and coarser, without soft captions and chapters.
    ``encoder`` counts in place of the lesson's own. The whole film is kept in
    parts in ``.plyline``, so that a stopped or slightly changed one is not made
    from the start again. What the painter and the encoder remark goes to
    ``work.findings``.
    """
    from overlays.film import render_film
    from overlays.painter import BoardPainter
    from overlays.parts import Parts
    from timeline.publish.lessonshow import film_settings, look_inputs, show_of

    show, settings = show_of(work, text=not draft), film_settings(work)
    if encoder is not None:
        settings = settings.model_copy(update={"encoder": encoder})
    painter = BoardPainter(show, settings)
    sound = work.loaded.lesson.sound
    report = render_film(
        show,
        painter,
        out,
        settings=settings,
        recording=work.loaded.file("recording") if work.loaded.lesson.recording else None,
        language=work.loaded.lesson.language,
        parts=Parts(state_folder(work.folder) / "film", fingerprint([look_inputs(work), painter.caption_px])),
        camera=camera_box(work, painter.stage),
        target_lufs=sound.target_lufs,
        peak_dbtp=sound.peak_dbtp,
        span_ms=span_ms,
        draft=draft,
        progress=lambda done, whole: work.progress(DRAWING, done, whole),
    )
    work.findings += [*painter.findings(), *report.findings]
    return report


def camera_box(work: Work, stage: Stage) -> Box | None:
    """Where the recording's picture goes; None where the layout shows none, or the recording has none."""
    from overlays.stage import Box

    if stage.camera is None and not stage.over:
        return None
    if work.recording is None or not work.recording.has_video:
        work.findings.append(
            Finding(
                "no-picture",
                f"the layout {work.loaded.lesson.film.layout} shows the recording's picture, and there is none",
                Severity.WARNING,
                **work.loaded.place("film", "layout"),
                fix="give a recording with picture, or choose another layout",
            )
        )
        return None
    return stage.camera or Box(0, 0, stage.width, stage.height)


def draw_overlay(work: Work, codec: AlphaCodec, *, span_ms: tuple[int, int] | None = None) -> Path:
    """The drawing with alpha as ``out/overlay.mov`` or ``.webm``; raises OutputError and what the painter raises."""
    from overlays.alpha import SUFFIXES, render_overlay
    from overlays.painter import BoardPainter
    from timeline.publish.lessonshow import film_settings, show_of

    settings = film_settings(work)
    painter = BoardPainter(show_of(work), settings)
    out = work.loaded.out / f"overlay{SUFFIXES[codec]}"
    report = render_overlay(
        painter,
        out,
        rate=settings.frame_rate,
        codec=codec,
        span_ms=span_ms,
        progress=lambda done, whole: work.progress("drawing the overlay", done, whole),
    )
    work.findings += [*_covered(work, painter.stage), *painter.findings()]
    return report.path


def _covered(work: Work, stage: Stage) -> list[Finding]:
    """A note where an overlay hides all that lies under it: only some layouts leave room for another picture."""
    if stage.camera is not None or stage.over:
        return []
    return [
        Finding(
            "nothing-see-through",
            f"the layout {work.loaded.lesson.film.layout} covers the whole picture, so nothing of it is see-through",
            Severity.NOTE,
            **work.loaded.place("film", "layout"),
            fix="to lay it over a film of your own: film: {layout: over-top-left}, another over-… or camera-inset",
        )
    ]


def draw_stills(work: Work) -> list[Path]:
    """The pictures that stand, as ``out/stills/*.png`` with ``stills.csv``; gives the files, the table first."""
    from overlays.painter import BoardPainter
    from overlays.stills import TABLE, write_stills
    from timeline.publish.lessonshow import film_settings, show_of

    settings = film_settings(work)
    painter = BoardPainter(show_of(work), settings)
    folder = work.loaded.out / "stills"
    files = write_stills(
        painter,
        folder,
        rate=settings.frame_rate,
        progress=lambda done, whole: work.progress("drawing stills", done, whole),
    )
    work.findings += [*_covered(work, painter.stage), *painter.findings()]
    return sorted(files, key=lambda path: (path.name != TABLE, path.name))


def _make(work: Work) -> Sequence[Path]:
    for folder in (work.loaded.out, state_folder(work.folder) / "film"):
        sweep(folder)  # a worker that was killed could not clear away what it had begun
    return [render(work, work.loaded.out / "film.mp4").path]


FILM = Step("film", DRAWING, _inputs, _make, needs=("chapters",))

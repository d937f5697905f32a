"""The film as the last step of a build."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

from timeline.build import Step
from timeline.cache import code_fingerprint, fingerprint
from timeline.files import state_folder
from timeline.problems import Finding, Severity
from timeline.steps import chapter_inputs, track_inputs
from timeline.work import Work

if TYPE_CHECKING:
    from overlays.film import FilmReport
    from overlays.stage import Box, Stage

DRAWING = "drawing the film"


def _inputs(work: Work) -> dict[str, Any]:
    from timeline.publish.lessonshow import look_inputs

    return {
        "look": look_inputs(work),
        "tracks": track_inputs(work),
        "chapters": chapter_inputs(work),
        "recording": work.file_hash("recording"),
        "sound": work.loaded.lesson.sound.model_dump(mode="json"),
        "language": work.loaded.lesson.language,
        "code": code_fingerprint("timeline.publish.lessonshow", "timeline.timemap", "timeline.filmsettings"),
    }


def render(work: Work, out: Path, *, span_ms: tuple[int, int] | None = None, draft: bool = False) -> FilmReport:
    """Film a lesson into ``out``; only the stretch ``span_ms`` of film time where given.

    The whole film is kept in parts in ``.plyline``, so that a stopped or
    slightly changed one is not made from the start again. What the painter and
    the encoder remark goes to ``work.findings``.
    """
    from overlays.film import render_film
    from overlays.painter import BoardPainter
    from overlays.parts import Parts
    from timeline.publish.lessonshow import film_settings, look_inputs, show_of

    show, settings = show_of(work), film_settings(work)
    painter = BoardPainter(show, settings)
    sound = work.loaded.lesson.sound
    report = render_film(
        show,
        painter,
        out,
        settings=settings,
        recording=work.loaded.file("recording") if work.loaded.lesson.recording else None,
        language=work.loaded.lesson.language,
        parts=Parts(state_folder(work.folder) / "film", fingerprint(look_inputs(work))),
        camera=_camera(work, painter.stage),
        target_lufs=sound.target_lufs,
        peak_dbtp=sound.peak_dbtp,
        span_ms=span_ms,
        draft=draft,
        progress=lambda done, whole: work.progress(DRAWING, done, whole),
    )
    work.findings += [*painter.findings(), *report.findings]
    return report


def _camera(work: Work, stage: Stage) -> Box | None:
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


def _make(work: Work) -> Sequence[Path]:
    return [render(work, work.loaded.out / "film.mp4").path]


FILM = Step("film", DRAWING, _inputs, _make, needs=("chapters",))

"""Pictures to look at before the film is made: one moment, a sheet of all, a sheet of samples."""

from __future__ import annotations

import io
from pathlib import Path
from typing import TYPE_CHECKING

from pydantic import ValidationError

from timeline.files import write_atomic
from timeline.filmsettings import FilmSettings
from timeline.moments import no_moment
from timeline.problems import OutputError
from timeline.publish.filmstep import camera_box
from timeline.publish.lessonshow import film_settings, show_of
from timeline.work import Work

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def draw_still(work: Work, at_ms: int, out: Path | None = None, *, size: str | None = None) -> Path:
    """The film's picture at ``at_ms`` of the recording as PNG (``out/still.png``); gives the file.

    Raises OutputError when the lesson is over by then, and what the painter raises.
    """
    from overlays.painter import BoardPainter
    from overlays.still import still_picture

    if at_ms >= work.end_ms:
        raise no_moment(at_ms, work.end_ms)
    settings = film_settings(work)
    if size is not None:
        settings = _sized(settings, size)
    show = show_of(work, text=False)
    painter = BoardPainter(show, settings)
    camera = camera_box(work, painter.stage)
    recording = work.loaded.file("recording") if camera else None
    picture = still_picture(
        painter, show.timemap.start(at_ms), recording=recording, camera=camera, findings=work.findings
    )
    work.findings += painter.findings()
    return _saved(picture, out or work.loaded.out / "still.png")


def draw_sheet(work: Work, out: Path | None = None, *, vision: str = "normal") -> Path:
    """All pictures of a lesson on one PNG (``out/sheet.png``), as someone with ``vision`` sees them; gives the file."""
    from overlays.lessonsheet import lesson_sheet
    from overlays.vision import simulated

    sheet = lesson_sheet(
        show_of(work, text=False),
        film_settings(work),
        progress=lambda done, whole: work.progress("drawing the sheet", done, whole),
    )
    return _saved(simulated(sheet, vision), out or work.loaded.out / "sheet.png")


def draw_samples(out: Path, vision: str = "normal") -> Path:
    """All themes, layouts and marks on invented positions as one PNG; gives the file."""
    from overlays.contactsheet import contact_sheet
    from overlays.vision import simulated

    return _saved(simulated(contact_sheet(), vision), out)


def _sized(settings: FilmSettings, size: str) -> FilmSettings:
    try:
        return FilmSettings.model_validate(settings.model_dump() | {"size": size})
    except ValidationError:
        raise OutputError.of(
            "bad-size", f"a picture cannot be {size!r}", fix="write its shorter side as 1080p, or 1920x1080"
        ) from None


def _saved(rgb: NDArray[np.uint8], path: Path) -> Path:
    from PIL import Image

    from overlays.wholefile import make_folder

    if path.suffix.lower() != ".png":
        raise OutputError.of("unknown-format", f"pictures are written as PNG, not {path.name!r}", fix="name it … .png")
    data = io.BytesIO()
    Image.fromarray(rgb).save(data, "PNG")
    make_folder(path.parent)
    write_atomic(path, data.getvalue())
    return path

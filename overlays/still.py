"""One picture of the film, as it stands at a moment."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from overlays.show import Run
from timeline.problems import Finding

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from overlays.painter import BoardPainter
    from overlays.stage import Box


def still_picture(
    painter: BoardPainter,
    film_ms: int,
    *,
    recording: Path | None = None,
    camera: Box | None = None,
    findings: list[Finding] | None = None,
) -> NDArray[np.uint8]:
    """The film's picture at ``film_ms`` (film time, kept inside the film), shape (height, width, 3).

    With ``camera`` the recording's picture of that moment lies under the
    painter's, in that box. Raises RecordingError.
    """
    from overlays.frames import Stretch
    from overlays.over import OverRecording

    show, rate = painter.show, painter.settings.frame_rate
    film_ms = min(max(0, film_ms), max(0, show.film_ms - 1))
    state = painter.screenplay.at(film_ms)
    if camera is None or recording is None:
        return painter.rgb(state)
    frame = int(film_ms * rate / 1000)
    told: list[Finding] = [] if findings is None else findings
    over = OverRecording(painter, rate, recording, camera, show.timemap, frame + 1, told)
    try:
        ((_, picture),) = over.pictures(Stretch(frame, (Run(1, state),)))
        rgb: NDArray[np.uint8] = picture.to_ndarray(format="rgb24", src_colorspace="ITU709", dst_color_range="JPEG")  # type: ignore[assignment]
        return rgb
    finally:
        over.close()


def moments(painter: BoardPainter) -> Sequence[int]:
    """Film times, ms, of all pictures worth a look: each position, each set of marks, each pause, at rest."""
    play = painter.screenplay
    found: list[int] = []
    shown: object = None
    for here, moves in play.changes:
        if moves:
            continue
        state = play.at(here)
        told = (state.pose, state.mode, frozenset(state.marks), state.think is not None, state.card)
        if told != shown:
            found.append(here)
            shown = told
    return found

"""A short clip to share: a stretch of the lesson with soft ends, composed by moviepy.

moviepy reads the recording here (its sound, and its picture where the layout
shows it), cuts the stretch out and fades both ends. Whole films do not go this
way: see ``film.py``, which makes each distinct picture once and counts samples.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from overlays.holds import pieces

if TYPE_CHECKING:
    import numpy as np
    from moviepy import VideoClip
    from numpy.typing import NDArray

    from overlays.show import Painter, Show
    from overlays.stage import Box
    from timeline.filmsettings import FilmSettings


@dataclass(frozen=True, slots=True)
class Cut:
    """Film time ``[first_ms, last_ms)``; picture and sound fade in and out over ``fade_ms`` at the ends."""

    first_ms: int
    last_ms: int
    fade_ms: int = 500


def short_clip(
    show: Show,
    settings: FilmSettings,
    cut: Cut,
    *,
    painter: Painter | None = None,
    recording: Path | None = None,
    camera: Box | None = None,
) -> VideoClip:
    """The stretch as a moviepy clip with the recording's sound; close it when it is written.

    ``camera`` is where the recording's picture goes (None: nowhere). A fade is
    one slow step from and to black, never a flash. Without ``painter`` the show
    is drawn as ``settings`` say.
    """
    from moviepy import CompositeVideoClip, afx, vfx

    from overlays.bridge import clip

    made = clip(show, painter, settings=settings, recording=recording)
    if camera is not None and recording is not None:
        ground = _camera_clip(show, recording, camera, made.duration)
        sound = made.audio
        made = CompositeVideoClip([ground, made.without_audio()], size=made.size).with_duration(made.duration)
        made = made.with_audio(sound) if sound is not None else made
    made = made.without_mask()
    start, end = cut.first_ms / 1000, min(cut.last_ms / 1000, made.duration)
    made = made.subclipped(start, end)
    fade = min(cut.fade_ms / 1000, made.duration / 2)
    if fade > 0:
        made = made.with_effects([vfx.FadeIn(fade), vfx.FadeOut(fade)])
        if made.audio is not None:
            made = made.with_audio(made.audio.with_effects([afx.AudioFadeIn(fade), afx.AudioFadeOut(fade)]))
    return made


def _camera_clip(show: Show, recording: Path, box: Box, duration: float) -> VideoClip:
    """The recording's picture in film time, filling its box; it stands still while the film holds."""
    from moviepy import VideoClip, VideoFileClip

    source = VideoFileClip(str(recording), audio=False)
    scale = max(box.width / source.w, box.height / source.h)
    fitted = source.resized((max(box.width, round(source.w * scale)), max(box.height, round(source.h * scale))))
    fitted = fitted.cropped(x_center=fitted.w / 2, y_center=fitted.h / 2, width=box.width, height=box.height)
    plan = pieces(show.timemap, Fraction(0), Fraction(duration))

    def picture(time: float) -> NDArray[np.uint8]:
        at = Fraction(time)
        piece = next((p for p in plan if at < p.end), plan[-1])
        frame: Any = fitted.get_frame(min(float(piece.at(at)), source.duration))
        return frame  # type: ignore[no-any-return]

    made = VideoClip(picture, duration=duration).with_position((box.x, box.y))
    made.close = source.close
    return made


def write_short_clip(
    show: Show,
    settings: FilmSettings,
    cut: Cut,
    out: Path,
    *,
    recording: Path | None = None,
    camera: Box | None = None,
    title: str = "",
    progress: Callable[[int, int], None] | None = None,
) -> int:
    """Write the stretch as an MP4 of exact rate; gives the number of frames. Raises OutputError."""
    from overlays.clipfile import write_clip

    made = short_clip(show, settings, cut, recording=recording, camera=camera)
    try:
        return write_clip(made, out, rate=settings.frame_rate, title=title, progress=progress)
    finally:
        made.close()

"""The drawing as a moviepy clip, for people who compose with moviepy."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable
from fractions import Fraction
from itertools import accumulate
from pathlib import Path
from typing import TYPE_CHECKING, Any

import numpy as np

from overlays.holds import pieces
from overlays.sound import sound_form
from timeline.filmsettings import FilmSettings

if TYPE_CHECKING:
    from moviepy import AudioClip, VideoClip
    from numpy.typing import NDArray

    from overlays.show import Painter, Show

_SAMPLES = 48_000


def clip(
    lesson: Show | str | Path,
    painter: Painter | None = None,
    *,
    settings: FilmSettings | None = None,
    recording: Path | None = None,
    **film: Any,
) -> VideoClip:
    """A lesson as a moviepy ``VideoClip`` with a mask, to be composed with other clips.

    ``lesson`` is a lesson's folder, or a show. ``film`` are settings as under
    ``film:`` in lesson.yaml, in place of the folder's own (or of
    ``settings``). A picture is painted once while it stands. The clip's
    ``fps`` is the settings' rate, its duration a whole number of frames. It
    carries the recording's sound, silent in think-pauses: the folder's
    recording, or the one given; none when that is silent. Raises what reading the lesson raises, and
    ValueError for unknown settings.
    """
    from moviepy import VideoClip

    show, settings, recording = _given(lesson, settings, recording)
    if film:
        settings = FilmSettings.model_validate(settings.model_dump() | film)
    if painter is None:
        from overlays.painter import BoardPainter

        painter = BoardPainter(show, settings)
    rate = settings.frame_rate
    pictures = _ByTime(painter, rate)
    mask = VideoClip(pictures.mask, is_mask=True, duration=pictures.duration)
    mask.fps = float(rate)
    made = VideoClip(pictures.rgb, duration=pictures.duration).with_mask(mask)
    made.fps = float(rate)
    if recording is not None and sound_form(recording) is not None:
        made = made.with_audio(film_audio(show, recording, pictures.duration))
    return made


def _given(
    lesson: Show | str | Path, settings: FilmSettings | None, recording: Path | None
) -> tuple[Show, FilmSettings, Path | None]:
    """Show, settings and recording; from the folder what is not given."""
    from overlays.show import Show

    if isinstance(lesson, Show):
        return lesson, settings or FilmSettings(), recording
    # The one place where drawing reads a lesson: a convenience for scripts, imported only when a folder is given.
    from timeline.publish.lessonshow import film_settings, show_of
    from timeline.store import load_lesson
    from timeline.work import Work

    work = Work(load_lesson(Path(lesson)))
    if recording is None and work.loaded.lesson.recording is not None:
        recording = work.loaded.file("recording")
    return show_of(work, text=False), settings or film_settings(work), recording


class _ByTime:
    """The painter's pictures at seconds of film; the last one is kept."""

    def __init__(self, painter: Painter, rate: Fraction) -> None:
        runs = list(painter.runs(rate))
        self._painter = painter
        self._rate = rate
        self._keys = [run.key for run in runs]
        self._starts = [0, *accumulate(run.count for run in runs)]
        self.duration = float(self._starts[-1] / rate)
        self._kept: dict[str, tuple[Any, Any]] = {}

    def rgb(self, time: float) -> NDArray[np.uint8]:
        picture: NDArray[np.uint8] = self._picture("rgb", time, lambda rgba: np.ascontiguousarray(rgba[..., :3]))
        return picture

    def mask(self, time: float) -> NDArray[np.float64]:
        picture: NDArray[np.float64] = self._picture("mask", time, lambda rgba: rgba[..., 3] / 255)
        return picture

    def _picture(self, kind: str, time: float, make: Callable[[NDArray[np.uint8]], Any]) -> Any:
        # moviepy asks for n / rate in floating point: a hair before frame n is frame n.
        frame = int(time * float(self._rate) + 1e-3)
        key = self._keys[min(bisect_right(self._starts, frame) - 1, len(self._keys) - 1)]
        if kind not in self._kept or self._kept[kind][0] != key:
            self._kept[kind] = key, make(self._painter.rgba(key))
        return self._kept[kind][1]


def film_audio(show: Show, recording: Path, duration: float) -> AudioClip:
    """The recording's sound in film time as a moviepy clip of ``duration`` seconds; think-pauses are silent."""
    from moviepy import AudioFileClip, CompositeAudioClip

    source = AudioFileClip(str(recording), fps=_SAMPLES)
    parts = []
    for piece in pieces(show.timemap, Fraction(0), Fraction(duration)):
        end = min(float(piece.recording + piece.end - piece.start), source.duration)
        if piece.moves and piece.recording < end:
            parts.append(source.subclipped(float(piece.recording), end).with_start(float(piece.start)))
    return CompositeAudioClip(parts).with_duration(duration)

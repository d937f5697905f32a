"""Rendering a show to a film file."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Literal

from overlays.frames import cut_runs, film_frames, stretches, sync_interval
from overlays.mux import FilmText, write_mp4
from overlays.over import OverRecording
from overlays.parts import SYNCS, Parts
from overlays.soundtrack import plan_sound
from overlays.wholefile import make_folder, passing_folder, whole_file
from overlays.x264 import Coding
from overlays.yuv import Painted
from timeline.problems import Finding, OutputError
from timeline.timecode import frame_to_ms

if TYPE_CHECKING:
    import av

    from overlays.frames import Stretch
    from overlays.show import Painter, Show
    from overlays.stage import Box
    from timeline.filmsettings import FilmSettings

Progress = Callable[[int, int], None]
"""Called with frames done and frames in all."""


@dataclass(frozen=True, slots=True)
class FilmReport:
    """What was rendered. ``drawn`` pictures were painted now; ``made`` of ``parts`` were encoded now."""

    path: Path
    frames: int
    distinct: int
    drawn: int
    parts: int
    made: int
    bytes: int
    film_ms: int
    sound: Literal["none", "copied", "encoded"]
    findings: tuple[Finding, ...] = ()


def render_film(
    show: Show,
    painter: Painter,
    out: Path,
    *,
    settings: FilmSettings,
    recording: Path | None = None,
    language: str = "en",
    parts: Parts | None = None,
    camera: Box | None = None,
    target_lufs: float | None = None,
    peak_dbtp: float = -1.0,
    span_ms: tuple[int, int] | None = None,
    draft: bool = False,
    progress: Progress | None = None,
) -> FilmReport:
    """Render the show as MP4: H.264 (yuv420p, BT.709), AAC sound, soft captions, chapters, title.

    The frame rate is constant and exact; a sync frame stands at least every
    two seconds. ``recording`` gives the sound, and where ``camera`` says so
    its picture, under the painter's: repeated frames then go through the plain
    encoder, as the camera's never repeat. ``target_lufs`` brings the sound to a
    loudness (ITU-R BS.1770) with true peaks up to ``peak_dbtp``. ``span_ms``
    renders only that stretch of film time. ``parts`` keeps what is encoded, so
    that a render that was stopped goes on. ``out`` is written whole or not at
    all. Raises OutputError, RecordingError, and what the painter raises.
    """
    rate = settings.frame_rate
    runs = list(painter.runs(rate))
    total = sum(run.count for run in runs)
    first, last = film_frames(span_ms, total, rate)
    runs = list(cut_runs(runs, first, last))
    findings: list[Finding] = []
    coding = Coding(painter.width, painter.height, rate, sync_interval(rate), settings.encoder, draft=draft)
    source: Painted | OverRecording = Painted(painter)
    basis = ""
    if camera is not None:
        if recording is None:
            raise OutputError.of(
                "no-recording",
                "this layout shows the recording, and the lesson has none",
                fix="add `recording:`, or choose a layout without camera",
            )
        coding = replace(coding, mode="plain", reorder=True)
        source = OverRecording(painter, rate, recording, camera, show.timemap, total, findings)
        basis = repr((camera, show.timemap, recording.stat().st_size, recording.stat().st_mtime_ns))
    sound = None
    if recording is not None:
        sound = plan_sound(recording, show.timemap, first / rate, last / rate, findings, target_lufs, peak_dbtp)

    def pictures_of(stretch: Stretch) -> Iterator[tuple[int, av.VideoFrame]]:
        done = stretch.first - first
        for count, frame in source.pictures(stretch):
            yield count, frame
            done += count
            if progress is not None:
                progress(done, last - first)

    with contextlib.closing(source), _folder(parts, out, prune=span_ms is None and not draft) as store:
        plan = list(stretches(runs, coding.sync * SYNCS, first))
        files = [(part.first, store.get(part, coding, pictures_of, basis and f"{basis} {part.first}")) for part in plan]
        text = _text(show, rate, first, last, language)
        with whole_file(out) as temporary:
            write_mp4(temporary, files, rate, text, sound.packets if sound else None)
            size = temporary.stat().st_size
        made = store.made
    if progress is not None:
        progress(last - first, last - first)
    return FilmReport(
        path=out,
        frames=last - first,
        distinct=len({run.key for run in runs}),
        drawn=source.drawn,
        parts=len(plan),
        made=made,
        bytes=size,
        film_ms=frame_to_ms(last - first, rate),
        sound=sound.how if sound else "none",
        findings=tuple(findings),
    )


@contextlib.contextmanager
def _folder(parts: Parts | None, out: Path, *, prune: bool) -> Iterator[Parts]:
    """The given parts, or a folder that goes away afterwards."""
    if parts is not None:
        make_folder(parts.folder)
        yield parts
        if prune:
            parts.prune()
        return
    with passing_folder(out) as folder:
        yield Parts(folder, "")


def _text(show: Show, rate: Fraction, first: int, last: int, language: str) -> FilmText:
    """The show's texts in the film's time, counted from frame ``first``."""
    start, end = frame_to_ms(first, rate), frame_to_ms(last, rate)
    timemap = show.timemap
    captions = []
    free = 0
    for caption in show.captions:
        begin = max(free, caption.start_ms - start)
        finish = min(caption.end_ms, end) - start
        if finish > begin:
            captions.append(replace(caption, start_ms=begin, end_ms=finish))
            free = finish
    chapters = []
    for chapter in show.chapters:
        at = timemap.start(chapter.start_ms) - start
        if at <= 0:
            chapters = [replace(chapter, start_ms=0)]
        elif at < end - start:
            chapters.append(replace(chapter, start_ms=at))
    return FilmText(show.title, show.teacher, language, chapters, captions, end - start)

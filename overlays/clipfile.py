"""A moviepy clip as a film file of exact rate."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

import av
import numpy as np
from av.video.reformatter import VideoReformatter

from overlays.frames import Stretch, frame_count, stretches, sync_interval
from overlays.mux import FilmText, SoundPackets, write_mp4
from overlays.parts import SYNCS, Parts
from overlays.show import Run
from overlays.sound import Block, SoundForm
from overlays.soundtrack import add_sound
from overlays.wholefile import passing_folder, whole_file
from overlays.x264 import Coding
from overlays.yuv import to_yuv
from timeline.timecode import frame_to_ms

if TYPE_CHECKING:
    from moviepy import AudioClip, VideoClip
    from numpy.typing import NDArray

_FORM = SoundForm(48_000, "stereo")


def write_clip(
    clip: VideoClip,
    out: Path,
    *,
    rate: Fraction,
    title: str = "",
    skip: bool = False,
    progress: Callable[[int, int], None] | None = None,
) -> int:
    """Write a moviepy clip, its sound included, with our encoder; gives the number of frames.

    moviepy's own writer rounds rates to two decimals: 23.976 becomes 23.98 and
    drifts by 0.6 s an hour. Here frame n is asked for at n / rate, and a
    picture equal to the one before is not converted again (with ``skip`` not
    encoded either). The size must be even. Raises OutputError.
    """
    width, height = clip.size
    frames = frame_count(round(clip.duration * 1000), rate)
    coding = Coding(width, height, rate, sync_interval(rate), "skip" if skip else "plain")
    plan = stretches([Run(frames, "moviepy")], coding.sync * SYNCS)

    def pictures(stretch: Stretch) -> Iterator[tuple[int, av.VideoFrame]]:
        reformatter = VideoReformatter()
        count, shown = 0, None
        for number in range(stretch.first, stretch.first + stretch.frames):
            picture = _bytes(clip.get_frame(float(number / rate)))
            if shown is not None and picture is not shown and not np.array_equal(picture, shown):
                yield count, to_yuv(reformatter, shown)
                count = 0
            shown = picture
            count += 1
            if progress is not None:
                progress(number + 1, frames)
        assert shown is not None
        yield count, to_yuv(reformatter, shown)

    with passing_folder(out) as folder:
        store = Parts(folder, "")
        files = [(part.first, store.get(part, coding, pictures, str(part.first))) for part in plan]
        text = FilmText(title, None, "und", (), (), frame_to_ms(frames, rate))
        with whole_file(out) as temporary:
            write_mp4(temporary, files, rate, text, _sound(clip.audio, frames / rate))
    return frames


def _bytes(picture: NDArray[Any]) -> NDArray[np.uint8]:
    """Some of moviepy's effects (fades) give fractions of a level."""
    return picture if picture.dtype == np.uint8 else np.clip(np.rint(picture), 0, 255).astype(np.uint8)


def _sound(audio: AudioClip | None, seconds: Fraction) -> SoundPackets | None:
    if audio is None:
        return None

    def blocks() -> Iterator[Block]:
        samples = round(seconds * _FORM.rate)
        for first in range(0, samples, _FORM.rate):
            times = np.arange(first, min(samples, first + _FORM.rate)) / _FORM.rate
            sound = np.asarray(audio.to_soundarray(tt=times, fps=_FORM.rate), dtype=np.float32)
            yield np.ascontiguousarray(np.broadcast_to(sound.reshape(len(times), -1), (len(times), 2)).T)

    return lambda container: add_sound(container, _FORM, blocks())

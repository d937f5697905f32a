"""A recording's sound as 16 kHz mono samples, for alignment and listening."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

from timeline.problems import RecordingError
from timeline.recording import open_recording
from timeline.timecode import format_ms

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

RATE = 16_000
"""Samples a second: what the speech model was trained at."""

_MISSING_S = 2.0
_HOLE_SAMPLES = RATE // 20
_MANY_FAULTS = 200


def load_sound(
    path: Path, *, name: str | None = None, progress: Callable[[int, int], None] | None = None
) -> NDArray[np.int16]:
    """The first sound track, mixed to one channel, from the recording's time 0 on.

    Sample ``n`` stands at ``n / 16`` ms: holes between packets, a late start
    and unreadable packets are filled with silence, so that times stay true.
    Takes two bytes a sample (115 MB an hour). ``progress`` gets milliseconds
    done and in all. Raises RecordingError without sound, or when more than two
    seconds at the end cannot be read.
    """
    import av
    import numpy as np

    name = name or path.name
    kept = bytearray()
    with open_recording(path, name=name) as container:
        if not container.streams.audio:
            raise RecordingError.of(
                "no-sound",
                "the recording has no sound",
                file=name,
                fix="give a recording with sound, or leave alignment off",
            )
        stream = container.streams.audio[0]
        length_s = float(stream.duration * stream.time_base) if stream.duration and stream.time_base else 0.0
        whole_ms = round(length_s * 1000) or (container.duration or 0) // 1000
        zero = (container.start_time or 0) / 1_000_000
        resampler = av.AudioResampler(format="s16", layout="mono", rate=RATE)
        faults = 0
        reported = 0

        def take(frame: av.AudioFrame | None) -> None:
            for part in resampler.resample(frame):
                data = part.to_ndarray().astype("<i2", copy=False).tobytes()
                kept.extend(data)

        packets = container.demux(stream)
        while True:
            try:
                packet = next(packets)
                frames = packet.decode()
            except StopIteration:
                break
            except av.FFmpegError:
                faults += 1
                if faults > _MANY_FAULTS:
                    break
                continue
            for frame in frames:
                if not isinstance(frame, av.AudioFrame):
                    continue
                if frame.time is not None:
                    hole = round((frame.time - zero) * RATE) - len(kept) // 2
                    if hole > _HOLE_SAMPLES:
                        take(None)
                        resampler = av.AudioResampler(format="s16", layout="mono", rate=RATE)
                        hole = round((frame.time - zero) * RATE) - len(kept) // 2
                        kept.extend(bytes(2 * max(0, min(hole, 100 * 3600 * RATE))))
                take(frame)
            done = len(kept) // (2 * RATE // 1000)
            if progress is not None and done - reported >= 5000:
                reported = done
                progress(min(done, whole_ms or done), whole_ms or done)
        take(None)
    read_s = len(kept) / (2 * RATE)
    if not kept or (length_s and read_s < length_s - _MISSING_S):
        raise RecordingError.of(
            "recording-stops",
            f"the sound can be read to {format_ms(round(read_s * 1000))} of {format_ms(whole_ms)} only",
            file=name,
            at_ms=round(read_s * 1000),
            fix="copy or export the recording again; its end is missing or damaged",
        )
    if progress is not None:
        progress(whole_ms or len(kept) // 32, whole_ms or len(kept) // 32)
    return np.frombuffer(kept, dtype="<i2")

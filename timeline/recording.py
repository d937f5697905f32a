"""What a recording is: length, picture, sound. Read by PyAV; nothing is decoded but one picture."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING, Any

from timeline.problems import RecordingError

if TYPE_CHECKING:
    from av.container import InputContainer

_NO_RECORDINGS = {"tty", "image2", "srt", "webvtt", "ass", "lrc", "ffmetadata"}
"""What FFmpeg opens as film or sound though nobody has recorded it: text (tty draws it letter by letter), pictures."""
_GUESSED = {"aac", "mp3", "ac3", "eac3", "amr"}
"""Formats without a length: FFmpeg multiplies size and first bit rate, which is off by half where the rate varies."""
_OFF = Fraction(1, 10)
"""Seconds by which the packets may end sooner or later: encoders fill their last frames."""
_RATE_SAMPLE = 240
"""Pictures looked at for an even rate: eight seconds at 30 a second."""


@dataclass(frozen=True, slots=True)
class RecordingInfo:
    """A recording file's facts.

    ``duration_ms`` is the longest stream's. ``width`` and ``height`` are as
    shown: after ``rotation`` (degrees anticlockwise, 0, 90, 180 or 270) and
    non-square pixels. ``rate`` is the mean picture rate; ``variable_rate``
    says that pictures are not evenly spaced. ``audio_rate`` is in samples a
    second. What a recording lacks is 0, None or "".
    """

    duration_ms: int
    has_audio: bool
    has_video: bool
    width: int = 0
    height: int = 0
    rate: Fraction | None = None
    variable_rate: bool = False
    rotation: int = 0
    video_codec: str = ""
    audio_codec: str = ""
    audio_rate: int = 0
    audio_channels: int = 0


def open_recording(path: Path, *, name: str | None = None) -> InputContainer:
    """The opened file; raises RecordingError where it is missing, a folder, empty or not a recording."""
    import av

    name = name or path.name
    try:
        if path.is_dir():
            raise RecordingError.of("not-a-file", "this is a folder, not a recording", file=name)
        if path.stat().st_size == 0:
            raise RecordingError.of("empty-file", "the recording is empty", file=name, fix="copy it again")
        # Streams that cannot be read at all are found by their first packet, not by the metadata's spelling.
        return av.open(str(path.resolve()), metadata_errors="replace")
    except FileNotFoundError:
        raise RecordingError.of(
            "no-file", "there is no such recording", file=name, fix="check the name and the folder"
        ) from None
    except av.FFmpegError as fault:
        raise RecordingError.of(
            "not-a-recording",
            f"it cannot be opened as sound or film ({fault.strerror})",
            file=name,
            fix="check that it plays; if its end is missing, copy or export it again",
        ) from None
    except OSError as fault:
        raise RecordingError.of("unreadable", f"the file cannot be read: {fault.strerror}", file=name) from None


def probe(path: Path, *, name: str | None = None) -> RecordingInfo:
    """Facts of a recording; raises RecordingError where it cannot be opened or holds neither sound nor picture."""
    import av

    with open_recording(path, name=name) as container:
        audio = container.streams.audio[0] if container.streams.audio else None
        # A cover picture inside a sound file is not film.
        video = next(
            (s for s in container.streams.video if not s.disposition & av.stream.Disposition.attached_pic), None
        )
        if container.format.name in _NO_RECORDINGS or container.format.name.endswith("_pipe"):
            raise RecordingError.of(
                "not-a-recording",
                "it is a text or a single picture",
                file=name or path.name,
                fix="give a sound or film file",
            )
        if audio is None and video is None:
            raise RecordingError.of(
                "not-a-recording",
                "it holds neither sound nor picture",
                file=name or path.name,
                fix="give a sound or film file",
            )
        lengths = [s.duration * s.time_base for s in (audio, video) if s is not None and s.duration and s.time_base]
        if container.duration:
            lengths.append(Fraction(container.duration, 1_000_000))
        length = max(lengths, default=None)
        if length is None or container.format.name in _GUESSED:
            length = _measured(path, length, name=name)
        sound: dict[str, Any] = {}
        if audio is not None:
            sound = {
                "audio_codec": audio.codec_context.name,
                "audio_rate": audio.codec_context.sample_rate or 0,
                "audio_channels": audio.codec_context.channels,
            }
        picture = _picture(container, video) if video is not None else {}
        return RecordingInfo(
            duration_ms=round(length * 1000),
            has_audio=audio is not None,
            has_video=video is not None,
            **sound,
            **picture,
        )


def _measured(path: Path, stated: Fraction | None, *, name: str | None) -> Fraction:
    """Where the last packet ends, in seconds, if that is far from ``stated``. Raises RecordingError at 0."""
    import av

    end = Fraction(0)
    with open_recording(path, name=name) as container:
        try:
            for packet in container.demux(audio=0) if container.streams.audio else container.demux(video=0):
                if packet.pts is not None and packet.time_base:
                    end = max(end, (packet.pts + (packet.duration or 0)) * packet.time_base)
        except av.FFmpegError:
            pass  # the length of what can be read; whoever decodes it reports the place of the fault
    if stated is not None and abs(stated - end) <= _OFF:
        return stated
    if end == 0:
        raise RecordingError.of(
            "not-a-recording", "it has no length", file=name or path.name, fix="check that it plays; export it again"
        )
    return end


def _picture(container: InputContainer, video: Any) -> dict[str, Any]:
    """Size, rate and rotation, from the first picture and the times of the first few hundred."""
    import av

    times: list[int] = []
    rotation = 0
    seen = False
    try:
        for packet in container.demux(video):
            if packet.pts is not None:
                times.append(packet.pts)
            if not seen:
                for frame in packet.decode():
                    rotation, seen = round(getattr(frame, "rotation", 0)) % 360, True
                    break
            if len(times) >= _RATE_SAMPLE:
                break
    except av.FFmpegError:
        pass  # the facts of what can be read; whoever decodes it all reports the place of the fault
    width, height = video.codec_context.width, video.codec_context.height
    shape = video.sample_aspect_ratio or Fraction(1)
    if shape > 0:
        width = round(width * shape)
    if rotation in (90, 270):
        width, height = height, width
    return {
        "width": width,
        "height": height,
        "rate": video.average_rate or video.base_rate,
        "variable_rate": _uneven(sorted(times)),
        "rotation": rotation,
        "video_codec": video.codec_context.name,
    }


def _uneven(times: list[int]) -> bool:
    """Whether steps differ by more than the time base's own rounding (one tick either way)."""
    # The last pictures in decoding order may lack their neighbours in showing order.
    steps = [b - a for a, b in zip(times, times[1:-8] if len(times) > 24 else times[1:], strict=False)]
    return bool(steps) and max(steps) - min(steps) > max(2, max(steps) // 20)

"""Captions that a player can switch on and off: 3GPP timed text (3GPP TS 26.245), which FFmpeg calls mov_text."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from typing import TYPE_CHECKING

import av

from timeline.tracks import Caption

if TYPE_CHECKING:
    from av.container import OutputContainer
    from av.subtitles.stream import SubtitleStream

    from overlays.packets import AnyPacket

_TICK = Fraction(1, 1000)
_STYLE = b"""[Script Info]
ScriptType: v4.00+
PlayResX: 384
PlayResY: 288

[V4+ Styles]
Format: Name, Fontname, Fontsize, PrimaryColour, SecondaryColour, OutlineColour, BackColour, Bold, Italic, Underline, \
StrikeOut, ScaleX, ScaleY, Spacing, Angle, BorderStyle, Outline, Shadow, Alignment, MarginL, MarginR, MarginV, Encoding
Style: Default,Sans-Serif,16,&Hffffff,&Hffffff,&H0,&H0,0,0,0,0,100,100,0,0,1,1,0,2,10,10,10,1

[Events]
Format: Layer, Start, End, Style, Name, MarginL, MarginR, MarginV, Effect, Text
"""
"""The track's default look, in the form the encoder wants; players use their own settings over it."""


def add_captions(container: OutputContainer) -> SubtitleStream:
    """A caption track, counting in ms."""
    stream = container.add_stream("mov_text")
    stream.codec_context.subtitle_header = _STYLE
    stream.time_base = _TICK
    return stream


def caption_packets(stream: SubtitleStream, captions: Sequence[Caption]) -> Iterator[AnyPacket]:
    """Captions (film times, sorted, not overlapping) as packets: two bytes of length, then UTF-8."""
    for caption in captions:
        text = caption.text.encode()
        packet = av.Packet(len(text).to_bytes(2, "big") + text)
        packet.stream = stream
        packet.time_base = _TICK
        packet.pts = packet.dts = caption.start_ms
        packet.duration = caption.end_ms - caption.start_ms
        packet.is_keyframe = True
        yield packet

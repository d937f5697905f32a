"""Loudness of the film's sound: measured as ITU-R BS.1770 says, changed by one gain and a peak limiter.

The meter is FFmpeg's ``ebur128`` filter, the limiter its ``alimiter`` at four
times the sample rate, so that peaks between samples are held as well (true
peak, BS.1770 annex 2).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from fractions import Fraction

import av
from av.filter import Graph

from overlays.sound import Block, SoundForm

_OVERSAMPLED = 4
_CODEC_ROOM_DB = 0.5
_SAFE_DB = 2.0
"""No codec of speech moves a peak by more than this (measured with AAC at 96 kbit/s: 1.6 dB on limited speech)."""
_ROUNDS = 4
_CLOSE_LU = 0.2
_MOST_DB = 40.0


@dataclass(frozen=True, slots=True)
class Loudness:
    """Integrated loudness in LUFS (-inf for silence) and true peak in dBTP."""

    lufs: float
    peak_dbtp: float


@dataclass(frozen=True, slots=True)
class Level:
    """A gain in dB, and where peaks are held (dBTP); None where they need not be."""

    gain_db: float
    limit_dbtp: float | None = None


def measured(blocks: Iterable[Block], form: SoundForm) -> Loudness:
    """Loudness of a whole sound."""
    lufs, peak = -math.inf, 0.0
    for frame in _filtered(blocks, form, "ebur128=metadata=1:peak=true"):
        data = frame.metadata
        lufs = float(data.get("lavfi.r128.I", lufs))
        peak = max([peak, *(float(v) for k, v in data.items() if k.startswith("lavfi.r128.true_peaks_ch"))])
    # the gate of -70 LUFS lets nothing of a silent sound pass; the meter then shows its floor
    return Loudness(lufs if lufs > -70 else -math.inf, 20 * math.log10(peak) if peak > 0 else -math.inf)


def level_for(
    sound: Callable[[], Iterator[Block]],
    form: SoundForm,
    target_lufs: float,
    peak_dbtp: float,
    coded: Callable[[Iterator[Block]], Iterator[Block]],
) -> tuple[Level, Loudness] | None:
    """The level that brings a sound to ``target_lufs`` with peaks at most at ``peak_dbtp``; None for silence.

    ``sound`` gives the sound from its start, each time it is called; ``coded``
    is what the film's codec makes of it, for codecs do not keep peaks. Also
    gives what comes out. Peaks come first: a target out of their reach is met
    as near as a limiter goes.
    """
    before = measured(sound(), form)
    if before.lufs == -math.inf:
        return None
    gain = min(target_lufs - before.lufs, _MOST_DB)
    if before.peak_dbtp + gain <= peak_dbtp - _SAFE_DB:
        return Level(gain), Loudness(before.lufs + gain, before.peak_dbtp + gain)
    limit = peak_dbtp - _CODEC_ROOM_DB
    for _ in range(_ROUNDS):
        level = Level(gain, limit)
        after = measured(coded(leveled(sound(), form, level)), form)
        missing, over = target_lufs - after.lufs, after.peak_dbtp - peak_dbtp
        if over <= 0 and abs(missing) <= _CLOSE_LU:
            return level, after
        gain = min(gain + 1.5 * missing, _MOST_DB)  # the limiter takes a part of what is added
        limit -= max(0.0, over + 0.1 if over > 0 else 0.0)
    level = Level(gain, limit)
    after = measured(coded(leveled(sound(), form, level)), form)
    if after.peak_dbtp > peak_dbtp:
        over = after.peak_dbtp - peak_dbtp + 0.3
        level, after = Level(gain, limit - over), Loudness(after.lufs - over, peak_dbtp)
    return level, after


def leveled(blocks: Iterable[Block], form: SoundForm, level: Level) -> Iterator[Block]:
    """The sound at another level; as many samples as before, give or take the filters' last few."""
    if level.limit_dbtp is None:
        factor = 10 ** (level.gain_db / 20)
        for block in blocks:
            yield (block * factor).astype(block.dtype)
        return
    chain = (
        f"volume={level.gain_db}dB,aresample={form.rate * _OVERSAMPLED},"
        f"alimiter=limit={level.limit_dbtp}dB:attack=5:release=80:level=disabled:latency=1,"
        f"aresample={form.rate}"
    )
    for frame in _filtered(blocks, form, chain):
        yield frame.to_ndarray()  # type: ignore[misc]


def _filtered(blocks: Iterable[Block], form: SoundForm, chain: str) -> Iterator[av.AudioFrame]:
    graph = Graph()
    source = graph.add_abuffer(
        sample_rate=form.rate, format="fltp", layout=form.layout, time_base=Fraction(1, form.rate)
    )
    last = source
    for text in [*chain.split(","), f"aformat=sample_fmts=fltp:channel_layouts={form.layout}", "abuffersink"]:
        name, _, arguments = text.partition("=")
        node = graph.add(name, arguments or None)
        last.link_to(node)
        last = node
    graph.configure()
    at = 0
    for block in blocks:
        frame = av.AudioFrame.from_ndarray(block, format="fltp", layout=form.layout)
        frame.sample_rate, frame.pts, frame.time_base = form.rate, at, Fraction(1, form.rate)
        at += frame.samples
        source.push(frame)
        yield from _pulled(graph)
    source.push(None)
    yield from _pulled(graph)


def _pulled(graph: Graph) -> Iterator[av.AudioFrame]:
    while True:
        try:
            frame = graph.pull()
        except (av.BlockingIOError, av.EOFError):
            return
        assert isinstance(frame, av.AudioFrame)
        yield frame

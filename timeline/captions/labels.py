"""What is to be seen and is not speech: think-pauses, labels of sounds, who speaks."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from timeline.captions.language import pause_label
from timeline.captions.rules import Rules
from timeline.captions.settings import CaptionSettings
from timeline.captions.units import Unit
from timeline.follow.result import Follow
from timeline.timemap import TimeMap

_LEAST_PAUSE_MS = 1500  # a shorter silence needs no label (ours)
_AIR_MS = 120  # the small gap before the next caption, and whole frames
AFTER_SPEECH_MS = 500  # the question stays readable before the label takes its place
USUAL_MS = 2500
"""How long a sound's label stays where nobody says."""


def with_labels(
    units: Sequence[Unit],
    follow: Follow | None,
    settings: CaptionSettings,
    rules: Rules,
    timemap: TimeMap,
    language: str,
    sounds: Sequence[tuple[int, int, str]],
) -> list[Unit]:
    """Units (film time) with the labels between them or, where the talk leaves no time, as the head of a unit.

    ``sounds`` are begin, end (recording ms) and text.
    """
    text = settings.pause_label if settings.pause_label is not None else pause_label(language)
    wanted: list[tuple[int, int, str]] = []
    shift = 0
    if text:
        for pause in timemap.pauses:
            begin = pause.at_ms + shift
            shift += pause.hold_ms
            wanted.append((begin, begin + pause.hold_ms, text))
        for ask in follow.asks if follow else ():
            begin = timemap.start(ask.at_ms)
            if ask.spoken_pause_ms and not any(a - 1000 <= begin <= b + 1000 for a, b, _ in wanted):
                wanted.append((begin, begin + ask.spoken_pause_ms, text))
    own = [(timemap.start(begin), timemap.start(begin) + end - begin, text) for begin, end, text in sounds]
    return _set_between(units, sorted(wanted), sorted(own), rules)


def _set_between(
    units: Sequence[Unit], pauses: Sequence[tuple[int, int, str]], own: Sequence[tuple[int, int, str]], rules: Rules
) -> list[Unit]:
    labels = []
    spoken = list(units)
    least = rules.profile.min_ms + rules.profile.label_ms
    for begin, end, text in pauses:
        quiet = _quiet(units, begin, end)
        room = least + _AIR_MS
        if quiet and quiet[1] - quiet[0] >= max(_LEAST_PAUSE_MS, room):
            start = min(quiet[0] + AFTER_SPEECH_MS, quiet[1] - room)
            labels.append(_label(_in_brackets(text), start, min(quiet[1], start + rules.profile.max_ms)))
    for begin, end, text in _joined(own, least):
        following = min((u.onset_ms for u in units if u.onset_ms > begin), default=end)
        under = _spoken_at(spoken, begin) if following - begin < least else None
        if under is not None:
            spoken[under] = replace(spoken[under], head=f"{spoken[under].head} {text}".strip())
        else:
            labels.append(_label(text, begin, max(begin + 1, min(end, following, begin + rules.profile.max_ms))))
    return sorted([*spoken, *labels], key=lambda u: u.onset_ms)


def _joined(own: Sequence[tuple[int, int, str]], least_ms: int) -> list[tuple[int, int, str]]:
    """Labels of sounds in their brackets, those together that begin too soon after another to be read apart."""
    found: list[tuple[int, int, str]] = []
    for begin, end, text in own:
        if found and begin - found[-1][0] < least_ms:
            before, until, said = found[-1]
            found[-1] = (before, max(until, end), f"{said} {_in_brackets(text)}")
        else:
            found.append((begin, end, _in_brackets(text)))
    return found


def _spoken_at(units: Sequence[Unit], ms: int) -> int | None:
    """The unit that is spoken at a moment, else the next one; None for a person's own caption, which stays as it is."""
    at = next((k for k, u in enumerate(units) if u.end_ms > ms), None)
    return at if at is not None and units[at].fixed < 0 else None


def _quiet(units: Sequence[Unit], begin: int, end: int) -> tuple[int, int] | None:
    """The part of a pause in which nothing is said."""
    before = max((u.end_ms for u in units if u.onset_ms < begin), default=begin)
    after = min((u.onset_ms for u in units if u.onset_ms >= begin), default=end)
    start, stop = max(begin, min(before, end)), min(end, after)
    return (start, stop) if stop > start else None


def _label(text: str, begin: int, end: int) -> Unit:
    return Unit(text, -1, -1, begin, end, source="label")


def _in_brackets(text: str) -> str:
    return f"[{text.strip().strip('[]')}]"


def speaker_names(units: Sequence[Unit], settings: CaptionSettings) -> dict[int, str]:
    """Units at which another of several speakers begins, with the name to show: capitals (BBC 7.8)."""
    heard = [(k, u) for k, u in enumerate(units) if u.speaker and u.source != "label"]
    if len({u.speaker for _, u in heard}) < 2:
        return {}
    found = {heard[0][0]: heard[0][1]}
    found |= {k: u for (_, before), (k, u) in pairwise(heard) if u.speaker != before.speaker}
    return {k: settings.speakers.get(u.speaker or "", u.speaker or "").upper() for k, u in found.items()}

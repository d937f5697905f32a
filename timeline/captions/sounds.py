"""Sounds that the transcript marks: when each is heard, which a person refuses, where it stands in the captions."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from timeline.captions.labels import AFTER_SPEECH_MS, USUAL_MS
from timeline.captions.settings import LabelSpec, Refusal
from timeline.captions.units import Unit, core
from timeline.problems import Finding, Severity
from timeline.timecode import format_ms
from timeline.transcript.words import Sound, Word

_NEAR_MS = 700
_SAME_MS = 3000  # one sound marked twice, by neighbouring captions or by a person too
_MOST_CHARS = 60  # of it, in a note
_MOST_SHOWN = 4


@dataclass(frozen=True, slots=True)
class Heard:
    """A sound with its time (recording ms), as its label says it (no brackets) and as the transcript has it."""

    at_ms: int
    end_ms: int
    text: str
    sound: Sound


def heard_sounds(sounds: Sequence[Sound], words: Sequence[Word], own: Sequence[LabelSpec], end_ms: int) -> list[Heard]:
    """The sounds in order of time, between the words they stand between; each once, and not what a person labelled too."""
    found: list[Heard] = []
    for sound in sounds:
        begin, end = _time(sound, words, end_ms)
        text = sound.text
        near = [h.text for h in found if h.sound.unclear == sound.unclear and begin - h.at_ms < _SAME_MS]
        near += [label.text for label in own if abs(label.at - begin) < _SAME_MS and not sound.unclear]
        if sound.unclear or not any(_is_same(text, other) for other in near):
            found.append(Heard(begin, end, text, sound))
    return sorted(found, key=lambda h: h.at_ms)


def unrefused(heard: Sequence[Heard], refusals: Sequence[Refusal]) -> tuple[list[Heard], list[Refusal]]:
    """The sounds that a person lets stand, and the refusals that met none. Give refusals that met no correction."""
    hits = [[n for n, r in enumerate(refusals) if _meets(r, one)] for one in heard]
    used = {n for hit in hits for n in hit}
    kept = [one for one, hit in zip(heard, hits, strict=True) if not hit]
    return kept, [r for n, r in enumerate(refusals) if n not in used]


def with_unclear(units: Sequence[Unit], heard: Sequence[Heard]) -> list[Unit]:
    """Units with [inaudible] where words were not understood (recording time); a person's own captions stay as they are."""
    result = list(units)
    for one in reversed(heard):
        if not one.sound.unclear:
            continue
        at = next((k for k, u in enumerate(result) if u.first >= one.sound.before), len(result))
        before, after = result[at - 1] if at else None, result[at] if at < len(result) else None
        beside = before or after
        if beside is None or (before and before.last >= one.sound.before):
            continue
        if not (before and after and before.fixed >= 0 and before.fixed == after.fixed) and beside.fixed < 0:
            unit = Unit(f"[{one.text}]", beside.first, beside.last, one.at_ms, one.end_ms, beside.speaker)
            result.insert(at, unit)
    return result


def sound_findings(heard: Sequence[Heard]) -> list[Finding]:
    """A note for each label that stands in the captions because the transcript marks a sound: when, and where it is from."""
    by_text: dict[str, list[Heard]] = {}
    for one in heard:
        by_text.setdefault(one.text, []).append(one)
    return [_note(text, found) for text, found in by_text.items()]


def _note(text: str, found: Sequence[Heard]) -> Finding:
    first, shown = found[0], found[:_MOST_SHOWN]
    times = _listed([format_ms(one.at_ms) for one in shown], len(found))
    lines = [str(one.sound.line) for one in shown if one.sound.line]
    of = f" (line{'s' * (len(lines) > 1)} {_listed(lines, len(found))} of the transcript)" if lines else ""
    return Finding(
        "sound-label",
        f"the captions say [{text}] at {times}: the transcript has {first.sound.heard[:_MOST_CHARS]}{of}",
        Severity.NOTE,
        at_ms=first.at_ms,
        fix=f"to leave it out, write into captions: refuse: - {{heard: {_phrase(first.sound.heard)}}}, or its time as at:",
    )


def _listed(parts: Sequence[str], count: int) -> str:
    if count > len(parts):
        return f"{', '.join(parts)} and {count - len(parts)} more"
    return " and ".join(filter(None, [", ".join(parts[:-1]), parts[-1]]))


def _time(sound: Sound, words: Sequence[Word], end_ms: int) -> tuple[int, int]:
    earliest = words[sound.before - 1].end_ms if 0 < sound.before <= len(words) else 0
    latest = words[sound.before].onset_ms if sound.before < len(words) else None
    begin = earliest if sound.at_ms is None else max(earliest, sound.at_ms)
    if sound.at_ms is None and latest is not None:  # the words before it stay readable, where there is time
        begin += max(0, min(AFTER_SPEECH_MS, latest - earliest - USUAL_MS))
    if sound.at_ms is None and 0 < sound.before <= len(words) and begin >= end_ms:  # above the last words
        begin = words[sound.before - 1].onset_ms
    if latest is not None:
        begin = min(begin, max(earliest, latest))
    end = max(begin + 1, sound.end_ms) if sound.end_ms is not None else begin + USUAL_MS
    end = min(end, end_ms) if begin < end_ms else end
    return begin, end if latest is None else max(begin + 1, min(end, latest))


def _is_same(text: str, other: str) -> bool:
    a, b = _phrase(text), _phrase(other)
    return a == b or ("♪" in (a, b) and all("music" in x or "♪" in x for x in (a, b)))


def _phrase(text: str) -> str:
    return " ".join(filter(None, (core(w).strip("*<>_") for w in text.split()))) or text.strip("[]() ")


def _meets(refusal: Refusal, one: Heard) -> bool:
    if refusal.heard is not None and _phrase(refusal.heard) not in (_phrase(one.sound.heard), _phrase(one.text)):
        return False
    return refusal.at is None or one.at_ms - _NEAR_MS <= refusal.at <= one.end_ms + _NEAR_MS

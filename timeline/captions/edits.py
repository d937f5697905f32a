"""A person's own captions laid over the units: they win, and find their words again after a new follow."""

from __future__ import annotations

from collections.abc import Sequence
from difflib import SequenceMatcher

from timeline.captions.settings import CaptionEdit
from timeline.captions.units import Unit, core
from timeline.problems import Finding, Severity
from timeline.timecode import format_ms

_EARLY_MS = 250  # a caption may begin a few frames before its word
_LEAST_LIKE = 0.34


def apply_edits(units: Sequence[Unit], edits: Sequence[CaptionEdit]) -> tuple[list[Unit], list[Finding]]:
    """Units with the edited stretches replaced (recording time), and edits that found no words.

    The replaced words' times are spread over the new text by its length. An
    empty text takes the stretch away.
    """
    result = list(units)
    findings: list[Finding] = []
    for number, edit in enumerate(edits):
        stretch = _stretch(result, edit)
        if stretch is None:
            findings.append(
                Finding(
                    "edit-without-words",
                    f"no words are spoken at {format_ms(edit.at)}, where a caption was edited",
                    Severity.WARNING,
                    at_ms=edit.at,
                    fix="move the edit in captions: edits: to the words it belongs to, or take it away",
                )
            )
            continue
        first, last = stretch
        result[first:last] = _own(result[first:last], edit.text, number)
    return result, findings


def _stretch(units: Sequence[Unit], edit: CaptionEdit) -> tuple[int, int] | None:
    """The units that an edit replaces, as a half-open range."""
    first = next((k for k, u in enumerate(units) if u.onset_ms >= edit.at - _EARLY_MS and u.fixed < 0), None)
    if edit.until is not None:
        inside = [
            k for k, u in enumerate(units) if edit.at - _EARLY_MS <= u.onset_ms < edit.until - _EARLY_MS and u.fixed < 0
        ]
        if not inside:
            return None
        last = inside[0]
        while last + 1 < len(units) and last + 1 in inside:
            last += 1
        return inside[0], last + 1
    if first is None or units[first].onset_ms > edit.at + 4000:
        return None
    own = [core(w) for w in edit.text.split()]
    if not own:
        return first, first + 1
    best, found = 0.0, first + 1
    for last in range(first + max(1, len(own) // 2), min(len(units), first + 2 * len(own) + 4) + 1):
        if any(u.fixed >= 0 for u in units[first:last]):
            break
        ratio = SequenceMatcher(None, own, [core(u.text) for u in units[first:last]], autojunk=False).ratio()
        if ratio > best + 1e-9:
            best, found = ratio, last
    if best < _LEAST_LIKE:  # another text altogether: as many words as it has, to the end of a sentence at most
        found = first + 1
        while found < len(units) and found - first < len(own) and not units[found - 1].text.endswith((".", "?", "!")):
            found += 1
    return first, found


def _own(units: Sequence[Unit], text: str, number: int) -> list[Unit]:
    """A person's text as units over the time of those it replaces."""
    begin, end = units[0].onset_ms, max(u.end_ms for u in units)
    first, last, speaker = units[0].first, units[-1].last, units[0].speaker
    lines = [line.split() for line in text.split("\n") if line.split()]
    flat = [(word, n == len(line) - 1 and line is not lines[-1]) for line in lines for n, word in enumerate(line)]
    whole = sum(len(word) for word, _ in flat)
    made, before = [], 0
    for word, breaks in flat:
        onset = begin + (end - begin) * before // whole
        before += len(word)
        made.append(
            Unit(
                word,
                first,
                last,
                onset,
                begin + (end - begin) * before // whole,
                speaker,
                fixed=number,
                source="edit",
                break_after=breaks,
            )  # fmt: skip
        )
    return made

"""Captions from words: put right by the board, punctuated, split and timed under the rules, checked."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from fractions import Fraction

from timeline.captions.boardhearing import from_board
from timeline.captions.breaks import break_costs
from timeline.captions.capitals import begun_after_edits
from timeline.captions.compose import compose
from timeline.captions.corrections import (
    Correction,
    Pad,
    from_glossary,
    from_hearings,
    refused,
    spell_squares,
)
from timeline.captions.edits import apply_edits
from timeline.captions.followhearing import from_follow
from timeline.captions.labels import USUAL_MS, speaker_names, with_labels
from timeline.captions.layout import Slot, lay_out
from timeline.captions.lines import break_lines
from timeline.captions.names import Name, from_names, known_names, name_pairs
from timeline.captions.punctuate import as_restored, restore
from timeline.captions.report import CaptionReport, Speech, measure, report_findings
from timeline.captions.rules import Rules, rules_for
from timeline.captions.settings import CaptionSettings, Refusal
from timeline.captions.songs import NOTE, with_notes
from timeline.captions.sounds import heard_sounds, sound_findings, unrefused, with_unclear
from timeline.captions.units import Unit
from timeline.follow.result import Follow
from timeline.problems import Finding, Severity
from timeline.score import Score
from timeline.timecode import format_ms, frame_to_ms
from timeline.timemap import TimeMap
from timeline.tracks import Caption
from timeline.transcript.words import Sound, Timing, Word

LOST = ("edit-without-words", "refusal-unused", "label-after-end", "words-after-end")
"""Codes of findings that tell at once, not only in the check, what finds no place in the captions."""
_HEARD_PAUSES = frozenset((Timing.WORD, Timing.ALIGNED, Timing.SNAPPED))


@dataclass(frozen=True, slots=True)
class CaptionResult:
    """Captions in film time, and how they came to be.

    ``corrections`` in recording time, those a person refused left out.
    ``written[k]`` is transcript word ``k`` as corrected ("" where a correction
    before it holds it). ``units`` are the written words in film time with what
    was restored in them. ``report`` holds the measured rules.
    """

    captions: tuple[Caption, ...]
    corrections: tuple[Correction, ...]
    findings: tuple[Finding, ...]
    written: tuple[str, ...]
    units: tuple[Unit, ...]
    report: CaptionReport


def build_captions(
    words: Sequence[Word],
    follow: Follow | None,
    score: Score | None,
    *,
    settings: CaptionSettings,
    language: str = "en",
    glossary: Mapping[str, str] | None = None,
    names: Sequence[str] = (),
    sounds: Sequence[Sound] = (),
    end_ms: int,
    board_changes_ms: Sequence[int] = (),
    timemap: TimeMap | None = None,
    rate: Fraction = Fraction(30),
) -> CaptionResult:
    """Captions of a talk.

    ``words`` in order of time and ``board_changes_ms`` are in recording time,
    as is ``end_ms``, the recording's end; ``sounds`` are those that the
    transcript marks between the words. ``timemap`` leads to film time, in
    which the captions are given (without it both are the same). ``rate`` is
    the film's. No word is lost, whatever the settings. Pure; the same input
    gives the same captions.
    """
    timemap = timemap or TimeMap()
    rules = rules_for(settings.profile, settings.rules.as_profile(), rate)
    findings: list[Finding] = []
    proper = known_names(names, score)
    corrections, unmet = _corrections(words, follow, score, settings, language, dict(glossary or {}), proper)
    heard, unmet = unrefused(heard_sounds(sounds, words, settings.labels, end_ms), unmet)
    findings += [_unused(refusal) for refusal in unmet]
    units = compose(words, corrections, follow, style=settings.style, language=language)
    if settings.restore == "auto":
        spoken = compose(words, corrections, follow, style="spoken", language=language)
        units = as_restored(units, _restored(words, spoken, follow, language))
    units, lost = apply_edits(units, settings.edits)
    units = begun_after_edits(units)
    findings += lost
    units = with_unclear(units, heard)
    labels = [(h.at_ms, h.end_ms, h.text) for h in heard if not h.sound.unclear]
    labels += [(label.at, label.at + (label.for_ms or USUAL_MS), label.text) for label in settings.labels]
    findings += sound_findings([h for h in heard if h.at_ms < end_ms])
    if units and units[-1].onset_ms >= end_ms:
        late = sum(u.onset_ms >= end_ms for u in units)
        findings.append(
            Finding(
                "words-after-end",
                f"{late} words are said after the recording's end at {format_ms(end_ms)}; their captions stand at the end",
                Severity.WARNING,
                at_ms=end_ms,
                fix="give the transcript of this recording",
            )
        )
    findings += [
        Finding(
            "label-after-end",
            f"the label [{text}] stands after the recording's end at {format_ms(end_ms)}",
            Severity.WARNING,
            at_ms=at,
            fix="give it a time within the recording, in captions: labels: or in the transcript that marks it",
        )
        for at, _, text in labels
        if at >= end_ms
    ]
    film = [_on_film(u, timemap) for u in units]
    film = with_labels(film, follow, settings, rules, timemap, language, [part for part in labels if part[0] < end_ms])
    film, begun, sung = with_notes(film)
    callers = speaker_names(film, settings)
    leads = {k: f"{name}: " for k, name in callers.items()}
    leads |= {k: leads.get(k, "") + NOTE for k in sung}
    breaks = break_costs(film, language, name_pairs(proper))
    slots = lay_out(
        film,
        breaks,
        rules,
        end_ms=timemap.end(end_ms),
        changes_ms=[timemap.start(ms) for ms in board_changes_ms],
        forced=frozenset(callers) | begun | _after_holds(film, timemap),
        prefixes={k: len(lead) for k, lead in leads.items()},
    )
    captions = [_caption(film, slot, leads, rules, language) for slot in slots]
    report = measure(captions, rules, [_speech(film, slot) for slot in slots])
    findings += report_findings(report, timemap.recording)
    return CaptionResult(
        tuple(captions), tuple(corrections), tuple(findings), _written(words, corrections), tuple(film), report
    )


def _on_film(unit: Unit, timemap: TimeMap) -> Unit:
    """A unit in film time; one that a hold falls into stands before it or after it, wherever more of it is said."""
    onset, end = timemap.start(unit.onset_ms), timemap.end(unit.end_ms)
    for at in [p.at_ms for p in timemap.pauses if unit.onset_ms < p.at_ms < unit.end_ms]:
        if at - unit.onset_ms >= unit.end_ms - at:
            end = timemap.end(at)
            break
        onset = timemap.start(at)
    return replace(unit, onset_ms=onset, end_ms=end)


def _restored(words: Sequence[Word], spoken: Sequence[Unit], follow: Follow | None, language: str) -> list[Unit]:
    """The units in their spoken form with what their transcript lacks: notation says too little of the sentence."""
    known = sum(w.timing in _HEARD_PAUSES for w in words) > len(words) // 2
    moves = {n: reading.move for n, reading in enumerate(follow.readings) if reading.move} if follow else {}
    return restore(
        spoken,
        language,
        pauses_known=known,
        blocks=[w.block for w in words],
        heard=[w.text for w in words],
        moves=moves,
    )


def _corrections(
    words: Sequence[Word],
    follow: Follow | None,
    score: Score | None,
    settings: CaptionSettings,
    language: str,
    glossary: dict[str, str],
    names: Sequence[Name],
) -> tuple[list[Correction], list[Refusal]]:
    """The corrections that a person lets stand, and the refusals that met none."""
    pad = Pad(words)
    english = language.split("-")[0].lower() == "en"
    from_glossary(pad, glossary)
    if settings.correct:
        if follow is not None:
            from_follow(pad, follow)
        from_names(pad, names, restore_case=_lower_case(words), english=english)
        if english:
            from_hearings(pad)
            if follow is not None and score is not None:
                from_board(pad, follow, score)
            spell_squares(pad)
    return refused(sorted(pad.found, key=lambda c: c.first), settings.refuse, words)


def _unused(refusal: Refusal) -> Finding:
    what = f" of {refusal.heard!r}" if refusal.heard else ""
    when = f" at {format_ms(refusal.at)}" if refusal.at is not None else ""
    return Finding(
        "refusal-unused",
        f"no correction{what}{when} is made any more; the refusal stays without effect",
        Severity.NOTE,
        at_ms=refusal.at,
    )


def _lower_case(words: Sequence[Word]) -> bool:
    """Whether the transcript has (almost) no capitals, as caption recognisers write it."""
    letters = [w.text for w in words if w.text[:1].isalpha()]
    return bool(letters) and sum(t[:1].isupper() for t in letters) <= len(letters) // 50


def _after_holds(units: Sequence[Unit], timemap: TimeMap) -> frozenset[int]:
    """Units that begin after a hold of the film: no caption runs across one."""
    found, shift = set(), 0
    for pause in timemap.pauses:
        shift += pause.hold_ms
        found.add(next((k for k, u in enumerate(units) if u.onset_ms >= pause.at_ms + shift), 0))
    return frozenset(found - {0})


def _caption(units: Sequence[Unit], slot: Slot, leads: dict[int, str], rules: Rules, language: str) -> Caption:
    edges = [slot.first, *slot.breaks, slot.last]
    lines = [" ".join(u.text for u in units[a:b]) for a, b in zip(edges, edges[1:], strict=False)]
    if units[slot.first].source == "label":
        lines = [break_lines(" ".join(lines), language, rules)]
    lines[0] = leads.get(slot.first, "") + lines[0]
    head = " ".join(u.head for u in units[slot.first : slot.last] if u.head)
    if head and rules.profile.max_lines > 1:
        lines.insert(0, head)
    elif head:
        lines[0] = f"{head} {lines[0]}"
    speaker = units[slot.first].speaker
    return Caption(frame_to_ms(slot.start, rules.rate), frame_to_ms(slot.end, rules.rate), "\n".join(lines), speaker)


def _speech(units: Sequence[Unit], slot: Slot) -> Speech:
    part = units[slot.first : slot.last]
    return Speech(
        part[0].onset_ms, max(u.end_ms for u in part), sum(len(u.text.split()) for u in part), part[0].source == "label",
        any(u.head for u in part),
    )


def _written(words: Sequence[Word], corrections: Sequence[Correction]) -> tuple[str, ...]:
    texts = [w.text for w in words]
    for c in corrections:
        texts[c.first : c.last + 1] = [c.written] + [""] * (c.last - c.first)
    return tuple(texts)

"""Captions held to the rules: speed, length and gap of each, every broken rule and why it could not be kept."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from timeline.captions.rules import Rules, visible_length
from timeline.problems import Finding, Severity
from timeline.timecode import format_ms, ms_to_frame
from timeline.tracks import Caption

Rule = Literal[
    "line length", "lines", "speed, error", "speed, warning", "too short", "too long", "gap", "in-time", "tail", "order"
]
RULES: tuple[Rule, ...] = (
    "line length", "lines", "speed, error", "speed, warning", "too short", "too long", "gap", "in-time", "tail", "order",
)  # fmt: skip
_CODES: dict[Rule, tuple[str, Severity]] = {
    "line length": ("caption-line-long", Severity.WARNING),
    "lines": ("caption-lines", Severity.WARNING),
    "speed, error": ("caption-too-fast", Severity.WARNING),
    "speed, warning": ("caption-fast", Severity.NOTE),
    "too short": ("caption-too-short", Severity.WARNING),
    "too long": ("caption-too-long", Severity.WARNING),
    "gap": ("caption-gap", Severity.NOTE),
    "in-time": ("caption-out-of-step", Severity.WARNING),
    "tail": ("caption-tail", Severity.NOTE),
    "order": ("caption-order", Severity.ERROR),
}


@dataclass(frozen=True, slots=True)
class Speech:
    """When the words of one caption are said: first onset, last end (ms, captions' clock); how many.

    ``label``: it is a sound's label; ``headed``: one stands above its words.
    """

    onset_ms: int
    end_ms: int
    words: int
    label: bool = False
    headed: bool = False


@dataclass(frozen=True, slots=True)
class Broken:
    """One rule that a caption does not keep, by how much, and why."""

    rule: Rule
    message: str
    why: str


@dataclass(frozen=True, slots=True)
class CueFacts:
    """What can be measured of one caption. ``gap_ms``: time to the next caption, None after the last."""

    caption: Caption
    chars: int
    words: int
    lines: int
    longest: int
    duration_ms: int
    gap_ms: int | None
    broken: tuple[Broken, ...]

    @property
    def cps(self) -> float:
        """Characters a second: spaces and punctuation count, a line break is one space."""
        return self.chars * 1000 / max(1, self.duration_ms)

    @property
    def wpm(self) -> float:
        """Words a minute, parted by white space."""
        return self.words * 60_000 / max(1, self.duration_ms)


@dataclass(frozen=True, slots=True)
class CaptionReport:
    """All captions of a lesson under one set of rules."""

    cues: tuple[CueFacts, ...]
    rules: Rules

    def broken(self, rule: Rule) -> int:
        """How many captions break the rule."""
        return sum(any(b.rule == rule for b in cue.broken) for cue in self.cues)

    def kept(self, rule: Rule) -> float:
        """Share of captions that keep the rule; 1 with no captions."""
        return 1 - self.broken(rule) / len(self.cues) if self.cues else 1.0

    @property
    def errors(self) -> int:
        """Broken rules in all, the warning speed aside."""
        return sum(b.rule != "speed, warning" for cue in self.cues for b in cue.broken)


def measure(
    captions: Sequence[Caption],
    rules: Rules,
    speech: Sequence[Speech | None] = (),
    translated: Sequence[str | None] = (),
) -> CaptionReport:
    """Facts and broken rules of captions in order of time.

    ``speech[i]`` tells when caption ``i`` is said; without it in-time and
    tail are not judged. ``translated[i]``: the text that caption ``i`` is a
    translation of. Gaps and least times are counted in frames of the rules'
    rate.
    """
    facts = []
    known = list(speech) + [None] * (len(captions) - len(speech))
    sources = list(translated) + [None] * (len(captions) - len(translated))
    for n, caption in enumerate(captions):
        following = captions[n + 1] if n + 1 < len(captions) else None
        one = _facts(caption, following, known[n], known[n + 1] if following else None, rules)
        source = sources[n]
        if source is not None:
            one = replace(one, broken=tuple(replace(b, why=_in_translation(b, one, source)) for b in one.broken))
        facts.append(one)
    return CaptionReport(tuple(facts), rules)


def _in_translation(broken: Broken, facts: CueFacts, source: str) -> str:
    """Why a translation breaks a rule: it has its own length, and the times of what it translates."""
    if broken.rule in ("lines", "speed, error", "speed, warning") and facts.chars > visible_length(source):
        return f"the translation has {facts.chars} characters, what it translates {visible_length(source)}"
    return broken.why if broken.rule == "line length" else "its times are those of the hand-off"


def _facts(
    caption: Caption, following: Caption | None, said: Speech | None, said_next: Speech | None, rules: Rules
) -> CueFacts:
    p, rate = rules.profile, rules.rate
    lines = caption.text.split("\n")
    lengths = [visible_length(line) for line in lines]
    chars = sum(lengths) + len(lines) - 1
    words = len(caption.text.split())
    start, end = ms_to_frame(caption.start_ms, rate), ms_to_frame(caption.end_ms, rate)
    shown = end - start
    gap = ms_to_frame(following.start_ms, rate) - end if following else None
    broken: list[Broken] = []

    def add(rule: Rule, message: str, why: str) -> None:
        broken.append(Broken(rule, message, why))

    pace = _pace(chars if p.error_cps or p.warn_cps else 0, said, said_next)
    if max(lengths) > p.max_chars:
        long = max((w for w in caption.text.split()), key=visible_length, default="")
        alone = visible_length(long) > p.max_chars
        why = f"the word {long[:20]}… alone is longer than a line" if alone else "a person's own line breaks"
        add("line length", f"a line of {max(lengths)} characters, at most {p.max_chars} are wanted", why)
    if len(lines) > p.max_lines:
        add("lines", f"{len(lines)} lines, at most {p.max_lines} are wanted", "a person's own line breaks")
    measured = chars * 1000 / max(1, caption.end_ms - caption.start_ms)
    speed = f"{measured:.1f} characters a second, {words * 60_000 / max(1, caption.end_ms - caption.start_ms):.0f} words a minute"
    if shown < rules.reading_frames(chars, words, "error"):
        add("speed, error", speed, pace)
    elif shown < rules.reading_frames(chars, words, "warn"):
        add("speed, warning", speed, pace)
    least = rules.least_frames(words, int(bool(said and (said.label or said.headed))))
    if shown < least:
        seconds = float(least / rate)
        add(
            "too short",
            f"on screen for {float(shown / rate):.2f} s, at least {seconds:.2f} s are wanted",
            _too_little(words, pace, said, said_next, rules),
        )
    if shown > rules.max_frames:
        why = (
            f"its words are said over {(said.end_ms - said.onset_ms) / 1000:.1f} s"
            if said
            else "its times were given so"
        )
        add("too long", f"on screen for {float(shown / rate):.2f} s, at most {p.max_ms / 1000:g} s are wanted", why)
    if gap is not None and gap != p.gap_frames and gap < rules.open_gap_frames:
        add(
            "order" if gap < 0 else "gap",
            f"{gap} frames before the next caption; {p.gap_frames} or at least {rules.open_gap_frames} are wanted",
            "closing it would keep the caption longer than its words allow",
        )
    if end <= start:
        add("order", "ends before it begins", "its words have no time of their own")
    if said and not said.label:
        offset = start - ms_to_frame(said.onset_ms, rate)
        if not -p.early_frames - 1 <= offset <= p.late_frames + 1:
            add("in-time", f"begins {offset} frames from its first word", "several words share one instant")
        tail = caption.end_ms - said.end_ms
        if tail > p.tail_ms + 1000 / rate:
            add("tail", f"stays {tail / 1000:.2f} s after its last word", "it is needed to read it")
    return CueFacts(
        caption, chars, words, len(lines), max(lengths), caption.end_ms - caption.start_ms,
        following.start_ms - caption.end_ms if following else None, tuple(broken),
    )  # fmt: skip


def _pace(chars: int, said: Speech | None, said_next: Speech | None) -> str:
    """How fast the caption's words are spoken; also in characters (0: they do not count)."""
    if said is None or said.label:
        return "the pause is shorter than that" if said else "there is no more time before the next"
    end = min(said.end_ms, said_next.onset_ms) if said_next else said.end_ms
    spoken = max(1, end - said.onset_ms)
    pace = f"speaker at {said.words * 60_000 / spoken:.0f} words a minute"
    return f"{pace}, {chars * 1000 / spoken:.1f} characters a second" if chars else pace


def _too_little(words: int, pace: str, said: Speech | None, said_next: Speech | None, rules: Rules) -> str:
    """Why a caption is short: its words are spoken fast, or, where few words need the least time, what comes next."""
    if said is None or said.label or rules.profile.word_ms * words > rules.profile.min_ms:
        return pace
    if said_next is None:
        return "the recording ends"
    return f"the next words begin {(said_next.onset_ms - said.onset_ms) / 1000:.2f} s after its own"


def report_findings(report: CaptionReport, recording: Callable[[int], int] = lambda ms: ms) -> list[Finding]:
    """A finding for each broken rule, with its reason; ``recording`` turns film ms into recording ms."""
    found = []
    for cue in report.cues:
        text = cue.caption.text.replace("\n", " ")
        for broken in cue.broken:
            code, severity = _CODES[broken.rule]
            found.append(
                Finding(
                    code,
                    f"{broken.message}: {broken.why}",
                    severity,
                    at_ms=recording(cue.caption.start_ms),
                    end_ms=recording(cue.caption.end_ms),
                    said=text,
                )
            )
    return found


def report_text(report: CaptionReport, *, width: int = 50) -> str:
    """The report for a terminal: each caption, a table of rules, histograms of speed, length and gap, the broken rules."""
    p = report.rules.profile
    lines = [f"{len(report.cues)} captions"]
    if not report.cues:
        return lines[0] + "\n"
    lines += ["", "   begins  seconds  chars/s  words/min   gap"]
    for cue in report.cues:
        gap = "" if cue.gap_ms is None else f"{cue.gap_ms / 1000:.2f}"
        text = cue.caption.text.replace("\n", " | ")
        flag = "!" if any(b.rule != "speed, warning" for b in cue.broken) else "?" if cue.broken else " "
        lines.append(
            f"{format_ms(cue.caption.start_ms):>9} {cue.duration_ms / 1000:8.2f} {cue.cps:8.1f} {cue.wpm:10.0f} {gap:>5} {flag} {text}"
        )
    lines.append("")
    lines.append(f"{'rule':16} {'kept':>7} {'broken':>7}")
    lines += [f"{rule:16} {report.kept(rule):7.1%} {report.broken(rule):7}" for rule in RULES]
    by_chars = p.warn_wpm is None
    speeds = [cue.cps if by_chars else cue.wpm for cue in report.cues]
    unit = "characters a second" if by_chars else "words a minute"
    lines += ["", unit, *histogram(speeds, 2 if by_chars else 20, width)]
    lines += ["", "seconds on screen", *histogram([c.duration_ms / 1000 for c in report.cues], 1, width)]
    gaps = [c.gap_ms / 1000 for c in report.cues if c.gap_ms is not None]
    lines += ["", "seconds to the next caption", *histogram(gaps, 0.5, width)]
    broken = [(cue, b) for cue in report.cues for b in cue.broken]
    if broken:
        lines += ["", "not kept"]
        lines += [f"{format_ms(cue.caption.start_ms):>11}  {b.rule}: {b.message} ({b.why})" for cue, b in broken]
    return "\n".join(lines) + "\n"


def histogram(values: Sequence[float], step: float, width: int) -> list[str]:
    """Bars of counts, one line for each step from the least value to the greatest; a long run of empty ones is three dots."""
    if not values:
        return []
    counts = Counter(int(value // step) for value in values)
    most = max(counts.values())
    lines, last = [], min(counts) - 1
    for n in sorted(counts):
        empty = range(last + 1, n)
        lines += ["       …"] if len(empty) > _EMPTY_STEPS else [_bar(k * step, 0, most, width) for k in empty]
        lines.append(_bar(n * step, counts[n], most, width))
        last = n
    return lines


_EMPTY_STEPS = 3


def _bar(begin: float, count: int, most: int, width: int) -> str:
    return f"{begin:8g} {'█' * round(count * width / most):{width}} {count}"

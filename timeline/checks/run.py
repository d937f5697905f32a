"""All checks of a lesson: one function, families by name."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import replace

from timeline.checks.context import CheckContext, Family, Help, Progress, quiet
from timeline.checks.engine import Engine
from timeline.checks.picture import check_flashes
from timeline.checks.said import check_said
from timeline.checks.scorefacts import check_score
from timeline.checks.sound import check_sound
from timeline.checks.spoken import check_moves
from timeline.checks.timing import check_timing
from timeline.lesson import Accepted
from timeline.problems import Finding, Severity

__all__ = ["FAMILIES", "CheckContext", "accept", "in_order", "run_checks"]

FAMILIES: Mapping[str, Family] = {
    "said": check_said,
    "moves": check_moves,
    "time": check_timing,
    "score": check_score,
    "sound": check_sound,
    "flashes": check_flashes,
}
"""Families by name. A new one is a function of (context, help) that gives findings, and a line here."""

_ORDER = {Severity.ERROR: 0, Severity.WARNING: 1, Severity.NOTE: 2}
ACCEPT_MS = 1500


def run_checks(
    context: CheckContext,
    *,
    engine: Engine | None = None,
    progress: Progress | None = None,
    families: Iterable[str] | None = None,
    more: Iterable[Callable[[], Iterable[Finding]]] = (),
) -> list[Finding]:
    """Every finding about a lesson, in order of time; those accepted in lesson.yaml carry the reason.

    ``engine``: asked about judgements and deep mates; without one they are noted
    as not checked. ``families``: only these (see ``FAMILIES``). ``more``: further
    checks that a caller brings, such as those of the picture's theme and layout.
    Raises RecordingError when a recording or film given cannot be read.
    """
    wanted = set(FAMILIES if families is None else families)
    unknown = wanted - set(FAMILIES)
    if unknown:
        raise ValueError(f"no such family of checks: {', '.join(sorted(unknown))}")
    help_ = Help(engine, progress or quiet)
    found = [finding for name, family in FAMILIES.items() if name in wanted for finding in family(context, help_)]
    for check in more:
        found += check()
    return in_order(accept(found, context.lesson.accept))


def accept(findings: Iterable[Finding], accepted: Iterable[Accepted]) -> list[Finding]:
    """Findings with the reason where lesson.yaml accepts them: same code, and the time within 1.5 s if given."""
    rules = list(accepted)
    result = []
    for finding in findings:
        for rule in rules:
            if lets_stand(rule, finding):
                finding = replace(finding, accepted=rule.reason)
                break
        result.append(finding)
    return result


def lets_stand(rule: Accepted, finding: Finding) -> bool:
    """Whether a line of ``accept`` in lesson.yaml is about a finding."""
    near = rule.at is None or (finding.at_ms is not None and abs(finding.at_ms - rule.at) <= ACCEPT_MS)
    return rule.code == finding.code and near


def in_order(findings: Iterable[Finding]) -> list[Finding]:
    """By time (what has none first), then gravity, then code; the same finding only once."""
    unique: dict[tuple[object, ...], Finding] = {}
    for finding in findings:
        key = (finding.code, finding.at_ms, finding.end_ms, finding.file, finding.line, finding.message)
        unique.setdefault(key, finding)
    return sorted(
        unique.values(), key=lambda f: (-1 if f.at_ms is None else f.at_ms, _ORDER[f.severity], f.code, f.message)
    )

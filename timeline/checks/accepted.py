"""What lesson.yaml accepts must be something that is found: a misspelt code or a wrong time would let nothing stand."""

from __future__ import annotations

import difflib
from collections.abc import Collection, Iterator, Sequence

from timeline.checks.codes import CODES
from timeline.checks.run import lets_stand
from timeline.lesson import Accepted
from timeline.lessontext import LessonText
from timeline.problems import Finding, LessonFileError
from timeline.timecode import format_ms

NEAR = 3  # codes that are named when one is not known


def refuse_unknown(accepted: Sequence[Accepted], text: LessonText) -> None:
    """Raises LessonFileError with the place of every code in ``accept`` that no check can give, and what is near it."""
    faults = []
    for number, each in enumerate(accepted):
        if each.code in CODES:
            continue
        near = difflib.get_close_matches(each.code, CODES, n=NEAR, cutoff=0.5)
        fix = f"did you mean {' or '.join(near)}?" if near else "`plyline check --codes` lists every code"
        place = text.place(("accept", number, "code"))
        faults.append(
            Finding("bad-value", f"accept[{number + 1}].code: no check gives {each.code!r}", fix=fix, **place)
        )
    if faults:
        raise LessonFileError(*faults)


def idle(
    accepted: Sequence[Accepted], findings: Sequence[Finding], text: LessonText, *, unseen: Collection[str] = ()
) -> Iterator[Finding]:
    """A note for each line of ``accept`` that is about none of the findings, with its place.

    ``unseen``: groups of codes that were not looked for; of those nothing is said.
    """
    row = CODES["accepts-nothing"]
    for number, rule in enumerate(accepted):
        known = CODES.get(rule.code)
        if known is None or known.group in unseen or any(lets_stand(rule, finding) for finding in findings):
            continue
        when = "" if rule.at is None else f" at {format_ms(rule.at)}"
        others = [f.at_ms for f in findings if f.code == rule.code and f.at_ms is not None]
        fix = row.mend
        if rule.at is not None and others:
            fix = f"the nearest is at {format_ms(min(others, key=lambda ms: abs(ms - (rule.at or 0))))}"
        message = f"accept[{number + 1}]: this check found no {rule.code}{when} that could stand"
        yield Finding(row.code, message, row.severity, fix=fix, **text.place(("accept", number)))

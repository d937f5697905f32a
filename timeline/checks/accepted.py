"""The findings that lesson.yaml accepts must be findings that there are: a misspelt code would let nothing stand."""

from __future__ import annotations

import difflib
from collections.abc import Sequence

from timeline.checks.codes import CODES
from timeline.lesson import Accepted
from timeline.lessontext import LessonText
from timeline.problems import Finding, LessonFileError

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

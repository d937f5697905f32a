"""Findings about what is said: statements that are wrong, and judgements that need an engine."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

import chess

from timeline.checks import structure
from timeline.checks.claims import Spot, Talk, file_of
from timeline.checks.codes import CODES, KINDS
from timeline.checks.context import CheckContext, Help
from timeline.checks.explain import explain
from timeline.checks.judgement import KINDS as JUDGED
from timeline.checks.judgement import judge_with
from timeline.checks.statements import ANYWHERE, SURE_SLOW, Statement, judge
from timeline.problems import Finding, Severity


def check_said(context: CheckContext, help_: Help) -> Iterator[Finding]:
    """Every statement that is false in all positions it may be about, and those that no engine was asked for."""
    if not context.words:
        return
    statements, talk = judge(context.score, context.words, context.track, context.follow, context.said)
    yield from said_once(_found(context, statements, talk, help_))


def said_once(findings: Iterable[Finding]) -> Iterator[Finding]:
    """One of those that tell the same of the same words: a sentence may be read alone and with its question, too."""
    kept: list[Finding] = []
    for finding in sorted(findings, key=lambda f: f.extra["words"][1] - f.extra["words"][0]):
        if not any(_same(finding, other) for other in kept):
            kept.append(finding)
    yield from sorted(kept, key=lambda f: f.extra["words"])


def _same(one: Finding, other: Finding) -> bool:
    (a, b), (c, d) = one.extra["words"], other.extra["words"]
    return (one.code, one.actual) == (other.code, other.actual) and a <= d and c <= b


def _found(context: CheckContext, statements: Sequence[Statement], talk: Talk, help_: Help) -> Iterator[Finding]:
    for number, statement in enumerate(statements):
        help_.progress("what is said", number, len(statements))
        verdict = statement.verdict
        if context.unfollowed and statement.claim.kind not in ANYWHERE:
            verdict = None  # the board says nothing yet: one finding of the lesson tells so
        elif verdict is False:
            yield _wrong(context, statement, talk)
        elif verdict is None and statement.claim.kind in JUDGED:
            verdict, finding = _judged(context, statement, talk, help_)
            if finding is not None:
                yield finding
        context.tally.add(*statement.words, verdict)


def _wrong(context: CheckContext, statement: Statement, talk: Talk) -> Finding:
    claim, spot = statement.claim, statement.spots[0]
    code = CODES[KINDS[claim.kind]]
    if claim.kind == "open_file":
        file = file_of(claim)
        if file is not None and any(structure.half_open(spot.board, file, s) for s in chess.COLORS):
            code = CODES["half-open-file"]
    sure = round(min([0.97, *(s.sure for s in statement.spots[:3])]), 2)
    severity = code.severity
    if severity is Severity.ERROR and sure < SURE_SLOW:
        severity = Severity.WARNING  # the board is in doubt: nothing is laid at the teacher's door
    return _finding(context, statement, spot, code.code, severity, explain(claim, spot, talk), sure)


def _judged(
    context: CheckContext, statement: Statement, talk: Talk, help_: Help
) -> tuple[bool | None, Finding | None]:
    """The engine's verdict on a judgement, and what is to be told of it."""
    claim = statement.claim
    spot = statement.spots[0] if statement.spots else None
    if spot is None:
        return None, None
    if help_.engine is None:
        if claim.kind == "only_move":
            return None, None  # legal moves were counted; whether the others are bad nobody asked
        told = "not checked: no engine"
        return None, _finding(context, statement, spot, "not-checked", Severity.NOTE, told, None)
    judged = judge_with(help_.engine, claim, statement.spots, talk)
    if judged is None or judged.verdict is None:
        if claim.kind == "only_move":
            return None, None
        stopped = help_.engine.stopped
        told = "not checked: the engine stopped" if stopped else "not checked: the engine could not decide"
        return None, _finding(context, statement, spot, "not-checked", Severity.NOTE, told, None)
    if judged.verdict:
        return True, None
    code = {"best": "not-best", "mate_in": "no-mate-in"}.get(claim.kind, "engine-disagrees")
    sure = round(min(0.9, judged.spot.sure), 2)
    return False, _finding(context, statement, judged.spot, code, CODES[code].severity, judged.actual, sure)


def _finding(
    context: CheckContext,
    statement: Statement,
    spot: Spot,
    code: str,
    severity: Severity,
    actual: str,
    sure: float | None,
) -> Finding:
    first, last = statement.words
    said = " ".join(w.text for w in context.words[first : last + 1]).strip(" ,;:")
    row = CODES[code]
    return Finding(
        code,
        f"“{said}”: {actual}",
        severity,
        file=context.lesson.transcript,
        at_ms=context.words[first].onset_ms,
        end_ms=context.words[last].end_ms,
        address=spot.address or None,
        said=said,
        actual=actual,
        fix=row.mend,
        sure=sure,
        extra={"fen": spot.board.fen(), "statement": statement.claim.kind, "words": [first, last]},
    )

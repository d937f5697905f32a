"""What a build tells at its end: which file is where, how sure the follow was, which cues to look at."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import asdict
from pathlib import Path
from typing import Any

from timeline.build import BuildReport, StepResult
from timeline.checks.show import finding_data
from timeline.cli.frame import show
from timeline.doubts import Sureness, passed_over, sureness
from timeline.files import STATE_FOLDER
from timeline.lesson import CueSpec, Lesson
from timeline.timecode import format_ms

MOST_DOUBTS = 20
LEAST_PASSED = 3
"""So many moves of the game that no cue shows are told."""
MOST_GAPS = 5
_STATES = {"made": "written", "fresh": "up to date"}


def report_data(report: BuildReport, lesson: Lesson) -> dict[str, Any]:
    """The report for programs."""
    sure = sureness(lesson)
    return {
        "steps": [
            {"name": s.name, "state": s.state, "files": [str(p) for p in s.files], "why": s.why} for s in report.steps
        ],
        "follow": {
            "cues": sure.count,
            "mean_sure": sure.mean,
            "least_sure": sure.least,
            "passed_over": [asdict(gap) for gap in passed_over(lesson.cues)],
            "doubtful": [c.model_dump(mode="json", by_alias=True, exclude_defaults=True) for c in sure.doubtful],
        },
        "findings": [finding_data(f) for f in report.findings],
    }


def show_report(report: BuildReport, lesson: Lesson, folder: Path) -> None:
    """Tables on stdout, plain text when it is no terminal."""
    from rich.console import Console
    from rich.table import Table

    console = Console(highlight=False, width=None if Console().is_terminal else 200)
    table = Table("result", "state", "bytes", box=None, pad_edge=False)
    for step in report.steps:
        for path in step.files:
            if STATE_FOLDER not in path.parts:
                table.add_row(_text(str(path)), _STATES[step.state], f"{path.stat().st_size:,}")
    console.print(table)
    for line in left_out(report.steps):
        show(line)
    show_sureness(sureness(lesson), lesson, folder)


def left_out(steps: Iterable[StepResult]) -> list[str]:
    """Which steps do not apply to the lesson, and why: each reason once."""
    names: dict[str, list[str]] = {}
    for step in steps:
        if step.why:
            names.setdefault(step.why, []).append(step.name)
    return [f"left out ({', '.join(left)}): {why}" for why, left in names.items()]


def show_sureness(sure: Sureness, lesson: Lesson, folder: Path) -> None:
    """How sure the follow was, and the doubtful cues with time, words and runner-up."""
    from rich.console import Console
    from rich.table import Table

    if not sure.count or sure.mean is None or sure.least is None:
        return
    show(
        f"followed {sure.count} cues: sure {sure.mean:.2f} on average, {sure.least:.2f} at least; "
        f"{len(sure.doubtful)} below {lesson.follow.min_sure:g}"
    )
    _show_gaps(lesson, folder)
    if not sure.doubtful:
        return
    console = Console(highlight=False, width=None if Console().is_terminal else 200)
    table = Table("doubtful at", "shows", "sure", "or", "said", box=None, pad_edge=False)
    for cue in sure.doubtful[:MOST_DOUBTS]:
        table.add_row(*_doubt(cue))
    console.print(table)
    rest = len(sure.doubtful) - MOST_DOUBTS
    if rest > 0:
        show(f"and {rest} more: plyline edit DIR list")
    show(f"keep one with: plyline edit {_quoted(folder)} cue lock TIME; or mend it: … cue show TIME ADDRESS")


def _show_gaps(lesson: Lesson, folder: Path) -> None:
    """Where the game went on without the board: the longest stretches, and what to type."""
    gaps = list(passed_over(lesson.cues))
    whole = sum(gap.plies for gap in gaps)
    if whole < LEAST_PASSED:
        return
    show(
        f"{whole} moves of the game (both sides counted) are passed over: the talk names them too loosely or not at all"
    )
    longest = sorted(gaps, key=lambda gap: -gap.plies)[:MOST_GAPS]
    for gap in sorted(longest, key=lambda gap: gap.from_ms):
        when = f"{format_ms(gap.from_ms)} to {format_ms(gap.to_ms)}"
        show(f"  {gap.plies} of them between {gap.before} and {gap.after}, {when}")
    show(f"show one with: plyline edit {_quoted(folder)} cue add TIME ADDRESS")


def _doubt(cue: CueSpec) -> tuple[str, ...]:
    return (
        format_ms(cue.at),
        _text(cue.show or ""),
        f"{cue.sure:.2f}",
        _text(cue.runner_up or ""),
        _text(cue.said or ""),
    )


def _text(text: str) -> str:
    """Text that rich must not take for its own markup."""
    from rich.markup import escape

    return escape(text)


def _quoted(folder: Path) -> str:
    import shlex

    return shlex.quote(str(folder))

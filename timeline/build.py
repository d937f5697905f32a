"""Making what is out of date, in order. A step says what it depends on; what it wrote is remembered in ``.plyline``.

A step runs when its inputs (hashes of files, settings, results of earlier
steps, and of the code that makes it) differ from last time, or when a file it
wrote is gone. The memory is written after every step, so a run that was
stopped goes on where it was.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Literal

from timeline.cache import fingerprint
from timeline.files import lesson_lock, state_folder, sweep, write_atomic
from timeline.problems import Finding
from timeline.store import load_lesson
from timeline.work import Progress, Work, quiet

Inputs = Any
"""Plain data that changes when the step has to run again."""


@dataclass(frozen=True)
class Step:
    """One step: ``inputs`` is what it depends on, ``run`` does it and returns the files it wrote.

    ``missing`` says why the step does not apply to a lesson (``"the lesson
    has no transcript"``), or None. ``needs`` names steps that come before.
    ``keeps_files`` false: the file it writes is a person's to change, so a
    change there is no reason to run again; and its inputs may be changed by
    running, so they are taken afterwards. ``recall`` tells again what a step that is up to date found.
    """

    name: str
    says: str
    inputs: Callable[[Work], Inputs]
    run: Callable[[Work], Sequence[Path]]
    needs: tuple[str, ...] = ()
    missing: Callable[[Work], str | None] = lambda work: None
    keeps_files: bool = True
    recall: Callable[[Work], None] = lambda work: None


@dataclass(frozen=True)
class StepResult:
    """What became of a step: ``made``, ``fresh`` (was up to date) or ``left`` (does not apply, see ``why``)."""

    name: str
    state: Literal["made", "fresh", "left"]
    files: tuple[Path, ...] = ()
    why: str | None = None


@dataclass(frozen=True)
class BuildReport:
    """What a build did. ``findings`` are warnings and notes about the input."""

    steps: tuple[StepResult, ...]
    findings: tuple[Finding, ...] = ()

    @property
    def files(self) -> tuple[Path, ...]:
        """Every result file, made now or before."""
        return tuple(path for step in self.steps for path in step.files)


@dataclass
class _Memory:
    """Which inputs each step last ran with, and what it wrote (names relative to the folder, with sizes)."""

    path: Path
    steps: dict[str, Any] = field(default_factory=dict)

    @classmethod
    def load(cls, folder: Path) -> _Memory:
        path = state_folder(folder) / "state.json"
        try:
            stored = json.loads(path.read_text(encoding="utf-8"))["steps"]
        except (OSError, ValueError, KeyError, TypeError):
            stored = {}
        return cls(path, stored if isinstance(stored, dict) else {})

    def fresh(self, folder: Path, name: str, key: str) -> tuple[Path, ...] | None:
        """The step's files when it is up to date, else None."""
        entry = self.steps.get(name)
        if not isinstance(entry, dict) or entry.get("key") != key:
            return None
        files = []
        for relative, size in dict(entry.get("files", {})).items():
            path = folder / relative
            if not path.is_file() or path.stat().st_size != size:
                return None
            files.append(path)
        return tuple(files)

    def keep(self, folder: Path, name: str, key: str, files: Sequence[Path]) -> None:
        sizes = {path.relative_to(folder).as_posix(): path.stat().st_size for path in files}
        self.steps[name] = {"key": key, "files": sizes}
        write_atomic(self.path, json.dumps({"steps": self.steps}, ensure_ascii=False, indent=1) + "\n")


def build(
    folder: Path,
    steps: Sequence[Step],
    *,
    only: Collection[str] = (),
    force: Collection[str] = (),
    progress: Progress = quiet,
) -> BuildReport:
    """Run the steps that are out of date, in the given order, and report.

    ``only`` names the steps wanted (with what they need); empty means all.
    ``force`` names steps to run even if up to date. The lesson is locked for
    the whole run. Raises what the steps raise; finished steps stay finished.
    """
    wanted = _with_needs(steps, only) if only else {step.name for step in steps}
    results: list[StepResult] = []
    folder = load_lesson(folder).folder  # says what is wrong before a lock file is made
    with lesson_lock(folder):
        work = Work(load_lesson(folder), progress)
        sweep(work.folder)
        memory = _Memory.load(work.folder)
        for step in steps:
            if step.name not in wanted:
                continue
            why = step.missing(work)
            if why is not None:
                results.append(StepResult(step.name, "left", why=why))
                continue
            key = fingerprint(step.inputs(work))
            files = None if step.name in force else memory.fresh(work.folder, step.name, key)
            if files is not None:
                step.recall(work)
                results.append(StepResult(step.name, "fresh", files))
                continue
            progress(step.says, 0, 0)
            written = tuple(step.run(work))
            if step.keeps_files:
                memory.keep(work.folder, step.name, key, written)
            else:
                memory.keep(work.folder, step.name, fingerprint(step.inputs(work)), ())
            results.append(StepResult(step.name, "made", written))
        return BuildReport(tuple(results), _different(work.findings))


def _different(findings: Sequence[Finding]) -> tuple[Finding, ...]:
    """Each finding once, in order."""
    return tuple({str(finding): finding for finding in findings}.values())


def _with_needs(steps: Sequence[Step], only: Collection[str]) -> set[str]:
    known = {step.name: step for step in steps}
    wanted: set[str] = set()
    waiting = list(only)
    while waiting:
        name = waiting.pop()
        if name not in wanted:
            wanted.add(name)
            waiting += known[name].needs
    return wanted

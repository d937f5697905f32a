"""What all commands share: options, errors to exit codes, results to stdout and talk to stderr."""

from __future__ import annotations

import contextlib
import functools
import json
import sys
from collections.abc import Callable, Iterable, Iterator
from enum import StrEnum
from pathlib import Path
from typing import Annotated, Any, ParamSpec, TypeVar

import typer

from timeline.cli import STOPPED, STOPPED_SAYS
from timeline.problems import Finding, PlylineError
from timeline.work import Progress, quiet

P = ParamSpec("P")
R = TypeVar("R")

Folder = Annotated[Path, typer.Argument(metavar="DIR", help="The lesson folder.", show_default=False)]


def flag(*names: str, says: str, **more: Any) -> Any:
    """An option without a value: the help must not print one."""
    return typer.Option(*names, help=says, metavar="", **more)


Quiet = Annotated[bool, flag("--quiet", "-q", says="Say nothing but errors.")]
Json = Annotated[bool, flag("--json", says="Print the result as JSON, for programs.")]

E = TypeVar("E", bound=StrEnum)


def choice(kind: type[E], says: str) -> Any:
    """An option that takes one of the values of ``kind``; any other is refused with the list of them."""
    values = [member.value for member in kind]

    def parse(text: str) -> E:
        if text not in values:
            raise typer.BadParameter(f"{str(text)!r} is none of {', '.join(values)}")
        return kind(text)

    return typer.Option(help=says, parser=parse, metavar="|".join(values), autocompletion=lambda: values)


DONE, FOUND, BAD_INPUT = 0, 1, 2


def guarded(function: Callable[P, R]) -> Callable[P, R]:
    """A command whose PlylineError is printed and exits with 2, and whose Ctrl-C exits with 130."""

    @functools.wraps(function)
    def run(*args: P.args, **kwargs: P.kwargs) -> R:
        try:
            return function(*args, **kwargs)
        except PlylineError as error:
            say("\n".join(str(finding) for finding in error.findings))
            raise typer.Exit(BAD_INPUT) from error
        except KeyboardInterrupt:
            say(STOPPED_SAYS)
            raise typer.Exit(STOPPED) from None

    return run


def say(text: str) -> None:
    """A line for the person at the terminal (stderr)."""
    typer.echo(text, err=True)


def show(text: str) -> None:
    """A result (stdout)."""
    typer.echo(text)


def show_json(value: Any) -> None:
    """A result for programs: one JSON value."""
    typer.echo(json.dumps(value, ensure_ascii=False, indent=2))


def warn(findings: Iterable[Finding], *, quiet: bool) -> None:
    """Findings that do not stop the work."""
    if not quiet:
        for finding in findings:
            say(str(finding))


@contextlib.contextmanager
def progress_bar(*, hidden: bool) -> Iterator[Progress]:
    """A bar on stderr while the work runs; nothing when hidden or when stderr is no terminal."""
    if hidden or not sys.stderr.isatty():
        yield quiet
        return
    from rich.console import Console
    from rich.progress import BarColumn, SpinnerColumn, TaskID, TextColumn, TimeRemainingColumn
    from rich.progress import Progress as Bar

    columns = (SpinnerColumn(), TextColumn("{task.description}"), BarColumn(), TimeRemainingColumn())
    with Bar(*columns, console=Console(stderr=True), transient=True) as bar:
        tasks: dict[str, TaskID] = {}

        def update(step: str, done: int, whole: int) -> None:
            if step not in tasks:
                for other in tasks.values():
                    bar.update(other, visible=False)
                tasks[step] = bar.add_task(step, total=None)
            bar.update(tasks[step], total=whole or None, completed=done)

        yield update

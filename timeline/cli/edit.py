"""``plyline edit DIR …``: change a lesson without opening its file, with undo and redo."""

from __future__ import annotations

import shlex
from collections.abc import Callable
from pathlib import Path
from typing import Annotated

import typer

from timeline import edit
from timeline.changecheck import check_change, check_played
from timeline.cli.application import app
from timeline.cli.frame import flag, guarded, say, show, show_json, warn
from timeline.history import change_lesson
from timeline.history import redo as redo_change
from timeline.history import undo as undo_change
from timeline.lesson import CueSpec, Lesson, ReconstructSettings
from timeline.problems import Finding, PlylineError
from timeline.store import LoadedLesson, load_lesson
from timeline.timecode import format_ms, parse_ms

edits = typer.Typer(help="Change a lesson: cues, chapters, title; undo and redo.", no_args_is_help=True)
cues = typer.Typer(help="Cues: moments at which the picture changes.", no_args_is_help=True)
chapters = typer.Typer(help="Your own chapters; without any they are suggested.", no_args_is_help=True)
edits.add_typer(cues, name="cue")
edits.add_typer(chapters, name="chapter")
app.add_typer(edits, name="edit")

At = Annotated[str, typer.Argument(metavar="TIME", help="m:ss.mmm, h:mm:ss.mmm or seconds.", show_default=False)]
Which = Annotated[str, typer.Argument(metavar="CUE", help="The cue's time, or its number: #3.", show_default=False)]
Show = Annotated[str, typer.Argument(metavar="ADDRESS", help='"start", "17w" or "9b Nd5 exd5".', show_default=False)]


@edits.callback()
def _folder(
    context: typer.Context,
    folder: Annotated[Path, typer.Argument(metavar="DIR", help="The lesson folder.", show_default=False)],
) -> None:
    """Change a lesson: cues, chapters, title; undo and redo."""
    context.obj = folder


def _apply(context: typer.Context, operation: Callable[[Lesson], Lesson], what: str) -> None:
    """Change, refuse what could not be shown, save, remember, tell."""

    def checked(loaded: LoadedLesson) -> Lesson:
        lesson = operation(loaded.lesson)
        check_change(loaded, lesson)
        return lesson

    _, changed = change_lesson(context.obj, checked, what)
    say(what if changed else "nothing to change")


def _on_cue(context: typer.Context, named: str, operation: Callable[[Lesson, int], Lesson], what: str) -> None:
    """Change one cue and say which it was: a typed time names the nearest one."""
    lesson = load_lesson(context.obj).lesson
    cue = lesson.cues[edit.find_cue(lesson, named)]
    holds = ", ".join(_contents(cue))
    _apply(
        context,
        lambda now: operation(now, edit.find_cue(now, named)),
        f"{what} {format_ms(cue.at)}" + (f" ({holds})" if holds else ""),
    )


@cues.command("add", epilog="Example: plyline edit my-lesson cue add 4:10 14b --think 8 --lock")
@guarded
def cue_add(
    context: typer.Context,
    at: At,
    address: Annotated[
        str | None, typer.Argument(metavar="ADDRESS", help='"start", "17w" or "9b Nd5 exd5".', show_default=False)
    ] = None,
    show: Annotated[str | None, typer.Option(metavar="ADDRESS", help="The same as ADDRESS.")] = None,
    fen: Annotated[str | None, typer.Option(help="A position of your own, as FEN.")] = None,
    think: Annotated[float | None, typer.Option(help="Hold the film for so many seconds.")] = None,
    lock: Annotated[bool, flag("--lock", says="Lock it.")] = False,
) -> None:
    """Add a cue."""
    if address is not None and show is not None:
        raise typer.BadParameter(f"{address!r} is an address already", param_hint="--show")
    cue = edit.make_cue(at=parse_ms(at), show=address or show, fen=fen, think=think, lock=lock)
    _apply(context, lambda lesson: edit.add_cue(lesson, cue), f"added a cue at {format_ms(cue.at)}")


@cues.command("move", epilog="Example: plyline edit my-lesson cue move 4:10 4:08.5")
@guarded
def cue_move(context: typer.Context, which: Which, to: At) -> None:
    """Move a cue to another time."""
    _on_cue(context, which, lambda lesson, i: edit.move_cue(lesson, i, parse_ms(to)), f"moved to {to} the cue")


@cues.command("remove", epilog="Example: plyline edit my-lesson cue remove 4:10")
@guarded
def cue_remove(context: typer.Context, which: Which) -> None:
    """Remove a cue. One that was followed does not come back."""
    _on_cue(context, which, edit.remove_cue, "removed the cue")


@cues.command("lock", epilog="Example: plyline edit my-lesson cue lock 4:10")
@guarded
def cue_lock(context: typer.Context, which: Which) -> None:
    """Lock a cue: a new follow keeps it."""
    _on_cue(context, which, edit.lock_cue, "locked the cue")


@cues.command("unlock", epilog="Example: plyline edit my-lesson cue unlock 4:10")
@guarded
def cue_unlock(context: typer.Context, which: Which) -> None:
    """Unlock a cue."""
    _on_cue(context, which, lambda lesson, i: edit.lock_cue(lesson, i, lock=False), "unlocked the cue")


@cues.command("show", epilog='Example: plyline edit my-lesson cue show 4:10 "9b Nd5 exd5"')
@guarded
def cue_show(context: typer.Context, which: Which, address: Show) -> None:
    """Show another position at a cue."""
    _on_cue(context, which, lambda lesson, i: edit.set_show(lesson, i, address), f"now {address} at the cue")


@cues.command("mark", epilog="Example: plyline edit my-lesson cue mark 4:12 --arrow e1-e8 --role attack")
@guarded
def cue_mark(
    context: typer.Context,
    at: At,
    arrow: Annotated[str | None, typer.Option(help="From and to: e1-e8.")] = None,
    square: Annotated[str | None, typer.Option(help="One or more squares: d6 e5.")] = None,
    route: Annotated[str | None, typer.Option(help="A piece's way: g1-f3-e5.")] = None,
    role: Annotated[str, typer.Option(help="attack, defence, plan, weakness, key square or route.")] = "key square",
    seconds: Annotated[float | None, typer.Option("--for", help="How long it stays.")] = None,
) -> None:
    """Draw a mark at a time."""
    for_ms = None if seconds is None else round(seconds * 1000)
    mark = edit.make_mark(arrow=arrow, square=square, route=route, role=role, for_ms=for_ms)
    _apply(context, lambda lesson: edit.add_mark(lesson, parse_ms(at), mark), f"added a mark at {at}")


@cues.command("clear", epilog="Example: plyline edit my-lesson cue clear 4:12")
@guarded
def cue_clear(context: typer.Context, which: Which) -> None:
    """Remove the marks of a cue."""
    _on_cue(context, which, edit.clear_marks, "removed the marks of the cue")


@cues.command("think", epilog="Example: plyline edit my-lesson cue think 4:10 8")
@guarded
def cue_think(
    context: typer.Context,
    at: At,
    seconds: Annotated[
        float, typer.Argument(metavar="SECONDS", help="How long; 0 removes the pause.", show_default=False)
    ],
) -> None:
    """Hold the film so that viewers can think."""
    at_ms = parse_ms(at)
    if seconds == 0:
        lesson = load_lesson(context.obj).lesson
        at_ms = lesson.cues[edit.find_pause(lesson, at_ms)].at
    what = f"pause of {seconds:g} s at {at}" if seconds else f"removed the pause at {format_ms(at_ms)}"
    _apply(context, lambda lesson: edit.set_think(lesson, at_ms, seconds), what)


@chapters.command("add", epilog='Example: plyline edit my-lesson chapter add 2:30 "The sacrifice"')
@guarded
def chapter_add(
    context: typer.Context,
    at: At,
    title: Annotated[str, typer.Argument(metavar="TITLE", help="Its title.", show_default=False)],
) -> None:
    """Add a chapter, or give the one at this time another title."""
    _apply(context, lambda lesson: edit.add_chapter(lesson, parse_ms(at), title), f"chapter {title!r} at {at}")


@chapters.command("remove", epilog="Example: plyline edit my-lesson chapter remove 2:30")
@guarded
def chapter_remove(context: typer.Context, at: At) -> None:
    """Remove a chapter."""
    _apply(context, lambda lesson: edit.remove_chapter(lesson, parse_ms(at)), f"removed the chapter at {at}")


@edits.command("played", epilog='Example: plyline edit my-lesson played 0:14.3 "exd4 Nxd4"')
@guarded
def played(
    context: typer.Context,
    at: At,
    moves: Annotated[
        str,
        typer.Argument(
            metavar="MOVES",
            help='The game\'s moves that the words there tell ("Nf3", or "11...Bxf6" to say whose it is), '
            '"none", or "" to take it back.',
            show_default=False,
        ),
    ],
) -> None:
    """Settle a move of a game that has no score and is worked out from the talk."""
    at_ms = parse_ms(at)
    others: tuple[Finding, ...] | None = ()

    def settled(loaded: LoadedLesson) -> Lesson:
        nonlocal others
        lesson = edit.set_played(loaded.lesson, at_ms, moves)
        if moves.strip():
            others = check_played(loaded, lesson, at_ms)
        return lesson

    what = f"settled at {at}: {moves}" if moves.strip() else f"no longer settled: {at}"
    _, changed = change_lesson(context.obj, settled, what)
    say(what if changed else "nothing to change")
    if others is None:
        say("whether it can be played there is told when the recording has been listened to: plyline follow")
    warn(others or (), quiet=False)
    if changed and others == ():
        _worked_out_later(context.obj)


@edits.command("title", epilog='Example: plyline edit my-lesson title "The buried bishop"')
@guarded
def title(
    context: typer.Context,
    text: Annotated[str, typer.Argument(metavar="TITLE", help="The new title.", show_default=False)],
) -> None:
    """Give the lesson another title."""
    _apply(context, lambda lesson: edit.set_title(lesson, text), f"title: {text}")


@edits.command("shift", epilog="Example: plyline edit my-lesson shift --later 2.5 --from 3:00")
@guarded
def shift(
    context: typer.Context,
    later: Annotated[float, typer.Option(min=0, help="Seconds later.")] = 0.0,
    earlier: Annotated[float, typer.Option(min=0, help="Seconds earlier.")] = 0.0,
    start: Annotated[str, typer.Option("--from", help="Leave alone what is before this time.")] = "0:00",
) -> None:
    """Shift all cues, chapters and other times, as after cutting the recording."""
    by_ms = round((later - earlier) * 1000)
    _apply(
        context,
        lambda lesson: edit.shift_all(lesson, by_ms, from_ms=parse_ms(start)),
        f"shifted everything from {start} by {by_ms / 1000:+.3f} s",
    )


@edits.command("undo", epilog="Example: plyline edit my-lesson undo")
@guarded
def undo(context: typer.Context) -> None:
    """Take the last change back (edits and follows alike)."""
    _turned(context.obj, lambda: f"taken back: {undo_change(context.obj)}")


@edits.command("redo", epilog="Example: plyline edit my-lesson redo")
@guarded
def redo(context: typer.Context) -> None:
    """Do the last undone change again."""
    _turned(context.obj, lambda: f"done again: {redo_change(context.obj)}")


def _turned(folder: Path, turn: Callable[[], str]) -> None:
    """Undo or redo, and tell where that changes what is settled of a game without a score."""
    before = _settled(folder)
    say(turn())
    after = _settled(folder)
    if after is not None and after != before:
        _worked_out_later(folder)


def _settled(folder: Path) -> ReconstructSettings | None:
    """What a person settled of a game that is worked out from the talk; None where there is a score."""
    try:
        lesson = load_lesson(folder).lesson
    except PlylineError:  # an undo can mend a lesson that cannot be read
        return None
    return None if lesson.score else lesson.reconstruct


def _worked_out_later(folder: Path) -> None:
    say(
        f"next: plyline follow {shlex.quote(str(folder))} (or build) works the game out anew; until then "
        "out/reconstructed.pgn and the cues stay as they are"
    )


@edits.command("list", epilog="Example: plyline edit my-lesson list --json")
@guarded
def list_(
    context: typer.Context,
    json: Annotated[bool, flag("--json", says="Print JSON, for programs.")] = False,
) -> None:
    """List cues with their numbers, and chapters."""
    lesson = load_lesson(context.obj).lesson
    if json:
        show_json(
            {
                "cues": [c.model_dump(mode="json", by_alias=True, exclude_defaults=True) for c in lesson.cues],
                "chapters": [c.model_dump(mode="json") for c in lesson.chapters.listed],
            }
        )
        return
    for number, cue in enumerate(lesson.cues, 1):
        show(f"#{number:<4} {format_ms(cue.at):>11}  {_in_words(cue)}")
    if not lesson.cues:
        say("there are no cues yet: plyline follow writes them, plyline edit DIR cue add adds one")
    for chapter in lesson.chapters.listed:
        show(f"chapter {format_ms(chapter.at):>8}  {chapter.title}")


def _contents(cue: CueSpec) -> list[str]:
    parts = [text for text in (cue.show, cue.fen) if text]
    if cue.marks:
        parts.append(f"{len(cue.marks)} mark{'s' if len(cue.marks) > 1 else ''}")
    if cue.think:
        parts.append(f"think {cue.think:g} s")
    return parts


def _in_words(cue: CueSpec) -> str:
    parts = _contents(cue)
    if cue.by == "follow":
        parts.append("followed" if cue.sure is None else f"followed, sure {cue.sure:.2f}")
    if cue.lock:
        parts.append("locked")
    if cue.said:
        parts.append(f'"{cue.said}"')
    return ", ".join(parts)

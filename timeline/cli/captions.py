"""``plyline captions``: the files, the report, and the way to a translator and back."""

from __future__ import annotations

from collections import Counter
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, Any

import typer

from timeline.checks.show import finding_data
from timeline.cli.application import app
from timeline.cli.frame import Folder, Json, Quiet, flag, guarded, progress_bar, say, show, show_json, warn
from timeline.cli.make import make
from timeline.problems import OutputError, PlylineError
from timeline.store import load_lesson

if TYPE_CHECKING:
    from timeline.captions.build import CaptionResult
    from timeline.work import Work


@app.command(epilog="Example: plyline captions my-lesson --hand-off talk.fr.xlf --into fr")
@guarded
def captions(
    folder: Folder,
    report: Annotated[
        bool, flag("--report", says="Show speeds, lengths and gaps, mended words, and every broken rule.")
    ] = False,
    hand_off: Annotated[
        Path | None, typer.Option(metavar="FILE", help="Write the captions for a translator (XLIFF 2).")
    ] = None,
    into: Annotated[str | None, typer.Option(metavar="LANGUAGE", help="The translator's language: fr, pt-BR.")] = None,
    take_back: Annotated[
        Path | None,
        typer.Option(metavar="FILE", help="Write out/captions.fr.srt and its other forms from a translation."),
    ] = None,
    json: Json = False,
    quiet: Quiet = False,
) -> None:
    """Write captions (SubRip, WebVTT, TTML), the talk as text and as a page with diagrams, and descriptions.

    Words that the board proves misheard are mended; what you refuse in
    lesson.yaml stays as it was heard. descriptions.vtt says in words what the
    picture alone shows.
    """
    if hand_off is not None and take_back is not None:
        raise PlylineError.of("two-ways", "captions are handed off or taken back, not both at once")
    if hand_off is not None:
        _hand_off(folder, hand_off, into, as_json=json, quiet=quiet)
    elif take_back is not None:
        _take_back(folder, take_back, as_json=json, quiet=quiet)
    elif into is not None:
        raise PlylineError.of("no-hand-off", "--into belongs to --hand-off", fix="--hand-off talk.fr.xlf --into fr")
    else:
        silent = quiet or (report and json)
        done, _ = make(folder, ["captions", "transcript"], quiet=silent, as_json=json and not report)
        if report:
            _report(folder, as_json=json)
        elif not (quiet or json) and not any(s.name == "captions" and s.state == "made" for s in done.steps):
            _tell_lost(folder)


def _tell_lost(folder: Path) -> None:
    """What a person wrote that no longer finds its place in the captions, where nothing was made that would tell it."""
    from timeline.captions.build import LOST

    own = load_lesson(folder).lesson.captions
    if own.edits or own.refuse or own.labels:
        warn([f for f in _work(folder, hidden=True).caption_result.findings if f.code in LOST], quiet=False)


def _report(folder: Path, *, as_json: bool) -> None:
    from timeline.captions.report import report_text
    from timeline.timecode import format_ms

    result = _work(folder, hidden=True).caption_result
    if as_json:
        show_json(_report_data(result))
        return
    show(report_text(result.report).rstrip("\n"))
    mended = [c for c in result.corrections if c.mends_hearing]
    show(f"\n{len(mended)} mended words" if mended else "\nno words mended")
    for one in mended:
        show(f"{format_ms(one.at_ms):>11}  {one.heard!r} -> {one.written!r}  ({one.reason})")
    spelled = len(result.corrections) - len(mended)
    if spelled:
        show(f"and {spelled} squares written as squares")
    restored = Counter(mark for unit in result.units for mark in unit.restored)
    if restored:
        names = {".": "full stops", ",": "commas", "?": "question marks", "capital": "capitals"}
        show("restored: " + ", ".join(f"{restored[mark]} {name}" for mark, name in names.items() if restored[mark]))
    for finding in result.findings:
        if not finding.code.startswith("caption-"):  # those of the rules stand in the report
            show(str(finding))


def _report_data(result: CaptionResult) -> dict[str, Any]:
    report = result.report
    return {
        "captions": [
            {
                "start_ms": cue.caption.start_ms, "end_ms": cue.caption.end_ms, "text": cue.caption.text,
                "characters": cue.chars, "words": cue.words, "longest_line": cue.longest, "cps": round(cue.cps, 2),
                "wpm": round(cue.wpm, 1), "gap_ms": cue.gap_ms,
                "broken": [{"rule": b.rule, "what": b.message, "why": b.why} for b in cue.broken],
            }
            for cue in report.cues
        ],
        "words": [
            {"start_ms": u.onset_ms, "end_ms": u.end_ms, "text": u.text, "restored": list(u.restored), "from": u.source}
            for u in result.units
        ],
        "corrections": [
            {
                "at_ms": c.at_ms, "end_ms": c.end_ms, "heard": c.heard, "written": c.written, "reason": c.reason,
                "kind": c.kind,
            }
            for c in result.corrections
        ],
        "findings": [finding_data(f) for f in result.findings],
    }  # fmt: skip


def _work(folder: Path, *, hidden: bool) -> Work:
    """The lesson with its captions made, so that what follows is quick."""
    from timeline.work import Work

    with progress_bar(hidden=hidden) as progress:
        work = Work(load_lesson(folder), progress)
        if work.loaded.lesson.transcript is None:
            raise PlylineError.of(
                "no-transcript", "the lesson has no transcript to make captions of", fix="transcript:"
            )
        _ = work.caption_result
    return work


def _hand_off(folder: Path, path: Path, into: str | None, *, as_json: bool, quiet: bool) -> None:
    from timeline.captions.handoff import check_language, write_handoff
    from timeline.captions.names import known_names
    from timeline.files import write_atomic

    if into is None:
        raise PlylineError.of("no-language", "into which language?", fix="--into fr")
    if path.exists():
        raise OutputError.of(
            "exists",
            "there is such a file already; a translation in it would be lost",
            file=str(path),
            fix="give another name, or take it away",
        )
    check_language(into)
    if load_lesson(folder).lesson.transcript is not None:  # what is handed off lies in out too
        make(folder, ["captions"], quiet=quiet or as_json, as_json=False)
    work = _work(folder, hidden=True)
    lesson, result = work.loaded.lesson, work.caption_result
    names = [*lesson.names, *(n.written for n in known_names(lesson.names, work.score) if n.kind == "name")]
    text = write_handoff(
        result.captions, language=lesson.language, into=into, rules=result.report.rules, names=names, title=lesson.title
    )
    write_atomic(path, text)
    if as_json:
        show_json({"file": str(path), "captions": len(result.captions)})
    elif not quiet:
        say(f"wrote {path}: {len(result.captions)} captions; afterwards: plyline captions {folder} --take-back {path}")


def _take_back(folder: Path, path: Path, *, as_json: bool, quiet: bool) -> None:
    from timeline.captions import writer_for
    from timeline.captions.handoff import read_handoff
    from timeline.files import lesson_lock, write_atomic
    from timeline.publish.captionplace import caption_place
    from timeline.steps import CAPTION_FILES, about_lesson

    folder = load_lesson(folder).folder
    data = _read(path)
    with lesson_lock(folder):
        work = _work(folder, hidden=quiet or as_json)
        result = work.caption_result
        back = read_handoff(data, rules=result.report.rules, current=result.captions, name=str(path))
        about = about_lesson(work, language=back.language, place=caption_place(work))
        files = [work.loaded.out / f"captions.{back.language}{suffix}" for suffix in CAPTION_FILES]
        for file in files:
            write_atomic(file, writer_for(file.suffix)(back.captions, about))
    warn(back.findings, quiet=quiet or as_json)
    if as_json:
        show_json({"files": [str(f) for f in files], "findings": [finding_data(f) for f in back.findings]})
    elif not quiet:
        say("\n".join(f"wrote {file}" for file in files))


def _read(path: Path) -> bytes:
    """The bytes of the translator's file; XML itself says how it is encoded."""
    from timeline.captions.handoff import TranslationError
    from timeline.textfile import MAX_BYTES

    try:
        if path.stat().st_size > MAX_BYTES:
            raise TranslationError.of("too-large", f"more than {MAX_BYTES // 1_000_000} MB", file=str(path))
        return path.read_bytes()
    except OSError as fault:
        raise TranslationError.of("unreadable", f"the file cannot be read: {fault.strerror}", file=str(path)) from None

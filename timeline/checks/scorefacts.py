"""Is the score itself in order? Tags, result, sidelines, and what a PGN reader would pass over."""

from __future__ import annotations

import calendar
import re
from collections.abc import Iterator

import chess
import chess.pgn

from timeline.checks.codes import CODES
from timeline.checks.context import CheckContext, Help
from timeline.checks.scorelines import PlacedGame, place_game
from timeline.problems import Finding
from timeline.score import Score

ROSTER = ("Event", "Site", "Date", "Round", "White", "Black", "Result")
"""The seven tags, PGN standard (1994), 8.1.1."""
_TAG = re.compile(r'\s*\[\s*([A-Za-z0-9][\w+#=:-]*)\s+"((?:[^"\\]|\\.)*)"\s*\]\s*$')
_DATE = re.compile(r"(\d{4}|\?{4})\.(\d{2}|\?{2})\.(\d{2}|\?{2})")
RESULTS = ("1-0", "0-1", "1/2-1/2", "*")


def check_score(context: CheckContext, help_: Help) -> Iterator[Finding]:
    """Every check of the score; pure. Lines are given where the PGN's text is at hand."""
    score, name = context.score, context.lesson.score
    if name is None:  # reconstructed from the talk: its doubts are told elsewhere, and it has no tags of a person
        return
    number = context.lesson.game or 1
    placed = place_game(context.score_text, number) if context.score_text else None
    if placed is None:
        placed = PlacedGame(score.game, 1, ("",), {})
    yield from _tags(score, placed, name)
    yield from _result(score, placed, name)
    yield from _sidelines(score, placed, name)
    if context.score_text:
        yield from _text(context.score_text, name, number)


def _finding(code: str, message: str, file: str, **where: object) -> Finding:
    row = CODES[code]
    return Finding(code, message, row.severity, file=file, fix=row.mend, **where)  # type: ignore[arg-type]


def _tags(score: Score, placed: PlacedGame, file: str) -> Iterator[Finding]:
    headers = score.game.headers
    # A question mark is the standard's own value for what is not known; who played, and when, viewers will ask.
    missing = [
        tag
        for tag in ROSTER
        if (placed.tag_line(tag) is None and placed.source != ("",))
        or (tag in ("White", "Black", "Date") and not score.header(tag))
    ]
    if missing:
        told = f"the tag {missing[0]} is" if len(missing) == 1 else f"the tags {', '.join(missing)} are"
        line = placed.tag_line(missing[0]) or placed.first
        yield _finding("tag-missing", f"{told} missing or unknown", file, **placed.where(line))
    date = headers.get("Date", "")
    if date and date.strip("?.") and not _DATE.fullmatch(date):
        where = placed.where(placed.tag_line("Date"))
        yield _finding("tag-odd", f"Date {date!r} is not written YYYY.MM.DD", file, **where)
    elif not _is_day(date):
        where = placed.where(placed.tag_line("Date"))
        yield _finding("tag-odd", f"Date {date!r} is no day of the calendar", file, **where)
    result = headers.get("Result", "*")
    if result not in RESULTS:
        where = placed.where(placed.tag_line("Result"))
        yield _finding("tag-odd", f"Result {result!r} is none of {', '.join(RESULTS)}", file, **where)
    white, black = score.header("White"), score.header("Black")
    if white and white == black:
        where = placed.where(placed.tag_line("Black"))
        yield _finding("tag-odd", f"White and Black have the same name, {white}", file, **where)


def _is_day(date: str) -> bool:
    """Whether a date tag, in which parts may be unknown, can be a day. A year that is not known may be a leap year."""
    match = _DATE.fullmatch(date)
    if match is None:
        return True
    year, month, day = (None if "?" in part else int(part) for part in match.groups())
    longest = 31 if month is None else calendar.monthrange(year or 4, month)[1] if 1 <= month <= 12 else 0
    return longest > 0 and (day is None or 1 <= day <= longest) and year != 0


def _result(score: Score, placed: PlacedGame, file: str) -> Iterator[Finding]:
    """FIDE Laws 5.1.1 and 5.2.1: mate wins, stalemate and a dead position draw."""
    last, tag = score.boards[-1], score.game.headers.get("Result", "*")
    if last.is_checkmate():
        right = "0-1" if last.turn == chess.WHITE else "1-0"
        why = f"{'Black' if last.turn else 'White'} gave mate"
    elif last.is_stalemate():
        right, why = "1/2-1/2", "the game ends in stalemate"
    elif last.is_insufficient_material():
        right, why = "1/2-1/2", "nobody can mate any more"
    else:
        return
    if tag not in (right, "*"):
        where = placed.where(placed.tag_line("Result"))
        message = f"the tag says {tag}, but {why}: {right}"
        yield _finding("result-mismatch", message, file, address=score.address(score.moves), **where)


def _sidelines(score: Score, placed: PlacedGame, file: str) -> Iterator[Finding]:
    """Moves that stand twice at one place. python-chess keeps both silently."""
    stack: list[tuple[chess.pgn.GameNode, tuple[chess.Move, ...]]] = [(placed.game, ())]
    while stack:
        node, path = stack.pop()
        seen: dict[chess.Move, int] = {}
        for index, child in enumerate(node.variations):
            if child.move in seen:
                code = (
                    "sideline-is-mainline"
                    if seen[child.move] == 0 and not path[score.mainline_length(path) :]
                    else "sideline-twice"
                )
                place, line = score.address(path), placed.line_of(child)
                first = placed.line_of(node.variations[seen[child.move]])
                told = f"{node.board().san(child.move)} stands twice after {place}"
                told += f" (first in line {first})" if first else ""
                address = score.address((*path, child.move))
                yield _finding(code, told, file, address=address, **placed.where(line))
            seen.setdefault(child.move, index)
            stack.append((child, (*path, child.move)))


def _text(text: str, file: str, game: int) -> Iterator[Finding]:
    """The PGN as written: tag lines that a reader drops, tags given twice, a result against the tag."""
    lines = text.lstrip("\ufeff").splitlines()
    number, tags, in_tags = 0, {}, False  # type: int, dict[str, tuple[int, str]], bool
    body: list[tuple[int, str]] = []
    for line_number, line in enumerate(lines, 1):
        is_tag = line.startswith("[") and not in_comment("\n".join(t for _, t in body))
        if is_tag and not in_tags:
            if number == game:
                break
            number, tags, in_tags, body = number + 1, {}, True, []
        if is_tag:
            match = _TAG.match(line)
            if number != game:
                continue
            where = {"line": line_number, "column": 1, "source": line}
            if not match:
                yield _finding("tag-odd", "this tag line is not well formed; a reader drops it", file, **where)
            elif match[1] in tags:
                first = tags[match[1]][0]
                yield _finding(
                    "tag-odd", f"the tag {match[1]} stands twice (first in line {first}); one is dropped", file, **where
                )
            else:
                tags[match[1]] = (line_number, match[2])
        elif line.strip():
            in_tags = False
            body.append((line_number, line))
    movetext = re.sub(r"\{[^}]*\}|;[^\n]*", " ", "\n".join(t for _, t in body))
    ends = [t for t in movetext.split() if t in RESULTS]
    tag = tags.get("Result", (0, ""))[1]
    if ends and tag in RESULTS and tag != "*" and ends[-1] not in (tag, "*"):
        line_number = body[-1][0]
        yield _finding(
            "result-mismatch",
            f"the tag Result says {tag}, the movetext ends with {ends[-1]}",
            file,
            line=line_number,
            source=body[-1][1],
        )


def in_comment(text: str) -> bool:
    """Whether a brace comment is still open at the end of ``text``."""
    return text.rfind("{") > text.rfind("}")

"""Findings for people and programs: terminal text, JSON, and a page with small boards."""
# ruff: noqa: E501  (style sheet)

from __future__ import annotations

import html
import json
from collections.abc import Iterable, Sequence
from typing import Any

import chess

from timeline.checks.codes import CODES
from timeline.checks.tally import Tally
from timeline.problems import Finding
from timeline.timecode import format_ms

FORMAT = 1
GROUPS = ("What is said", "What an engine says", "Time", "Score", "Transcript", "Captions", "Picture", "Sound", "Lesson file")


def group_of(finding: Finding) -> str:
    row = CODES.get(finding.code)
    return row.group if row is not None else "Other"


def counts(findings: Iterable[Finding]) -> dict[str, int]:
    """How many of each severity are open, and how many are accepted."""
    result = {"error": 0, "warning": 0, "note": 0, "accepted": 0}
    for finding in findings:
        result["accepted" if finding.accepted is not None else str(finding.severity)] += 1
    return result


def summary(findings: Sequence[Finding]) -> str:
    """How many there are, in words: "2 errors, 1 warning" or "nothing found"."""
    told = counts(findings)
    parts = [f"{n} {name}{'' if n == 1 else 's'}" for name, n in list(told.items())[:3] if n]
    text = ", ".join(parts) or "nothing found"
    return text + (f" ({told['accepted']} accepted)" if told["accepted"] else "")


def draw_position(fen: str, *, orientation: chess.Color = chess.WHITE) -> str:
    """The position in text: capitals are White, a dot is an empty square; who moves stands below."""
    board = chess.Board(fen)
    ranks = range(7, -1, -1) if orientation else range(8)
    files = range(8) if orientation else range(7, -1, -1)
    lines = []
    for rank in ranks:
        row = [board.piece_at(rank * 8 + file) for file in files]
        lines.append(f"{rank + 1}  " + " ".join(p.symbol() if p else "." for p in row))
    lines.append("   " + " ".join(chess.FILE_NAMES[f] for f in files))
    lines.append(f"   {'White' if board.turn else 'Black'} to move, move {board.fullmove_number}")
    return "\n".join(lines)


def as_text(
    findings: Sequence[Finding],
    *,
    show: bool = False,
    accepted: bool = True,
    orientation: chess.Color = chess.WHITE,
    tally: Tally | None = None,
) -> str:
    """Findings grouped, each with place, what was said, what is so, how sure, and how to mend it.

    ``show`` draws the position of each statement. ``accepted``: whether those
    that lesson.yaml accepts are told, in one line with their reason. ``tally``
    closes the list: what was not judged is no more proved than before.
    """
    lines: list[str] = []
    shown = [f for f in findings if accepted or f.accepted is None]
    for group in (*GROUPS, "Other"):
        mine = [f for f in shown if group_of(f) == group]
        if not mine:
            continue
        lines += ["", group] if lines else [group]
        for finding in mine:
            lines += _lines(finding, show, orientation)
    lines += [""] if lines else []
    lines.append(summary(findings))
    lines += [str(tally)] if tally is not None else []
    return "\n".join(lines) + "\n"


def _lines(finding: Finding, show: bool, orientation: chess.Color) -> list[str]:
    place = " ".join(p for p in (finding.place, f"({finding.address})" if finding.address else "") if p)
    if finding.accepted is not None:
        return [f"  {place}: {finding.severity}[{finding.code}] accepted: {finding.accepted}".replace("  : ", "  ")]
    sure = f"  (sure {finding.sure:.2f})" if finding.sure is not None else ""
    lines = [f"  {place}: {finding.severity}[{finding.code}]: {finding.message}{sure}".replace("  : ", "  ")]
    if finding.source is not None:
        lines.append(f"      {finding.source[:110]}")
    if finding.fix:
        lines.append(f"      mend: {finding.fix}")
    if show and "fen" in finding.extra:
        drawn = draw_position(finding.extra["fen"], orientation=orientation)
        lines += [f"      {line}" for line in drawn.splitlines()]
    return lines


def finding_data(finding: Finding) -> dict[str, Any]:
    """A finding as plain data; what is not known is left out. Times in seconds and as written for people."""
    data: dict[str, Any] = {"code": finding.code, "severity": str(finding.severity), "group": group_of(finding)}
    if finding.at_ms is not None:
        data |= {"at": format_ms(finding.at_ms), "at_ms": finding.at_ms}
    if finding.end_ms is not None:
        data["end_ms"] = finding.end_ms
    for key in ("file", "line", "column", "address", "said", "actual", "message", "fix", "sure", "accepted"):
        value = getattr(finding, key)
        if value is not None:
            data[key] = value
    return data | ({"extra": finding.extra} if finding.extra else {})


def as_json(findings: Sequence[Finding], *, title: str = "", tally: Tally | None = None) -> str:
    """All findings as JSON: ``format``, ``title``, ``counts``, ``statements`` (how many were judged), ``findings``."""
    data: dict[str, Any] = {"format": FORMAT, "title": title, "counts": counts(findings)}
    if tally is not None:
        data["statements"] = tally.counts()
    data["findings"] = [finding_data(f) for f in findings]
    return json.dumps(data, ensure_ascii=False, indent=1) + "\n"


# -- the page
_LIGHT, _DARK, _INK, _PAPER = "#e8ddc7", "#5f7f86", "#1d2a2e", "#fbf9f4"
_STYLE = f"""
:root {{ color-scheme: light; }}
body {{ font: 16px/1.5 system-ui, sans-serif; color: {_INK}; background: {_PAPER}; margin: 2rem auto; max-width: 62rem; padding: 0 1rem; }}
h1 {{ font-size: 1.5rem; }} h2 {{ font-size: 1.15rem; margin-top: 2rem; border-bottom: 2px solid {_DARK}; }}
article {{ display: flex; gap: 1.25rem; padding: .9rem 0; border-bottom: 1px solid #cfc8b8; }}
article > div {{ flex: 1; }} p {{ margin: .2rem 0; }}
.head {{ font-weight: 600; }} .error .word {{ color: #8a1c1c; }} .warning .word {{ color: #6b4a00; }} .note .word {{ color: #3d4f55; }}
.said {{ font-style: italic; }} .mend {{ color: #33474d; }} code {{ font-size: .9em; }}
svg {{ width: 176px; height: 176px; flex: none; }}
"""


def as_html(
    findings: Sequence[Finding], *, title: str, orientation: chess.Color = chess.WHITE, tally: Tally | None = None
) -> str:
    """A page that stands alone: no script, nothing loaded from elsewhere; boards are drawn in it."""
    parts = [
        "<!DOCTYPE html>",
        '<html lang="en"><head><meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>Findings: {html.escape(title)}</title><style>{_STYLE}</style></head><body>{piece_sheet()}<main>",
        f"<h1>Findings: {html.escape(title)}</h1><p>{html.escape(summary(findings))}</p>",
        *([f"<p>{html.escape(str(tally))}</p>"] if tally is not None else []),
    ]
    for group in (*GROUPS, "Other"):
        mine = [f for f in findings if group_of(f) == group]
        if mine:
            parts.append(f"<section><h2>{html.escape(group)}</h2>")
            parts += [_article(f, orientation) for f in mine]
            parts.append("</section>")
    parts.append("</main></body></html>")
    return "\n".join(parts) + "\n"


def _article(finding: Finding, orientation: chess.Color) -> str:
    place = " · ".join(p for p in (finding.place, finding.address or "") if p)
    rows = [
        f'<p class="head">{html.escape(place)} <span class="word">{finding.severity}</span> '
        f"<code>{html.escape(finding.code)}</code></p>"
    ]
    if finding.said:
        rows.append(f'<p class="said">“{html.escape(finding.said)}”</p>')
        rows.append(f"<p>{html.escape(finding.actual or finding.message)}</p>")
    else:
        rows.append(f"<p>{html.escape(finding.message)}</p>")
    if finding.sure is not None:
        rows.append(f'<p class="mend">sure: {finding.sure:.0%}</p>')
    if finding.accepted is not None:
        rows.append(f"<p>accepted: {html.escape(finding.accepted)}</p>")
    elif finding.fix:
        rows.append(f'<p class="mend">mend: {html.escape(finding.fix)}</p>')
    board = board_svg(finding.extra["fen"], orientation=orientation) if "fen" in finding.extra else ""
    return f'<article class="{finding.severity}"><div>{"".join(rows)}</div>{board}</article>'


def piece_sheet() -> str:
    """Our pieces as symbols, once for a page: ``board_svg`` points at them, so that no font draws them."""
    from overlays.pieces import PieceColours, piece_svg

    white = PieceColours("#ffffff", _INK, _INK, "#ffffff")
    black = PieceColours(_INK, _INK, "#ffffff", "#ffffff")
    symbols = [
        f'<symbol id="{name}{chess.piece_symbol(kind)}" viewBox="0 0 100 100">{piece_svg(kind, colours)}</symbol>'
        for name, colours in (("w", white), ("b", black))
        for kind in chess.PIECE_TYPES
    ]
    return f'<svg aria-hidden="true" style="display: none">{"".join(symbols)}</svg>'


def board_svg(fen: str, *, orientation: chess.Color = chess.WHITE) -> str:
    """A small board in our own colours, with its position in words for screen readers."""
    board = chess.Board(fen)
    name = html.escape(f"{fen.split()[0]}, {'White' if board.turn else 'Black'} to move")
    cells = [f'<svg viewBox="0 0 80 80" role="img" aria-label="position {name}"><title>position {name}</title>']
    for square in chess.SQUARES:
        file, rank = square % 8, square // 8
        x, y = (file, 7 - rank) if orientation else (7 - file, rank)
        fill = _DARK if (file + rank) % 2 == 0 else _LIGHT
        cells.append(f'<rect x="{x * 10}" y="{y * 10}" width="10" height="10" fill="{fill}"/>')
        piece = board.piece_at(square)
        if piece is not None:
            figure = f"{'w' if piece.color else 'b'}{piece.symbol().lower()}"
            cells.append(f'<use href="#{figure}" x="{x * 10}" y="{y * 10}" width="10" height="10"/>')
    return "".join(cells) + "</svg>"

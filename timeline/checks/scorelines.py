"""A PGN as a plain reader takes it, and in which line of the file each tag and move stands.

``chess.pgn`` reads on over what it cannot use and gives no places; here the
lines are counted while it reads.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import chess
import chess.pgn

from timeline.problems import Finding
from timeline.score import Score, legal_like

_TAG = re.compile(r'\[\s*([A-Za-z0-9][\w+#=:-]*)\s+"')
_RESULT = re.compile(r"'(?:1-0|0-1|1/2-1/2|\*)'")
_IN = re.compile(r" in (\S+ [wb] \S+ \S+ \d+ \d+)$")

DROPPED = {
    "not-a-move": "not-a-move",
    "stray-brace": "stray-brace",
    "stray-bracket": "stray-bracket",
    "open-comment": "open-comment",
    "open-sideline": "unclosed-sideline",
}
"""Faults of a PGN that a reader passes over in silence, and the code each has among the findings of a check."""


class _Lines(io.StringIO):
    line = 0

    def readline(self, *args: int) -> str:  # type: ignore[override]
        text = super().readline(*args)
        self.line += bool(text)
        return text


class _Placing(chess.pgn.GameBuilder):  # type: ignore[type-arg]
    """Builds the game and keeps the line that was being read when each move was added."""

    def __init__(self, stream: _Lines) -> None:
        super().__init__()
        self.stream = stream
        self.lines: dict[int, int] = {}
        self.refused: list[tuple[int, str]] = []

    def visit_move(self, board: chess.Board, move: chess.Move) -> None:
        super().visit_move(board, move)
        self.lines[id(self.variation_stack[-1])] = self.stream.line

    def handle_error(self, error: Exception) -> None:
        if not _RESULT.search(str(error)):  # the end of the game inside a sideline that was not closed
            self.game.errors.append(error)
            self.refused.append((self.stream.line, str(error)))


@dataclass(frozen=True)
class PlacedGame:
    """A game as read; ``first`` is its first line (from 1), ``source`` the lines of the whole file.

    ``refused``: what the reader could not play, with the line that it was reading.
    """

    game: chess.pgn.Game
    first: int
    source: tuple[str, ...]
    _lines: dict[int, int] = field(repr=False)
    refused: tuple[tuple[int, str], ...] = ()

    def line_of(self, node: chess.pgn.GameNode) -> int | None:
        return self._lines.get(id(node))

    def tag_line(self, name: str) -> int | None:
        """The line of the last tag of that name, which is the one that counts."""
        found = None
        for number in range(self.first, len(self.source) + 1):
            text = self.source[number - 1].strip()
            match = _TAG.match(text)
            if match:
                found = number if match[1] == name else found
            elif text and not text.startswith("%"):
                break
        return found

    def where(self, line: int | None) -> dict[str, object]:
        """``line`` and its text, as the parts of a finding."""
        return {"line": line, "source": self.source[line - 1]} if line else {}


def place_game(text: str, game: int = 1) -> PlacedGame | None:
    """Game number ``game`` (from 1) of a PGN text; None when there is none."""
    stream = _Lines(text.lstrip("\ufeff").replace("\r\n", "\n").replace("\r", "\n"))
    source = tuple(stream.getvalue().split("\n"))
    for number in range(1, game + 1):
        first = stream.line + 1
        builder = _Placing(stream)
        found = chess.pgn.read_game(stream, Visitor=lambda b=builder: b)  # type: ignore[misc]
        if found is None:
            return None
        if number == game:
            while first < len(source) and not source[first - 1].strip():
                first += 1
            return PlacedGame(found, first, source, builder.lines, tuple(builder.refused))
    return None


def forgiven(findings: tuple[Finding, ...], text: str, game: int) -> tuple[Score, tuple[Finding, ...], bool] | None:
    """The score as a reader takes it that passes over faults; None when it cannot be used at all.

    Returns the score, the faults under their codes as findings, and whether
    moves may be missing from it. ``findings`` are those of ``read_score``.
    """
    placed = place_game(text, game)
    if placed is None or not placed.game.variations:
        return None
    ended = _goes_on_after_end(placed.game)
    found = []
    for finding in findings:
        code = DROPPED.get(finding.code)
        if code is None and finding.code in ("illegal-move", "ambiguous-move"):
            code = "moves-after-end" if ended else finding.code
        if code is None:
            return None
        found.append(_coded(finding, code))
    if not ended:
        found += _illegal_before(placed, found)
    lost = any(f.code == "open-comment" for f in found) or (bool(placed.game.errors) and not ended)
    return Score(placed.game, findings[0].file or "score"), tuple(found), lost


_SAN = re.compile(r"illegal san: '([^']+)' in (.+)$")


def _illegal_before(placed: PlacedGame, found: Sequence[Finding]) -> Iterator[Finding]:
    """Moves that cannot be played and stand before the first text that a reader drops: they are faults of their own.

    After such text a reader may blame an innocent move.
    """
    if not found or any(f.code in ("illegal-move", "ambiguous-move") for f in found):
        return
    first = min((f.line or 0, f.column or 0) for f in found)
    for line, error in placed.refused:
        match = _SAN.search(error)
        column = placed.source[line - 1].find(match[1]) + 1 if match and 0 < line <= len(placed.source) else 0
        if match is None or not column or (line, column) >= first:
            continue
        board = chess.Board(match[2])
        label = f"{board.fullmove_number}{'.' if board.turn else '...'} {match[1]}"
        yield Finding(
            "illegal-move", f"{label}: {match[1]} cannot be played here", file=found[0].file, line=line, column=column,
            source=placed.source[line - 1],
            fix=f"legal there: {' '.join(legal_like(board, match[1]))}; the moves after it were not read",
        )  # fmt: skip


def _coded(finding: Finding, code: str) -> Finding:
    message, fix = finding.message, finding.fix
    if code == "moves-after-end":
        message, fix = f"{message}: the game is over before it", "take the moves after the end away"
    return Finding(
        code, message, finding.severity, file=finding.file, line=finding.line, column=finding.column,
        source=finding.source, fix=fix,
    )  # fmt: skip


def _goes_on_after_end(game: chess.pgn.Game) -> bool:
    """Whether all that could not be read are moves after mate or stalemate."""
    boards = list(_refused(game))
    return bool(boards) and all(b.is_checkmate() or b.is_stalemate() for b in boards)


def _refused(game: chess.pgn.Game) -> Iterator[chess.Board]:
    for error in game.errors:
        match = _IN.search(str(error))
        yield chess.Board(match[1]) if match else chess.Board()

"""The score: a tree of moves from a start position, and addresses in it.

An address is ``start``, ``17w`` (the mainline after White's 17th move) or
``9b Nd5 exd5`` (from there, these moves in SAN, whether the score holds them
or not). A *path* is the same thing for machines: the moves from the start
position, as a tuple of ``chess.Move``.

``ply`` counts half-moves from the set-up position, which is ply 0, whatever
the FEN's own counters say.
"""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import chess
import chess.pgn

from timeline.problems import AddressError, Finding, ScoreError

Path_ = tuple[chess.Move, ...]

_MOVE_LABEL = re.compile(r"(\d+)([wb])")
# Tokens a PGN movetext may hold (PGN standard, sections 7 and 8.2).
_TOKEN = re.compile(
    r"""\{[^}]*\} | ;[^\n]* | \$\d+ | 1-0 | 0-1 | 1/2-1/2 | \d+(?:\.+|(?![-\w]))
    | \.+ | [()] | \* | [^\s{}();]+ | [{}]""",
    re.VERBOSE,
)
_SAN = re.compile(
    r"(?:[KQRBN][a-h]?[1-8]?x?[a-h][1-8]|[a-h](?:x?[a-h])?[1-8](?:=?[QRBNqrbn])?|[a-h]x[a-h][1-8](?:=?[QRBN])?"
    r"|[Oo0]-[Oo0](?:-[Oo0])?|--|Z0|[a-h][1-8][a-h][1-8][qrbn]?|[KQRBNP]?[a-h][1-8]-?x?[a-h][1-8](?:=?[QRBN])?|[QRBNKP]@[a-h][1-8])"
    r"[+#]*(?:[!?]{1,2})?"
)
_IGNORED = re.compile(r"(?:[!?]{1,2}|[+#]+|e\.?p\.?|=|N|D|%.*)")


@dataclass(frozen=True)
class PgnMark:
    """A square or arrow that the PGN carries at one position (``squares``: one or two)."""

    path: Path_
    squares: tuple[int, ...]


@dataclass(frozen=True)
class Score:
    """A game or study: ``game`` is never changed after reading.

    ``boards[n]`` is the mainline position after ``n`` plies; ``moves[n]``
    leads from ``boards[n]`` to ``boards[n + 1]``.
    """

    game: chess.pgn.Game
    source: str = "score"
    boards: tuple[chess.Board, ...] = field(init=False)
    moves: Path_ = field(init=False)

    def __post_init__(self) -> None:
        board = self.game.board()
        boards, moves = [board.copy(stack=False)], []
        for move in self.game.mainline_moves():
            board.push(move)
            moves.append(move)
            boards.append(board.copy(stack=False))
        object.__setattr__(self, "boards", tuple(boards))
        object.__setattr__(self, "moves", tuple(moves))

    # -- positions
    @property
    def start(self) -> chess.Board:
        return self.boards[0]

    @property
    def chess960(self) -> bool:
        return self.start.chess960

    def header(self, name: str) -> str | None:
        """A tag's value; None when it is missing or only question marks."""
        value = str(self.game.headers.get(name, "")).strip()
        return value if value.strip("?.") else None

    def mainline_length(self, path: Sequence[chess.Move]) -> int:
        """How many of the path's first moves are the mainline's."""
        count = 0
        for ours, theirs in zip(path, self.moves, strict=False):
            if ours is not theirs and ours != theirs:
                break
            count += 1
        return count

    def board_at(self, path: Sequence[chess.Move]) -> chess.Board:
        """A copy of the position after ``path``; ValueError on an illegal move."""
        shared = self.mainline_length(path)
        board = self.boards[shared].copy(stack=False)
        for move in path[shared:]:
            if move not in board.legal_moves:
                raise ValueError(f"{move.uci()} is not legal in {board.fen()}")
            board.push(move)
        return board

    def sidelines(self) -> Iterator[Path_]:
        """Every sideline of the score as the path to its last move, in the score's order."""

        def walk(node: chess.pgn.GameNode, path: Path_, side: bool) -> Iterator[Path_]:
            if side and not node.variations:
                yield path
            for index, child in enumerate(node.variations):
                yield from walk(child, (*path, child.move), side or index > 0)

        yield from walk(self.game, (), False)

    def node_at(self, path: Sequence[chess.Move]) -> chess.pgn.GameNode | None:
        """The score's node at ``path``, or None when the score does not hold it."""
        node: chess.pgn.GameNode = self.game
        for move in path:
            if not node.has_variation(move):
                return None
            node = node.variation(move)
        return node

    # -- addresses
    def mainline_label(self, ply: int) -> str:
        """``start``, ``17w`` or ``17b`` of a mainline ply."""
        if ply == 0:
            return "start"
        before = self.boards[ply - 1]
        return f"{before.fullmove_number}{'w' if before.turn == chess.WHITE else 'b'}"

    def address(self, path: Sequence[chess.Move]) -> str:
        """The address of the position after ``path``."""
        shared = self.mainline_length(path)
        board = self.boards[shared].copy(stack=False)
        sans = [board.san_and_push(move) for move in path[shared:]]
        return " ".join([self.mainline_label(shared), *sans])

    def resolve(self, address: str) -> Path_:
        """The path of an address. Raises AddressError (``bad-address``) that says where it fails."""
        words = address.split()
        if not words:
            raise AddressError.of("bad-address", "an address is empty", fix='write "start", "17w" or "9b Nd5 exd5"')
        head, sans = words[0], words[1:]
        ply = self._mainline_ply(head, address)
        board, path = self.boards[ply].copy(stack=False), list(self.moves[:ply])
        for san in sans:
            bare = san.rstrip("!?")
            try:
                move = board.parse_san(bare)
            except ValueError as error:
                place = self.address(path)
                raise AddressError.of(
                    "bad-address",
                    f"address {address!r}: {san} cannot be played after {place}"
                    + (" (more than one piece can)" if isinstance(error, chess.AmbiguousMoveError) else ""),
                    fix=f"legal there: {' '.join(legal_like(board, bare))}",
                ) from error
            if not move:
                raise AddressError.of("bad-address", f"address {address!r}: a null move is no move")
            board.push(move)
            path.append(move)
        return tuple(path)

    def _mainline_ply(self, head: str, address: str) -> int:
        if head == "start":
            return 0
        match = _MOVE_LABEL.fullmatch(head)
        labels = [self.mainline_label(ply) for ply in range(1, len(self.boards))]
        if match and head in labels:
            return labels.index(head) + 1
        last = labels[-1] if labels else "start"
        if match:
            message = f"address {address!r}: the mainline has no {head}; it ends at {last}"
        else:
            message = f"address {address!r} does not begin with start, 17w or 17b"
        raise AddressError.of(
            "bad-address",
            message,
            fix=f"write start or a move from {labels[0] if labels else 'start'} to {last}",
        )

    def pgn_marks(self) -> list[PgnMark]:
        """Arrows and squares that comments of the score carry, as chess.pgn reads them."""
        found: list[PgnMark] = []

        def walk(node: chess.pgn.GameNode, path: Path_) -> None:
            for arrow in node.arrows():
                squares = (arrow.tail,) if arrow.tail == arrow.head else (arrow.tail, arrow.head)
                found.append(PgnMark(path, squares))
            for child in node.variations:
                walk(child, (*path, child.move))

        walk(self.game, ())
        return found


def legal_like(board: chess.Board, san: str) -> list[str]:
    """Legal moves that resemble ``san``: of the piece it names, else to the same square, else of pawns, else all."""
    legal = sorted(board.san(move) for move in board.legal_moves)
    piece = san[:1] if san[:1] in "KQRBN" else ""
    same = [m for m in legal if (m[0] == piece if piece else m[0] in "abcdefgh")]
    target = re.findall(r"[a-h][1-8]", san)
    there = [m for m in legal if target and target[-1] in m]
    return (same if piece else there) or there or same or legal


_SUBTITLES = re.compile(r"^[\d:.,]+ --> [\d:.,]+", re.MULTILINE)
_TAG_LINE = re.compile(r'\[\w+ "')
_ENDED = re.compile(r"(?:1-0|0-1|1/2-1/2|\*)\s*$")


class _LineReader(io.StringIO):
    """Counts the lines handed to python-chess, which reports errors without a place.

    Where the next game's tags follow without an empty line, one is handed over before them (PGN standard, 8.1: an
    empty line ends the moves): without it the tags would be passed over, and their game begun from the usual position.
    """

    line = 0
    _before = ""
    _held = ""

    def readline(self, *args: int) -> str:  # type: ignore[override]
        text, self._held = self._held or super().readline(*args), ""
        moves = self._before.strip() and not self._before.startswith(("[", "%"))
        if moves and (text.startswith('[Event "') or (_TAG_LINE.match(text) and _ENDED.search(self._before))):
            self._before, self._held = "", text
            return "\n"
        self._before = text
        if text:
            self.line += 1
        return text


class _Builder(chess.pgn.GameBuilder):  # type: ignore[type-arg]
    def __init__(self, stream: _LineReader) -> None:
        super().__init__()
        self.stream = stream
        self.faults: list[tuple[int, Exception]] = []

    def handle_error(self, error: Exception) -> None:
        self.faults.append((self.stream.line, error))


def read_score(text: str, *, source: str = "score.pgn", game: int | None = None) -> Score:
    """The score in a PGN text; ``game`` (from 1) picks one of several.

    Raises ScoreError: no game, several games and none picked, an illegal or
    ambiguous move (with line, column, and what that piece could play), a
    variant, or text that a PGN reader would silently drop.
    """
    stream = _LineReader(text.lstrip("\ufeff").replace("\r\n", "\n").replace("\r", "\n"))
    lines = stream.getvalue().split("\n")
    if (cue := _SUBTITLES.search(stream.getvalue())) and not any(map(_TAG_LINE.match, lines)):
        line = stream.getvalue().count("\n", 0, cue.start()) + 1
        raise ScoreError.of(
            "no-game",
            "these are captions, not a game",
            file=source,
            line=line,
            source=lines[line - 1],
            fix="give a PGN file as the score, and this file as the transcript",
        )
    games: list[tuple[chess.pgn.Game, list[tuple[int, Exception]], int, int]] = []
    while True:
        first = stream.line
        builder = _Builder(stream)
        found = chess.pgn.read_game(stream, Visitor=lambda b=builder: b)  # type: ignore[misc]
        if found is None:
            break
        games.append((found, builder.faults, first, stream.line))
    if not games or all(
        not g.variations and "FEN" not in g.headers and len(g.headers) <= 7 and not f for g, f, _, _ in games
    ):
        raise ScoreError.of("no-game", "there is no game in it", file=source, fix="give a PGN file with one game")
    if len(games) > 1 and game is None:
        names = [
            f"{i}: {g.headers.get('White', '?')} - {g.headers.get('Black', '?')}"
            for i, (g, _, _, _) in enumerate(games, 1)
        ]
        raise ScoreError.of(
            "several-games",
            f"there are {len(games)} games in it ({'; '.join(names[:8])}{'; …' if len(names) > 8 else ''})",
            file=source,
            fix="say which one: `game: 1` in lesson.yaml, or `--game 1`",
        )
    number = game or 1
    if not 1 <= number <= len(games):
        raise ScoreError.of("no-such-game", f"there is no game {number}; it holds {len(games)}", file=source)
    chosen, faults, first, last = games[number - 1]
    variant = chosen.headers.get("Variant", "").strip().lower()
    if variant and variant not in ("standard", "chess960", "fischerandom", "from position", "normal"):
        raise ScoreError.of(
            "variant",
            f"the variant {variant!r} is not played here",
            file=source,
            fix="give a game of standard chess",
        )
    # A token that the reader skipped makes it blame a later, innocent move: report the token instead.
    findings = _dropped(lines, first, last, source) or [_fault(error, line, lines, source) for line, error in faults]
    if findings:
        raise ScoreError(*findings)
    if not chosen.variations and "FEN" not in chosen.headers:
        raise ScoreError.of(
            "no-moves", "the game has no moves", file=source, fix="give a PGN with the moves of the game"
        )
    return Score(chosen, source)


def _fault(error: Exception, line: int, lines: list[str], source: str) -> Finding:
    """Where and what: python-chess's error with line, column and the legal moves."""
    text = str(error)
    match = re.search(
        r"(?:illegal san|ambiguous san|invalid san|illegal uci|no matching legal move[^:]*): '([^']+)' in (.+)",
        text,
    )
    shown = lines[line - 1] if 0 < line <= len(lines) else None
    if not match:
        tag = next((k for k in range(min(line, len(lines)) - 1, -1, -1) if lines[k].startswith("[FEN ")), None)
        if tag is not None and "fen" in text.lower():
            text, line, shown = f"the position in the FEN tag cannot be read: {text}", tag + 1, lines[tag]
        return Finding("bad-pgn", text, file=source, line=line or None, source=shown, fix="mend the PGN at this place")
    san, fen = match[1], match[2]
    board = chess.Board(fen)
    column = None
    if shown is not None:
        column = (shown.find(san) + 1) or None
    label = f"{board.fullmove_number}{'.' if board.turn else '...'} {san}"
    ambiguous = "ambiguous" in text
    code = "ambiguous-move" if ambiguous else "illegal-move"
    what = "can be played by more than one piece" if ambiguous else "cannot be played here"
    return Finding(
        code,
        f"{label}: {san} {what}",
        file=source,
        line=line,
        column=column,
        source=shown,
        fix=f"legal there: {' '.join(legal_like(board, san))}; the moves after it were not read",
    )


def _dropped(lines: list[str], first: int, last: int, source: str) -> list[Finding]:
    """Movetext that chess.pgn passes over without a word."""
    findings: list[Finding] = []
    start = first
    while start < last and (not lines[start].strip() or lines[start].startswith(("[", "%"))):
        start += 1
    body = "\n".join("" if line.startswith("%") else line for line in lines[start:last])
    opened: list[dict[str, Any]] = []
    for match in _TOKEN.finditer(body):
        token = match.group()
        line = start + body.count("\n", 0, match.start()) + 1
        column = match.start() - (body.rfind("\n", 0, match.start()) + 1) + 1
        shown = lines[line - 1]
        where: dict[str, Any] = {"file": source, "line": line, "column": column, "source": shown}
        if token == "{":
            findings.append(
                Finding(
                    "open-comment",
                    "a comment is opened here and never closed",
                    fix="add the missing }",
                    **where,
                )
            )
            break
        if token == "}":
            findings.append(
                Finding("stray-brace", "a comment is closed that was not opened", fix="take the } away", **where)
            )
        elif token == "(":
            opened.append(where)
        elif token == ")":
            if opened:
                opened.pop()
            else:
                findings.append(
                    Finding(
                        "stray-bracket",
                        "a sideline is closed that was not opened",
                        fix="take the ) away",
                        **where,
                    )
                )
        elif token[0] in "{;$" or re.fullmatch(r"\d+\.*|\.+|1-0|0-1|1/2-1/2|\*", token):
            continue
        else:
            bare = re.sub(r"^\d+\.+", "", token)
            if bare and not _SAN.fullmatch(bare) and not _IGNORED.fullmatch(bare):
                findings.append(
                    Finding(
                        "not-a-move",
                        f"{bare!r} is no move; a reader would drop it silently",
                        fix="mend or remove it",
                        **where,
                    )
                )
    if opened and not findings:
        fix = "add the missing )"
        findings.append(Finding("open-sideline", "a sideline is opened here and never closed", fix=fix, **opened[-1]))
    return findings


def load_score(path: Path, *, game: int | None = None, name: str | None = None) -> Score:
    """The score in a PGN file. Raises ScoreError, also for a missing or empty file."""
    from timeline.textfile import read_text

    return read_score(read_text(path, ScoreError, name=name), source=name or path.name, game=game)

"""Marks: squares, lines and pieces that the talk points at, each with a role.

Nothing here moves the board. A square that is only spoken of becomes a
square mark; a move that is only spoken of, an arrow; "hits", "pins", "eyes"
with a piece that really bears on the target, an arrow from that piece.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

import chess

from timeline.follow.absent import CLAUSE, ISNT, denied, imagined
from timeline.follow.bearing import ATTACK, DEFENCE, bearing_at, named_square
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import Tok
from timeline.follow.matching import matches
from timeline.follow.mentions import Mention
from timeline.follow.tree import Node
from timeline.follow.vocabulary import FILE_WORDS
from timeline.tracks import MarkSpan

STAY_MS = 4000
"""How long a mark stays when nothing else ends it (our choice: a spoken clause, and a moment to look)."""
MOST_LIT = 3
"""Squares marked at the same time (our choice: as many as are mostly named together)."""

_WEAK = frozenset(
    "weak weakness weaknesses weaker weakest hole holes loose hanging undefended target backward isolated doubled".split()
)
_PLAN = frozenset(
    "plan plans planning idea ideas want wants wanted hoping hope dream dreams aim prepare prepares preparing love threat next".split()
)


@dataclass(frozen=True, slots=True)
class Seen:
    """A stretch of tokens that did not move the board, with the position it is about."""

    mention: Mention
    node: Node
    end_ms: int


def role_of(words: Sequence[str]) -> str:
    """The role that the words around a target give it."""
    bag = set(words)
    if bag & _WEAK:
        return "weakness"
    if bag & ATTACK:
        return "attack"
    if bag & DEFENCE:
        return "defence"
    if bag & _PLAN:
        return "plan"
    return "key square"


def find_marks(
    lattice: Lattice, boards: Sequence[Node], quiet: Sequence[tuple[int, int]], until_ms: Sequence[int]
) -> tuple[MarkSpan, ...]:
    """Marks for all tokens in ``quiet`` ranges (those that announce no move).

    ``boards[i]`` is the position on the board at token ``i``; ``until_ms[i]``
    the time of the next board change.
    """
    toks = lattice.toks
    found: list[MarkSpan] = []
    for low, high in quiet:
        i = low
        while i < high:
            used = _square_at(lattice, i, high, boards[i], until_ms[i], found)
            if not used:
                used = _bearing_at(lattice, i, high, boards[i], until_ms[i], found)
            if not used:
                used = _stretch_at(lattice, i, high, until_ms[i], found)
            if not used:
                used = _line_at(toks, i, high, boards[i], until_ms[i], found)
            i += used or 1
    return _settled(found)


def _around(toks: Sequence[Tok], i: int, back: int = 5, ahead: int = 2) -> list[str]:
    low = i
    while low > 0 and i - low < back and not toks[low - 1].ends:
        low -= 1
    high = i
    while high + 1 < len(toks) and high - i < ahead and not toks[high].ends:
        high += 1
    return [t.text for t in toks[low : high + 1]]


def _span(start_ms: int, until_ms: int, kind: str, squares: tuple[int, ...], role: str) -> MarkSpan | None:
    end = min(start_ms + STAY_MS, until_ms)
    if end - start_ms < 250:
        return None
    return MarkSpan(start_ms, end, kind, squares, role)  # type: ignore[arg-type]


def _square_at(lattice: Lattice, i: int, high: int, node: Node, until_ms: int, found: list[MarkSpan]) -> int:
    """A square named exactly, alone or as the goal of a move that is only spoken of."""
    toks = lattice.toks
    readings = [m for m in lattice.readings(i) if m.hear < 0.45 and m.end <= high and m.desc.to >= 0]
    if not readings:
        return 0
    m = max(readings, key=lambda m: m.end)
    if _absent(lattice, m, node):
        return m.end - i
    role = role_of(_around(toks, i))
    if m.desc.piece and m.prep not in ("on", "at", "from") and m.kind in ("full", "capsq", "san"):
        for turned in (node.board.turn, not node.board.turn):
            move = _only_spoken(node, m, turned)
            if move is not None:
                arrow = "attack" if role == "attack" or m.desc.cap else "plan"
                mark = _span(toks[i].onset_ms, until_ms, "arrow", (move.from_square, move.to_square), arrow)
                if mark:
                    found.append(mark)
                return m.end - i
        return m.end - i
    mark = _span(toks[i].onset_ms, until_ms, "square", (m.desc.to,), role)
    if mark:
        found.append(mark)
    return m.end - i


_GONE = re.compile(rf"{ISNT} (?:there|here)\b|(?:is|are) (?:gone|missing)\b|has (?:gone|left|disappeared)\b")


def _absent(lattice: Lattice, m: Mention, node: Node) -> bool:
    """Whether the man named with the square does not stand there, as the words say: "there is no knight on d7"."""
    toks = lattice.toks
    own = next((k for k in range(m.end - 1, m.start - 1, -1) if named_square(lattice, k, m.end)), m.end)
    low = own
    while low > 0 and own - low < CLAUSE and not toks[low - 1].ends:
        low -= 1
    before = " ".join(tok.text for tok in toks[low:own])
    after = " ".join(tok.text for tok in toks[m.end : m.end + 4])
    if denied(before) or (not toks[m.end - 1].ends and _GONE.match(after)):
        return True
    return node.board.piece_at(m.desc.to) is None and imagined(before)


def _only_spoken(node: Node, m: Mention, turn: bool) -> chess.Move | None:
    if turn == node.board.turn:
        fitting = matches(node, m.desc)
        return fitting[0][0].move if fitting else None
    board = node.board
    if board.is_check():
        return None
    want = m.desc
    for square in board.pieces(want.piece, turn):
        if want.ff and chess.FILE_NAMES[chess.square_file(square)] != want.ff:
            continue
        if want.piece == chess.PAWN:
            continue
        if want.to in board.attacks(square) and board.color_at(want.to) != turn:
            return chess.Move(square, want.to)
    return None


def _bearing_at(lattice: Lattice, i: int, high: int, node: Node, until_ms: int, found: list[MarkSpan]) -> int:
    """ "The knight hits queen and rook": arrows from the piece to what it really attacks or defends."""
    said = bearing_at(lattice, i, high, node)
    if said is None:
        return 0
    for kind, squares in [*(("arrow", a) for a in said.arrows), *(("square", (s,)) for s in said.squares)]:
        mark = _span(lattice.toks[i].onset_ms, until_ms, kind, squares, said.role)
        if mark:
            found.append(mark)
    return said.end - i


_LINES = frozenset("diagonal file rank line".split())


def _stretch_at(lattice: Lattice, i: int, high: int, until_ms: int, found: list[MarkSpan]) -> int:
    """ "This diagonal from b1 to h7": one line between the two squares, if they stand on one."""
    toks = lattice.toks
    if toks[i].text not in _LINES or i + 4 >= high or toks[i + 1].text != "from":
        return 0
    first = named_square(lattice, i + 2, high)
    if first is None or first[1] + 1 >= high or toks[first[1]].text != "to":
        return 0
    last = named_square(lattice, first[1] + 1, high)
    if last is None or not chess.SquareSet.ray(first[0], last[0]):
        return 0
    mark = _span(toks[i].onset_ms, until_ms, "route", (first[0], last[0]), _line_role(toks, i))
    if mark:
        found.append(mark)
    return last[1] - i


_LONG = {"light": (chess.H1, chess.A8), "dark": (chess.A1, chess.H8)}


def _line_at(toks: Sequence[Tok], i: int, high: int, node: Node, until_ms: int, found: list[MarkSpan]) -> int:
    """Files, ranks and the long diagonal."""
    word = toks[i].text
    if word == "file" and i > 0 and toks[i - 1].text in FILE_WORDS and FILE_WORDS[toks[i - 1].text][1] <= 0.3:
        file = ord(FILE_WORDS[toks[i - 1].text][0]) - ord("a")
        squares = (chess.square(file, 0), chess.square(file, 7))
        mark = _span(toks[i - 1].onset_ms, until_ms, "route", squares, _line_role(toks, i))
        if mark:
            found.append(mark)
        return 1
    if word == "diagonal" and i > 0 and toks[i - 1].text == "long":
        board = node.board
        for squares in _LONG.values():
            ray = chess.SquareSet(chess.between(*squares)) | chess.SquareSet(squares)
            if any(board.piece_type_at(s) in (chess.BISHOP, chess.QUEEN) for s in ray):
                mark = _span(toks[i - 1].onset_ms, until_ms, "route", squares, _line_role(toks, i))
                if mark:
                    found.append(mark)
                return 1
    return 0


def _line_role(toks: Sequence[Tok], i: int) -> str:
    role = role_of(_around(toks, i))
    return "route" if role == "key square" else role


def _settled(marks: list[MarkSpan]) -> tuple[MarkSpan, ...]:
    """In order, each thing marked once at a time, and no more squares lit together than an eye takes in."""
    out: list[MarkSpan] = []
    for mark in sorted(marks, key=lambda m: (m.start_ms, m.squares)):
        if any(o.squares == mark.squares and o.kind == mark.kind and mark.start_ms < o.end_ms for o in out):
            continue
        if mark.kind == "square":
            lit = [k for k, o in enumerate(out) if o.kind == "square" and o.end_ms > mark.start_ms > o.start_ms]
            for k in lit[: max(0, len(lit) + 1 - MOST_LIT)]:  # squares read out one by one: the oldest goes
                out[k] = replace(out[k], end_ms=mark.start_ms)
        out.append(mark)
    return tuple(out)

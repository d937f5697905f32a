"""Marks: squares, lines and pieces that the talk points at, each with a role.

Nothing here moves the board. A square that is only spoken of becomes a
square mark; a move that is only spoken of, an arrow; "hits", "pins", "eyes"
with a piece that really bears on the target, an arrow from that piece.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import chess

from timeline.follow.lattice import Lattice
from timeline.follow.lexer import Tok
from timeline.follow.matching import matches
from timeline.follow.mentions import Mention
from timeline.follow.tree import Node
from timeline.follow.vocabulary import FILE_WORDS, PIECE_WORDS
from timeline.tracks import MarkSpan

STAY_MS = 4000
"""How long a mark stays when nothing else ends it (our choice: a spoken clause, and a moment to look)."""

_ATTACK = frozenset(
    """attack attacks attacking attacked hit hits hitting eye eyes eyeing eying stare stares staring target targets targeting
    pressure pressures pressing pin pins pinned pinning fork forks forking threat threatens threatening threatened aim aims
    aiming bears bearing point points pointing skewers skewer""".split()
)
_DEFENCE = frozenset(
    "defend defends defending defended protect protects protecting protected guard guards guarding guarded cover covers"
    " covering covered hold holds supports support".split()
)
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
    if bag & _ATTACK:
        return "attack"
    if bag & _DEFENCE:
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
                used = _verb_at(toks, i, high, boards[i], until_ms[i], found)
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


def _verb_at(toks: Sequence[Tok], i: int, high: int, node: Node, until_ms: int, found: list[MarkSpan]) -> int:
    """ "The knight hits queen and rook": arrows from the piece to what it really attacks or defends."""
    verb = toks[i].text
    attack, defence = verb in _ATTACK, verb in _DEFENCE
    if not (attack or defence):
        return 0
    board = node.board
    subjects = _subjects(toks, i, node)
    targets: list[int] = []
    k = i + 1
    while k < min(high, i + 8):
        piece = PIECE_WORDS.get(toks[k].text)
        if piece and piece[1] <= 0.5:
            targets.append(piece[0])
        elif toks[k].ends in (".", "?") or (
            targets and toks[k].text not in ("and", "the", "both", "a", "his", "her", "my", "black", "white")
        ):
            break
        if toks[k].ends in (".", "?"):
            break
        k += 1
    if not targets or not subjects:
        return 0
    for subject in subjects:
        side = board.color_at(subject)
        aimed = [
            s
            for t in targets
            for s in board.attacks(subject) & board.pieces(t, side if defence else not side)  # type: ignore[arg-type]
        ]
        if aimed:
            for square in aimed[:4]:
                mark = _span(toks[i].onset_ms, until_ms, "arrow", (subject, square), "defence" if defence else "attack")
                if mark:
                    found.append(mark)
            break
    return k - i


def _subjects(toks: Sequence[Tok], i: int, node: Node) -> list[int]:
    """Where the doer of a verb may stand: the piece named before it, else the piece that has just moved."""
    board = node.board
    for k in range(i - 1, max(-1, i - 7), -1):
        if toks[k].ends in (".", "?"):
            break
        piece = PIECE_WORDS.get(toks[k].text)
        if piece and piece[1] <= 0.5:
            places = list(board.pieces(piece[0], chess.WHITE) | board.pieces(piece[0], chess.BLACK))
            moved = node.move.to_square if node.move else None
            return sorted(places, key=lambda s: s != moved)
    if node.move is not None:
        return [node.move.to_square]
    return []


_LINES = frozenset("diagonal file rank line".split())


def _stretch_at(lattice: Lattice, i: int, high: int, until_ms: int, found: list[MarkSpan]) -> int:
    """ "This diagonal from b1 to h7": one line between the two squares, if they stand on one."""
    toks = lattice.toks
    if toks[i].text not in _LINES or i + 4 >= high or toks[i + 1].text != "from":
        return 0
    first = _named_square(lattice, i + 2, high)
    if first is None or first[1] + 1 >= high or toks[first[1]].text != "to":
        return 0
    last = _named_square(lattice, first[1] + 1, high)
    if last is None or not chess.SquareSet.ray(first[0], last[0]):
        return 0
    mark = _span(toks[i].onset_ms, until_ms, "route", (first[0], last[0]), _line_role(toks, i))
    if mark:
        found.append(mark)
    return last[1] - i


def _named_square(lattice: Lattice, i: int, high: int) -> tuple[int, int] | None:
    """The square whose bare name begins at a token, and the token after it."""
    bare = [m for m in lattice.readings(i) if m.hear < 0.45 and m.end <= high and m.desc.to >= 0 and m.kind == "pawn"]
    best = min(bare, key=lambda m: m.hear, default=None)
    return (best.desc.to, best.end) if best else None


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
    """In order, each thing marked once at a time."""
    out: list[MarkSpan] = []
    for mark in sorted(marks, key=lambda m: (m.start_ms, m.squares)):
        if any(o.squares == mark.squares and o.kind == mark.kind and mark.start_ms < o.end_ms for o in out):
            continue
        out.append(mark)
    return tuple(out)

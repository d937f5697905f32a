"""Openings by their names: "they played a Queen's Gambit Declined" stands for several plies.

Names and first moves are common practice. Only a game that really reaches the
position is taken there, by whatever order of moves.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from functools import lru_cache
from typing import NamedTuple

import chess

from timeline.follow.lexer import Tok
from timeline.follow.tree import Node, Tree

_NAMED = (
    ("sicilian", "e4 c5"), ("french", "e4 e6"), ("caro", "e4 c6"), ("pirc", "e4 d6"), ("scandinavian", "e4 d5"),
    ("alekhine", "e4 Nf6"), ("petr?off|petrov|russian", "e4 e5 Nf3 Nf6"), ("ruy|spanish", "e4 e5 Nf3 Nc6 Bb5"),
    ("italian|giuoco", "e4 e5 Nf3 Nc6 Bc4"), ("scotch", "e4 e5 Nf3 Nc6 d4"), ("four knights", "e4 e5 Nf3 Nc6 Nc3 Nf6"),
    ("vienna", "e4 e5 Nc3"), ("king'?s gambit", "e4 e5 f4"), ("philidor", "e4 e5 Nf3 d6"), ("two knights", "e4 e5 Nf3 Nc6 Bc4 Nf6"),
    ("evans", "e4 e5 Nf3 Nc6 Bc4 Bc5 b4"), ("queen'?s gambit", "d4 d5 c4"), ("queen'?s gambit declined", "d4 d5 c4 e6"),
    ("queen'?s gambit accepted", "d4 d5 c4 dxc4"), ("slav", "d4 d5 c4 c6"), ("dutch", "d4 f5"), ("benoni", "d4 Nf6 c4 c5"),
    ("nimzo", "d4 Nf6 c4 e6 Nc3 Bb4"), ("queen'?s indian", "d4 Nf6 c4 e6 Nf3 b6"), ("king'?s indian", "d4 Nf6 c4 g6 Nc3 Bg7"),
    ("gr[uü]nfeld", "d4 Nf6 c4 g6 Nc3 d5"), ("catalan", "d4 Nf6 c4 e6 g3"), ("budapest", "d4 Nf6 c4 e5"), ("english", "c4"),
    ("bird", "f4"), ("r[eé]ti", "Nf3 d5 c4"), ("london", "d4 d5 Bf4"), ("exchange french", "e4 e6 d4 d5 exd5"),
    ("berlin", "e4 e5 Nf3 Nc6 Bb5 Nf6"), ("najdorf", "e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 a6"),
    ("dragon", "e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 g6"),
)  # fmt: skip
_PATTERNS = tuple((re.compile(rf"\b(?:{name})s?\b"), line.split()) for name, line in _NAMED)
_ANY = re.compile(rf"\b(?:{'|'.join(name for name, _ in _NAMED)})s?\b")
_DENIED = frozenset("not no never isn't wasn't unlike like than reversed almost avoid avoids avoided avoiding excuse my your".split())
"""Words before a name, at most two away, by which the game is not that opening, or a language is meant."""
_PEOPLE = frozenset(
    "player players master masters champion championship grandmaster grandmasters school friend friends trainer attack language".split()
)
"""After "English" or "Dutch": no opening is meant."""


class Spoken(NamedTuple):
    """An opening named by the words from token ``start`` to ``end`` (exclusive), and its moves from the usual position."""

    start: int
    end: int
    moves: tuple[chess.Move, ...]


def spoken(toks: Sequence[Tok]) -> list[Spoken]:
    """The openings that words name, in order; of several names that begin at one word the longest."""
    ends: list[int] = []
    text = ""
    for tok in toks:
        text += f"{tok.text} "
        ends.append(len(text) - 1)
    found: dict[int, Spoken] = {}
    for number, (pattern, _) in enumerate(_PATTERNS):
        for hit in pattern.finditer(text):
            first = next(k for k, end in enumerate(ends) if end > hit.start())
            last = next(k for k, end in enumerate(ends) if end >= hit.end())
            before = {tok.text for tok in toks[max(0, first - 2) : first]}
            after = toks[last + 1].text if last + 1 < len(toks) and not toks[last].ends else ""
            if before & _DENIED or after in _PEOPLE:
                continue
            known = found.get(first)
            if known is None or known.end < last + 1:
                found[first] = Spoken(first, last + 1, _moves(number))
    return [found[k] for k in sorted(found)]


@lru_cache(maxsize=len(_NAMED))
def _moves(number: int) -> tuple[chess.Move, ...]:
    board = chess.Board()
    return tuple(board.push_san(san) for san in _PATTERNS[number][1])


class Openings:
    """Where a game's mainline reaches named positions."""

    def __init__(self, tree: Tree) -> None:
        self._nodes: list[Node | None] | None = None
        self.tree = tree

    def named(self, text: str) -> Node | None:
        """The furthest mainline position whose opening the text names."""
        if not _ANY.search(text):
            return None
        hits = [k for k, (pattern, _) in enumerate(_PATTERNS) if pattern.search(text)]
        if not hits:
            return None
        if self._nodes is None:
            self._nodes = self._reached()
        found = [node for k in hits if (node := self._nodes[k]) is not None]
        return max(found, key=lambda node: node.ply, default=None)

    def _reached(self) -> list[Node | None]:
        if self.tree.root.board.board_fen() != chess.STARTING_BOARD_FEN:
            return [None] * len(_PATTERNS)
        places = {node.board.board_fen(): node for node in reversed(self.tree.main[:30])}
        found: list[Node | None] = []
        for _, line in _PATTERNS:
            board = chess.Board()
            for san in line:
                board.push_san(san)
            found.append(places.get(board.board_fen()))
        return found

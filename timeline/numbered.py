"""Moves as a person writes them down, maybe with their numbers: ``11. Bxf6 Bxf6``, ``11...Bxf6``, ``11. ... Bxf6``."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import chess

_PART = re.compile(r"(?:(\d{1,4})\s*(\.+|…)\s*|(\.{2,}|…)\s*)?(\S+)?")
"""A number with its dots (PGN standard 1994, 8.2.2: one for White's move, three for Black's), or dots alone; a move."""


@dataclass(frozen=True, slots=True)
class Written:
    """A move in SAN and what was written before it: its number and whose it is (None where nothing says)."""

    san: str
    number: int | None = None
    white: bool | None = None

    def __str__(self) -> str:
        if self.white is None:
            return self.san
        number = "" if self.number is None else str(self.number)
        return f"{number}{'.' if self.white else '...'}{self.san}"

    def fits(self, board: chess.Board) -> bool:
        """Whether the move to be made on this board has this number and side."""
        return self.white in (None, board.turn) and self.number in (None, board.fullmove_number)


def written_moves(text: str) -> list[Written]:
    """The moves of a text in order; a number that stands before no move has an empty ``san``.

    >>> [str(move) for move in written_moves("11. Bxf6 Bxf6 12.Bxh7")]
    ['11.Bxf6', 'Bxf6', '12.Bxh7']
    >>> [str(move) for move in written_moves("11. ... Bxf6")]
    ['11...Bxf6']
    """
    # "11. ..." is one number, of Black's move.
    text = re.sub(r"(\d)\.\s+(?=\.{2,}|…)", r"\1", text.strip())
    found = []
    for part in _PART.finditer(text):
        number, dots, alone, san = part.groups()
        marks = dots or alone
        if marks or san:
            found.append(Written(san or "", int(number) if number else None, marks == "." if marks else None))
    return found


def out_of_step(moves: list[Written]) -> Written | None:
    """The first move whose number or side does not follow from those written before it."""
    ply: int | None = None
    white: bool | None = None
    for move in moves:
        if white is not None and move.white not in (None, white):
            return move
        now = None if move.number is None else 2 * move.number - bool(move.white)
        if ply is not None and now not in (None, ply):
            return move
        ply, white = now if ply is None else ply, move.white if white is None else white
        ply, white = None if ply is None else ply + 1, None if white is None else not white
    return None

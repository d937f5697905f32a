"""Facts about a position worked out a second time, the slow way, to judge the first.

Nothing here uses ``timeline`` or the attack tables of ``chess``: the board is a
list of 64 letters read from a FEN, attacks are walked square by square. Where
usage differs the answer is None and no statement is made of it.
"""

from __future__ import annotations

VALUE = {"p": 1, "n": 3, "b": 3, "r": 5, "q": 9, "k": 99}
ORTHO = [(1, 0), (-1, 0), (0, 1), (0, -1)]
DIAGO = [(1, 1), (1, -1), (-1, 1), (-1, -1)]
JUMPS = [(1, 2), (2, 1), (-1, 2), (-2, 1), (1, -2), (2, -1), (-1, -2), (-2, -1)]
NAMES = {"p": "pawn", "n": "knight", "b": "bishop", "r": "rook", "q": "queen", "k": "king"}


def name(square: int) -> str:
    return "abcdefgh"[square % 8] + str(square // 8 + 1)


class Board:
    """``cells[square]``: letter or ""; a1 is 0. White is upper case."""

    def __init__(self, fen: str) -> None:
        self.cells = [""] * 64
        placement, turn, self.castling, _ep, *rest = fen.split()
        for row, text in enumerate(placement.split("/")):
            x = 0
            for c in text:
                if c.isdigit():
                    x += int(c)
                else:
                    self.cells[(7 - row) * 8 + x] = c
                    x += 1
        self.white_to_move = turn == "w"
        self.number = int(rest[1]) if len(rest) > 1 else 1

    def men(self, white: bool | None = None, kind: str | None = None) -> list[int]:
        return [
            s
            for s, c in enumerate(self.cells)
            if c and (white is None or c.isupper() == white) and (kind is None or c.lower() == kind)
        ]

    def white(self, square: int) -> bool:
        return self.cells[square].isupper()

    def kind(self, square: int) -> str:
        return self.cells[square].lower()

    def king(self, white: bool) -> int:
        return self.men(white, "k")[0]

    def attacks(self, square: int) -> set[int]:
        """Squares the man on ``square`` attacks, own men included."""
        kind, found = self.kind(square), set()
        x, y = square % 8, square // 8
        if kind == "p":
            step = 1 if self.white(square) else -1
            tries = [(x - 1, y + step), (x + 1, y + step)]
            return {b * 8 + a for a, b in tries if 0 <= a < 8 and 0 <= b < 8}
        if kind in "nk":
            steps = JUMPS if kind == "n" else ORTHO + DIAGO
            return {(y + b) * 8 + x + a for a, b in steps if 0 <= x + a < 8 and 0 <= y + b < 8}
        for a, b in (ORTHO if kind in "rq" else []) + (DIAGO if kind in "bq" else []):
            i, j = x + a, y + b
            while 0 <= i < 8 and 0 <= j < 8:
                found.add(j * 8 + i)
                if self.cells[j * 8 + i]:
                    break
                i, j = i + a, j + b
        return found

    def attackers(self, square: int, white: bool) -> list[int]:
        return [s for s in self.men(white) if square in self.attacks(s)]

    def in_check(self, white: bool) -> list[int]:
        return self.attackers(self.king(white), not white)

    def ray(self, square: int, a: int, b: int) -> list[int]:
        """Men met on one line, nearest first."""
        found, i, j = [], square % 8 + a, square // 8 + b
        while 0 <= i < 8 and 0 <= j < 8:
            if self.cells[j * 8 + i]:
                found.append(j * 8 + i)
            i, j = i + a, j + b
        return found

    def moves_along(self, square: int, a: int, b: int) -> bool:
        return (self.kind(square) in "rq" and 0 in (a, b)) or (self.kind(square) in "bq" and 0 not in (a, b))

    def pins(self, square: int) -> list[tuple[int, int]]:
        """(pinner, behind)."""
        found = []
        for a, b in ORTHO + DIAGO:
            one, other = self.ray(square, a, b), self.ray(square, -a, -b)
            if not one or not other or not self.white(one[0]) != self.white(square) == self.white(other[0]):
                continue
            if self.moves_along(one[0], a, b):
                found.append((one[0], other[0]))
        return found

    def pinned(self, square: int) -> bool | None:
        worth = [VALUE[self.kind(behind)] for _, behind in self.pins(square)]
        if self.kind(square) == "k":
            return None
        if any(w > VALUE[self.kind(square)] for w in worth):
            return True
        return None if worth else False

    def without(self, square: int) -> Board:
        copy = Board.__new__(Board)
        copy.cells = list(self.cells)
        copy.cells[square] = ""
        copy.white_to_move, copy.castling, copy.number = self.white_to_move, self.castling, self.number
        return copy

    def after(self, start: int, end: int) -> Board:
        copy = self.without(start)
        copy.cells[end] = self.cells[start]
        return copy

    def takes_legally(self, start: int, end: int) -> bool:
        """Whether the man can take what stands on ``end`` without leaving its king in check."""
        if not self.cells[end] or self.white(end) == self.white(start) or end not in self.attacks(start):
            return False
        return not self.after(start, end).in_check(self.white(start))

    def gain(self, square: int, white: bool) -> int:
        """The best result of captures on one square for ``white`` to begin, in points; the king captures last."""
        takers = sorted(
            (s for s in self.attackers(square, white) if self.takes_legally(s, square)),
            key=lambda s: VALUE[self.kind(s)],
        )
        if not takers or not self.cells[square]:
            return 0
        worth = VALUE[self.kind(square)]
        return max(0, *(worth - self.after(s, square).gain(square, not white) for s in takers[:1]))

    # -- pawns
    def pawn_files(self, white: bool) -> list[int]:
        return [s % 8 for s in self.men(white, "p")]

    def isolated(self, square: int) -> bool:
        return not {square % 8 - 1, square % 8 + 1} & set(self.pawn_files(self.white(square)))

    def passed(self, square: int) -> bool:
        white = self.white(square)
        for p in self.men(not white, "p"):
            ahead = p // 8 > square // 8 if white else p // 8 < square // 8
            if ahead and abs(p % 8 - square % 8) < 2:
                return False
        return True

    def backward(self, square: int) -> bool | None:
        white = self.white(square)
        step = 1 if white else -1
        mates = [p for p in self.men(white, "p") if abs(p % 8 - square % 8) == 1]
        if any((p // 8 - square // 8) * step < 0 for p in mates):
            return False
        if self.passed(square):
            return False
        if any(p // 8 == square // 8 for p in mates):
            return None  # usage differs: it has not been left behind, but nobody beside it protects it
        front = square + 8 * step
        if not mates:
            return None
        guards = [p for p in self.men(not white, "p") if front in self.attacks(p)]
        return True if guards else None

    def pawn_reaches(self, square: int, white: bool) -> bool:
        """Whether a pawn of the side guards the square, or may by walking up its file."""
        step = 1 if white else -1
        return any(abs(p % 8 - square % 8) == 1 and (square // 8 - p // 8) * step > 0 for p in self.men(white, "p"))

    # -- whole board
    def light(self, square: int) -> bool:
        return (square % 8 + square // 8) % 2 == 1

    def count(self, white: bool, kinds: str) -> int:
        return len([s for s in self.men(white) if self.kind(s) in kinds])

    def points(self, white: bool) -> int:
        return sum(VALUE[self.kind(s)] for s in self.men(white) if self.kind(s) != "k")

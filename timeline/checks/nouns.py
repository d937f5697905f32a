"""Noun phrases of the board: "White's knight on f3", "her e pawn", "the light-squared bishop"."""

from __future__ import annotations

import re
from dataclasses import dataclass

import chess

from timeline.checks.structure import is_light

PIECES = {name: number for number, name in enumerate(chess.PIECE_NAMES) if name}
_HEAD = re.compile(r"(king|queen|rook|bishop|knight|pawn)(s?)(?= |$)(?! 's (?:bishop|knight|rook|pawn))")
_SIDE = {"white": chess.WHITE, "black": chess.BLACK}


@dataclass(frozen=True, slots=True)
class Noun:
    """A piece as named. ``side``: None when not said. ``mine``: True for "my", False for "opponent's", else None."""

    piece: int
    side: chess.Color | None = None
    square: int | None = None
    file: int | None = None
    light: bool | None = None
    mine: bool | None = None
    plural: bool = False
    definite: bool = True

    def found(self, board: chess.Board, side: chess.Color | None = None) -> list[int]:
        """The squares on the board that the phrase fits; ``side`` narrows it down when it says none itself."""
        colour = self.side if self.side is not None else side
        squares = [s for s in chess.SquareSet(board.occupied) if board.piece_type_at(s) == self.piece]
        if colour is not None:
            squares = [s for s in squares if board.color_at(s) == colour]
        if self.square is not None:
            squares = [s for s in squares if s == self.square]
        if self.file is not None:
            squares = [s for s in squares if s % 8 == self.file]
        if self.light is not None:
            squares = [s for s in squares if is_light(s) == self.light]
        return squares

    def __str__(self) -> str:
        name = chess.piece_name(self.piece)
        if self.file is not None:
            name = f"{chess.FILE_NAMES[self.file]} {name}"
        if self.light is not None:
            name = f"{'light' if self.light else 'dark'}-squared {name}"
        if self.side is not None:
            name = f"{'white' if self.side else 'black'} {name}"
        return f"{name} on {chess.square_name(self.square)}" if self.square is not None else name


def parse_noun(text: str, me: chess.Color | None = None) -> Noun | None:
    """The noun phrase in plain words. ``me`` is the side of a teacher who speaks as a player, if known."""
    heads = list(_HEAD.finditer(text))
    if not heads:
        return None
    head = heads[0] if len(heads) == 1 else _main_head(text, heads)
    piece = PIECES[head[1]]
    before, after = text[: head.start()].split(), text[head.end() :].split()
    side = mine = light = None
    for word in before:
        if word in _SIDE:
            side = _SIDE[word]
        elif word in ("my", "our"):
            mine, side = True, me
        elif word == "opponent":
            mine, side = False, None if me is None else not me
        elif word in ("light-squared", "dark-squared"):
            light = word.startswith("light")
    square = None
    file = None
    squares = [w for w in after + before if re.fullmatch("[a-h][1-8]", w)]
    if squares:
        square = chess.parse_square(squares[0])
    letters = [w for w in before if w in tuple("abcdefgh") and not (w == "a" and before[0] == "a" and len(before) == 1)]
    if letters and square is None:
        letter = letters[-1]
        if not (letter == "a" and before.index("a") == 0 and before[-1] != "a"):
            file = "abcdefgh".index(letter)
    match = re.search(r"the ([a-h]) file", text)
    if match:
        file = "abcdefgh".index(match[1])
    if side is None and " of white" in text:
        side = chess.WHITE
    if side is None and " of black" in text:
        side = chess.BLACK
    definite = not before or before[0] not in ("a", "an", "another")
    return Noun(piece, side, square, file, light, mine, bool(head[2]), definite)


def _main_head(text: str, heads: list[re.Match[str]]) -> re.Match[str]:
    """The piece itself in "the pawn in front of the king on g7" is the first; in "queen 's knight" the last."""
    for head in heads:
        if not text[head.end() :].startswith(" 's"):
            return head
    return heads[-1]


def parse_side(text: str | None, me: chess.Color | None = None) -> chess.Color | None:
    """The side a word stands for; None when it may be either."""
    if text is None:
        return None
    word = re.sub(r" 's$", "", text.removeprefix("the "))
    if word in _SIDE:
        return _SIDE[word]
    if me is not None:
        if word in ("i", "we", "my", "our"):
            return me
        if word == "opponent":
            return not me
    return None


def moves_named(board: chess.Board, text: str) -> list[chess.Move]:
    """The legal moves of the side to move that a spoken move fits ("knight f takes e5", "castles kingside")."""
    if "castl" in text:
        wanted = None if "side" not in text else "kingside" in text
        return [
            m
            for m in board.legal_moves
            if board.is_castling(m) and (wanted is None or board.is_kingside_castling(m) == wanted)
        ]
    squares = re.findall(r"\b[a-h][1-8]\b", text)
    if not squares:
        return []
    target = chess.parse_square(squares[-1])
    origin = chess.parse_square(squares[0]) if len(squares) > 1 else None
    pieces = re.findall(r"\b(king|queen|rook|bishop|knight|pawn)s?\b(?! on)", text)
    takes = bool(re.search(r"\b(?:tak|captur)", text))
    piece = PIECES[pieces[0]] if pieces else chess.PAWN
    any_piece = not pieces and takes and not re.search(r"(?:^| )[a-h] (?:takes|captures)", text)
    file = re.search(r"(?:^|(?:king|queen|rook|bishop|knight|pawn) |from )([a-h]) ", text)
    found = []
    for move in board.legal_moves:
        if move.to_square != target or board.is_castling(move):
            continue
        if not any_piece and board.piece_type_at(move.from_square) != piece:
            continue
        if origin is not None and move.from_square != origin:
            continue
        if file and origin is None and chess.FILE_NAMES[move.from_square % 8] != file[1]:
            continue
        if takes and not board.is_capture(move):
            continue
        found.append(move)
    return found

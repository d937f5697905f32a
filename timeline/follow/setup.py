"""A set-up read aloud: "White king on e1, rook h1, pawns f2 and g2; Black king on g8. White to move"."""

from __future__ import annotations

from dataclasses import dataclass

import chess

from timeline.follow.lattice import Lattice
from timeline.follow.naming import squares
from timeline.follow.vocabulary import PIECE_WORDS

_APART = 9
"""Tokens that may stand between two placings of one set-up."""
_COLOURS = {
    "white": chess.WHITE, "white's": chess.WHITE, "whites": chess.WHITE,
    "black": chess.BLACK, "black's": chess.BLACK, "blacks": chess.BLACK,
}  # fmt: skip
_BETWEEN = frozenset("on at is are the a his her stands sits stand sit and also one two three other another".split())


@dataclass(frozen=True, slots=True)
class SetUp:
    """The position, and the tokens ``first`` to ``end`` (exclusive) that give it."""

    board: chess.Board
    first: int
    end: int


def find_setup(lattice: Lattice) -> SetUp | None:
    """The first set-up of the talk: both kings named with their colours, three pieces or more, a legal position.

    Castling is allowed where king and rook stand at home, because the words do not say otherwise.
    """
    placings: list[tuple[int, int, int, bool, int]] = []
    i = 0
    while i < lattice.n:
        found = _placing(lattice, i)
        if found:
            placings += found
            i = found[-1][1]
        else:
            i += 1
    for k in range(len(placings)):
        run = [placings[k]]
        for placing in placings[k + 1 :]:
            between = [tok.text for tok in lattice.toks[run[-1][1] : placing[0]]]
            if placing[0] - run[-1][1] > _APART or {"to", "move"} <= {*between} or {"to", "play"} <= {*between}:
                break
            if any(placing[4] == other[4] for other in run):
                break
            run.append(placing)
        for count in range(len(run), 2, -1):  # the last ones may be moves already
            made = _position(lattice, run[:count])
            if made is not None:
                return made
    return None


def _colour(lattice: Lattice, i: int) -> bool | None:
    """The colour named last before token ``i``: it holds for all pieces listed after it."""
    for k in range(i - 1, max(-1, i - 40), -1):
        colour = _COLOURS.get(lattice.toks[k].text)
        if colour is not None:
            return colour
    return None


def _placing(lattice: Lattice, i: int) -> list[tuple[int, int, int, bool, int]]:
    """What token ``i`` places if it names a piece: (first token, end, piece, colour, square) for each square."""
    toks = lattice.toks
    word = toks[i].text
    piece = PIECE_WORDS.get(word) or PIECE_WORDS.get(word.removesuffix("s"))
    if piece is None or piece[1] > 0.6:
        return []
    colour = _colour(lattice, i)
    if colour is None:
        return []
    found: list[tuple[int, int, int, bool, int]] = []
    k = i + 1
    while k < lattice.n and k - (found[-1][1] if found else i) <= 4:
        placed = [s for s in squares(toks, k) if s[2] < 0.9]
        if placed:
            square, used, _, _ = min(placed, key=lambda s: s[2])
            found.append((i if not found else k, k + used, piece[0], colour, square))
            k += used
        elif toks[k].text in _BETWEEN and (not toks[k].ends or found):
            k += 1
        else:
            break
    return found


def _turn(words: list[str]) -> tuple[bool | None, int]:
    """Whose move it is, by "white to move", "black's turn", "the move is with white"; and how many words say so."""
    first = _COLOURS.get(words[0])
    if first is not None and len(words) > 2 and words[1] == "to" and words[2] in ("move", "play", "win", "draw"):
        return first, 3
    if first is not None and words[1] in ("move", "turn", "moves"):
        return first, 2
    if words[0] in ("move", "turn") and words[1] in ("is", "belongs"):
        for k, word in enumerate(words[2:], 2):
            if word in _COLOURS:
                return _COLOURS[word], k + 1
    return None, 0


def _position(lattice: Lattice, run: list[tuple[int, int, int, bool, int]]) -> SetUp | None:
    board = chess.Board(None)
    kings: set[bool] = set()
    for _, _, piece, colour, square in run:
        if piece == chess.KING:
            if colour in kings:
                return None
            kings.add(colour)
        board.set_piece_at(square, chess.Piece(piece, colour))
    if len(kings) < 2 or len(run) < 3:
        return None
    end = run[-1][1]
    for k in range(max(0, run[0][0] - 12), min(lattice.n - 1, end + 10)):
        words = [tok.text for tok in lattice.toks[k : k + 5]]
        turn, used = _turn(words)
        if turn is not None:
            board.turn = turn
            if k >= end:
                end = k + used
    board.castling_rights = chess.SquareSet(
        square
        for square, king in ((chess.A1, chess.E1), (chess.H1, chess.E1), (chess.A8, chess.E8), (chess.H8, chess.E8))
        if board.piece_at(square) == chess.Piece(chess.ROOK, king == chess.E1)
        and board.piece_at(king) == chess.Piece(chess.KING, king == chess.E1)
    ).mask
    return SetUp(board, run[0][0], end) if board.is_valid() else None

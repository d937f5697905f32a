"""A set-up read aloud: "White king on e1, rook h1, pawns f2 and g2; Black king on g8. White to move"."""

from __future__ import annotations

from dataclasses import dataclass

import chess

from timeline.follow.lattice import Lattice
from timeline.follow.naming import squares
from timeline.follow.vocabulary import CHECK_WORDS, MATE_WORDS, PIECE_WORDS

_APART = 9
"""Tokens that may stand between two placings of one set-up."""
_COLOURS = {
    "white": chess.WHITE, "white's": chess.WHITE, "whites": chess.WHITE,
    "black": chess.BLACK, "black's": chess.BLACK, "blacks": chess.BLACK,
}  # fmt: skip
_BETWEEN = frozenset("on at is are the a his her stands sits stand sit and also one two three other another".split())
_PLAY = frozenset("move moves play plays played goes wins try tries continues solution answer".split())
"""After both kings such words end the set-up: what comes is played."""
_TURN = 8
"""Tokens that may say whose move it is."""
_ADVERBS = frozenset("is now here then also it the one side that who".split())
_MODALS = frozenset("must can will should may".split())
_TO_ACT = frozenset("move play go win draw start begin".split())
_BEGINS = frozenset("moves begins starts moving beginning starting".split())
_FIRST = frozenset("moves plays goes starts begins moving".split())
_BEFORE_COLOUR = frozenset("is are with on for to now it the it's up belongs goes".split())


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
            if placing[0] - run[-1][1] > _APART or _played(lattice, run, placing):
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


def _played(lattice: Lattice, run: list[tuple[int, int, int, bool, int]], placing: tuple[int, int, int, bool, int]) -> bool:
    """Whether the next placing is a move already: it gives check, or the words before it say that play begins."""
    toks, last, end = lattice.toks, run[-1][1], placing[1]
    if end < lattice.n and not toks[end - 1].ends and toks[end].text in (CHECK_WORDS.keys() | MATE_WORDS.keys()):
        return True
    if len({colour for _, _, piece, colour, _ in run if piece == chess.KING}) < 2:
        return False
    between = range(last, placing[0])
    return any(toks[k].text in _PLAY or _turn(lattice, k, sure=False)[1] for k in between)


def _turn(lattice: Lattice, i: int, *, sure: bool) -> tuple[bool | None, int]:
    """Whose move it is by the words at token ``i``, and how many words say so; (None, 0) where they do not.

    "White to move", "black's turn", "Black is on the move", "the move is with White", "to move is Black"; unless only what
    says it for ``sure`` counts, "Black begins", "it's Black who moves" and "Black plays" (a move), too.
    """
    words = [tok.text for tok in lattice.toks[i : i + _TURN]]
    if i and lattice.toks[i - 1].text in ("not", "isn't"):
        return None, 0
    if words[0] not in _COLOURS:
        return _turn_named_last(lattice, i, words)
    colour, k = _COLOURS[words[0]], 1
    while k < len(words) and words[k] in _ADVERBS:
        k += 1
    rest = [*words[k:], "", ""]
    if rest[0] == "to" and rest[1] in _TO_ACT:
        return colour, k + 2
    if rest[0] == "on" and "move" in rest[1 : 2 + (rest[1] == "the")]:
        return colour, k + 2 + (rest[1] == "the")
    if rest[0] in ("move", "turn", "go") and k == 1:
        return colour, 2
    if rest[0] in _FIRST and rest[1] == "first":
        return colour, k + 2
    if rest[0] in ("has", "gets", "makes"):
        used = next((n for n, word in enumerate(rest[1:], 1) if word not in ("the", "to", "first")), 0)
        return (colour, k + used + 1) if used > 1 and rest[used] in ("move", "turn", "start", "begin") else (None, 0)
    if sure:
        return None, 0
    if rest[0] in _BEGINS or (rest[0] in _MODALS and rest[1] in _TO_ACT):
        return colour, k + 1 + (rest[0] in _MODALS)
    return (colour, k) if rest[0] == "plays" else (None, 0)


def _turn_named_last(lattice: Lattice, i: int, words: list[str]) -> tuple[bool | None, int]:
    """As ``_turn``, for "the move is with White", "to move is Black" and "to move: Black"."""
    acts = words[:2] in (["to", "move"], ["to", "play"], ["to", "begin"])
    if not acts and words[0] not in ("move", "turn"):
        return None, 0
    first = k = 1 + acts
    while k < len(words) and words[k] in _BEFORE_COLOUR:
        k += 1
    if k >= len(words) or words[k] not in _COLOURS or lattice.toks[i + k - 1].ends == ".":
        return None, 0
    listed = k + 1 < len(words) and words[k + 1] in PIECE_WORDS and not lattice.toks[i + k].ends
    return (_COLOURS[words[k]], k + 1) if (k > first or lattice.toks[i + k - 1].ends) and not listed else (None, 0)


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
    said = [
        (turn, k, used)
        for sure in (True, False)
        for k in range(max(0, run[0][0] - 12), min(lattice.n, end + 10))
        for turn, used in [_turn(lattice, k, sure=sure)]
        if turn is not None
    ]
    if said:
        board.turn, k, used = said[0]
        if k >= end:
            end = k + used
    elif board.status() == chess.STATUS_OPPOSITE_CHECK:
        board.turn = chess.BLACK
    board.castling_rights = chess.SquareSet(
        square
        for square, king in ((chess.A1, chess.E1), (chess.H1, chess.E1), (chess.A8, chess.E8), (chess.H8, chess.E8))
        if board.piece_at(square) == chess.Piece(chess.ROOK, king == chess.E1)
        and board.piece_at(king) == chess.Piece(chess.KING, king == chess.E1)
    ).mask
    return SetUp(board, run[0][0], end) if board.is_valid() else None

"""The words that a misheard stretch may stand for, and the neighbours that say so."""

from __future__ import annotations

PIECES = {"king": 6, "queen": 5, "rook": 4, "bishop": 3, "knight": 2, "pawn": 1, "horse": 2, "horsie": 2, "tower": 4}
"""A piece's name to its type in the chess library."""
LINKS = frozenset("to on at from takes take captures into".split())
PREFIXES = ("king", "queen", "rook", "bishop", "knight")
JOINTS = ("to", "takes", "on")
WORDS = tuple(
    "king queen rook bishop knight pawn kings queens rooks bishops knights pawns takes take check checkmate mate castles castle file "
    "rank ranks diagonal square squares fork pin pins pinned skewer sacrifice sacrifices attack attacks threat threats threatens "
    "defend defends endgame exchange tempo gambit kingside queenside promotes captures horse horses files diagonals checks "
    "middlegame zugzwang stalemate fianchetto opposition castling castled skewers forks sacrificed defended attacked attacking "
    "defending defence outpost seventh eighth sixth fifth piece pieces tower towers guards blocks capture exchanges stalemated".split()
)
PHRASES = (
    "castles long", "castles short", "back rank", "seventh rank", "eighth rank", "queen's gambit", "king's gambit",
    "king's indian", "en passant", "long diagonal", "light squares", "dark squares", "light square", "dark square",
    "passed pawn", "open file", "double check", "discovered check", "mate in one", "mate in two", "mate in three",
)  # fmt: skip
LETTERED = ("takes", "file", "pawn")

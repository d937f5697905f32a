"""Truth about the game: move numbers, players, opening, result, legal moves."""

from __future__ import annotations

import re

import chess
from naive import name
from truth import games, maker, side

SPOKEN = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen"
)
SPOKEN_LIST = [
    *SPOKEN.split(),
    "eighteen",
    "nineteen",
    "twenty",
    "twenty-one",
    "twenty-two",
    "twenty-three",
    "twenty-four",
]
SPOKEN_LIST += ["twenty-five", "twenty-six", "twenty-seven", "twenty-eight", "twenty-nine", "thirty"]


@maker("move_number")
def _(p, words):
    b = p.board
    if p.game is None or not p.last or b.number > 27:
        return
    if "{M}" in words:
        board = chess.Board(p.fen)
        moves = list(games()[p.game].mainline_moves())
        if p.ply >= len(moves):
            return
        spoken = speak(board, moves[p.ply])
        for shift in (0, 1, -1):
            n = b.number + shift
            at = (n - 1) * 2 + (0 if b.white_to_move else 1)
            if n > 0 and at < len(moves) and (shift == 0 or moves[at].to_square != moves[p.ply].to_square):
                yield {**side(b.white_to_move), "N": SPOKEN_LIST[n], "M": spoken}, shift == 0
        return
    if "{N}th" in words:
        if b.white_to_move and 4 <= b.number <= 20:
            for shift in (0, 2, -2):
                yield {**side(True), "N": str(b.number + shift)}, shift == 0
        return
    for shift in (0, 2, -3):
        if 1 <= b.number + shift <= 29:
            yield {**side(b.white_to_move), "N": SPOKEN_LIST[b.number + shift]}, shift == 0


def speak(board: chess.Board, move: chess.Move) -> str:
    if board.is_castling(move):
        return "castles kingside" if board.is_kingside_castling(move) else "castles queenside"
    man = chess.piece_name(board.piece_type_at(move.from_square))
    to = chess.square_name(move.to_square)
    if man == "pawn":
        return f"{chess.FILE_NAMES[move.from_square % 8]} takes {to}" if board.is_capture(move) else to
    return f"{man} takes {to}" if board.is_capture(move) else f"{man} to {to}"


@maker("players")
def _(p, words):
    if p.game is None or p.ply not in (3, 10):
        return
    white, black = p.headers["White"], p.headers["Black"]
    for a, b_, truth in ((white, black, True), (black, white, False)):
        if "black" in words and "white" not in words:
            yield {"A": b_, "B": a}, truth
        elif "{C}" in words:
            yield {"A": a, "C": "white"}, truth
            yield {"A": b_, "C": "black"}, truth
        else:
            yield {"A": a, "B": b_}, truth


OPENINGS = {
    0: "King's Gambit",
    1: "Evans Gambit",
    2: "Caro-Kann",
    3: "Philidor Defence",
    4: "Four Knights",
    5: "Italian Game",
}


@maker("opening")
def _(p, words):
    if p.game in OPENINGS and p.ply in (8, 9):
        yield {"G": OPENINGS[p.game]}, True
        for other in ("Sicilian Defence", "French Defence", "Queen's Gambit", "King's Indian Defence", "Nimzo-Indian"):
            yield {"G": other}, False


@maker("result")
def _(p, words):
    if p.game is None or p.ply < 20:
        return
    result = p.headers["Result"]
    if "draw" in words:
        yield {}, result == "1/2-1/2"
    elif "{A}" in words:
        for tag, won in (("White", result == "1-0"), ("Black", result == "0-1")):
            yield {"A": p.headers[tag]}, (not won) if "resigned" in words else won
    elif "resigned" in words:
        yield side(True), result == "0-1"
        yield side(False), result == "1-0"
    else:
        yield side(True), result == "1-0"
        yield side(False), result == "0-1"


@maker("players_black")
def _(p, words):
    if p.game is not None and p.ply in (3, 10):
        yield {"A": p.headers["Black"]}, True
        yield {"A": p.headers["White"]}, False


@maker("lost")
def _(p, words):
    if p.game is not None and p.ply >= 20 and p.headers["Result"] != "1/2-1/2":
        for tag, lost in (("White", p.headers["Result"] == "0-1"), ("Black", p.headers["Result"] == "1-0")):
            yield {"A": p.headers[tag]}, lost


FORBIDDEN = re.compile(r"\bnot\b(?! say)|n't\b(?! say)|\bcannot\b|\bnope?\b|illegal|impossible|against the rules", re.I)
"""Words of a saying that a move may not be played."""


@maker("legal")
def _(p, words):
    board = chess.Board(p.fen)
    if board.is_game_over() or board.is_check():
        return
    s = side(board.turn)
    legal = {(board.piece_type_at(m.from_square), m.to_square) for m in board.legal_moves if not board.is_castling(m)}
    for kind in (chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN):
        if not board.pieces(kind, board.turn):
            continue
        for to in range(64):
            truth = (kind, to) in legal
            if "takes" in words:
                continue
            slots = {**s, "M": f"{chess.piece_name(kind)} to {name(to)}"}
            yield slots, truth != bool(FORBIDDEN.search(words))


@maker("in_the_game")
def _(p, words):
    """The move that the score has next, or another legal one that it has in none of the plies around."""
    if p.game is None or not p.last:
        return
    moves = list(games()[p.game].mainline_moves())
    if p.ply >= len(moves):
        return
    board = chess.Board(p.fen)
    near = {m.to_square for m in moves[max(0, p.ply - 8) : p.ply + 10]}
    yield {**side(board.turn), "M": speak(board, moves[p.ply])}, True
    for move in board.legal_moves:
        if move.to_square not in near and not board.is_castling(move):
            yield {**side(board.turn), "M": speak(board, move)}, False

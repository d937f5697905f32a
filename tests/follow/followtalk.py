"""Talks and games for the follower's tests: plain ones, and strategies for any."""

from __future__ import annotations

import random

import chess
from hypothesis import strategies as st

from timeline.follow.follow import follow_words
from timeline.score import Score, read_score
from timeline.transcript.words import Word

# A public-domain miniature (Legal's pattern); moves are facts.
LEGAL = "1. e4 e5 2. Nf3 d6 3. Bc4 Bg4 4. Nc3 g6 5. Nxe5 Bxd1 6. Bxf7+ Ke7 7. Nd5# 1-0"

VOCABULARY = (
    "knight night bishop rook queen king pawn takes take check mate castles e4 e5 f3 d6 c4 g4 h5 a1 before see six to for "
    "four five back game if suppose instead better and so but the a on he white black goes back, e4. check! what? other "
    "both sides promotes d takes undo let's Nf3 O-O exd5 knight's 17 move seventeen sorry mean rook's file pins attacks "
    "a8=Q e8 queen d8 knight again first threat would could had"
).split()
"""Words of spoken chess, thrown together."""

ODD = (
    "’",
    "…",
    "—",
    "♞f3",
    "e４",
    "ＫＮＩＧＨＴ",
    "\u202eknight",
    "k\u0301night",
    "\x00",
    "\ud7ff",
    "😀",
    "1.",
    "...",
    "?!",
    "%",
    "[0:05]",
    "<b>",
    "e4e4e4",
)
"""Things that transcripts hold."""


def words(text: str, *, step_ms: int = 350) -> list[Word]:
    """A talk at an even pace; half a second more after a sentence."""
    found: list[Word] = []
    at = 0
    for part in text.split():
        found.append(Word(part, at, at + 300))
        at += step_ms + (500 if part[-1] in ".?!" else 0)
    return found


def setup(fen: str, moves: str = "") -> str:
    """A PGN from a set-up."""
    return f'[SetUp "1"]\n[FEN "{fen}"]\n\n{moves} *'


def random_game(seed: int, plies: int) -> Score:
    """A random legal game; at least one ply, because a PGN without moves is no score."""
    rnd = random.Random(seed)
    board, moves = chess.Board(), []
    for _ in range(max(1, plies)):
        legal = sorted(board.legal_moves, key=str)
        if not legal:
            break
        moves.append(rnd.choice(legal))
        board.push(moves[-1])
    return read_score(chess.Board().variation_san(moves) + " *")


texts = st.lists(
    st.one_of(st.sampled_from(VOCABULARY), st.sampled_from(ODD), st.text(min_size=1, max_size=6)), max_size=50
)
games = st.builds(random_game, st.integers(0, 2**32), st.integers(1, 40))


def talk(parts: list[str]) -> list[Word]:
    """The words of any texts."""
    return words(" ".join(part for part in parts if part.split()))


def left_with(said: str) -> str:
    """The word with which the board goes back to the game, where a sideline is told and ``said`` follows."""
    score = read_score(setup("R7/P5k1/8/8/7P/6K1/r7/8 w - - 0 1", "1. h5 Kh7 2. h6 Ra3+ 3. Kf4 Ra4+"))
    talk = (
        "Pawn h five. King h seven. Pawn h six. If he takes it, king takes h six, rook h eight check, king g seven, a eight queen. "
        f"{said} Look at this for a moment, because it comes up again and again in such endings. Rook a three check was played."
    )
    cues = follow_words(words(talk), score, marks=False).cues
    return talk.split()[[cue.first for cue in cues if cue.address == "2w"][-1]]

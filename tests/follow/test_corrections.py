"""Slips that a speaker puts right in the same breath: the last word counts, with a score and without."""

from __future__ import annotations

import chess
import pytest
from followtalk import words

from timeline.follow import follow_words
from timeline.follow.corrections import Corrections
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.mainline import reconstruct
from timeline.score import read_score

PUT_RIGHT = [
    ("d4, knight f6, c4, g6, knight c3, bishop g7, e4, d6, d5, castles, knight f3, e5, bishop e2, knight c6, d5, and the knight "
     "goes to d4, no, to e7.", "Ne7"),
    ("d four d five, c four e six, knight c three. Knight f six, or rather bishop e seven first. Knight f three.", "Be7"),
    ("e4 e5, knight f3 knight c6, bishop b5, no wait, bishop c4. Bishop c5.", "Bc4"),
    ("e4 c5 knight f3 e6. Sorry. d6. d4 takes takes.", "d6"),
    ("e4 e6 d4 d5. White plays knight c3, make that knight d2. c5.", "Nd2"),
    ("d4 d5, the bishop comes out to g5, or rather to f4. Knight f6, e3 and c5.", "Bf4"),
    ("d4 d5, knight f3 knight f6. Now c4, e6. The knight comes to d2, oh no, to c3 of course. Bishop e7.", "Nc3"),
    ("e4 c5, knight f3 d6, ah sorry, knight c6. d4, takes, takes, e6, hmm, no, g6.", "g6"),
    ("e4 e5. Knight c3, correction, knight f3. Knight c6.", "Nf3"),
    ("e4 e5 knight f3 knight c6 bishop b5 a6. Bishop takes, I mean, the bishop goes back to a4. Knight f6.", "Ba4"),
    ("e4 e5 knight f3 knight c6 bishop b5 knight d4 excuse me knight f6 castles", "Nf6"),
    ("e4 e5 knight f3, knight c6. Bishop b5, no, what am I saying, bishop c4. Bishop c5.", "Bc4"),
]  # fmt: skip
KEPT = [
    ("e4 e5 knight f3 knight c6 bishop b5, I mean, we all know this one, knight f6, castles.", "e4 e5 Nf3 Nc6 Bb5 Nf6 O-O"),
    ("d4 knight f6 c4 e6. Knight f3 and not knight c3. b6. g3, sorry for the noise, bishop a6.", "d4 Nf6 c4 e6 Nf3 b6 g3 Ba6"),
    ("e4 e5 knight f3. Should black play f6? No, knight c6. Bishop c4, wait for it, bishop c5.", "e4 e5 Nf3 Nc6 Bc4 Bc5"),
    ("e4 e5 knight f3 knight c6 bishop b5 knight f6, no problem, white castles.", "e4 e5 Nf3 Nc6 Bb5 Nf6 O-O"),
    ("e4 e5 knight f3 knight c6 bishop c4 bishop c5, no, knight f6 is better.", "e4 e5 Nf3 Nc6 Bc4 Bc5"),
    ("e4 e5 knight f3 knight c6 bishop b5 a6, I mean, bishop takes c6 is the exchange, d takes c6.",
     "e4 e5 Nf3 Nc6 Bb5 a6 Bxc6 dxc6"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "san"), PUT_RIGHT)
def test_what_is_put_right_is_the_game(text: str, san: str) -> None:
    found = reconstruct(words(text))
    ply = next((p for p in found.plies if p.san == san), None)
    assert ply is not None, [p.san for p in found.plies]
    assert not ply.guessed
    line = " ".join(chess.Move.from_uci(p.uci).uci() for p in found.plies)
    score = read_score(chess.Board().variation_san([chess.Move.from_uci(u) for u in line.split()]) + " *")
    shown = [cue.path for cue in follow_words(words(text), score).cues]
    assert tuple(line.split()[: found.plies.index(ply) + 1]) in shown, "the same words with the score"


@pytest.mark.parametrize(("text", "line"), KEPT)
def test_words_that_put_nothing_right(text: str, line: str) -> None:
    assert " ".join(p.san for p in reconstruct(words(text)).plies) == line


def test_a_slip_is_where_its_words_are() -> None:
    lattice = Lattice(tokens(words("The knight goes to d4, no, to e7.")))
    slip = lattice.corrections.slip(6)
    assert slip is not None
    assert (slip.cue, slip.end) == (5, 5)
    assert any(m.desc.piece == chess.KNIGHT and m.desc.to == chess.E7 for m in lattice.readings(6))
    assert isinstance(lattice.corrections, Corrections)
    assert lattice.corrections.slip(3) is None

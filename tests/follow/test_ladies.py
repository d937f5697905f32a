"""The queen called "she" or by her titles, beside a lady at the board."""

from __future__ import annotations

import chess
import pytest
from followtalk import words

from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.mainline import reconstruct

TALKS = [
    ("He opens with e four, I go d five, he takes, I take back with the queen. He gains time on her, knight c three, and she goes "
     "to a five. Then d four, knight f six.", "e4 d5 exd5 Qxd5 Nc3 Qa5 d4 Nf6"),
    ("E four, d five, e takes d five, the queen takes. Knight c three attacks her, and she goes home to d eight. D four and "
     "knight f six.", "e4 d5 exd5 Qxd5 Nc3 Qd8 d4 Nf6"),
    ("e4 d5, takes, the queen takes. Knight c3 kicks the queen. She now retreats to d6, d4 and knight f6.",
     "e4 d5 exd5 Qxd5 Nc3 Qd6 d4 Nf6"),
    ("e4 e5. White brings out the queen to h5. Knight c6, bishop c4, knight f6, and she takes on f7, mate.",
     "e4 e5 Qh5 Nc6 Bc4 Nf6 Qxf7#"),
    ("e4 e5. Her majesty comes to f3. Knight c6, bishop c4, d6, and her ladyship takes f7, mate.", "e4 e5 Qf3 Nc6 Bc4 d6 Qxf7#"),
    ("e4 d5, pawn takes, queen takes. Knight c3 asks the lady where she goes, and she gives check on e5. Bishop e2, c6.",
     "e4 d5 exd5 Qxd5 Nc3 Qe5+ Be2 c6"),
    # a lady plays
    ("She played e4 as always and I c5. c3 and d5. She takes, my queen takes. She goes to d4, I go knight f6. Bishop e2, e6.",
     "e4 c5 c3 d5 exd5 Qxd5 d4 Nf6 Be2 e6"),
    ("Our guest has White. She goes d4, I go d5. Then she pushes to c4, and I answer e6.", "d4 d5 c4 e6"),
    ("The queens will come off soon. Sofia opened d4, d5, and she chose c4, e6, and now she pushes to c5.", "d4 d5 c4 e6 c5"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "line"), TALKS)
def test_who_she_is(text: str, line: str) -> None:
    assert " ".join(p.san for p in reconstruct(words(text)).plies) == line


@pytest.mark.parametrize(
    ("text", "hers"),
    [
        ("The queen goes to d7, knight e7 check, she must take it.", True),
        ("She played e4. The queen goes to d7, knight e7 check, she must take it.", False),
        ("Knight e7 check, she must take it.", False),
    ],
)
def test_she_takes_it_with_the_queen_where_no_lady_plays(text: str, hers: bool) -> None:
    lattice = Lattice(tokens(words(text)))
    take = next(k for k, tok in enumerate(lattice.toks) if tok.text == "take")
    assert any(m.desc.piece == chess.QUEEN and m.desc.cap for m in lattice.readings(take)) is hers


def test_she_takes_at_the_end_of_a_way() -> None:
    lattice = Lattice(tokens(words("The queen is on f3 now. She goes all the way down and takes on f7.")))
    take = next(k for k, tok in enumerate(lattice.toks) if tok.text == "takes")
    assert any(m.desc.piece == chess.QUEEN and m.desc.to == chess.F7 for m in lattice.readings(take))

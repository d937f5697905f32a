"""What the words around a mention say of it, whatever stands on the board."""

from __future__ import annotations

import pytest

from timeline.follow.framing import Framing
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.tree import Tree
from timeline.score import read_score
from timeline.transcript.words import Word

TREE = Tree(read_score("1. e4 e5 *"))


def framed(said: str, name: str) -> list[str]:
    """The longest mentions of a sentence of which the words around say ``name``."""
    lattice = Lattice(tokens([Word(word, 400 * k, 400 * k + 300) for k, word in enumerate(said.split())]))
    framing = Framing(lattice.toks, TREE)
    found, i = [], 0
    while i < lattice.n:
        heard = [m for m in lattice.readings(i) if m.hear < 0.5]
        if not heard:
            i += 1
            continue
        m = max(heard, key=lambda m: m.end)
        value = getattr(framing.frame(m), name)
        if value is True or (value is not False and value >= 0):
            found.append(" ".join(tok.text for tok in lattice.toks[m.start : m.end]))
        i = m.end
    return found


@pytest.mark.parametrize(
    ("said", "name", "mentions"),
    [
        ("Had white taken back on d four, e five wins.", "supposed", ["taken back on d four"]),
        ("If he had simply recaptured with the pawn, fine.", "supposed", ["recaptured with the pawn"]),
        ("If she'd gone knight e seven, bishop takes.", "supposed", ["knight e seven"]),
        ("Had black already played rook h one, king d five.", "supposed", ["played rook h one"]),
        ("He had a knight on e seven.", "supposed", []),
        ("Black had taken on d four.", "supposed", []),  # told, not supposed
        ("If white takes, then d five is strong.", "follows", ["d five"]),
        ("Should he recapture on c three, d five is strong.", "follows", ["d five"]),
        ("If white takes he is lost, so d five was played.", "follows", []),
        ("If white takes. D five.", "follows", []),
        ("Knight c three, bishop g seven, and only then e five.", "then", ["e five"]),
        ("But he won't take, he'll play queen e seven.", "refused", ["play queen e seven"]),
        ("Of course black doesn't do that, he goes queen e seven.", "refused", ["goes queen e seven"]),
        ("But he will take, and I play queen e seven.", "refused", []),
        ("Does the queen go away? No, she does not, she goes to e seven.", "refused", []),
        ("A six. Or even c six, which is solid.", "other", ["c six"]),
        ("The knight goes to d six or f six.", "other", []),
        ("If he takes with the pawn instead, queen b three.", "instead", ["takes with the pawn"]),
        ("Instead of takes he goes queen b three.", "instead", []),
        ("Then king e six would be stalemate.", "no_move", ["king e six"]),
        ("King e six, and it is only a stalemate.", "no_move", ["king e six"]),
        ("King e six, and he is not in stalemate danger.", "no_move", []),
        ("Black has just captured on c three.", "been", ["captured on c three"]),
        ("Please do not play knight f six yet.", "denied", ["play knight f six"]),
        ("You must never go to d five with it.", "denied", ["go to d five"]),
        ("I do not like bishop g five here.", "denied", ["bishop g five"]),
        ("She can't castle.", "denied", ["castle"]),
        ("Why not knight f six here?", "denied", []),
        ("Say he doesn't take with the rook, king b seven.", "denied", []),
        ("White wants to play e five.", "wished", ["to play e five"]),
        ("Black is hoping for knight d four.", "wished", ["knight d four"]),
        ("As white wanted, e five.", "wished", []),
    ],
)
def test_what_the_words_around_say(said: str, name: str, mentions: list[str]) -> None:
    assert framed(said, name) == mentions

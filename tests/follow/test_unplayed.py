"""Mentions that tell of no move: which words of a sentence they cover, and what a move stands in place of."""

from __future__ import annotations

import chess
import pytest

from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.transcript.words import Word


def lattice_of(said: str) -> Lattice:
    return Lattice(tokens([Word(word, 400 * k, 400 * k + 300) for k, word in enumerate(said.split())]))


def idle(said: str) -> str:
    """The words at which no mention may be played."""
    lattice = lattice_of(said)
    return " ".join(tok.text for i, tok in enumerate(lattice.toks) if lattice.unplayed.at(i))


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("I also have an h pawn and time.", "h pawn"),
        ("He's got the b pawn, and white has a spare g pawn.", "b pawn g pawn"),
        ("He has pushed the h pawn.", ""),
        ("He has the h pawn on h four.", "h pawn on h four"),
        ("Now the h pawn.", ""),
    ],
)
def test_a_man_that_somebody_has(said: str, words: str) -> None:
    assert idle(said) == words


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("What I want is queen g four, then the bishop to e four out of the corner.", "queen g four bishop to e four"),
        ("And black wants f five, f four, g five, the lot.", "f five f four g five"),
        ("The plan is a five to open the line for the rook on a one.", "a five rook on a one"),
        ("He would like to play queen h four and then rook h one.", "play queen h four rook h one"),
        ("What he'd like is b five, a five, b four.", "b five a five b four"),
        ("What everybody wants with white is he puts the rook on b one, and he goes b four and b five.", "puts the rook on b one goes b four b five"),
        ("What he wants is he puts the rook on b one, and she goes b four.", ""),
        ("He wants queen h four.", ""),  # one move may be shown
        ("The computer wants queen d four, queen c seven.", ""),
        ("I wanted the centre so d five and he goes e five.", ""),
        ("I wanted rook h six with mate on h one.", ""),
        ("He wants d five, so you play c six.", ""),
        ("and he wants d five", ""),
    ],
)
def test_a_plan_of_one_side(said: str, words: str) -> None:
    assert idle(said) == words


@pytest.mark.parametrize(
    "before", ["I'm telling you, and I'm not touching the pieces.", "He had this picture in his head.", "Don't move the pieces."]
)
def test_moves_thought_of_only(before: str) -> None:
    assert idle(f"{before} Rook d three, queen h five. Then rook g three.") == "rook d three queen h five"


@pytest.mark.parametrize("before", ["I'm not moving the rook.", "Keep it in your head.", "He touched the pieces."])
def test_moves_that_are_shown(before: str) -> None:
    assert idle(f"{before} Rook d three, queen h five. Then rook g three.") == ""


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("but there is no knight on f three yet.", "knight on f three"),
        ("With no white pawn on h three there is always bishop g four.", "pawn on h three"),
        ("if there were a rook on e one, d five would be strong.", "a rook on e one"),
        ("without a bishop on g seven the king feels cold.", "a bishop on g seven"),
        ("If only white had a pawn on a four.", "a pawn on a four"),
        ("He has no second rook on e eight, so it works.", "rook on e eight"),
        ("I cannot see it without the knight still on f three.", ""),
        ("he plays knight on f three.", ""),
        ("No, knight on f three is the move.", ""),
    ],
)
def test_a_man_that_is_not_there(said: str, words: str) -> None:
    assert idle(said) == words


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("Here, before he played his bishop to g three, he was fine.", "he played his bishop to g three"),
        ("It was equal before white pushed g four.", "white pushed g four"),
        ("Right before the knight takes on d four, stop.", "the knight takes on d four"),
        ("Before playing rook e one he should think.", "playing rook e one"),
        ("Back to before he took the bishop.", "he took the bishop"),
        ("I told him before I castled.", "i castled"),
        ("So queen before he took on d five.", ""),  # b4, misheard
        ("He goes a five before he takes on d five.", ""),
        ("It was fine a4 before king takes d five.", ""),
        ("He plays before she took on d five.", ""),
        ("And now rook g three isn't protected, so I have to go closer.", "rook g three"),
        ("Knight d five is no longer a threat.", "knight d five"),
        ("Knight d five isn't possible because the pawn takes.", ""),  # it may be shown
        ("Knight d five isn't bad.", ""),
    ],
)
def test_a_move_that_is_not_made(said: str, words: str) -> None:
    assert idle(said) == words


@pytest.mark.parametrize(
    ("said", "words"),
    [
        ("Possible moves are queen a four, f six, and knight takes d four.", "queen a four f six knight takes d four"),
        ("He has a choice of plans, among them king f eight or simply c takes d four.", "king f eight c takes d four"),
        ("You could think of rook d one, or of h three.", ""),  # the second "of" begins anew: left to the search
        ("I was thinking of rook d one or knight e five.", "rook d one knight e five"),
        ("The normal move is d five.", ""),  # one move may well be played
        ("These are the moves. D five, castles.", ""),
        ("White threatens takes c six, takes, and knight e five.", ""),  # told move by move
        ("White threatens bishop takes c six and knight takes e five.", "bishop takes c six knight takes e five"),
        ("You can go f five, you can go king h one, you can go a four.", "go f five go king h one go a four"),
        ("You can take on d four or you can go queen b six. Knight c three.", ""),  # one of them may be gone on with
        ("You can go f five, he can go h six.", ""),  # two sides: a line
        ("You can go f five, you can also wait.", ""),
        ("She has to run. Where to? F three, a six or c four.", "f three a six c four"),
        ("Where to? F three.", ""),
        ("Where were we? E four, e five.", ""),
        ("Which way should black take? D takes c six, queen takes d eight.", ""),
        ("What now? Queen takes, king takes.", ""),
        ("He would like to take on e five and then take on d six.", "take on e five take on d six"),
    ],
)
def test_a_list_of_ideas(said: str, words: str) -> None:
    assert idle(said) == words


@pytest.mark.parametrize(
    ("said", "at", "square"),
    [
        ("Bishop d six instead of bishop e seven is livelier.", 0, "e7"),
        ("Instead of the modest d three, White had d four.", 8, "d3"),
        ("If, instead of taking the pawn on d three, he castles", 10, "d3"),
        ("I like knight e two rather than knight f three.", 2, "f3"),
        ("Instead of that, bishop e two is safe.", 3, ""),
        ("Rook d one. Instead of bishop e three he waits.", 0, ""),  # another sentence
    ],
)
def test_in_place_of(said: str, at: int, square: str) -> None:
    lattice = lattice_of(said)
    m = max(lattice.readings(at), key=lambda m: m.end)
    assert {chess.square_name(d.to) for d in lattice.unplayed.instead_of(m)} == ({square} if square else set())


def test_what_is_threatened_is_known() -> None:
    lattice = lattice_of("White threatens d six, and the threat was to go d seven, so d five.")
    assert [i for i in range(len(lattice.toks)) if lattice.unplayed.threat(i)] == [2, 3, 8, 9, 10, 11]

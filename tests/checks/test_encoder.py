"""The language model beside the weights: words are cut as it was taught, both are weighed, whole sentences beat guards."""

from __future__ import annotations

import math

import pytest
from test_learned import verdicts

from timeline.checks.abstract import abstract
from timeline.checks.encoder import LONGEST, encoder
from timeline.checks.kinds import ASKED, NONE, kind_weights, shares


@pytest.mark.parametrize(
    ("word", "pieces"),
    [
        ("half-open", ["half", "-", "open"]),
        ("black's", ["black", "'", "s"]),
        ("x-ray", ["x", "-", "ray"]),
        ("checkmate", ["check", "##mate"]),
        ("queenside", ["queens", "##ide"]),
        ("castled", ["castle", "##d"]),
        ("unprotected", ["un", "##pro", "##tec", "##ted"]),
        ("outpost", ["outpost"]),
    ],
)
def test_words_are_cut_into_the_pieces_that_the_model_knows(word: str, pieces: list[str]) -> None:
    """Source: what the tokenizers library (0.22) makes of these words with the vocabulary of all-MiniLM-L6-v2."""
    names = {row: piece for piece, row in encoder().pieces.items()}
    assert [names[row] for row in encoder().rows([word])] == pieces


def test_what_was_taken_out_has_a_piece_of_its_own_and_strange_signs_are_unknown() -> None:
    known = encoder().pieces
    assert list(encoder().rows(["MAN", "→"])) == [known["MAN"], known["[UNK]"]]


def test_probabilities_add_up_and_talk_without_end_is_cut_off() -> None:
    told = encoder().logs(["the", "MAN", "is", "pinned"])
    assert sum(map(math.exp, told.values())) == pytest.approx(1, abs=1e-4)
    assert max(told, key=told.__getitem__) == "pinned"
    assert encoder().logs(["well"] * LONGEST) == encoder().logs(["well"] * 5000)


def test_the_model_knows_the_kinds_that_the_weights_know() -> None:
    assert set(encoder().kinds) == set(kind_weights().kinds)


def test_both_are_weighed_alike_where_a_fact_may_be_stated() -> None:
    found = abstract(" you will have noticed that the rook on a1 is hanging ")
    both, plain, other = shares(found), kind_weights().shares(found), encoder().logs(found.spoken)
    assert plain[NONE] < 1 - ASKED
    ratio = math.sqrt(plain["hanging"] * math.exp(other["hanging"]) / (plain[NONE] * math.exp(other[NONE])))
    assert both["hanging"] / both[NONE] == pytest.approx(ratio, rel=1e-3)
    idle = abstract(" good evening and welcome to my kitchen ")
    assert shares(idle) == kind_weights().shares(idle)


# In the position of test_learned: Kg1 Rd1 Bb5 Nf3 Pe4 Pf2 against Kg8 Rd8 Nc6 Pe5 Pa7, White to move.
@pytest.mark.parametrize(
    ("say", "kind", "verdict"),
    [
        ("If you look closely, the pawn on a7 is pinned to the king.", "pinned_to", False),
        ("White can't take everything at once, because Black has the bishop pair.", "bishop_pair", False),
        ("You can find it on your sheet if you got lost, this is move twenty-four.", "move_number", False),
        ("You can find it on your sheet if you got lost, this is move thirty.", "move_number", True),
        ("Did Black remember to castle? Yes, and the bishop on b5 is hanging.", "hanging", False),
        ("Is there anything we can get for free? Yes, the pawn on f2 is hanging.", "hanging", False),
    ],
)
def test_a_condition_in_another_clause_does_not_keep_a_fact_from_being_judged(
    say: str, kind: str, verdict: bool
) -> None:
    assert (kind, verdict) in verdicts(say)


@pytest.mark.parametrize(
    "say",
    [
        "If the pawn on a7 is pinned to the king, White wins.",
        "What is the threat? A rook comes, and it's mate.",
        "It's not Black to play, check again, it's White to play.",
        "So Black has made the last move, and now it's up to White.",
        "In another game of mine the rook on d1 was pinned for three moves.",
        "That's called a discovered attack, and I want you to feel it.",
    ],
)
def test_what_is_supposed_denied_or_named_still_accuses_nobody(say: str) -> None:
    assert not any(v is False for _, v in verdicts(say))


def test_what_stands_behind_a_pinned_piece_does_not_pin_it() -> None:
    fen = "4k3/8/2n5/1B6/8/8/8/4K3 w - - 0 1"
    assert not any(v is False for _, v in verdicts("There is a pin on the knight on c6, with the king behind it.", fen))


def test_who_gave_up_the_exchange_is_down() -> None:
    fen = "4k3/8/8/4n3/8/8/4R3/4K3 b - - 0 50"
    assert ("exchange_up", True) in verdicts("Black gave up the exchange, you know.", fen)
    assert ("exchange_up", False) in verdicts("White gave up the exchange, you know.", fen)


def test_the_side_whose_pawns_cannot_chase_is_not_the_one_that_has_the_outpost() -> None:
    fen = "3r1rk1/5ppp/8/3N4/4P3/2b5/5PPP/3R1RK1 w - - 0 25"
    assert not any(
        v is False for _, v in verdicts("No Black pawn can chase the knight away from d5, it's an outpost.", fen)
    )


@pytest.mark.parametrize(
    ("say", "kind", "verdict"),
    [
        ("What is the rook on d1 doing there? Well, it attacks the pawn on a7.", "attacks", False),
        ("What is the rook on d1 doing there? Well, it attacks the rook on d8.", "attacks", True),
        ("Is castling still an option for White? Not any more.", "castle_lost", True),
    ],
)
def test_a_question_and_its_answer_are_read_as_one(say: str, kind: str, verdict: bool) -> None:
    assert (kind, verdict) in verdicts(say)


@pytest.mark.parametrize(
    "say",
    [
        "What would you play with White here? Rook takes d8 looks natural.",
        "Can you see what Black wants? Take your time.",
        "Should White worry about the pawn on a7? I don't know.",
    ],
)
def test_a_question_and_what_is_no_answer_accuse_nobody(say: str) -> None:
    assert not any(v is False for _, v in verdicts(say))

"""What learned weights read beside the rules: things taken out of a stretch, every reading kept, whom "it" means."""

from __future__ import annotations

import chess
import pytest
from judging import score_of_fen, spoken, still

from timeline.checks.abstract import abstract
from timeline.checks.antecedents import restated
from timeline.checks.filling import FILLERS
from timeline.checks.kinds import NONE, kind_weights
from timeline.checks.speech import sentences
from timeline.checks.statements import judge

# White: Kg1 Rd1 Bb5 Nf3 Pe4 Pf2; Black: Kg8 Rd8 Nc6 Pe5 Pa7
PLAIN = "3r2k1/p7/2n5/1B2p3/4P3/5N2/5P2/3R2K1 w - - 0 30"


def verdicts(text: str, fen: str = PLAIN) -> list[tuple[str, bool | None]]:
    score = score_of_fen(fen)
    found = judge(score, spoken(text, 30_000), still(score, ()))[0]
    return [(s.claim.kind, s.verdict) for s in found if s.claim.kind != "standing"]


def test_things_are_taken_out_and_the_words_stay() -> None:
    found = abstract(" the knight on f3 is feeling the heat from the e5 pawn , says white 3 times ")
    assert found.words == ("MAN", "is", "feeling", "heat", "from", "MAN", "says", "SIDE", "NUM", "times")
    assert found.men == (("knight", "f3"), ("pawn", "e5"))
    assert found.sides == ("white",)
    assert found.numbers == ("3",)


def test_a_move_is_no_piece_on_a_square() -> None:
    found = abstract(" knight takes e5 on the d file with the b pawn and a3 ")
    assert found.moves == ("knight takes e5",)
    assert (found.files, found.pawns, found.squares, found.men) == (("d",), ("b",), ("a3",), ())


def test_probabilities_of_kinds_add_up_to_one() -> None:
    weights = kind_weights()
    for text in (" white is to move ", " good evening and welcome to my kitchen ", " "):
        assert sum(weights.shares(abstract(text)).values()) == pytest.approx(1, abs=1e-5)
    assert weights.shares(abstract(" good evening and welcome to my kitchen "))[NONE] > 0.95


def test_every_kind_that_is_filled_is_known_to_the_weights() -> None:
    assert set(FILLERS) - {"material_even"} <= set(kind_weights().kinds)


@pytest.mark.parametrize(
    ("say", "verdict"),
    [
        ("The pawn on e5 has to put up with heat from the knight on f3.", True),
        ("The pawn on a7 has to put up with heat from the knight on f3.", False),
    ],
)
def test_words_no_rule_has_are_read(say: str, verdict: bool) -> None:
    assert [v for _, v in verdicts(say)] == [verdict]


def test_what_is_only_supposed_or_wished_is_not_read() -> None:
    for say in (
        "If only the pawn on a7 had to put up with heat from the knight on f3.",
        "The pawn on a7 would have to put up with heat from the knight on f3.",
        "The pawn on a7 does not have to put up with heat from the knight on f3.",
    ):
        assert not any(v is False for _, v in verdicts(say))


def test_it_is_the_piece_named_one_or_two_sentences_before() -> None:
    """The knight on c6 has no defender; the one on f3 has none either; the pawn on f2 has the king."""
    assert verdicts("Look at the knight on c6. Nothing protects it.") == [("undefended", True)]
    assert verdicts("Look at the pawn on f2. Nothing protects it.") == [("undefended", False)]
    assert verdicts("There is the pawn on f2. I like this one. But nothing protects it.") == [("undefended", False)]


def test_it_may_be_either_of_two_and_is_nobody_where_more_is_named() -> None:
    either = "There are the pawn on f2 and the knight on c6. Nothing protects it."
    assert not any(v is False for _, v in verdicts(either))
    (talk,) = [sentences(spoken("The pawn on f2 and the queen looked at e3. Nothing protects it."))]
    assert list(restated(talk[1], talk[:1])) == []


def test_a_sentence_that_is_a_mere_lead_in_is_passed_over() -> None:
    words = spoken("By the way. Mind you. The rook is on d1.")
    assert [s.text for s in sentences(words)] == [" the rook is on d1 "]
    assert chess.Board(PLAIN).is_valid()


def test_a_statement_that_breaks_off_is_not_judged() -> None:
    assert verdicts("The knight on f3 is pinned.") == [("pinned", False)]
    assert verdicts("The knight on f3 is pinned...") == []


@pytest.mark.parametrize(
    ("say", "kind", "verdict"),
    [
        ("There's no enemy pawn that could stop the pawn on e4, so we may call it a passed pawn.", "passed", False),
        ("There's no enemy pawn that could stop the pawn on a7, so we may call it a passed pawn.", "passed", True),
        ("Three knights is what White has left.", "piece_count", False),
        ("One knight is what White has left.", "piece_count", True),
        ("What White does have is the bishop pair.", "bishop_pair", False),
        ("There's nobody at home to look after the pawn on f2, none of its side protects it.", "undefended", False),
        ("There's nobody at home to look after the knight on c6, none of its side protects it.", "undefended", True),
        ("We're only at the seventh move, so sit down again.", "move_number", False),
    ],
)
def test_may_and_no_belong_to_a_fact_where_the_rest_says_it_plainly(say: str, kind: str, verdict: bool) -> None:
    assert (kind, verdict) in verdicts(say)


@pytest.mark.parametrize(
    "say",
    [
        "It's not the case that there is nobody to look after the pawn on f2.",
        "As soon as the pawn on e4 is a passed pawn, White wins.",
        "We want the same position with Black to move, that's all.",
        "The pawn on f2 may be called weak, and a passed pawn would be nice.",
    ],
)
def test_what_stands_around_a_fact_still_keeps_it_from_being_judged(say: str) -> None:
    assert not any(v is False for _, v in verdicts(say))

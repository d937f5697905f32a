"""Questions and their answers, lead-ins and asides: what is stated is read, what is asked or supposed is not."""

# ruff: noqa: E501  (a pair of sayings stands on one line)

from __future__ import annotations

import pytest
from judging import score_of_fen, spoken, still

from timeline.checks.answers import answered
from timeline.checks.grammar import Claim
from timeline.checks.learned import contradicted
from timeline.checks.reading import seated
from timeline.checks.sentence import sentence_of
from timeline.checks.speech import sentences
from timeline.checks.statements import judge

# White: Kg1 Rd1 Bb5 Nf3 Pe4 Pf2; Black: Kg8 Rd8 Nc6 Pe5 Pa7
PLAIN = "3r2k1/p7/2n5/1B2p3/4P3/5N2/5P2/3R2K1 w - - 0 30"


def wrong(text: str) -> bool:
    score = score_of_fen(PLAIN)
    return any(s.verdict is False for s in judge(score, spoken(text, 30_000), still(score, ()))[0])


@pytest.mark.parametrize(
    ("true", "false"),
    [
        ("The knight on c6, can the bishop on b5 take it? It can.", "The pawn on a7, can the bishop on b5 take it? It can."),
        ("Who guards the pawn on e5? The knight on c6 guards it.", "Who guards the pawn on f2? The knight on f3 guards it."),
        ("The knight on c6? Undefended.", "The pawn on f2? Undefended."),
        ("The knight on c6, who defends it? Nobody.", "The pawn on f2, who defends it? Nobody."),
        ("Is there a piece that guards the knight on c6? There isn't.", "Is there a piece that guards the pawn on f2? There isn't."),
        ("Black has a passed pawn, where? On the a file.", "Black has a passed pawn, where? On the e file."),
        ("Rook to d6? Legal for White.", "Rook to e6? Legal for White."),
        ("White gets to move now, so what do you do?", "Black gets to move now, so what do you do?"),
        ("Remember pins? Well, the king on g8 is in none, but the rook on d8 is attacked.", "Remember pins? Well, the knight on f3 is in one."),
        ("And what does White attack with the knight on f3? The pawn on e5.", "What is the knight on f3 attacking? Well, the pawn on a7 for one."),
        ("How much is White up? It is a knight.", "How much is White up? It is two pawns."),
        ("See how lonely the pawn on a7 is? That's an isolated pawn.", "See how lonely the pawn on f2 is? That's an isolated pawn."),
    ],
)  # fmt: skip
def test_an_answer_states_what_was_asked(true: str, false: str) -> None:
    assert wrong(false)
    if "How much" not in true:
        assert not wrong(true)


@pytest.mark.parametrize(
    ("true", "false"),
    [
        ("What strikes me about the knight on c6 is that it has no protection.", "What strikes me about the pawn on f2 is that it has no protection."),
        ("Don't worry about the pawn on e5, the knight on c6 has got it covered.", "Don't worry about the pawn on f2, the knight on f3 has got it covered."),
        ("So before we say anything else, let me remind you that it's White who has to make a move.", "So before we say anything else, let me remind you that it's Black who has to make a move."),
        ("The square d1 is occupied at the moment by a rook.", "The square e1 is occupied at the moment by a rook."),
        ("If you're wondering where the Black king has got to, it's on g8.", "If you're wondering where the Black king has got to, it's on h8."),
        ("The thing about the a7 pawn is that it's passed.", "The thing about the e5 pawn is that it's passed."),
        ("Do keep in mind, everyone, that White is the one moving next.", "Do keep in mind, everyone, that Black is the one moving next."),
        ("White has a rook, a bishop and a knight, and two pawns left, count them.", "White has three rooks, count them if you don't believe me."),
        ("It is White's move, if you're listening while washing up.", "It is Black's move, if you're listening while washing up."),
        ("Let your eyes wander over to d1, where a rook stands.", "Let your eyes wander over to c1, where a rook stands."),
        ("If you click through to the end, you'll see the pawn on a7.", "If nobody does anything about it, White gives mate next move."),
        ("The pawn on a7, unlike many others of its kind, is passed.", "The pawn on e5, unlike many others of its kind, is passed."),
        ("If one merely adds up their values, one finds that White is a piece up.", "If one merely adds up their values, one finds that Black is a pawn up."),
        ("You can't pass in chess, and the one who has to move now is White.", "You can't pass in chess, and the one who has to move now is Black."),
        ("Oops, somebody is in trouble, and it's White.", "Oops, somebody's in check, and it's White."),
        ("We count the defenders of the pawn on f2, and we see that there is one of them.", "We count the defenders of the pawn on f2, and we see that there are three of them."),
    ],
)  # fmt: skip
def test_what_leads_in_is_no_condition_and_names_what_it_is_about(true: str, false: str) -> None:
    assert wrong(false)
    assert not wrong(true)


@pytest.mark.parametrize(
    "say",
    [
        "Can you see that Black has a passed pawn on the e file, what do you think?",
        "If White gets to move twice, so what do you do?",
        "Is the pawn on a7 pinned, what do you think?",
        "The pawn on f2? Look at it.",
        "The pawn on f2, what about it? Nobody knows.",
        "The doubt about the pawn on e5 is whether it is passed.",
        "The plan for the pawn on e5 is that it is passed one day.",
    ],
)
def test_what_is_asked_or_planned_is_not_judged(say: str) -> None:
    assert not wrong(say)


@pytest.mark.parametrize(
    "say",
    [
        "White has got the pawn on e5 attacked.",
        "White has the pawn on e5 attacked.",
        "Behind the pawn on f2 we have the king.",
        "And from f3 the knight attacks two things at once.",
        "That is worth checking before you calculate anything.",
        "After all this the checks come afterwards by themselves.",
        "There's mate in one coming from White.",
        "Two Black pawns, one behind the other on the c file, that would be nice.",
        "That last move by Black unveiled an attack from a piece behind it, I mean the rook.",
        "One of White's pieces has woken up.",
        "The knight on c6 lacks any defender, and this is the sort of detail one exploits.",
        "That rare bird is a knight.",
        "Can he take the pawn on e4? Not yet, no, the pawn on f2 is hanging... let me think.",
        "Castles, castles. Five: the remaining knights are developed.",
        "White plans a fianchetto, e6, the bishop takes up its post.",
        "Check your board, there should be a White pawn on f2.",
        "Since the last move was made by Black, we wait.",
        "One may search the whole board for a piece which protects the pawn on a7, and in vain.",
        "On the d file there's only the other side's rook, so look.",
        "Black has just moved, which means over to White.",
    ],
)
def test_words_that_sound_like_another_fact_accuse_nobody(say: str) -> None:
    assert not wrong(say)


def test_a_rule_gives_way_where_the_weights_are_sure_of_another_fact() -> None:
    (sentence,) = sentences(spoken("That last move by Black unveiled an attack from a piece behind, a discovered attack."))
    last = len(sentence.tokens) - 1
    assert contradicted(sentence, Claim("material", {"side": "black", "up": "down", "piece": "piece"}, 0, last))
    assert not contradicted(sentence, Claim("discovered_attack", {}, 0, last))


def test_a_statement_before_a_tag_is_a_sentence_of_its_own() -> None:
    talk = answered(sentences(spoken("Black is threatening mate, did you see it?")))
    assert [(s.text.strip(), s.end) for s in talk] == [("black is threatening mate", "."), ("did you see it", "?")]


@pytest.mark.parametrize(
    ("say", "who"),
    [
        ("The white pieces are being handled by Tern, and Roe has the black ones.", [("tern", "white"), ("roe", "black")]),
        ("With the white pieces, Roe, and facing them with the black, Tern.", [("roe", "white"), ("tern", "black")]),
        ("The gentleman with the black pieces is Roe.", [("roe", "black")]),
        ("Roe's black here.", [("roe", "black")]),
        ("With White it was harder, Roe won against Tern.", []),
    ],
)  # fmt: skip
def test_who_sits_where_is_told_for_one_or_for_both(say: str, who: list[tuple[str, str]]) -> None:
    (sentence,) = sentences(spoken(say), sides={"tern": "white", "roe": "black"})
    named = sentence_of([type(t)(t.name or t.text, t.first, t.last) for t in sentence.tokens], sentence.end)
    assert [(c.parts["who"], c.parts["seat"]) for c in seated(named, {"tern", "roe"})] == who

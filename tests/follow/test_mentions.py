"""Mentions: what stretches of words say of a move, before any board is asked; and marks, questions."""

from __future__ import annotations

import chess
import pytest
from followtalk import LEGAL, setup, words

from timeline.follow import follow_words
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.mentions import Desc, Mention
from timeline.follow.pointing import role_of
from timeline.score import read_score
from timeline.transcript.words import Word


def readings(text: str) -> list[Mention]:
    """All readings of a text that begin at its first word and use all of it."""
    lattice = Lattice(tokens(words(text)))
    return [m for m in lattice.readings(0) if m.end == lattice.n]


SQ = chess.parse_square


@pytest.mark.parametrize(
    ("text", "kind", "desc"),
    [
        ("knight f3", "full", Desc(piece=chess.KNIGHT, to=SQ("f3"))),
        ("knight f three", "full", Desc(piece=chess.KNIGHT, to=SQ("f3"))),
        ("knight to f3", "full", Desc(piece=chess.KNIGHT, to=SQ("f3"))),
        ("knight from b to d2", "full", Desc(piece=chess.KNIGHT, ff="b", to=SQ("d2"))),
        ("knight b d2", "full", Desc(piece=chess.KNIGHT, ff="b", to=SQ("d2"))),
        ("rook one to e3", "full", Desc(piece=chess.ROOK, fr="1", to=SQ("e3"))),
        ("rook a to e1 check", "full", Desc(piece=chess.ROOK, ff="a", to=SQ("e1"), chk=1)),
        ("check on b4", "to", Desc(to=SQ("b4"), chk=1)),
        ("check from h four", "to", Desc(to=SQ("h4"), chk=1)),
        ("c3 pawn check", "pcheck", Desc(piece=chess.PAWN, fsq=SQ("c3"), chk=1)),
        ("mate on h7", "to", Desc(to=SQ("h7"), chk=2)),
        ("mate", "check", Desc(chk=2)),
        ("e4", "pawn", Desc(to=SQ("e4"))),
        ("pawn to e4", "full", Desc(piece=chess.PAWN, to=SQ("e4"))),
        ("takes", "take", Desc(cap=True)),
        ("takes the knight", "cap", Desc(cap=True, victim=chess.KNIGHT)),
        ("takes on d5", "capsq", Desc(cap=True, to=SQ("d5"))),
        ("knight takes e4", "capsq", Desc(piece=chess.KNIGHT, cap=True, to=SQ("e4"))),
        ("c takes", "cap", Desc(piece=chess.PAWN, ff="c", cap=True)),
        ("castles long", "castle", Desc(castle="q")),
        ("castles kingside", "castle", Desc(castle="k")),
        ("both castle", "castle", Desc(castle="any", both=True)),
        ("Nbd2", "san", Desc(piece=chess.KNIGHT, ff="b", to=SQ("d2"))),
        ("exd6", "san", Desc(piece=chess.PAWN, ff="e", cap=True, to=SQ("d6"))),
        ("knight foxtrot three", "full", Desc(piece=chess.KNIGHT, to=SQ("f3"))),
        ("knight felix three", "full", Desc(piece=chess.KNIGHT, to=SQ("f3"))),
        ("d pawn one square", "full", Desc(piece=chess.PAWN, ff="d", steps=1)),
        ("push again, e5", "to", Desc(piece=chess.PAWN, to=SQ("e5"))),
        ("ate the pawn", "cap", Desc(cap=True, victim=chess.PAWN)),
        ("king comes happy to e6", "full", Desc(piece=chess.KING, to=SQ("e6"))),
        ("bishop shuffles merrily over to d7", "full", Desc(piece=chess.BISHOP, to=SQ("d7"))),
    ],
)
def test_what_words_say_of_a_move(text: str, kind: str, desc: Desc) -> None:
    assert (kind, desc) in [(m.kind, m.desc) for m in readings(text) if m.hear < 0.8]


@pytest.mark.parametrize("text", ["d pawn one square", "h pawn goes up two squares"])
def test_how_far_a_pawn_goes_is_not_cut_off(text: str) -> None:
    lattice = Lattice(tokens(words(text)))
    assert {m.desc.steps for m in lattice.readings(0) if m.hear < 1} == {1 if "one" in text else 2}



@pytest.mark.parametrize(
    ("text", "man"),
    [("he can push, e5", chess.PAWN), ("he pushes on, e5", chess.PAWN), ("he can push. e5", 0), ("he can wait, e5", 0)],
)
def test_a_square_after_a_push_is_a_pawns(text: str, man: int) -> None:
    lattice = Lattice(tokens(words(text)))
    assert {m.desc.piece for m in lattice.readings(lattice.n - 1)} == {man}


def test_the_other_one_is_of_the_kind_named_before() -> None:
    lattice = Lattice(tokens(words("the rook came to f2, the other one goes to e1")))
    assert (chess.ROOK, SQ("e1")) in [(m.desc.piece, m.desc.to) for m in lattice.readings(6)]
    assert not [m for m in Lattice(tokens(words("I like this rook, the other one is bad"))).readings(5) if m.desc.piece]


@pytest.mark.parametrize(
    ("heard", "desc"),
    [
        ("night f three", Desc(piece=chess.KNIGHT, to=SQ("f3"))),
        ("bishop he seven", Desc(piece=chess.BISHOP, to=SQ("e7"))),
        ("root e one", Desc(piece=chess.ROOK, to=SQ("e1"))),
        ("king age seven", Desc(piece=chess.KING, to=SQ("h7"))),
        ("bishop before", Desc(piece=chess.BISHOP, to=SQ("b4"))),
        ("knight see six", Desc(piece=chess.KNIGHT, to=SQ("c6"))),
        ("bishop c fine", Desc(piece=chess.BISHOP, to=SQ("c5"))),
        ("bishop the three", Desc(piece=chess.BISHOP, to=SQ("d3"))),
        ("nine f three", Desc(piece=chess.KNIGHT, to=SQ("f3"))),
        ("cancels", Desc(castle="any")),
    ],
)
def test_mishearings_are_read_at_a_cost(heard: str, desc: Desc) -> None:
    found = [m for m in readings(heard) if m.desc == desc]
    assert found
    assert 0 < found[0].hear < 2.5
    assert any(mended for _, _, _, mended in found[0].parts)


@pytest.mark.parametrize(
    ("text", "taken"),
    [
        ("if I took a photograph of this", False),
        ("it takes time", False),
        ("he takes a very deep breath", False),
        ("he takes a pawn", True),
        ("she took her knight", True),
        ("white takes a second pawn", True),
        ("takes", True),
    ],
)
def test_what_is_taken_may_stand_on_no_board(text: str, taken: bool) -> None:
    lattice = Lattice(tokens(words(text)))
    found = [m for k in range(lattice.n) for m in lattice.readings(k) if m.desc.cap and m.hear < 0.4]
    assert bool(found) is taken


def test_the_counts_men_and_is_no_d_there() -> None:
    found = Lattice(tokens(words("he takes the two pawns"))).readings(1)
    assert not [m for m in found if m.desc.to == SQ("d2") and m.hear < 2.5]


@pytest.mark.parametrize("text", ["hello", "the", "and then we", "before", "to", "a"])
def test_small_words_are_no_moves_by_themselves(text: str) -> None:
    assert not [m for m in readings(text) if m.hear < 0.4]


@pytest.mark.parametrize(
    ("around", "role"),
    [
        ("the knight attacks the pawn on", "attack"),
        ("it defends the pawn on", "defence"),
        ("a weak square", "weakness"),
        ("the plan is to go to", "plan"),
        ("the square in front of it", "key square"),
    ],
)
def test_roles_of_marks(around: str, role: str) -> None:
    assert role_of(around.split()) == role


def test_marks_point_from_the_piece_to_what_it_bears_on() -> None:
    score = read_score(setup("4k3/8/8/8/3p4/8/1B6/R3K3 w - - 0 1", "1. Ra7 Kf8"))
    marks = follow_words(
        words("The bishop hits the pawn. And we look at the weak pawn on d4. And the a file is open."), score
    ).marks
    assert ("arrow", (chess.B2, chess.D4), "attack") in [(m.kind, m.squares, m.role) for m in marks]
    assert ("square", (chess.D4,), "weakness") in [(m.kind, m.squares, m.role) for m in marks]
    assert ("route", (chess.A1, chess.A8), "route") in [(m.kind, m.squares, m.role) for m in marks]


def test_a_piece_that_bears_on_nothing_of_the_kind_gets_no_arrow() -> None:
    score = read_score(setup("4k3/8/8/8/8/8/1B6/4K3 w - - 0 1", "1. Bc3 Kf8"))
    assert not [m for m in follow_words(words("The bishop attacks the queen."), score).marks if m.kind == "arrow"]


QUESTIONS = [
    "Can you find the move?",
    "What would you play here?",
    "Pause here if you like.",
    "White to play and win.",
    "How does White continue?",
    "Where would you put the knight?",
    "Who knows the answer?",
]


def asked(question: str, answer: str, *, gap_ms: int = 5000) -> tuple:
    score = read_score(LEGAL)
    talk = words("E4, e5, knight f3, d6, bishop c4, bishop g4, knight c3, g6. " + question)
    start = talk[-1].end_ms + gap_ms
    late = [Word(w, start + i * 350, start + 300 + i * 350) for i, w in enumerate(answer.split())]
    return follow_words([*talk, *late], score).asks, talk, late


@pytest.mark.parametrize("question", QUESTIONS)
def test_questions_to_the_viewer(question: str) -> None:
    (ask,), talk, late = asked(question, "Knight takes e5!")
    assert ask.path[-1] == "g7g6"
    assert talk[-1].end_ms <= ask.at_ms < late[0].onset_ms
    assert ask.spoken_pause_ms == 5000


@pytest.mark.parametrize("question", ["What a move!", "I like this position.", "How nice.", "Who knows the story of it."])
def test_other_talk_is_no_question(question: str) -> None:
    assert asked(question, "Knight takes e5!")[0] == ()


def test_a_question_without_an_answer_soon_is_none() -> None:
    assert asked("Can you find the move?", "Knight takes e5!", gap_ms=60_000)[0] == ()


def test_a_line_named_by_its_ends_is_one_mark() -> None:
    talk = "E four, e five, knight f three. Look at this long diagonal from h one to a eight, how open it will be."
    marks = follow_words(words(talk), read_score(LEGAL)).marks
    assert [(m.kind, m.squares) for m in marks] == [("route", (chess.H1, chess.A8))]


def test_the_word_between_a_check_and_its_square_stays_a_word_of_its_own() -> None:
    (found,) = (m for m in readings("check on b four") if m.desc.chk)
    assert [(part[0], part[1]) for part in found.parts] == [(0, 0), (2, 3)]


@pytest.mark.parametrize(("text", "square"), [("a free pawn", False), ("a free hand", False), ("a free check", True)])
def test_an_article_before_a_chess_noun_is_no_file(text: str, square: bool) -> None:
    found = Lattice(tokens(words(text))).readings(0)
    assert any(m.desc.to == SQ("a3") for m in found) is square

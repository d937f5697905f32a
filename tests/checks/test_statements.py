"""Statements in speech: the table of pairs, what is not judged, and which positions are asked."""

from __future__ import annotations

import random
from dataclasses import replace

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st
from judging import DATA, called_wrong, score_of_fen, spoken, statements, still, table
from truth import fen_of

from timeline.checks.context import CheckContext
from timeline.checks.grammar import expand
from timeline.checks.needed import Needed, needed
from timeline.checks.run import run_checks
from timeline.checks.sayings import GRAMMAR, PLAYERS
from timeline.checks.speech import sentences
from timeline.checks.statements import judge, teacher_side
from timeline.checks.talk import player_sides
from timeline.lesson import Lesson
from timeline.score import read_score
from timeline.tracks import BoardSpan, BoardTrack
from timeline.transcript.words import Word

ROWS = table()
SPANISH = "r1bqkbnr/pppp1ppp/2n5/1B2p3/4P3/5N2/PPPP1PPP/RNBQK2R b KQkq - 3 3"


def test_the_table_has_three_hundred_pairs_and_half_of_them_are_false() -> None:
    judged = [r for r in ROWS if r["true"] is not None]
    assert len(judged) >= 300
    assert 0.45 <= sum(not r["true"] for r in judged) / len(judged) <= 0.55


@pytest.mark.parametrize("wordings", ["known", *(f"heldout{n}" for n in range(1, 36, 2))])
def test_wrong_is_said_rightly_and_often_enough(wordings: str) -> None:
    """Truth was worked out by ``naive.py``. At least 98 of 100 alarms are right, 90 of 100 false statements are found.

    The held-out wordings were written before the grammar could read them; see SOURCE.txt for the first figures. Every second
    set is judged, to save time.
    """
    rows = [r for r in ROWS if r["set"] == wordings]
    alarms = [r for r in rows if called_wrong(r)]
    false = [r for r in rows if r["true"] is False]
    right = [r for r in alarms if r["true"] is False]
    assert len(false) > 20
    assert len(right) / len(alarms) >= 0.98
    assert len(right) / len(false) >= 0.90


def test_wordings_that_nobody_read_and_nothing_was_learned_from_are_judged_as_well() -> None:
    """The aims on the sets that were written last, by people who had not read the grammar; see SOURCE.txt."""
    rows = [r for r in ROWS if r["set"].startswith("unseen")]
    alarms = [r for r in rows if called_wrong(r)]
    false = [r for r in rows if r["true"] is False]
    right = [r for r in alarms if r["true"] is False]
    assert len(false) > 400
    assert len(right) / len(alarms) >= 0.98
    assert len(right) / len(false) >= 0.90


def test_opinions_about_the_same_things_are_never_called_wrong() -> None:
    rows = [r for r in ROWS if r["set"] == "opinions"]
    assert len(rows) > 100
    assert [r["say"] for r in rows if called_wrong(r)] == []


@pytest.mark.parametrize(
    "say",
    [
        "If the knight on c6 is pinned to the king, fine.",
        "Is the knight on c6 pinned to the king?",
        "The knight on c6 isn't pinned to the king.",
        "What a beautiful knight on c6!",
        "I think the knight on c6 is pinned to the king.",
        "The knight on c6 would be pinned to the king.",
        "A pin is when a piece can't move, the knight on c6 is pinned to the king, they say.",
        "The knight on c6 is pinned to the king, no, sorry, it is not.",
        "You might think it's checkmate.",
        "Imagine White had a mate in two here.",
        "Next he wants to give mate.",
        "Had White castled, Black would be a pawn down.",
    ],
)
def test_questions_hypotheses_denials_and_opinions_are_not_judged(say: str) -> None:
    found = statements({"fen": SPANISH, "game": None, "say": say})
    assert not any(s.verdict is False for s in found)


UNJUDGED = [
    line
    for line in (DATA / "unjudged.txt").read_text(encoding="utf-8").splitlines()
    if line.strip() and not line.startswith("#")
]


@pytest.mark.parametrize("plain", [False, True], ids=["as written", "as recognisers write"])
def test_what_is_no_statement_of_fact_is_never_called_wrong(plain: bool) -> None:
    """Hypotheses, denials, questions, opinions, wishes, rules, reports and slips taken back: see the file."""
    score = read_score(
        '[White "Tern"]\n[Black "Roe"]\n[Result "1-0"]\n\n1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 1-0\n'
    )
    shown = still(score, score.moves[:5])
    for line in UNJUDGED:
        said = spoken(line.lower().rstrip(".?") if plain else line, 30_000)
        assert not [s for s in judge(score, said, shown)[0] if s.verdict is False], line


def test_a_false_statement_in_the_same_words_is_judged() -> None:
    """The d pawn shields the king: no pin yet. The bare fact is called wrong: the guards above hold something back."""
    assert called_wrong({"fen": SPANISH, "game": None, "say": "The knight on c6 is pinned to the king."})


def test_a_pronoun_takes_the_piece_just_named() -> None:
    row = {"fen": SPANISH, "game": None, "say": "Look at the knight on c6. It is pinned to the king."}
    assert called_wrong(row)


GAME = '[White "Tern, Ada"]\n[Black "Roe, Bert"]\n[Result "1-0"]\n\n1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Qxf7# 1-0\n'


def _lesson(text: str, starts: list[int]) -> tuple:
    """A lesson of that game: ply n from ``starts[n]`` ms on; words every 400 ms."""
    score = read_score(GAME)
    uci = tuple(m.uci() for m in score.moves)
    ends = [*starts[1:], 60_000]
    spans = tuple(
        BoardSpan(a, b, score.boards[n].fen(), uci[:n], n, score.mainline_label(n), "score")
        for n, (a, b) in enumerate(zip(starts, ends, strict=True))
    )
    words = [Word(w, 400 * i, 400 * i + 350) for i, w in enumerate(text.split())]
    return score, words, BoardTrack(score.start.fen(), uci, spans)


def test_a_statement_may_mean_the_position_just_before_or_after() -> None:
    """ "Queen takes f7, checkmate": the board may follow a little later."""
    text = "So what happens now? Queen takes f7, and it is checkmate. Good."
    late = _lesson(text, [0, 100, 200, 300, 400, 500, 600, 5200])
    assert all(s.verdict is not False for s in judge(*late)[0])
    far = _lesson(text, [0, 100, 200, 300, 400, 500, 600, 30_000])
    wrong = [s.claim.kind for s in judge(*far)[0] if s.verdict is False]
    # A move that is legal and mates makes the statement true of what is spoken of; a bare one is wrong.
    assert wrong in ([], ["checkmate"])
    bare = _lesson("So here we are my friends. It is checkmate. Good.", [0, 100, 200, 300, 400, 500, 600, 30_000])
    assert [s.claim.kind for s in judge(*bare)[0] if s.verdict is False] == ["checkmate"]


def test_move_twenty_at_move_nineteen_is_wrong() -> None:
    text = "Now this is move four and not move five dear friends. This is move nine."
    score, words, track = _lesson(text, [0, 100, 200, 300, 400, 500, 600, 900])
    verdicts = {s.claim.parts["n"]: s.verdict for s in judge(score, words, track)[0] if s.claim.kind == "move_number"}
    assert verdicts == {"4": True, "9": False}


def test_players_names_stand_for_their_sides() -> None:
    score = read_score(GAME)
    assert player_sides(score) == {"tern": "white", "ada": "white", "roe": "black", "bert": "black"}
    text = "Tern has the black pieces. Roe resigned. Roe won the game."
    found = {s.claim.kind: s.verdict for s in judge(*_lesson(text, [0, 10, 20, 30, 40, 50, 60, 70]))[0]}
    assert found["players"] is False
    assert found["result"] is False


@pytest.mark.parametrize(
    ("text", "verdict"),
    [
        ("Roe was beaten.", True), ("Tern was beaten.", False), ("Black was defeated in the end.", True),
        ("White was defeated.", False), ("Tern defeated Black.", True), ("Roe defeated White.", False),
        ("A defeat for Black.", True),
    ],
)  # fmt: skip
def test_who_was_beaten_lost_and_who_defeated_the_other_won(text: str, verdict: bool) -> None:
    score = read_score('[White "Tern"]\n[Black "Roe"]\n[Result "1-0"]\n\n1. e4 e5 2. Nf3 1-0\n')
    found = judge(score, spoken(text, 30_000), still(score, ()))[0]
    assert [s.verdict for s in found if s.claim.kind == "result"] == [verdict]


def test_the_teachers_side_is_taken_from_the_talk() -> None:
    assert teacher_side(sentences(spoken("In this game I had White against a friend."))) is chess.WHITE
    assert teacher_side(sentences(spoken("I had White. Later I had Black."))) is None
    assert teacher_side(sentences(spoken("I saw that White is better."))) is None


def test_plain_form_of_speech() -> None:
    """Squares closed up, numbers in digits, notation spoken, contractions written out."""
    said = "Anderssen's night on e four isn't pinned, it's move twenty-three. Bxf7+! The rook on f 1."
    plain = [s.text.strip() for s in sentences(spoken(said), sides={"anderssen": "white"})]
    assert plain == [
        "white 's knight on e4 is not pinned , it is move 23",
        "bishop takes f7 check",
        "the rook on f1",
    ]


def test_a_misnamed_square_names_where_the_piece_is() -> None:
    found = statements({"fen": SPANISH, "game": None, "say": "Look at this knight on f6."})
    assert [(s.claim.kind, s.verdict) for s in found] == [("standing", False)]


@pytest.mark.referee("stockfish")
def test_check_and_mate_in_the_table_agree_with_stockfish(referee_path) -> None:
    """``d`` prints the checkers, ``go perft 1`` the number of legal moves: no python-chess involved."""
    import re
    import subprocess

    rows = [r for r in ROWS if r["kind"] in ("check_said", "double_check", "checkmate", "stalemate", "only_move")]
    fens = sorted({fen_of(r) for r in rows})
    commands = "".join(f"position fen {fen}\nd\ngo perft 1\n" for fen in fens) + "quit\n"
    out = subprocess.run(
        [referee_path("stockfish")], input=commands, capture_output=True, text=True, timeout=120
    ).stdout
    checkers = [len(line.split()) for line in re.findall(r"^Checkers:(.*)$", out, re.M)]
    legal = [int(n) for n in re.findall(r"^Nodes searched: (\d+)$", out, re.M)]
    assert len(checkers) == len(legal) == len(fens)
    facts = dict(zip(fens, zip(checkers, legal, strict=True), strict=True))
    for row in rows:
        checking, moves = facts[fen_of(row)]
        truth = {
            "check_said": checking > 0,
            "double_check": checking == 2,
            "checkmate": checking > 0 and moves == 0,
            "stalemate": checking == 0 and moves == 0,
            "only_move": moves == 1,
        }[row["kind"]]
        assert truth == row["true"], row


def test_a_position_without_moves_can_be_judged() -> None:
    score = score_of_fen("7k/5Q2/6K1/8/8/8/8/8 b - - 0 1")
    assert score.moves == ()
    assert not called_wrong({"fen": score.start.fen(), "game": None, "say": "It is stalemate."})


def test_nobody_is_called_wrong_where_the_follower_was_unsure() -> None:
    score, words, track = _lesson(
        "So here we are. White has a rook on e4. White is in check.", [0, 10, 20, 30, 40, 50, 60, 70]
    )
    wrong = {s.claim.kind for s in judge(score, words, track)[0] if s.verdict is False}
    assert wrong == {"standing", "check"}
    unsure = replace(track, spans=tuple(replace(s, sure=0.55) for s in track.spans))
    assert not any(s.verdict is False for s in judge(score, words, unsure)[0])


def test_on_a_doubtful_board_a_statement_must_be_false_of_everything_near() -> None:
    """Between 0.6 and 0.85 the neighbouring positions count, too; the finding is then a warning."""
    text = "So here we are. White has a passed d pawn. Black is in check. White is in check."
    score, words, track = _lesson(text, [0, 10, 20, 30, 40, 50, 20_000, 30_000])
    shown = {
        s.claim.parts["side"] for s in judge(score, words, track)[0] if s.verdict is False and s.claim.kind == "check"
    }
    assert shown == {"white", "black"}
    doubtful = replace(track, spans=tuple(replace(s, sure=0.65) for s in track.spans))
    wrong = [(s.claim.kind, s.claim.parts["side"]) for s in judge(score, words, doubtful)[0] if s.verdict is False]
    assert wrong == [("passed", "white"), ("check", "white")]  # Black will be: the game ends with mate
    lesson = Lesson(title="x", score="g.pgn", transcript="t.txt")
    found = run_checks(CheckContext(lesson, score, doubtful, words), families=["said"])
    assert {(f.severity, f.sure) for f in found} == {("warning", 0.65)}


def test_a_bare_mate_after_moves_that_were_not_shown_is_not_judged() -> None:
    """ "Takes, block, mate" in a sideline: the board stopped at the first of these moves."""
    score, words, track = _lesson("Suppose instead knight f3 was played. Queen takes, block, mate. Fine.", [0])
    board = score.board_at(score.resolve("1b Nf3"))
    side = BoardSpan(0, 60_000, board.fen(), ("e2e4", "e7e5", "g1f3"), 2, "1b Nf3", "sideline")
    shown = BoardTrack(track.start_fen, track.mainline, (side,))
    assert not any(s.verdict is False for s in judge(score, words, shown)[0])


def test_key_words_only_make_reading_fast() -> None:
    """A rule whose key words are not in a sentence must not fit it: else a way of speaking is lost unseen."""
    says = random.Random(8).sample(sorted({r["say"] for r in ROWS}), 800)
    plain = {s.text for say in says for s in sentences(spoken(say))}
    for grammar in (GRAMMAR, PLAYERS):
        rules = [r for r in grammar.rules if r.kind != "standing"]  # a bare piece is no statement
        for text in sorted(plain):
            fitting = {r.template for r in grammar.may_fit(text)}
            for rule in rules:
                if rule.template not in fitting:
                    assert not expand(rule.template).search(text), (rule.kind, rule.keys, rule.template, text)


def test_the_words_a_rule_cannot_do_without_are_found_in_its_template() -> None:
    """Only what stands outside of optional parts, in order; any one of a list of alternatives."""
    assert needed("<S> can not (?:legally )?move(?! to)").steps == ((" can not",), (" move",))
    assert needed("(?:on|at) moves? <N>").steps == ((" on", " at"), (" move",), tuple("0123456789"))
    assert needed("this is|that is").steps == ((" this is", " that is"),)
    assert needed("a (?:b (?:c|d)|e)").steps == ((" a",), (Needed(((" b",), (" c", " d"))), " e"))
    assert needed("a (?:b|[a-z]+) c{0,2}(?:d|e)?").steps == ((" a",),)


def test_words_that_cannot_be_left_out_must_stand_in_order() -> None:
    need = needed("the hanging (?!pawns?)<A>")
    assert need.met(" that is the hanging knight on f3 ")
    assert not need.met(" the knight on f3 is the hanging one ")
    assert not need.met(" the knight is hanging , knight on f3 ")
    assert needed("(?:a fork|both) <B> and <C>").met(" both the king and the rook ")
    assert not needed("(?:a fork|both) <B> and <C>").met(" the king and the rook both ")


VOCABULARY = (
    "white black he it we the a his her not no is are was has have can will if and , but because so which that "
    "on to at with from king queen rook bishop knight pawn pawns piece e4 d5 f7 h8 a file open half-open "
    "isolated passed backward doubled hanging pinned pins pin fork forks skewer battery x-ray check checkmate "
    "mate in 1 2 3 20 times twice attacks attacked defends protected hits takes capture up down ahead exchange "
    "material equal level castled castle right kingside developed outpost weak square light dark move turn "
    "play legal illegal only forced threatens stalemate double discovered attack bishops pair opposite-colored "
    "fianchettoed won lost drew resigned sicilian french game best blunder winning left still both all extra"
).split()


@given(st.lists(st.lists(st.sampled_from(VOCABULARY), min_size=1, max_size=14), min_size=1, max_size=4))
def test_no_string_of_chess_words_breaks_the_checks(said: list[list[str]]) -> None:
    score = read_score(GAME)
    words = spoken(". ".join(" ".join(s) for s in said) + ".", 30_000)
    for statement in judge(score, words, still(score, score.moves[:5]))[0]:
        assert statement.verdict in (True, False, None)

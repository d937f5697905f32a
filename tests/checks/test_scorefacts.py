"""Checks of the score as written."""

from __future__ import annotations

import pytest
from judging_lesson import PGN, context

from timeline.checks.run import run_checks
from timeline.checks.scorelines import forgiven, place_game
from timeline.problems import ScoreError
from timeline.score import read_score


def found(pgn: str) -> list[tuple[str, str]]:
    return [(f.code, f.message) for f in run_checks(context(pgn=pgn), families=["score"])]


def test_a_score_in_order_gives_nothing() -> None:
    assert found(PGN) == []


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ('[Date "2024.05.01"]', '[Date "01.05.2024"]', "tag-odd"),
        ('[Date "2024.05.01"]', '[Date "2024.13.01"]', "tag-odd"),
        ('[Date "2024.05.01"]', '[Date "2023.02.29"]', "tag-odd"),
        ('[Date "2024.05.01"]\n', "", "tag-missing"),
        ('[Event "Club"]\n', "", "tag-missing"),
        ('[Result "1-0"]\n', "", "tag-missing"),
        ('[Black "Roe"]', '[Black "Tern"]', "tag-odd"),
        ('[Black "Roe"]', '[Black "Roe"]\n[Black "Doe"]', "tag-odd"),
        ('[Round "1"]', "[Round 1]", "tag-odd"),
        ('[Result "1-0"]', '[Result "0-1"]', "result-mismatch"),
    ],
)
def test_tags(old: str, new: str, code: str) -> None:
    """PGN standard (1994), 7 and 8.1: a tag pair is a name and a quoted value, dates are YYYY.MM.DD."""
    assert code in [c for c, _ in found(PGN.replace(old, new))]


def test_the_result_in_the_movetext_against_the_tag() -> None:
    """python-chess keeps the tag and says nothing."""
    pgn = PGN.replace("4. Qxf7# 1-0", "4. Qf3 0-1")
    assert [c for c, _ in found(pgn)] == ["result-mismatch"]


def test_stalemate_is_a_draw() -> None:
    """FIDE Laws 5.2.1."""
    fen = (
        '[Event "?"]\n[Site "?"]\n[Date "2024.01.01"]\n[Round "?"]\n[White "A"]\n[Black "B"]\n'
        '[Result "1-0"]\n[SetUp "1"]\n'
        '[FEN "7k/8/5KQ1/8/8/8/8/8 w - - 0 1"]\n\n1. Qf7 1-0\n'
    )
    assert [c for c, _ in found(fen)] == ["result-mismatch"]


def test_sidelines_that_repeat() -> None:
    doubled = PGN.replace("2. Qh5 Nc6", "2. Qh5 (2. Nf3 d6) (2. Nf3 Nc6) Nc6")
    assert [c for c, _ in found(doubled)] == ["sideline-twice"]
    same = PGN.replace("2. Qh5 Nc6", "2. Qh5 (2. Qh5 d6) Nc6")
    assert [c for c, _ in found(same)] == ["sideline-is-mainline"]


def test_a_bracket_inside_a_comment_is_no_tag() -> None:
    assert found(PGN.replace("2. Qh5", '{ a note\n[Black "nobody\n] } 2. Qh5')) == []


def test_what_is_unknown_is_written_with_a_question_mark() -> None:
    """PGN standard (1994), 8.1.1: an unknown site or round is "?", which is no fault."""
    assert found(PGN.replace('[Site "Town"]', '[Site "?"]').replace('[Round "1"]', '[Round "?"]')) == []


@pytest.mark.parametrize(
    ("old", "new", "code", "line"),
    [
        ('[Site "Town"]\n', "", "tag-missing", 1),
        ('[Date "2024.05.01"]', '[Date "1.5.24"]', "tag-odd", 3),
        ('[Result "1-0"]', '[Result "0-1"]', "result-mismatch", 7),
        ("2. Qh5 Nc6", "2. Qh5\n(2. Nf3 d6)\n(2. Nf3 Nc6)\nNc6", "sideline-twice", 11),
        ("2. Qh5 Nc6", "2. Qh5\n(2. Qh5 d6) Nc6", "sideline-is-mainline", 10),
    ],
)
def test_each_has_its_line(old: str, new: str, code: str, line: int) -> None:
    """Lines of the file as an editor counts them: seven tags, an empty line, the moves in line 9."""
    lines = {f.code: f.line for f in run_checks(context(pgn=PGN.replace(old, new)), families=["score"])}
    assert lines[code] == line


def test_the_second_game_of_a_file_has_its_own_lines() -> None:
    pgn = PGN + "\n" + PGN.replace('[Date "2024.05.01"]', '[Date "1.5.24"]')
    placed = place_game(pgn, 2)
    assert placed is not None
    assert placed.first == 11
    assert placed.tag_line("Date") == 13
    assert placed.line_of(placed.game.next()) == 19


MOVES = "1. e4 e5 2. Qh5 Nc6 3. Bc4 Nf6 4. Qxf7#"


@pytest.mark.parametrize(
    ("moves", "codes", "plies", "lost"),
    [
        ("1. e4 foo e5 2. Qh5 Nc6", ["not-a-move"], 4, False),
        ("1. e4 e5) 2. Qh5 Nc6", ["stray-bracket"], 4, False),
        ("1. e4 best } e5 2. Qh5", ["not-a-move", "stray-brace"], 3, False),
        ("1. e4 e5 (1... c5 2. Nf3", ["unclosed-sideline"], 2, False),
        ("1. e4 e5 { rest 2. Qh5 Nc6", ["open-comment"], 2, True),
        ("1. e4 e5 2. Qh9 Nc6 3. Bc4", ["not-a-move"], 2, True),
        (f"{MOVES} Kxf7 5. Bxf7", ["moves-after-end"], 7, False),
    ],
)
def test_what_a_reader_drops_in_silence_is_found(moves: str, codes: list[str], plies: int, lost: bool) -> None:
    """python-chess 1.11.2 reads each of these without an error in its list, or blames a later move."""
    text = f'[White "A"]\n\n{moves} *\n'
    with pytest.raises(ScoreError) as raised:
        read_score(text)
    read = forgiven(raised.value.findings, text, 1)
    assert read is not None
    score, findings, maybe_lost = read
    assert [f.code for f in findings] == codes
    assert {f.line for f in findings} == {3}
    assert len(score.moves) == plies
    assert maybe_lost is lost


@pytest.mark.parametrize(
    ("moves", "code", "plies"),
    [
        ("1. e4 e5 2. Ke3 Nc6", "illegal-move", 2),
        ("1. Nf3 a6 2. e3 a5 3. Nc3 a4 4. Ne2 h6 5. Nd4 h5", "ambiguous-move", 8),
    ],
)
def test_the_score_is_read_up_to_a_move_that_cannot_be_played(moves: str, code: str, plies: int) -> None:
    """An illegal move; one that two knights can play (from f3 and e2). The moves after it are lost."""
    text = f'[White "A"]\n\n{moves} *\n'
    with pytest.raises(ScoreError) as raised:
        read_score(text)
    read = forgiven(raised.value.findings, text, 1)
    assert read is not None
    score, findings, maybe_lost = read
    assert [(f.code, f.line) for f in findings] == [(code, 3)]
    assert len(score.moves) == plies
    assert maybe_lost


@pytest.mark.parametrize("moves", ["foo", "1. Ke3 e5"])
def test_a_score_without_a_legal_move_is_no_finding(moves: str) -> None:
    """Nothing to read, or nothing that can be played: refused, not checked."""
    text = f'[White "A"]\n\n{moves} *\n'
    with pytest.raises(ScoreError) as raised:
        read_score(text)
    assert forgiven(raised.value.findings, text, 1) is None


@pytest.mark.parametrize("date", ["2024.02.29", "1912.??.??", "????.02.29", "2024.05.??"])
def test_days_that_may_be(date: str) -> None:
    assert found(PGN.replace("2024.05.01", date)) == []


def test_an_illegal_move_is_told_beside_a_comment_that_is_not_closed() -> None:
    """What a reader drops may make it blame an innocent later move; one before that text is a fault of its own."""
    pgn = '[White "A"]\n[Black "B"]\n\n1. e4 e5 2. Nf3 Nc6 3. Bxc7 a6 4. O-O {open 4... d6 *\n'
    with pytest.raises(ScoreError) as raised:
        read_score(pgn)
    read = forgiven(raised.value.findings, pgn, 1)
    assert read is not None
    assert [(f.code, f.column) for f in read[1]] == [("open-comment", 39), ("illegal-move", 24)]
    assert read[2]
    swapped = pgn.replace("{open 4... d6 *", "").replace("2. Nf3", "2. {open Nf3")
    with pytest.raises(ScoreError) as raised:
        read_score(swapped)
    assert [f.code for f in (forgiven(raised.value.findings, swapped, 1) or ((), ()))[1]] == ["open-comment"]

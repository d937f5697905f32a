"""Checks of the score as written."""

from __future__ import annotations

import pytest
from judging_lesson import PGN, context

from timeline.checks.run import run_checks


def found(pgn: str) -> list[tuple[str, str]]:
    return [(f.code, f.message) for f in run_checks(context(pgn=pgn), families=["score"])]


def test_a_score_in_order_gives_nothing() -> None:
    assert found(PGN) == []


@pytest.mark.parametrize(
    ("old", "new", "code"),
    [
        ('[Date "2024.05.01"]', '[Date "01.05.2024"]', "tag-odd"),
        ('[Date "2024.05.01"]\n', "", "tag-missing"),
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
        '[White "A"]\n[Black "B"]\n[Date "2024.01.01"]\n[Result "1-0"]\n[SetUp "1"]\n'
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

"""The whole: order, acceptance, codes, and the forms in which findings are shown."""

from __future__ import annotations

import ast
import json
import xml.etree.ElementTree as ElementTree
from pathlib import Path

import chess
import pytest
from judging_lesson import context

import timeline
import timeline.checks
from timeline.captions import report
from timeline.checks.codes import CODES, KINDS, code_table
from timeline.checks.run import FAMILIES, run_checks
from timeline.checks.show import GROUPS, as_html, as_json, as_text, board_svg, draw_position, piece_sheet
from timeline.problems import Finding, Severity, worst

WRONG = "White has a passed pawn on e4. The bishop on f1 is pinned to the king. It is double check."


def test_findings_come_in_order_of_time_and_say_everything() -> None:
    found = run_checks(context(WRONG, starts=[0, 10]), families=["said"])
    assert [f.code for f in found] == ["not-passed", "not-pinned", "not-double-check"]
    first = found[0]
    assert first.at_ms == 0
    assert first.said == "White has a passed pawn on e4."
    assert first.address == "1w"
    assert "e7" in (first.actual or "")
    assert first.fix
    assert first.sure is not None
    assert chess.Board(first.extra["fen"]).fullmove_number == 1


def test_a_finding_is_accepted_with_its_reason() -> None:
    accept = [
        {"code": "not-passed", "at": "0:00", "reason": "said in jest"},
        {"code": "not-pinned", "at": "3:00", "reason": "x"},
    ]
    found = run_checks(context(WRONG, starts=[0, 10], lesson={"accept": accept}), families=["said"])
    assert [f.accepted for f in found] == ["said in jest", None, None]
    assert "error[not-passed] accepted: said in jest" in as_text(found)
    assert worst(found) is not None


GIVERS = ("checks", "captions", "transcript", "follow")
"""Packages whose findings ``check`` tells, besides the modules beside them."""


def given_codes() -> set[str]:
    """Codes are literals in the sources: everything that looks like one where a finding is made."""
    root = Path(timeline.__file__).parent
    files = [p for name in GIVERS for p in (root / name).glob("*.py")]
    files += [root / name for name in ("work.py", "buildtracks.py", "checklesson.py")]
    given = set(KINDS.values())
    for path in files:
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call):
                name = getattr(node.func, "id", getattr(node.func, "attr", ""))
                if name in ("Finding", "_finding", "warn") and node.args and isinstance(node.args[0], ast.Constant):
                    given.add(node.args[0].value)
            index = getattr(node, "slice", None)
            if getattr(getattr(node, "value", None), "id", "") == "CODES" and isinstance(index, ast.Constant):
                given.add(index.value)
    return given | {code for code, _ in report._CODES.values()}


# Found when a hand-off comes back, when a chapter list or a film is written: not in a check.
ELSEWHERE = {"bad-value", "captions-changed", "chess-word-lost", "captions-over-board", "not-translated"}


def test_every_code_given_anywhere_is_in_the_table() -> None:
    assert given_codes() - ELSEWHERE <= set(CODES)
    assert len(given_codes()) > 80


def test_the_list_of_codes_names_each_with_example_and_mend() -> None:
    listed = (Path(timeline.checks.__file__).parent / "CODES.md").read_text(encoding="utf-8")
    assert listed == code_table(), "renew it: python -m timeline.checks.codes > timeline/checks/CODES.md"
    for code in CODES.values():
        assert f"| `{code.code}` | {code.severity} |" in listed
        assert code.meaning
        assert code.example
        assert code.mend
        assert code.group in GROUPS


def test_families_are_chosen_by_name() -> None:
    assert list(FAMILIES) == ["said", "moves", "time", "score", "sound", "flashes"]
    with pytest.raises(ValueError, match="no such family"):
        run_checks(context(), families=["weather"])


def test_an_announced_move_that_fits_nowhere() -> None:
    found = run_checks(context("And knight takes g5 here."), families=["moves"])
    assert [f.code for f in found] == ["move-not-possible"]
    assert run_checks(context("And knight to f3 here. Knight back to g1."), families=["moves"]) == []


def test_text_shows_the_position_and_json_everything() -> None:
    found = run_checks(context(WRONG, starts=[0, 10]), families=["said"])
    shown = as_text(found, show=True)
    assert "What is said" in shown
    assert "4  . . . . P . . ." in shown
    assert shown.rstrip().endswith("3 errors")
    data = json.loads(as_json(found, title="T"))
    assert data["counts"] == {"error": 3, "warning": 0, "note": 0, "accepted": 0}
    assert data["findings"][0]["at"] == "0:00.000"
    assert as_text([]) == "nothing found\n"


def test_drawn_position_from_either_side() -> None:
    lines = draw_position(chess.STARTING_FEN).splitlines()
    assert lines[0] == "8  r n b q k b n r"
    assert lines[8] == "   a b c d e f g h"
    assert draw_position(chess.STARTING_FEN, orientation=chess.BLACK).splitlines()[0] == "1  R N B K Q B N R"


def test_the_page_escapes_what_people_wrote() -> None:
    found = run_checks(
        context("The bishop on f1 is pinned to the king<script>alert(1)</script>.", starts=[0]), families=["said"]
    )
    page = as_html(found, title="<b>mine</b> & yours")
    assert "<script" not in page
    assert "<b>mine" not in page
    assert "&lt;b&gt;mine&lt;/b&gt; &amp; yours" in page
    svg = ElementTree.fromstring(board_svg(chess.STARTING_FEN))
    assert len([e for e in svg if e.tag == "rect"]) == 64
    used = [e.attrib["href"].removeprefix("#") for e in svg if e.tag == "use"]
    assert len(used) == 32
    assert set(used) == {e.attrib["id"] for e in ElementTree.fromstring(piece_sheet())}


def test_reports_progress() -> None:
    seen: list[str] = []
    run_checks(context(WRONG), progress=lambda family, done, whole: seen.append(family))
    assert "what is said" in seen


def test_picture_text_size_and_safe_area() -> None:
    """EBU R 95: 5 % graphics safe area; BBC Subtitle Guidelines 9.2.1: caption lines of 7 to 8 % of the height."""
    from timeline.checks.picture import Placed, check_placed

    good = [
        Placed("caption", 240, 878, 1440, 148, 80.0),
        Placed("board", 96, 54, 972, 972),
        Placed("logo", 0, 0, 50, 50, read=False),
    ]
    assert list(check_placed(1920, 1080, good)) == []
    bad = [Placed("caption", 240, 960, 1440, 110, 40.0), Placed("notation", 1100, 100, 800, 500, 18.0)]
    codes = sorted(f.code for f in check_placed(1920, 1080, bad))
    assert codes == ["outside-safe-area", "outside-safe-area", "small-text", "small-text"]


def test_before_anything_is_followed_only_facts_of_the_game_are_judged() -> None:
    """The board stays at the start, and what is said speaks of positions that nobody has put there yet."""
    talk = "It is mate. The rook on f8 is pinned. White is in check. Queen takes h7. White won the game."
    loose = context(talk, lesson={"cues": []})
    assert loose.unfollowed
    assert {f.code for f in run_checks(loose, families=["said", "moves"])} <= {"wrong-result"}
    assert len(run_checks(context(talk), families=["said", "moves"])) >= 3


def test_a_finding_with_words_but_no_fact_shows_its_message_on_the_page() -> None:
    """A caption that is too fast has its words and a message, and nothing "that is so"."""
    fast = Finding("caption-fast", "19 characters a second", Severity.NOTE, at_ms=0, said="so many words")
    page = as_html([fast], title="T")
    assert "so many words" in page
    assert "19 characters a second" in page

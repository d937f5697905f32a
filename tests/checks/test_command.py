"""``plyline check`` on a folder: groups, boards in text, the page, the list of codes, faulty cues, the chosen look."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from typer.testing import CliRunner

from timeline.checks.codes import CODES
from timeline.checks.look import check_look
from timeline.cli import app
from timeline.filmsettings import FilmSettings

PGN = '[White "Tern"]\n[Black "Roe"]\n[Date "2024.05.01"]\n[Result "*"]\n\n1. e4 e5 2. Nf3 Nc6 3. Bb5 *\n'
TALK = (
    "[0:00] White begins with e4, and Black answers e5.\n[0:08] Then knight f3, knight c6, bishop b5.\n"
    "[0:16] The knight on c6 is pinned to the king. White is a pawn up.\n"
)
LESSON = """\
title: A small check
score: game.pgn
transcript: talk.txt
length: "0:30"
cues:
  - {at: "0:01.000", show: 1w}
  - {at: "0:04.000", show: 1b}
  - {at: "0:09.000", show: 2w}
  - {at: "0:11.000", show: 2b}
  - {at: "0:13.000", show: 3w}
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "game.pgn").write_text(PGN)
    (tmp_path / "talk.txt").write_text(TALK)
    (tmp_path / "lesson.yaml").write_text(LESSON)
    return tmp_path


def check(folder: Path, *options: str):
    return CliRunner().invoke(app, ["check", str(folder), *options])


def test_findings_are_grouped_and_told_with_place_fact_and_mend(folder: Path) -> None:
    done = check(folder)
    assert done.exit_code == 1
    assert done.stdout.startswith("What is said\n")
    told = done.stdout.splitlines()
    at = next(i for i, line in enumerate(told) if "[not-pinned]" in line)
    assert re.search(r"talk\.txt at 0:1\d\.\d{3} \(3w\): error\[not-pinned\]: “The knight on c6 is pinned", told[at])
    assert "behind black knight c6 stands black pawn d7" in told[at]
    assert "(sure 0.9" in told[at]
    assert told[at + 1].startswith("      mend: ")
    assert "error[wrong-material]" in done.stdout


def test_the_last_line_counts_what_was_read_and_says_that_the_rest_was_not_judged(folder: Path) -> None:
    said = "The knight on c6 is attacked by the bishop. White is winning. And what a day it is."
    with (folder / "talk.txt").open("a") as talk:
        talk.write(f"[0:22] {said}\n")
    told = [line for line in check(folder).stdout.splitlines() if " read in the talk" in line]
    assert told == [
        "4 statements read in the talk: 1 true, 2 false, 1 could not be told; what else was said was not judged"
    ]
    written = json.loads((folder / "out" / "findings.json").read_text())
    assert written["statements"] == {"read": 4, "true": 1, "false": 2, "not_told": 1}
    assert told[0] in (folder / "out" / "findings.html").read_text()


def test_a_talk_in_which_nothing_is_stated_is_not_told_to_be_true(folder: Path) -> None:
    (folder / "talk.txt").write_text("[0:00] What a day it is, and how good to see you all.\n")
    done = check(folder)
    assert done.exit_code == 0
    assert "no statement about the board was read in the talk, so nothing said in it was judged" in done.stdout
    assert "read in the talk" not in check(folder, "--quiet").stdout


def test_show_draws_the_position(folder: Path) -> None:
    assert "8  r . b q k b n r" in check(folder, "--show").stdout
    assert "8  r . b q k b n r" not in check(folder).stdout


def test_json_and_the_page_are_written(folder: Path) -> None:
    printed = json.loads(check(folder, "--json").stdout)
    assert printed == json.loads((folder / "out" / "findings.json").read_text())
    finding = next(f for f in printed["findings"] if f["code"] == "not-pinned")
    assert {"severity", "at", "at_ms", "address", "said", "actual", "fix", "sure", "extra"} <= set(finding)
    page = (folder / "out" / "findings.html").read_text()
    assert page.count('role="img"') == 2
    assert "<title>Findings: A small check</title>" in page


def test_a_code_that_no_check_gives_cannot_be_accepted(folder: Path) -> None:
    """A misspelt code would accept nothing, in silence: one error each, with its place and the codes near it."""
    text = LESSON + "accept:\n  - {code: wrong-material, reason: odds}\n  - {code: not-pined, reason: a joke}\n"
    (folder / "lesson.yaml").write_text(text + "  - {code: qqq, reason: none}\n")
    done = CliRunner().invoke(app, ["check", str(folder)])
    assert done.exit_code == 2
    line = 1 + text[: text.index("not-pined")].count("\n")
    assert f"lesson.yaml:{line}:12: error[bad-value]: accept[2].code: no check gives 'not-pined'" in done.stderr
    assert "did you mean not-pinned" in done.stderr
    assert "plyline check --codes" in done.stderr
    assert not (folder / "out" / "findings.json").exists()


def test_a_reason_in_the_lesson_file_accepts_a_finding(folder: Path) -> None:
    reasons = "accept:\n  - {code: not-pinned, reason: a joke}\n  - {code: wrong-material, reason: he gave odds}\n"
    (folder / "lesson.yaml").write_text(LESSON + reasons)
    done = check(folder)
    assert done.exit_code == 0
    assert "(2 accepted)" in done.stdout
    assert "accepted: he gave odds" in check(folder, "--accepted").stdout


def test_what_accepts_nothing_is_told_with_its_line(folder: Path) -> None:
    """The same code elsewhere names its time; a finding of the film is not missed while there is no film."""
    reasons = "accept:\n  - {code: not-pinned, reason: a joke}\n  - {code: not-pinned, at: 2, reason: b}\n"
    reasons += "  - {code: short-think, reason: c}\n  - {code: flashing, reason: d}\n"
    (folder / "lesson.yaml").write_text(LESSON + reasons)
    done = check(folder)
    line = 1 + (LESSON + reasons)[: (LESSON + reasons).index("at: 2")].count("\n")
    assert done.stdout.count("note[accepts-nothing]") == 2
    assert (
        f"lesson.yaml:{line}:5: note[accepts-nothing]: accept[2]: this check found no not-pinned at 0:02" in done.stdout
    )
    assert re.search(r"mend: the nearest is at 0:1\d\.\d{3}\n", done.stdout)
    assert f"lesson.yaml:{line + 1}:5: note[accepts-nothing]: accept[3]" in done.stdout


def test_codes_are_listed_with_examples_and_need_no_folder() -> None:
    done = CliRunner().invoke(app, ["check", "--codes"])
    assert done.exit_code == 0
    assert all(f"| `{code}` |" in done.stdout for code in CODES)


def test_faulty_cues_are_findings_beside_the_others(folder: Path) -> None:
    """A cue outside the recording and an address that leads nowhere do not keep the rest from being checked."""
    more = '  - {at: "0:20.000", show: 41w}\n  - {at: "5:00.000", show: 3w}\n'
    (folder / "lesson.yaml").write_text(LESSON + more)
    done = check(folder)
    assert done.exit_code == 1
    for code in ("bad-address", "cue-after-end", "not-pinned"):
        assert f"error[{code}]" in done.stdout
    assert "lesson.yaml:11:5" in done.stdout


@pytest.mark.parametrize(
    ("moves", "code"),
    [
        ("1. e4 e5\n2. Nf3 foo Nc6 3. Bb5 *", "not-a-move"),
        ("1. e4 e5\n2. Nf3 Nc6 (2... d6 3. Bb5 *", "unclosed-sideline"),
        ("1. e4 e5\n2. Nf3) Nc6 3. Bb5 *", "stray-bracket"),
    ],
)
def test_what_a_reader_drops_is_a_finding_beside_the_others(folder: Path, moves: str, code: str) -> None:
    (folder / "game.pgn").write_text(PGN.split("\n\n")[0] + f"\n\n{moves}\n")
    done = check(folder, "--json")
    assert done.exit_code == 1
    found = {f["code"]: f for f in json.loads(done.stdout)["findings"]}
    assert found[code]["line"] in (7, 8)
    assert found[code]["file"] == "game.pgn"
    assert "moves-lost" not in found
    assert "not-pinned" in found or "bad-address" in found


def test_where_moves_were_lost_only_the_score_is_told(folder: Path) -> None:
    """The knight's move is blamed by a reader, the queen's is the fault."""
    (folder / "game.pgn").write_text(PGN.split("\n\n")[0] + "\n\n1. e4 e5 2. Qh9 Nc6 3. Bb5 *\n")
    done = check(folder)
    assert done.exit_code == 1
    assert re.search(r"game\.pgn:6:13: error\[not-a-move\]: 'Qh9' is no move", done.stdout)
    assert "error[moves-lost]: the game was read up to 1b only" in done.stdout
    assert "not-pinned" not in done.stdout


@pytest.mark.parametrize(
    ("moves", "place", "code", "until"),
    [
        ("1. e4 e5\n2. Ke3 Nc6 3. Bb5 *", "7:4", "illegal-move", "1b"),
        ("1. d4 d5\n2. Nf3 Nf6 3. Nd2 *", "7:15", "ambiguous-move", "2b"),
    ],
)
def test_an_illegal_move_is_a_finding_with_its_place_and_what_was_legal(
    folder: Path, moves: str, place: str, code: str, until: str
) -> None:
    """PGN standard 8.2.3: a move text names one legal move."""
    (folder / "game.pgn").write_text(PGN.split("\n\n")[0] + f"\n\n{moves}\n")
    done = check(folder)
    assert done.exit_code == 1
    assert f"game.pgn:{place}: error[{code}]" in done.stdout
    assert "legal there: " in done.stdout
    assert f"error[moves-lost]: the game was read up to {until} only" in done.stdout
    assert "tag-missing" in done.stdout  # the rest of the score is still looked at
    assert "not-pinned" not in done.stdout


def test_a_score_that_cannot_be_read_is_an_error(folder: Path) -> None:
    (folder / "game.pgn").write_text(PGN.split("\n\n")[0] + "\n\n1. Ke3 e5 *\n")
    done = check(folder)
    assert done.exit_code == 2
    assert "illegal-move" in done.stderr


def test_our_looks_have_nothing_to_find() -> None:
    """WCAG 2.2 (1.4.3, 1.4.11), EBU R 95 and BBC 9.2.1 hold for every layout and theme that comes with the package."""
    from overlays.stage import layout_names
    from overlays.theme import theme_names

    for layout in layout_names():
        for captions in (False, True):
            assert list(check_look(FilmSettings(layout=layout, captions=captions))) == []
    for theme in theme_names():
        assert list(check_look(FilmSettings(theme=theme))) == []


def test_a_look_that_cannot_be_seen_well(tmp_path: Path) -> None:
    """#777777 on white is 4.48:1, short of 4.5:1 (WCAG 2.2, 1.4.3); two like mark colours; text at the edge."""
    theme = tmp_path / "pale.toml"
    theme.write_text(
        'inherits = "lagoon"\n[board]\nframe = "#ffffff"\ncoordinate = "#777777"\n'
        '[marks]\nattack = "#d62728"\nplan = "#2ca02c"\n'
    )
    layout = tmp_path / "edge.toml"
    layout.write_text("canvas = [1920, 1080]\nboard = [96, 54, 972]\nnotation = [1116, 10, 790, 900]\n")
    found = list(check_look(FilmSettings(theme=str(theme), layout=str(layout))))
    assert {f.code for f in found} == {"theme-contrast", "theme-marks-alike", "outside-safe-area"}
    assert any("4.48" in f.message for f in found)
    missing = list(check_look(FilmSettings(theme="none-such.toml")))
    assert [f.code for f in missing] == ["no-theme"]

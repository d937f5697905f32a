"""``follow --explain``: it tells of the board that stands there, and what it says to type does what it says."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from followtalk import LEGAL, words
from typer.testing import CliRunner

from timeline.cli import app
from timeline.follow import FixedPoint, follow_words
from timeline.follow.explain import explain
from timeline.score import read_score
from timeline.store import load_lesson
from timeline.timecode import format_ms

TALK = "E4, e5, knight f3. If knight c6, bishop b5. But in the game he played d6, and night c four, bishop g4."


def run(*arguments: str) -> str:
    result = CliRunner().invoke(app, list(arguments))
    assert result.exit_code == 0, result.output
    return result.output


@pytest.mark.parametrize("offset", [0, 200, 349])
def test_it_tells_of_the_board_that_follow_puts_there(offset: int) -> None:
    score, said = read_score(LEGAL), words(TALK)
    for cue in follow_words(said, score).cues:
        text = explain(said, score, cue.at_ms + offset)
        shown = [c for c in follow_words(said, score).cues if c.at_ms <= cue.at_ms + offset][-1]
        assert f"on the board then: {shown.address}" in text.splitlines()
        assert f"shows {shown.address}, sure {shown.sure:.2f}" in text


def test_readings_carry_costs_and_the_winner_has_its_reasons() -> None:
    score, said = read_score(LEGAL), words(TALK)
    text = explain(said, score, next(w.onset_ms for w in said if w.text == "bishop"))
    table = re.findall(r"^  (->|  ) +(\d+\.\d\d) +(\d+\.\d)%  (.*) -> (.*)$", text, re.M)
    assert table
    assert any(mark == "->" for mark, *_ in table)
    for _, cost, chance, _, _ in table:
        assert float(chance) == pytest.approx(100 * 2.718281828 ** -float(cost), abs=0.6)
    assert "for it, against “" in text


def test_a_mishearing_is_shown_as_what_it_is_heard_for() -> None:
    score, said = read_score("1. e4 e5 2. Nf3 *"), words("E4, e5, night f three.")
    text = explain(said, score, said[2].onset_ms)
    assert "“night f three” heard for “knight f3”: the game's next move -> 2w" in text


def test_a_persons_cue_is_named() -> None:
    score, said = read_score(LEGAL), words("E4, e5, and now something else.")
    text = explain(said, score, said[2].onset_ms, fixed=[FixedPoint(said[2].onset_ms, ("e2e4", "e7e5", "f1c4"))])
    assert "a cue of yours stands here: 1b Bc4" in text
    assert "shows 1b Bc4; it is your own and stays" in text
    assert "sure 0" not in text, "it is not the follower's to doubt"


def test_a_locked_cue_is_not_to_be_locked_again() -> None:
    score, said = read_score(LEGAL), words(TALK)
    cue = follow_words(said, score).cues[2]
    point = FixedPoint(cue.at_ms, cue.path)
    text = explain(said, score, cue.at_ms, fixed=[point], shown=[point], locked={cue.at_ms})
    assert f"shows {cue.address}; it is locked and stays" in text
    assert f"cue unlock {format_ms(cue.at_ms)}" in text
    assert "cue lock" not in text


def test_what_came_second_is_among_the_readings_listed() -> None:
    score, said = read_score(LEGAL), words(TALK)
    seen = 0
    for cue in follow_words(said, score).cues:
        text = explain(said, score, cue.at_ms)
        told = text[: text.index(f"shows {cue.address}, sure")]
        shows = rf"shows {re.escape(cue.address)}, sure .*\n"
        second = re.search(shows + r"  second best: (?:the board stays at )?(.*) \((?:behind|as likely)", text)
        if second is not None and "reading\n" in told:
            assert f"-> {second[1]}\n" in told, text
            seen += 1
        assert "(chance: how the readings" in text
    assert seen >= 2


@pytest.mark.parametrize(("text", "says"), [("", "no words"), ("Hello there everybody.", "on the board then: start")])
def test_talks_without_moves(text: str, says: str) -> None:
    assert says in explain(words(text), read_score(LEGAL), 400)


def test_far_from_any_word() -> None:
    text = explain(words(TALK), read_score(LEGAL), 300_000)
    assert "nothing is said within 3 s of 5:00.000" in text
    assert "the cue at" in text  # what stands there was decided long before


def test_the_time_of_a_cue_is_the_one_in_the_file(tmp_path: Path) -> None:
    """A person's cue need not stand at its words; what is printed to type must find it."""
    pgn, transcript, folder = tmp_path / "game.pgn", tmp_path / "talk.txt", tmp_path / "lesson"
    pgn.write_text(LEGAL)
    transcript.write_text(f"[0:00] {TALK}\n[0:12] That is all for today.\n[0:15] Bye.")
    run("new", str(folder), "--score", str(pgn), "--transcript", str(transcript))
    run("follow", str(folder))
    cue = next(c for c in load_lesson(folder).lesson.cues if c.show == "2w")
    for apart in (-200, 150):
        moved = cue.at + apart
        run("edit", str(folder), "cue", "move", f"{cue.at / 1000:.3f}", f"{moved / 1000:.3f}")
        for at in (moved, moved + 20):
            text = run("follow", str(folder), "--explain", f"{at / 1000:.3f}")
            assert f"the cue at {format_ms(moved)} shows 2w" in text
            assert "on the board then: 2w\n" in text
        run("edit", str(folder), "undo")


@pytest.mark.parametrize("lead_ms", [0, 700])
def test_what_it_says_to_type_brings_the_second_best(tmp_path: Path, lead_ms: int) -> None:
    """Every cue's runner-up: after the printed command and a new follow, it stands where the cue stood."""
    pgn, transcript, folder = tmp_path / "game.pgn", tmp_path / "talk.txt", tmp_path / "my lesson"
    pgn.write_text(LEGAL)
    transcript.write_text(f"[0:00] {TALK}\n[0:12] That is all for today.\n[0:15] Bye.")
    run("new", str(folder), "--score", str(pgn), "--transcript", str(transcript))
    file = folder / "lesson.yaml"
    file.write_text(file.read_text() + f"follow: {{lead_ms: {lead_ms}, hold_ms: 0, marks: false}}\n")
    run("follow", str(folder))
    fresh = file.read_text()
    tried = set()
    for cue in load_lesson(folder).lesson.cues:
        text = run("follow", str(folder), "--explain", f"{cue.at / 1000:.3f}")
        at = re.search(rf"the cue at (\S+) shows {re.escape(cue.show or '')}, ", text)
        assert at, text
        part = text[at.start() :]
        command = shlex.split(next(line for line in part.splitlines() if "plyline edit" in line))
        assert command[:3] == ["plyline", "edit", str(folder)]
        run(*command[1:])
        run("follow", str(folder))
        after = load_lesson(folder).lesson.cues
        tried.add(command[4])
        if command[4] == "show":
            assert command[6] in [c.show for c in after if c.at == cue.at]
        elif command[4] == "remove":
            assert not any(c.show == cue.show and abs(c.at - cue.at) < 1500 for c in after)
        else:
            assert any(c.lock and c.show == cue.show for c in after)
        file.write_text(fresh)
    assert len(tried) >= 2

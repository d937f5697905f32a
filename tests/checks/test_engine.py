"""An engine: bounded, restarted when it crashes, remembered by position; and what is said without one."""

from __future__ import annotations

import json
import stat
import sys
from dataclasses import replace
from pathlib import Path

import chess
import pytest
from judging_lesson import context

from timeline.checks.engine import RESTARTS, Engine, EngineError, Opinion
from timeline.checks.run import run_checks

LOST = "4k3/8/8/8/8/8/8/QQ2K3 w - - 0 1"

FAKE = """#!{python}
import sys, os
log = open({log!r}, "a")
print("id name Fake", flush=True)
for line in sys.stdin:
    words = line.split()
    if not words: continue
    if words[0] == "uci": print("uciok", flush=True)
    elif words[0] == "isready": print("readyok", flush=True)
    elif words[0] == "go":
        log.write("go\\n"); log.flush()
        if {crash}: os._exit(3)
        print("info depth 5 score cp 250 pv e2e4", flush=True); print("bestmove e2e4", flush=True)
    elif words[0] == "quit": break
"""


def fake(tmp_path: Path, *, crash: bool) -> tuple[Path, Path]:
    """An engine of our own that counts its questions and may die at each."""
    program, log = tmp_path / "fake", tmp_path / "log"
    program.write_text(FAKE.format(python=sys.executable, log=str(log), crash=crash))
    program.chmod(program.stat().st_mode | stat.S_IXUSR)
    return program, log


def test_answers_are_remembered_across_runs(tmp_path: Path) -> None:
    program, log = fake(tmp_path, crash=False)
    cache = tmp_path / ".plyline" / "engine.json"
    for _ in range(2):
        with Engine(str(program), cache, nodes=1000, seconds=2) as engine:
            assert engine.ask(chess.Board()) == Opinion(250, None, "e2e4", 5)
            assert engine.ask(chess.Board()).points == 250
    assert log.read_text().count("go") == 1
    assert json.loads(cache.read_text())["version"] == 1
    cache.write_text("damaged")
    with Engine(str(program), cache, nodes=1000, seconds=2) as engine:
        assert engine.ask(chess.Board()) is not None
    assert log.read_text().count("go") == 2


def test_a_crashing_engine_is_restarted_and_then_given_up(tmp_path: Path) -> None:
    program, log = fake(tmp_path, crash=True)
    with Engine(str(program), None, nodes=1000, seconds=2) as engine:
        assert engine.ask(chess.Board()) is None
        assert engine.stopped
        assert engine.ask(chess.Board(LOST)) is None
    assert log.read_text().count("go") == RESTARTS + 1


def test_an_engine_that_is_not_there_is_an_error() -> None:
    with pytest.raises(EngineError) as caught:
        Engine("no-such-engine-here", None, nodes=1000, seconds=1)
    assert caught.value.findings[0].code == "no-engine"
    assert "--engine" in (caught.value.findings[0].fix or "")


def test_without_an_engine_a_judgement_is_noted_as_not_checked() -> None:
    found = run_checks(context("Black is winning here."), families=["said"])
    assert [(f.code, f.actual) for f in found] == [("not-checked", "not checked: no engine")]


def test_an_engine_disagrees(tmp_path: Path) -> None:
    program, _ = fake(tmp_path, crash=False)
    with Engine(str(program), None, nodes=1000, seconds=2) as engine:
        wrong = run_checks(context("Black is winning here."), families=["said"], engine=engine)
        right = run_checks(context("White is winning here."), families=["said"], engine=engine)
    assert [f.code for f in wrong] == ["engine-disagrees"]
    assert "+2.50" in wrong[0].message
    assert right == []


@pytest.mark.referee("stockfish")
def test_deep_mates_and_best_moves_with_a_real_engine(referee_path, tmp_path: Path) -> None:
    with Engine(referee_path("stockfish"), tmp_path / "engine.json", nodes=50_000, seconds=3) as engine:
        opinion = engine.ask(chess.Board("6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1"), mate=1)
        assert opinion is not None
        assert opinion.mate == 1
        # Anderssen - Dufresne, before 21. Qxd7+: mate in four.
        pgn = (
            '[White "A"]\n[Black "B"]\n[Date "2024.01.01"]\n[Result "*"]\n[SetUp "1"]\n'
            '[FEN "1r2k1r1/pbppnp1p/1b3P2/8/Q7/B1PB1q2/P4PPP/3R2K1 w - - 0 21"]\n\n1. Qxd7+ *\n'
        )
        ctx = replace(context("The best move is queen takes d7. White is winning.", pgn=pgn), score_text=None)
        assert run_checks(ctx, families=["said"], engine=engine) == []
        worse = replace(context("The best move is king to h1. White is losing.", pgn=pgn), score_text=None)
        codes = [f.code for f in run_checks(worse, families=["said"], engine=engine)]
        assert codes == ["not-best", "engine-disagrees"]

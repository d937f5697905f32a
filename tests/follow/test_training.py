"""The scripts that learn the follower's tables run on the code as it is: decisions and clauses of one lesson."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

TESTS = Path(__file__).parents[1]
LESSON = TESTS / "data/lessons/packed/queen_walk.json"


@pytest.fixture
def scripts(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.syspath_prepend(str(TESTS / "benchmarks"))
    for name in ("narrated", "train_decisions", "train_recap"):
        sys.modules.pop(name, None)


@pytest.mark.usefixtures("scripts")
def test_decisions_of_a_lesson_have_grounds_and_a_right_way() -> None:
    from narrated import load_packed
    from train_decisions import guided, prepare

    from timeline.follow.weights import REASONED

    decisions = guided(prepare(load_packed(LESSON)), REASONED).decisions
    assert len(decisions) > 40
    assert all(0 <= d.taken < len(d.options) for d in decisions)
    assert {"k:full>main", "bias>ign"} <= {name for d in decisions for option in d.options for name in option}


@pytest.mark.usefixtures("scripts")
def test_clauses_of_a_lesson_may_stay_or_go_back() -> None:
    from narrated import load_packed
    from train_recap import examples

    found = examples(load_packed(LESSON))
    assert found
    assert all(-1 in e.plies and len(e.plies) == len(e.grounds) for e in found)
    assert any(e.plies[e.right] >= 0 for e in found)

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
    for name in ("narrated", "train_decisions", "train_recap", "train_follow", "train_fit", "train_network", "train_tenor"):
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


@pytest.mark.usefixtures("scripts")
def test_each_lesson_is_measured_by_the_model_learned_without_it_whatever_else_is_measured(tmp_path: Path) -> None:
    from train_follow import read_folds, write_folds

    from timeline.follow.weights import shipped

    models = [shipped()._replace(weights={"bias>ign": float(k + 1)}) for k in range(2)]
    write_folds(tmp_path, models, [["b", "d"], ["c", "e"]], {})
    found = read_folds(tmp_path, ["a new one", "b", "c", "d", "e"])
    assert [found[name].weights["bias>ign"] for name in "bcde"] == [1.0, 2.0, 1.0, 2.0]
    assert "a new one" in found

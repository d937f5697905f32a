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


@pytest.mark.usefixtures("scripts")
def test_the_mean_of_models_says_the_mean_of_what_they_say() -> None:
    """Also where they know other features."""
    import numpy as np
    from train_network import mean_of

    from timeline.follow.network import Network
    from timeline.follow.weights import Model

    chance = np.random.default_rng(5)

    def model(*names: str, width: int = 3) -> Model:
        some = [chance.normal(0, 0.5, shape).astype(np.float32) for shape in ((len(names), width), width, (1, width, width), width, width)]
        vectors = np.vstack([some[0], np.zeros((1, width), np.float32)])
        return Model({name: float(k + 1) for k, name in enumerate(names)}, Network({n: k for k, n in enumerate(names)}, vectors, *some[1:]))

    one, other = model("a", "b"), model("c", "b", "d")
    both = mean_of([one, other])
    options = [[("a", 1.0)], [("b", -2.0), ("d", 0.5)], [("c", 1.5), ("a", 0.3)]]
    for k, option in enumerate(options):
        said = [m.network.extra([option])[0] for m in (one, other, both) if m.network is not None]
        assert np.isclose(said[2], (said[0] + said[1]) / 2, atol=1e-4), k
    assert both.weights == {"a": 0.5, "b": 2.0, "c": 0.5, "d": 1.5}

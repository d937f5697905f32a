"""The network beside the weights: what it adds, and that it is read as it was written."""

from __future__ import annotations

from pathlib import Path

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from timeline.follow.network import Network, read_network, shipped_network, write_network

NAMES = ("IF>open", "k:full>main", "next", "hear")


def small() -> Network:
    chance = np.random.default_rng(3)

    def some(*shape: int) -> np.ndarray:
        return chance.normal(0, 0.5, shape).astype(np.float16).astype(np.float32)

    vectors = np.vstack([some(len(NAMES), 6), np.zeros((1, 6), np.float32)])
    return Network({name: k for k, name in enumerate(NAMES)}, vectors, some(6), some(2, 3, 3), some(6), some(6))


FEATURES = st.lists(st.tuples(st.sampled_from((*NAMES, "unknown")), st.floats(-3, 3)), max_size=6)


def by_hand(network: Network, feats: list[tuple[str, float]]) -> float:
    sums = network.bias.astype(float).copy()
    for name, value in feats:
        if name in network.index:
            sums += network.vectors[network.index[name]] * value
    first = np.maximum(sums, 0)
    apart = [first[3 * k : 3 * k + 3] @ inner for k, inner in enumerate(network.inner)]
    second = np.maximum(np.concatenate(apart) + network.inner_bias, 0)
    return float(second @ network.out)


@given(st.lists(FEATURES, min_size=1, max_size=4))
def test_each_option_gets_what_the_layers_give_it_over_doing_nothing(options: list[list[tuple[str, float]]]) -> None:
    network = small()
    nothing = by_hand(network, [])
    expected = [by_hand(network, feats) - nothing for feats in options]
    assert np.allclose(network.extra(options), expected, atol=1e-4)


def test_doing_nothing_and_unknown_features_add_nothing() -> None:
    assert np.allclose(small().extra([[], [("unknown", 2.0)]]), 0.0, atol=1e-6)


def test_a_network_is_read_as_it_was_written(tmp_path: Path) -> None:
    network = small()
    write_network(tmp_path / "network.npz", network)
    again = read_network(tmp_path / "network.npz")
    assert again.index == network.index
    option = [("IF>open", 1.0), ("next", 0.7)]
    assert again.extra([option]) == network.extra([option])


def test_the_shipped_network_knows_the_search_features() -> None:
    network = shipped_network()
    assert {"IF>open", "k:full>main", "next"} <= set(network.index)
    assert np.isfinite(network.vectors).all()

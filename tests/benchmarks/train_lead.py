"""Learns where the phrases that announce moves begin, from lessons with known cue times.

    python tests/benchmarks/train_lead.py LESSONS... --folds FOLDS [--write]

FOLDS is what ``train_follow.py --save-folds`` wrote: moves are learned as the
best reachable decoding has them, and as the follower does that was learned
without the lesson (what it took the words before for differs). Prints the
error of the cue's onset, in ms, for the mention's own first word and for the
learned choice on lessons left out (five folds). Softmax over the candidates
of one move; right is each that is at most 0.7 s off, or the nearest. Adam
with decoupled weight decay (Loshchilov, Hutter 2019), and several networks
from different starts put side by side in one.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from narrated import Narrated, load_all, position_key
from train_decisions import prepare
from train_follow import read_folds

from timeline.follow.follow import decode
from timeline.follow.hypotheses import Step, steps
from timeline.follow.lattice import Lattice
from timeline.follow.leadin import Chooser, candidates, lead_features, write_chooser
from timeline.follow.search import Decoder
from timeline.follow.weights import REASONED, Model

FOLDS = 5
RIGHT_MS = 700
LEAST_SEEN = 100
STARTS, WIDTH = 5, 12
EPOCHS, BATCH = 15, 64
RATE, DECAY = 0.01, 0.3


@dataclass(frozen=True)
class Example:
    """One move: what speaks for each candidate, and how late the cue would be there (ms); the first is the mention's own."""

    options: list[dict[str, float]]
    late_ms: list[int]


@dataclass(frozen=True)
class Known:
    """The moves of one lesson that have a true time, in the best reachable decoding and in the follower's."""

    reachable: list[Example]
    followed: list[Example]


def examples(job: tuple[Narrated, Model]) -> Known:
    lesson, model = job
    case = prepare(lesson)
    best = Decoder(case.lattice, case.tree, REASONED, 30, judge=case.judge).run()
    decoded = decode(lesson.words, lesson.score, model=model)
    assert decoded is not None
    decoder, final = decoded
    return Known(_timed(lesson, case.lattice, steps(best)), _timed(lesson, decoder.lattice, steps(final)))


def _timed(lesson: Narrated, lattice: Lattice, taken: Sequence[Step]) -> list[Example]:
    toks, context = lattice.toks, lattice.context
    found: list[Example] = []
    for step in taken:
        m = step.mention
        if m is None or step.act in ("ign", "step"):
            continue
        key = position_key(step.node.board.fen(en_passant="fen"))
        at = toks[m.start].onset_ms
        near = [n for n, c in enumerate(lesson.changes) if c.key == key and -1500 <= at - c.at_ms <= 7000]
        if near:
            nth = min(near, key=lambda n: abs(lesson.changes[n].at_ms - at))
            true_ms = lesson.changes[nth].at_ms
            base = step.node.parent
            if nth and base is not None and base is not step.before:  # the words may first turn back, then tell the move
                back = lesson.changes[nth - 1]
                if back.key == position_key(base.board.fen(en_passant="fen")) and at - back.at_ms <= 7000:
                    true_ms = back.at_ms
            places = candidates(context, m, step.last_end, step.moved_end)
            late = [toks[k].onset_ms - true_ms for k in places]
            found.append(Example(lead_features(context, step, places), late))
    return found


def fit(data: Sequence[Example]) -> Chooser:
    data = [example for example in data if len(example.options) > 1]
    seen = Counter(name for example in data for feats in example.options for name in feats)
    index = {name: row for row, name in enumerate(sorted(n for n, count in seen.items() if count >= LEAST_SEEN))}
    most = max(len(example.options) for example in data)
    grounds = np.zeros((len(data), most, len(index)), np.float32)
    there = np.zeros((len(data), most), bool)
    right = np.zeros((len(data), most), bool)
    for n, example in enumerate(data):
        off = np.abs(example.late_ms)
        right[n, : len(off)] = (off <= RIGHT_MS) | (off == off.min())
        there[n, : len(off)] = True
        for j, feats in enumerate(example.options):
            for name, value in feats.items():
                if name in index:
                    grounds[n, j, index[name]] = value
    mean, spread = grounds[there].mean(0), grounds[there].std(0) + 1e-3
    grounds = np.where(there[:, :, None], (grounds - mean) / spread, np.float32(0))
    nets = [_one(grounds, there, right, seed) for seed in range(STARTS)]
    vectors = np.hstack([net[0] for net in nets]) / spread[:, None]
    return Chooser(
        index,
        vectors,
        np.hstack([net[1] for net in nets]) - mean @ vectors,
        np.hstack([net[2] for net in nets]) / STARTS,
        sum(net[3] for net in nets) / spread / STARTS,
    )


def _one(grounds: np.ndarray, there: np.ndarray, right: np.ndarray, seed: int) -> list[np.ndarray]:
    """The weights of one network: vectors, bias, out, linear."""
    rng = np.random.default_rng(seed)
    count, most, size = grounds.shape
    weights = [
        rng.normal(0, size**-0.5, (size, WIDTH)), np.zeros(WIDTH), rng.normal(0, 0.5 * WIDTH**-0.5, WIDTH), np.zeros(size),
    ]  # fmt: skip
    weights = [w.astype(np.float32) for w in weights]
    drift = [np.zeros_like(w) for w in weights]
    swing = [np.zeros_like(w) for w in weights]
    batches = [(epoch, at) for epoch in range(EPOCHS) for at in range(0, count, BATCH)]
    order = np.arange(count)
    for step, (_, at) in enumerate(batches, 1):
        if at == 0:
            order = rng.permutation(count)
        rows = order[at : at + BATCH]
        flat = grounds[rows].reshape(-1, size)
        sums = flat @ weights[0] + weights[1]
        hidden = np.maximum(sums, 0)
        scores = np.where(there[rows], (hidden @ weights[2] + flat @ weights[3]).reshape(-1, most), -1e9)
        odds = np.exp(scores - scores.max(1, keepdims=True))
        odds /= odds.sum(1, keepdims=True)
        wanted = np.where(right[rows], odds + 1e-12, 0)
        wanted /= wanted.sum(1, keepdims=True)
        away = ((odds - wanted) / len(rows)).reshape(-1).astype(np.float32)
        inner = away[:, None] * weights[2] * (sums > 0)
        slopes = [flat.T @ inner, inner.sum(0), hidden.T @ away, flat.T @ away]
        rate = RATE * (1.02 - step / len(batches))
        for n, slope in enumerate(slopes):
            drift[n] += 0.1 * (slope - drift[n])
            swing[n] += 0.001 * (slope**2 - swing[n])
            move = drift[n] / (1 - 0.9**step) / (np.sqrt(swing[n] / (1 - 0.999**step)) + 1e-8)
            weights[n] = weights[n] - rate * (move + DECAY * weights[n])
    return weights


def report(name: str, errors: Sequence[int]) -> None:
    sizes = sorted(abs(e) for e in errors)
    print(
        f"{name:<22} median {sizes[len(sizes) // 2]:>5} ms  p90 {sizes[int(0.9 * len(sizes))]:>5} ms  "
        f"off by > 0.5 s {sum(e > 500 for e in sizes) / len(sizes):.3f}  "
        f"late by > 1.5 s {sum(e > 1500 for e in errors) / len(errors):.4f}  "
        f"early by > 1.5 s {sum(e < -1500 for e in errors) / len(errors):.4f}"
    )


def chosen(chooser: Chooser, example: Example) -> int:
    """How late the cue is where the model puts it (ms)."""
    scores = [chooser.score(feats) for feats in example.options]
    return example.late_ms[scores.index(max(scores))]


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("lessons", nargs="+", type=Path)
    parser.add_argument("--folds", type=Path, required=True, help="the folder that train_follow.py --save-folds wrote")
    parser.add_argument("--write", action="store_true", help="learn from all lessons and write leadin.npz")
    options = parser.parse_args()
    lessons = load_all(options.lessons)
    models = read_folds(options.folds, [lesson.name for lesson in lessons])
    with ProcessPoolExecutor(2) as pool:
        known = list(pool.map(examples, [(lesson, models[lesson.name]) for lesson in lessons]))
    without = [
        fit([e for n, moves in enumerate(known) if n % FOLDS != fold for e in (*moves.reachable, *moves.followed)])
        for fold in range(FOLDS)
    ]
    for name in ("reachable", "followed"):
        parts = [(without[n % FOLDS], example) for n, moves in enumerate(known) for example in getattr(moves, name)]
        print(f"{name}: {len(parts)} moves of {len(lessons)} lessons")
        report("mention's first word", [example.late_ms[0] for _, example in parts])
        report("nearest candidate", [min(example.late_ms, key=abs) for _, example in parts])
        report("learned, left out", [chosen(model, example) for model, example in parts])
    if options.write:
        model = fit([e for moves in known for e in (*moves.reachable, *moves.followed)])
        path = Path(__file__).parents[2] / "timeline/follow/leadin.npz"
        write_chooser(path, model)
        print(f"wrote {path.name}: {len(model.index)} features")


if __name__ == "__main__":
    main()

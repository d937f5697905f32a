"""Learns which position a clause goes back to ("one last look at the rook on h7"), from lessons with known cue times.

    python tests/benchmarks/train_recap.py LESSONS... [--folds N] [--save-folds DIR] [--write]

For every clause whose words can mean a mainline position: stay, or go there.
Prints, for lessons left out, how many of the positions shown again are found
and how often the choice goes elsewhere, at several bounds of the log-odds.
"""

from __future__ import annotations

import argparse
import json
import random
from collections import Counter
from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path
from typing import NamedTuple

import numpy as np
from narrated import Narrated, load_all, position_key

from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.pauses import heard_punctuation
from timeline.follow.players import with_sides
from timeline.follow.recap import Recap
from timeline.follow.spine import Spine
from timeline.follow.tenor import mentions_of
from timeline.follow.tree import Tree

NEAR_MS = 1500
DECAY, EPOCHS, RATE, SEEN = 0.03, 12, 0.15, 4
"""Weight decay, passes, step and the least number of clauses a ground must stand in (by five folds on our lessons)."""
OUT = Path(__file__).parents[2] / "timeline/follow/recap.json"


class Example(NamedTuple):
    """One clause: the plies it can mean (-1: stay), what speaks for each, and which is right."""

    plies: tuple[int, ...]
    grounds: tuple[tuple[str, ...], ...]
    right: int


def recap_of(lesson: Narrated) -> Recap:
    lattice = Lattice(with_sides(heard_punctuation(tokens(lesson.words)), lesson.score))
    tree, order = Tree(lesson.score), mentions_of(lattice)
    return Recap(lattice.context, tree, Spine(lattice, tree, order), order)


def examples(lesson: Narrated) -> list[Example]:
    """The clauses of a lesson; not those beside a position shown again that begin elsewhere."""
    recap = recap_of(lesson)
    toks = recap.toks
    keys = [position_key(board.fen(en_passant="fen")) for board in lesson.score.boards]
    clauses = list(recap.clauses())
    shown: dict[int, str] = {}
    times: list[int] = []
    for change in lesson.changes[1:]:
        if "show" in change.how and change.key in keys:
            times.append(change.at_ms)
            best = min(clauses, key=lambda k: abs(toks[k].onset_ms - change.at_ms), default=None)
            if best is not None and abs(toks[best].onset_ms - change.at_ms) <= NEAR_MS:
                shown[best] = change.key
    found: list[Example] = []
    for k in clauses:
        at_ms = toks[k].onset_ms
        if k not in shown and any(abs(at_ms - ms) < 2 * NEAR_MS for ms in times):
            continue
        stands = next((c.key for c in reversed(lesson.changes) if c.at_ms < at_ms - NEAR_MS), None)
        grounds = {p: g for p, g in recap.grounds(k).items() if p < 0 or keys[p] != stands or shown.get(k) == stands}
        right = next((p for p in grounds if p >= 0 and keys[p] == shown.get(k)), -1)
        if len(grounds) > 1 and (right >= 0 or k not in shown):
            plies = tuple(grounds)
            found.append(Example(plies, tuple(tuple(grounds[p]) for p in plies), plies.index(right)))
    return found


def fit(data: Sequence[Example]) -> dict[str, float]:
    """A log-linear choice, by adaptive gradient steps (Duchi, Hazan, Singer 2011) with weight decay."""
    counts = Counter(name for e in data for name in {n for names in e.grounds for n in names})
    index = {name: row for row, name in enumerate(sorted(n for n, c in counts.items() if c >= SEEN))}
    weights, sums = np.zeros(len(index)), np.full(len(index), 0.1)
    rows = [[np.array([index[n] for n in names if n in index], int) for names in e.grounds] for e in data]
    order, dice = list(range(len(data))), random.Random(0)
    for _ in range(EPOCHS):
        dice.shuffle(order)
        for at in order:
            scores = np.array([weights[r].sum() for r in rows[at]])
            share = np.exp(scores - scores.max())
            slopes = -share / share.sum()
            slopes[data[at].right] += 1
            if np.abs(slopes).max() < 0.01:
                continue
            for r, slope in zip(rows[at], slopes, strict=True):
                step = slope - DECAY * weights[r]
                sums[r] += step * step
                weights[r] += RATE * step / np.sqrt(sums[r])
    return {name: round(float(weights[row]), 3) for name, row in index.items() if abs(weights[row]) >= 0.01}


def report(pairs: Iterable[tuple[Example, dict[str, float]]]) -> None:
    judged: list[tuple[float, bool]] = []
    for e, weights in pairs:
        scores = [sum(weights.get(n, 0.0) for n in names) for names in e.grounds]
        stay = scores[e.plies.index(-1)]
        best = max((k for k, ply in enumerate(e.plies) if ply >= 0), key=lambda k: scores[k])
        judged.append((scores[best] - stay, best == e.right))
    whole = sum(e.plies[e.right] >= 0 for e, _ in pairs)
    print(f"{len(judged)} clauses, {whole} positions shown again that their words can mean")
    for bound in (-1.0, -0.5, 0.0, 0.5, 1.0):
        taken = [right for odds, right in judged if odds > bound]
        print(f"log-odds > {bound:4.1f}: found {sum(taken)}, elsewhere {len(taken) - sum(taken)}")


def write(path: Path, weights: dict[str, float]) -> None:
    about = "positions shown again, learned by tests/benchmarks/train_recap.py"
    path.write_text(json.dumps({"about": about, "weights": weights}, indent=0) + "\n", encoding="utf-8")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("lessons", nargs="+", type=Path)
    parser.add_argument("--folds", type=int, default=4)
    parser.add_argument("--save-folds", type=Path, help="write each fold's weights (K/recap.json) into this folder")
    parser.add_argument("--write", action="store_true", help="write the package's recap.json")
    options = parser.parse_args()
    with ProcessPoolExecutor() as pool:
        rows = list(pool.map(examples, load_all(options.lessons)))
        parts = [
            [e for k, row in enumerate(rows) if k % options.folds != fold for e in row] for fold in range(options.folds)
        ]
        fitted = list(pool.map(fit, parts))
    report([(e, fitted[k % options.folds]) for k, row in enumerate(rows) for e in row])
    if options.save_folds:
        for fold, weights in enumerate(fitted):
            folder = options.save_folds / str(fold)
            folder.mkdir(parents=True, exist_ok=True)
            write(folder / "recap.json", weights)
    if options.write:
        write(OUT, fit([e for row in rows for e in row]))
        print(f"wrote {OUT.name}")


if __name__ == "__main__":
    main()

"""Makes the follower's confidence true: said 90 % is right nine times in ten. Prints the reliability table.

    python tests/benchmarks/calibrate.py LESSONS... --folds FOLDS            measure and refit, print the tables
    python tests/benchmarks/calibrate.py LESSONS... --folds FOLDS --write    and write timeline/follow/calibration.json

FOLDS is what ``train_follow.py --save-folds`` wrote: for each fold the weights
and the names of the lessons they were learned without, so that every cue here
was made by weights that had not seen its lesson. A cue is right when the truth
makes the same position within 1.5 s, one to one (``narrated.score_boards``).

The curve is a logistic of the log-odds of the model's share, of the margin
over the runner-up, and of the kind of change (Platt 1999); its few parameters
are data, in calibration.json. It is checked by leaving each lesson out of its
fit in turn: the tables show those predictions only.
"""

from __future__ import annotations

import argparse
import json
import math
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from narrated import Narrated, load_all, matched, path_key, position_key
from train_follow import read_folds

from timeline.follow.changes import board_changes
from timeline.follow.follow import decode, followed_cues
from timeline.follow.hypotheses import steps
from timeline.follow.posterior import Evidence
from timeline.follow.weights import Model

BINS = (0.0, 0.3, 0.5, 0.6, 0.7, 0.8, 0.85, 0.9, 0.95, 1.0001)


@dataclass(frozen=True)
class Said:
    """One cue: what speaks for it (``posterior.evidence``), what it was said to be sure with, and whether it is right."""

    lesson: int
    feats: Evidence
    sure: float
    right: bool


def collect(job: tuple[int, Narrated, Model]) -> list[Said]:
    number, lesson, model = job
    decoded = decode(lesson.words, lesson.score, model=model)
    if decoded is None:
        return []
    decoder, final = decoded
    changes = board_changes(decoder.lattice, steps(final))
    found = followed_cues(decoder, changes, lesson.score, 0, 300)
    rows = [(0, position_key(lesson.score.start.fen()))]
    kept: list[tuple[Evidence, float]] = []
    for cue, facts in found:
        key = path_key(lesson.score, cue.path)
        if key != rows[-1][1]:
            rows.append((cue.at_ms, key))
            kept.append((facts, cue.sure))
    right = {row for _, row in matched(lesson, rows)}
    return [Said(number, facts, sure, k in right) for k, (facts, sure) in enumerate(kept, 1)]


def fit(said: Sequence[Said], *, rounds: int = 60, pull: float = 1.0) -> dict[str, float]:
    """Logistic regression by Newton's method; ``pull`` is a zero prior on all but the first two parameters."""
    import numpy as np

    names = sorted({n for s in said for n in s.feats})
    x = np.array([[s.feats.get(n, 0.0) for n in names] for s in said])
    y = np.array([float(s.right) for s in said])
    free = np.array([0.0 if n in ("bias", "odds") else pull for n in names])
    w = np.zeros(len(names))
    for _ in range(rounds):
        p = 1 / (1 + np.exp(-np.clip(x @ w, -30, 30)))
        slope = x.T @ (y - p) - free * w
        curve = (x * (p * (1 - p))[:, None]).T @ x + np.diag(free + 1e-6)
        step = np.linalg.solve(curve, slope)
        w = w + step
        if np.abs(step).max() < 1e-9:
            break
    return dict(zip(names, (float(v) for v in w), strict=True))


def chance(weights: dict[str, float], feats: Evidence) -> float:
    x = sum(weights.get(n, 0.0) * v for n, v in feats.items())
    return 1.0 / (1.0 + math.exp(-max(-30.0, min(30.0, x))))


def table(pairs: Sequence[tuple[float, bool]]) -> str:
    lines = [f"{'said':>13}{'cues':>7}{'mean said':>11}{'right':>8}{'off':>8}"]
    gap = 0.0
    for low, high in pairwise(BINS):
        inside = [(p, r) for p, r in pairs if low <= p < high]
        if inside:
            mean, share = sum(p for p, _ in inside) / len(inside), sum(r for _, r in inside) / len(inside)
            gap += abs(mean - share) * len(inside)
            lines.append(
                f"{low:>6.2f} - {min(high, 1):.2f}{len(inside):>7}{mean:>11.3f}{share:>8.3f}{share - mean:>+8.3f}"
            )
    brier = sum((p - r) ** 2 for p, r in pairs) / len(pairs)
    losses = -sum(math.log(max(1e-9, p if r else 1 - p)) for p, r in pairs) / len(pairs)
    lines.append(f"mean gap {gap / len(pairs):.4f}, Brier score {brier:.4f}, log loss {losses:.4f}")
    return "\n".join(lines)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("lessons", nargs="+", type=Path)
    parser.add_argument("--folds", type=Path, required=True, help="the folder of fold models that train_follow.py --save-folds writes")
    parser.add_argument("--write", action="store_true", help="write timeline/follow/calibration.json")
    options = parser.parse_args()
    lessons = load_all(options.lessons)
    models = read_folds(options.folds, [lesson.name for lesson in lessons])
    with ProcessPoolExecutor(2) as pool:
        jobs = [(i, lesson, models[lesson.name]) for i, lesson in enumerate(lessons)]
        said = [s for many in pool.map(collect, jobs) for s in many]
    print(f"{len(lessons)} lessons, {len(said)} cues, {sum(s.right for s in said)} right")
    print("as it ships now:\n" + table([(s.sure, s.right) for s in said]))
    left_out = []
    for k in range(len(lessons)):
        weights = fit([s for s in said if s.lesson != k])
        left_out += [(chance(weights, s.feats), s.right) for s in said if s.lesson == k]
    print("fitted anew, every lesson left out of its fit:\n" + table(left_out))
    weights = {n: round(v, 4) for n, v in fit(said).items()}
    print(json.dumps(weights))
    if options.write:
        path = Path(__file__).parents[2] / "timeline/follow/calibration.json"
        about = "log-odds that a board change is right, fitted by tests/benchmarks/calibrate.py on lessons held out of training"
        path.write_text(json.dumps({"about": about, "weights": weights}, indent=0) + "\n", encoding="utf-8")
        print(f"wrote {path.name}")


if __name__ == "__main__":
    main()

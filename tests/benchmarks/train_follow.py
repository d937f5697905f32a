"""Learns the follower's weights from narrated lessons, and says how well they do on lessons they have not seen.

    python tests/benchmarks/train_follow.py LESSONS... --folds 4      leave lessons out by fourths, print the table
    python tests/benchmarks/train_follow.py LESSONS... --write        and train on all, write weights.json and network.npz

LESSONS are folders as ``narrated.py`` reads them. ``train_decisions.py`` says
what there is to learn from, ``train_network.py`` how the model is fitted. Positions to
find the way back from are those that weights alone (``train_fit.py``) stray to in
lessons they have not seen.
A few weights
("G:...") that choices at one place cannot teach, because there something has
to be done anyway, can be searched by coordinates (``--rounds``) on lessons
that the fitted weights have not seen; else they stay as they are in
weights.json.
"""

from __future__ import annotations

import argparse
import json
import time
from collections.abc import Iterable, Sequence
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from narrated import Narrated, Result, load_all, path_key, pooled, position_key, score_boards
from train_decisions import Decision, Guided, guided, prepare, strays
from train_fit import Packed, fit
from train_network import fit_network

from timeline.follow import follow_words
from timeline.follow.network import read_network, write_network
from timeline.follow.weights import REASONED, Model, Weights

WEIGHTS = Path(__file__).parents[2] / "timeline/follow/weights.json"

GROUPS = {
    "ignore full, legal nowhere": ["G:ign:none:full", "G:ign:none:capsq", "G:ign:none:san"],
    "ignore full, legal near by": ["G:ign:near:full", "G:ign:near:capsq", "G:ign:near:castle", "G:ign:near:san"],
    "ignore full, legal here": ["G:ign:legal:full", "G:ign:legal:capsq", "G:ign:legal:castle", "G:ign:legal:san"],
    "ignore the game's move": ["G:ign:main:full", "G:ign:main:capsq", "G:ign:main:castle", "G:ign:main:pawn", "G:ign:main:cap"],
    "ignore capture": ["G:ign:none:cap", "G:ign:near:cap", "G:ign:legal:cap"],
    "ignore takes": ["G:ign:none:take", "G:ign:near:take", "G:ign:legal:take"],
    "ignore square": ["G:ign:none:pawn", "G:ign:near:pawn", "G:ign:legal:pawn"],
    "open": ["G:open", "G:jopen"],
    "alternative": ["G:alt"],
    "go on": ["G:cont"],
    "back": ["G:bk"],
    "return with a move": ["G:ret"],
    "skip": ["G:skip", "G:rskip"],
    "anywhere": ["G:tele"],
    "undo": ["G:un", "G:um"],
    "float": ["G:fl", "G:jump", "G:jfrom"],
    "vague": ["G:vg"],
    "go to a place": ["G:goto"],
}  # fmt: skip


# -- measuring
def boards(lesson: Narrated, model: Model) -> list[tuple[int, str]]:
    follow = follow_words(lesson.words, lesson.score, model=model, marks=False)
    return [
        (0, position_key(lesson.score.start.fen())),
        *((c.at_ms, path_key(lesson.score, c.path)) for c in follow.cues),
    ]


def measure(job: tuple[Narrated, Model]) -> Result:
    lesson, model = job
    return score_boards(lesson, boards(lesson, model))


def aim(results: Sequence[Result]) -> float:
    """What the coordinate search maximises: every speaker counts alike."""
    return sum(r.f1 + r.right for r in results) / (2 * len(results))


def spread(groups: Weights) -> Weights:
    """Group weights by the names that the search knows."""
    return {name: groups.get(group, 0.0) for group, names in GROUPS.items() for name in names}


def grouped(model: Model, flat: Weights) -> Model:
    """The model with the group weights given."""
    return Model({**model.weights, **flat}, model.network)


def coordinates(
    pool: ProcessPoolExecutor, jobs: list[tuple[Narrated, Model]], start: Weights, rounds: int
) -> Weights:
    def value(extra: Weights) -> float:
        flat = spread(extra)
        return aim(list(pool.map(measure, [(lesson, grouped(m, flat)) for lesson, m in jobs])))

    best, top = dict(start), value(start)
    print(f"coordinate search from {top:.4f}", flush=True)
    for turn in range(rounds):
        for group in GROUPS:
            for size in (-1.0, 1.0) if turn == 0 else (-0.5, 0.5):
                trial = {**best, group: best.get(group, 0.0) + size}
                got = value(trial)
                if got > top + 0.0005:
                    best, top = trial, got
                    print(f"  {group} {trial[group]:+.1f}: {top:.4f}", flush=True)
                    break
    return best


def write_model(folder: Path, model: Model, groups: Weights) -> None:
    """weights.json and network.npz in ``folder``."""
    folder.mkdir(parents=True, exist_ok=True)
    kept = {n: round(v, 3) for n, v in sorted(model.weights.items()) if abs(v) >= 0.0005}
    about = "log-linear weights of the follower, learned with network.npz by tests/benchmarks/train_follow.py"
    text = json.dumps({"about": about, "groups": groups, "weights": kept}, indent=0)
    (folder / "weights.json").write_text(text + "\n", encoding="utf-8")
    assert model.network is not None
    write_network(folder / "network.npz", model.network)


def read_model(folder: Path) -> Model:
    """What ``write_model`` wrote."""
    weights = json.loads((folder / "weights.json").read_text(encoding="utf-8"))["weights"]
    return Model(weights, read_network(folder / "network.npz"))


HEAD = f"{'lesson':<18}{'right@1.0':>10}{'F1':>7}{'side':>9}{'false':>7}{'cues':>6}"


def line(name: str, r: Result) -> str:
    return (
        f"{name:<18}{r.right:>10.3f}{r.f1:>7.3f}{f'{r.side_found}/{r.side_gold}':>9}{r.shown - r.matched:>7}{r.gold:>6}"
    )


def guide(lesson: Narrated) -> Guided:
    return guided(prepare(lesson), REASONED)


def stray(job: tuple[Narrated, Guided, Weights]) -> list[Decision]:
    lesson, guide, own = job
    return strays(prepare(lesson), guide, REASONED, own)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("lessons", nargs="+", type=Path)
    parser.add_argument("--folds", type=int, default=4, help="at least 2")
    parser.add_argument("--rounds", type=int, default=0, help="rounds of the coordinate search of the group weights")
    parser.add_argument("--pull", type=float, default=4.0, help="strength of the prior")
    parser.add_argument("--save-folds", type=Path, help="write each fold's model into a folder there, for calibrate.py")
    parser.add_argument(
        "--write", action="store_true", help="train on all lessons and write the package's weights.json"
    )
    options = parser.parse_args()
    began = time.time()
    lessons = load_all(options.lessons)
    groups: Weights = json.loads(WEIGHTS.read_text(encoding="utf-8"))["groups"]
    numbers, fold_of = range(len(lessons)), [i % options.folds for i in range(len(lessons))]
    index: dict[str, int] = {}
    with ProcessPoolExecutor(2) as pool:
        guides = list(pool.map(guide, lessons))
        parts = [[Packed(g.decisions, index)] for g in guides]
        print(f"{len(lessons)} lessons, {time.time() - began:.0f} s", flush=True)

        def of(kept: Iterable[int]) -> list[Packed]:
            return [part for i in kept for part in parts[i]]

        def others(k: int) -> list[int]:
            return [i for i in numbers if fold_of[i] != k]

        first = [
            {**fit(of(others(k)), index, REASONED, pull=options.pull), **spread(groups)} for k in range(options.folds)
        ]
        jobs = [(lessons[i], guides[i], first[fold_of[i]]) for i in numbers]
        for i, found in enumerate(pool.map(stray, jobs)):
            parts[i].append(Packed(found, index))
        count = sum(len(p.counts) for lesson in parts for p in lesson)
        print(f"{count} decisions, {time.time() - began:.0f} s", flush=True)
        folds = [fit_network(of(others(k)), index, REASONED) for k in range(options.folds)]
        measured = [(lessons[i], folds[fold_of[i]]) for i in numbers]
        if options.rounds:
            groups = coordinates(pool, measured, groups, options.rounds)
        flat = spread(groups)
        if options.save_folds:
            for k, model in enumerate(folds):
                write_model(options.save_folds / str(k), grouped(model, flat), groups)
        results = list(pool.map(measure, [(lesson, grouped(model, flat)) for lesson, model in measured]))
        print("lessons left out of the fit:\n" + HEAD)
        for lesson, result in zip(lessons, results, strict=True):
            print(line(lesson.name, result))
        print(line("ALL", pooled(results)), flush=True)
    if options.write:
        final = grouped(fit_network(of(numbers), index, REASONED), spread(groups))
        write_model(WEIGHTS.parent, final, groups)
        print(f"wrote {len(final.weights)} weights, {time.time() - began:.0f} s")


if __name__ == "__main__":
    main()

"""Learns the follower's weights from narrated lessons, and says how well they do on lessons they have not seen.

    python tests/benchmarks/train_follow.py LESSONS... --folds 4      leave lessons out by fourths, print the table
    python tests/benchmarks/train_follow.py LESSONS... --write        and train on all, write weights.json, network.npz, tenor.npz

LESSONS are folders as ``narrated.py`` reads them. ``train_decisions.py`` says
what there is to learn from, ``train_network.py`` how the model is fitted. Positions to
find the way back from are those that weights alone (``train_fit.py``), and then
weights and network, stray to in lessons they have not seen.
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
from multiprocessing import get_context
from pathlib import Path

from narrated import Narrated, Result, load_all, path_key, pooled, position_key, score_boards
from train_decisions import Decision, Guided, guided, prepare, strays
from train_fit import Packed, fit
from train_network import STARTS, fit_network, mean_of
from train_tenor import fit_tenor

from timeline.follow import follow_words
from timeline.follow.network import read_network, write_network
from timeline.follow.tenor import Tenor, read_tenor, write_tenor
from timeline.follow.weights import REASONED, Model, Weights

AWAY = "left_out.txt"
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
    return model._replace(weights={**model.weights, **flat})


def coordinates(pool: ProcessPoolExecutor, jobs: list[tuple[Narrated, Model]], start: Weights, rounds: int) -> Weights:
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
    """weights.json, network.npz and tenor.npz in ``folder``."""
    folder.mkdir(parents=True, exist_ok=True)
    kept = {n: round(v, 3) for n, v in sorted(model.weights.items()) if abs(v) >= 0.0005}
    about = "log-linear weights of the follower, learned with network.npz by tests/benchmarks/train_follow.py"
    text = json.dumps({"about": about, "groups": groups, "weights": kept}, indent=0)
    (folder / "weights.json").write_text(text + "\n", encoding="utf-8")
    assert model.network is not None
    assert model.tenor is not None
    write_network(folder / "network.npz", model.network)
    write_tenor(folder / "tenor.npz", model.tenor)


def write_folds(folder: Path, models: Sequence[Model], away: Sequence[Sequence[str]], groups: Weights) -> None:
    """Each fold's model in a folder of its own, with the names of the lessons that it was learned without."""
    for k, (model, names) in enumerate(zip(models, away, strict=True)):
        write_model(folder / str(k), model, groups)
        (folder / str(k) / AWAY).write_text("".join(f"{name}\n" for name in sorted(names)), encoding="utf-8")


def read_folds(folder: Path, lessons: Iterable[str]) -> dict[str, Model]:
    """For each lesson the model that was learned without it, by name: the folds hold for whatever lessons are measured.

    A lesson that no fold names was not there when they were learned: any model will do.
    """
    models: dict[str, Model] = {}
    for fold in sorted(folder.iterdir()):
        model = read_model(fold)
        models |= dict.fromkeys((fold / AWAY).read_text(encoding="utf-8").split("\n"), model)
    return {name: models.get(name, model) for name in lessons}


def read_model(folder: Path) -> Model:
    """What ``write_model`` wrote."""
    weights = json.loads((folder / "weights.json").read_text(encoding="utf-8"))["weights"]
    return Model(weights, read_network(folder / "network.npz"), read_tenor(folder / "tenor.npz"))


HEAD = f"{'lesson':<18}{'right@1.0':>10}{'F1':>7}{'side':>9}{'false':>7}{'cues':>6}"


def line(name: str, r: Result) -> str:
    return (
        f"{name:<18}{r.right:>10.3f}{r.f1:>7.3f}{f'{r.side_found}/{r.side_gold}':>9}{r.shown - r.matched:>7}{r.gold:>6}"
    )


def guide(lesson: Narrated) -> Guided:
    return guided(prepare(lesson), REASONED)


def stray(job: tuple[Narrated, Guided, Model]) -> list[Decision]:
    lesson, guide, own = job
    return strays(prepare(lesson), guide, REASONED, own)


_shared: tuple[list[list[Packed]], dict[str, int], list[Guided]]


def _share(parts: list[list[Packed]], index: dict[str, int], guides: list[Guided]) -> None:
    global _shared
    _shared = parts, index, guides


def fit_one(job: tuple[list[int], int]) -> Model:
    kept, seed = job
    parts, index, _ = _shared
    return fit_network([part for i in kept for part in parts[i]], index, REASONED, seed)


def fit_talk(kept: list[int]) -> Tenor:
    return fit_tenor([said for i in kept for said in _shared[2][i].said])


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
    fold_of = [i % options.folds for i in range(len(lessons))]
    numbers = range(len(lessons))
    index: dict[str, int] = {}
    with ProcessPoolExecutor(2) as pool:
        guides = list(pool.map(guide, lessons))
        parts = [[Packed(g.decisions, index)] for g in guides]
        print(f"{len(lessons)} lessons, {time.time() - began:.0f} s", flush=True)

        def fitted(shares: list[list[int]], starts: int) -> list[Model]:
            with ProcessPoolExecutor(2, get_context("fork"), _share, (parts, index, guides)) as fits:  # parts are large
                found = list(fits.map(fit_one, [(kept, seed) for kept in shares for seed in range(starts)]))
                tenors = list(fits.map(fit_talk, shares))
            return [
                mean_of(found[k * starts : (k + 1) * starts])._replace(tenor=tenor) for k, tenor in enumerate(tenors)
            ]

        def of(kept: Iterable[int]) -> list[Packed]:
            return [part for i in kept for part in parts[i]]

        def others(k: int) -> list[int]:
            return [i for i in numbers if fold_of[i] != k]

        shares = [others(k) for k in range(options.folds)] + ([list(numbers)] if options.write else [])
        first = [
            Model({**fit(of(others(k)), index, REASONED, pull=options.pull), **spread(groups)})
            for k in range(options.folds)
        ]
        for turn in ("weights", "weights and network"):
            jobs = [(lessons[i], guides[i], first[fold_of[i]]) for i in numbers]
            for i, found in enumerate(pool.map(stray, jobs)):
                parts[i].append(Packed(found, index))
            count = sum(len(p.counts) for lesson in parts for p in lesson)
            print(f"{count} decisions with those where {turn} stray, {time.time() - began:.0f} s", flush=True)
            if turn == "weights":
                first = [grouped(model, spread(groups)) for model in fitted(shares[: options.folds], 1)]
        models = fitted(shares, STARTS)
        folds = models[: options.folds]
        print(f"fitted, {time.time() - began:.0f} s", flush=True)
        measured = [(lessons[i], folds[fold_of[i]]) for i in numbers]
        if options.rounds:
            groups = coordinates(pool, measured, groups, options.rounds)
        flat = spread(groups)
        if options.save_folds:
            away = [[lessons[i].name for i in numbers if fold_of[i] == k] for k in range(options.folds)]
            write_folds(options.save_folds, [grouped(model, flat) for model in folds], away, groups)
        results = list(pool.map(measure, [(lesson, grouped(model, flat)) for lesson, model in measured]))
        print("lessons left out of the fit:\n" + HEAD)
        for lesson, result in zip(lessons, results, strict=True):
            print(line(lesson.name, result))
        print(line("ALL", pooled(results)), flush=True)
    if options.write:
        final = grouped(models[-1], spread(groups))
        write_model(WEIGHTS.parent, final, groups)
        print(f"wrote {len(final.weights)} weights, {time.time() - began:.0f} s")


if __name__ == "__main__":
    main()

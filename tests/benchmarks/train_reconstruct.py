"""Learns how talk without a score is read (reconstruct.json), and says how much of the main line comes out right.

    python tests/benchmarks/train_reconstruct.py LESSONS... --folds 4            leave lessons out by fourths, print the table
    python tests/benchmarks/train_reconstruct.py LESSONS... --folds 4 --write    and learn from all, write the weights

LESSONS are folders as ``narrated.py`` reads them. With the score in hand the
best reachable decoding tells of each mention whether the game went on by it,
a sideline was told, or it was only talk; a log-linear model of that is fitted
to the words around. What the board allows gets its weight by counting: how
often a mention that is only talk happens to be legal.
"""

from __future__ import annotations

import argparse
import json
import math
import random
import time
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from narrated import Narrated, load_all
from train_decisions import chain_of, prepare

from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.matching import matches
from timeline.follow.persons import learn_persons
from timeline.follow.reconstruct import Reconstructor
from timeline.follow.search import Decoder
from timeline.follow.wayfeatures import mention_features, state_features, turn_features
from timeline.follow.wayweights import Weights
from timeline.follow.weights import REASONED

FORWARD = frozenset(("main", "ret", "retG", "skip", "rskip", "tele"))
SIDE = frozenset(("open", "cont", "alt", "jopen"))


@dataclass(frozen=True)
class Told:
    """One mention of the best reachable decoding: how it was meant, and whether it was legal for the game."""

    way: str
    kind: str
    feats: tuple[tuple[str, float], ...]
    legal: bool
    named: bool


@dataclass(frozen=True)
class Turn:
    """One place where the talk might have returned to the game without a move."""

    back: bool
    feats: tuple[str, ...]


def examples(lesson: Narrated) -> tuple[list[Told], list[Turn]]:
    case = prepare(lesson)
    judged = Decoder(case.lattice, case.tree, REASONED, 30, judge=case.judge)
    persons = learn_persons(judged, judged.run())
    best = Decoder(case.lattice, case.tree, REASONED, 30, judge=case.judge, persons=persons).run()
    told: list[Told] = []
    turns: list[Turn] = []
    chain = chain_of(best)
    main = case.tree.main
    front, last, moved, last_end = 0, "0", 0, 0
    for before, hyp in pairwise(chain):
        node = before.node
        aside = not (node.main and node.ply == front)
        m = hyp.mention
        if aside:
            for i in range(last_end, hyp.tok + (m is None)):
                if case.lattice.context.may_turn(i) and i >= last_end:
                    back = m is None and i == hyp.tok and hyp.node.main and hyp.act in ("bk", "bkG", "fw")
                    turns.append(Turn(back, tuple(turn_features(case.lattice, i, i - last_end, last, i - moved))))
        if m is None:
            if hyp.node.main and hyp.node.ply > front:  # told without its name
                front = hyp.node.ply
            last, moved, last_end = "b", hyp.tok, hyp.tok
            continue
        if hyp.act == "step":
            continue
        way = "ign"
        if hyp.act in FORWARD and hyp.node.ply > front:
            way = "main"
        elif hyp.act in SIDE:
            way = "side"
        feats = mention_features(case.lattice, m, aside)
        feats += [(n, 1.0) for n in state_features(m.start - last_end, last, m.start - moved, aside)]
        legal = bool(matches(main[front], m.desc))
        named = m.desc.to >= 0 and any(
            x.move is not None
            and x.move.to_square == m.desc.to
            and x.board.piece_type_at(m.desc.to) == (m.desc.piece or 1)
            for x in main[1 : front + 1]
        )
        told.append(Told(way, m.kind, (*feats, ("bias", 1.0)), legal, named))
        if way == "ign" and m.hear >= 0.4:
            continue
        last_end = m.end
        last = {"main": "m", "side": "s", "ign": "i"}[way]
        if way != "ign":
            moved = m.end
        if way == "main":
            front = hyp.node.ply
    return told, turns


def fit_ways(told: Sequence[Told], *, epochs: int = 10, rate: float = 0.1, pull: float = 3.0) -> Weights:
    """A log-linear model of the way a mention is meant; "ign" is the reference, ``pull`` the strength of the zero prior."""
    weights: Weights = {}
    order = list(range(len(told)))
    rnd = random.Random(0)
    for epoch in range(epochs):
        rnd.shuffle(order)
        eta = rate / (1 + 0.6 * epoch)
        for at in order:
            case = told[at]
            xs = [sum(weights.get(f"{n}>{w}", 0.0) * v for n, v in case.feats) for w in ("main", "side")]
            peak = max(*xs, 0.0)
            es = [math.exp(x - peak) for x in xs]
            whole = sum(es) + math.exp(-peak)
            for way, e in zip(("main", "side"), es, strict=True):
                slope = (case.way == way) - e / whole
                for n, v in case.feats:
                    key = f"{n}>{way}"
                    weights[key] = weights.get(key, 0.0) + eta * slope * v
        for key in weights:
            weights[key] *= math.exp(-eta * pull)
    return weights


def fit_turns(turns: Sequence[Turn], *, epochs: int = 10, rate: float = 0.1, pull: float = 1.0) -> Weights:
    weights: Weights = {}
    order = list(range(len(turns)))
    rnd = random.Random(0)
    for epoch in range(epochs):
        rnd.shuffle(order)
        eta = rate / (1 + 0.6 * epoch)
        for at in order:
            case = turns[at]
            x = sum(weights.get(f"{n}>back", 0.0) for n in case.feats)
            slope = case.back - 1.0 / (1.0 + math.exp(-x))
            for n in case.feats:
                weights[f"{n}>back"] = weights.get(f"{n}>back", 0.0) + eta * slope
        for key in weights:
            weights[key] *= math.exp(-eta * pull)
    return weights


def count_legal(told: Sequence[Told]) -> Weights:
    """Log-likelihood ratios of being legal, by kind: told by the game against only talk. Add-two smoothing."""
    found: Weights = {}
    seen = Counter((t.way == "main", t.kind) for t in told)
    legal = Counter((t.way == "main", t.kind) for t in told if t.legal)
    named = Counter((t.way == "main", t.kind) for t in told if t.named)
    for kind in {t.kind for t in told}:
        chance = {way: (legal[(way, kind)] + 2) / (seen[(way, kind)] + 4) for way in (True, False)}
        found[f"legal:{kind}>main"] = math.log(max(chance[True], 0.8) / chance[False])
        found[f"legal:{kind}>side"] = found[f"legal:{kind}>main"]
        chance = {way: (named[(way, kind)] + 2) / (seen[(way, kind)] + 8) for way in (True, False)}
        found[f"said:{kind}"] = max(0.0, math.log(chance[False] / chance[True]))
    return found


# Found by trying halves and doubles on left-out lessons (--search).
SEARCHED: Weights = {
    "fit": -1.0, "hear": -0.5, "rivals": -1.0, "loses": -1.5, "step": -2.0,
    "rc>main": 0.5, "nr>main": -1.5, "nx>main": -0.5, "rc>side": 0.5, "nr>side": -1.5, "nx>side": -0.5,
    "act:main": 0.0, "act:mend": -0.5, "act:rewind": -3.0, "act:gap": -0.7, "sounds": 1.0, "bare": -2.5,
    # log-odds of a move being right by its margin over the second reading: against none, another move, for a guess
    "sure:0": 0.88, "sure:1": 0.42, "or:0": 0.42, "or:1": 0.41, "guess:0": 0.0, "guess:1": 0.5,
    "number:ok>main": 2.5, "number:bad>main": -2.5, "number:ok>side": 1.0, "number:bad>side": -1.0,
    "usual:back": 1.5, "usual:take": 0.5, "usual:castle": 1.0, "usual:centre": 1.0, "usual:loses": -1.5,
    "at:cont": -0.2, "at:open": -0.2, "at:alt1": -2.0, "at:alt2": -2.5, "at:alt3": -3.0, "at:fresh": -1.5, "at:instead": -1.5,
    "at:instead2": -3.0,
    # set by hand, on invented talks and on what they do to the lessons
    "rc:quiet>main": 0.5, "nr:quiet>main": -0.75, "rc:quiet>side": 0.5, "nr:quiet>side": -0.75, "less": -0.3, "said:now": 1.2,
    "passing:ok": 1.5, "passing:bad": -3.0, "later>main": -2.0, "supposed>main": -3.0, "manless": 1.2, "end:aside": -2.0, "end:after": -1.0, "begin:aside": -2.0,
    "act:correct": 1.0, "act:after slip": 1.0, "at:correct": 0.0, "slip:kept": -3.0,
    "act:opening": -1.0, "act:opening free": -1.5,
}  # fmt: skip


def learn(data: Sequence[tuple[list[Told], list[Turn]]]) -> Weights:
    told = [t for one, _ in data for t in one]
    turns = [t for _, many in data for t in many]
    return {**fit_ways(told), **fit_turns(turns), **count_legal(told)}


def line_of(lesson: Narrated, weights: Weights) -> list[str]:
    """The reconstructed main line in UCI."""
    ends = Reconstructor(Lattice(tokens(lesson.words)), lesson.score.start, weights).run()
    return [m.uci() for m in ends[0].tip.path()] if ends else []


@dataclass(frozen=True)
class Right:
    """``prefix``: plies right before the first wrong one; ``common``: plies of the longest common subsequence."""

    plies: int
    found: int
    prefix: int
    common: int


def compare(truth: Sequence[str], found: Sequence[str]) -> Right:
    prefix = next(
        (k for k, (a, b) in enumerate(zip(truth, found, strict=False)) if a != b), min(len(truth), len(found))
    )
    row = [0] * (len(found) + 1)
    for a in truth:
        last = 0
        for j, b in enumerate(found, 1):
            last, row[j] = row[j], last + 1 if a == b else max(row[j], row[j - 1])
    return Right(len(truth), len(found), prefix, row[-1])


def measure(job: tuple[Narrated, Weights]) -> Right:
    lesson, weights = job
    return compare([m.uci() for m in lesson.score.moves], line_of(lesson, weights))


HEAD = f"{'lesson':<18}{'plies':>7}{'found':>7}{'prefix':>8}{'common':>8}"


def row(name: str, r: Right) -> str:
    return f"{name:<18}{r.plies:>7}{r.found:>7}{r.prefix / max(1, r.plies):>8.2f}{r.common / max(1, r.plies):>8.2f}"


def total(results: Sequence[Right]) -> Right:
    return Right(*(sum(getattr(r, k) for r in results) for k in ("plies", "found", "prefix", "common")))


def aim(results: Sequence[Right]) -> float:
    """Shares of plies, every lesson alike; invented plies cost."""
    return sum(
        (0.5 * r.prefix + r.common - 0.3 * max(0, r.found - r.common)) / (1.5 * max(1, r.plies)) for r in results
    ) / len(results)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("lessons", nargs="+", type=Path)
    parser.add_argument("--folds", type=int, default=4)
    parser.add_argument("--search", type=int, default=0, help="rounds of coordinate search over the few global weights")
    parser.add_argument("--write", action="store_true")
    options = parser.parse_args()
    began = time.time()
    lessons = load_all(options.lessons)
    with ProcessPoolExecutor(2) as pool:
        data = list(pool.map(examples, lessons))
        print(
            f"{len(lessons)} lessons, {sum(len(t) for t, _ in data)} mentions, {time.time() - began:.0f} s", flush=True
        )
        sets = [[d for i, d in enumerate(data) if i % options.folds != k] for k in range(options.folds)]
        folds = list(pool.map(learn, sets))
        best = dict(SEARCHED)

        def run(extra: Weights) -> list[Right]:
            return list(pool.map(measure, [(x, {**folds[i % options.folds], **extra}) for i, x in enumerate(lessons)]))

        results = run(best)
        top = aim(results)
        print(f"aim {top:.4f}, {time.time() - began:.0f} s", flush=True)
        for turn in range(options.search):
            for name in list(best):
                for size in (-0.6, 0.6) if turn == 0 else (-0.3, 0.3):
                    trial = {**best, name: best[name] + size}
                    got = run(trial)
                    if aim(got) > top + 0.0005:
                        best, results, top = trial, got, aim(got)
                        print(f"  {name} {trial[name]:+.2f}: {top:.4f}", flush=True)
                        break
        if options.search:
            print(best)
        print("lessons left out of the fit:\n" + HEAD)
        for lesson, result in zip(lessons, results, strict=True):
            print(row(lesson.name, result))
        print(row("ALL", total(results)), f"aim {aim(results):.4f}, {time.time() - began:.0f} s", flush=True)
    if options.write:
        weights = {n: round(v, 3) for n, v in sorted({**learn(data), **best}.items()) if abs(v) >= 0.02}
        path = Path(__file__).parents[2] / "timeline/follow/reconstruct.json"
        about = "how talk without a score is read, learned by tests/benchmarks/train_reconstruct.py"
        path.write_text(json.dumps({"about": about, "weights": weights}, indent=0) + "\n", encoding="utf-8")
        print(f"wrote {path.name}: {len(weights)} weights")


if __name__ == "__main__":
    main()

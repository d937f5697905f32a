"""Learns the follower's weights from narrated lessons, and says how well they do on lessons they have not seen.

    python tests/benchmarks/train_follow.py LESSONS... --write        train on all, write weights.json
    python tests/benchmarks/train_follow.py LESSONS... --folds 5      leave lessons out by fifths, print the table

LESSONS are folders as ``narrated.py`` reads them. Three stages:

1. The best reachable decoding of each lesson is found by the search itself,
   with rewards for board changes that agree with the truth.
2. Each decision along it is a choice among the actions that the search
   offers there; a log-linear model of that choice is fitted (stochastic
   gradient, pulled towards the reasoned weights). Positions that the model
   itself strays to are added with the way back that the rewarded search
   finds (Ross, Gordon, Bagnell 2011, "A reduction of imitation learning and
   structured prediction to no-regret online learning").
3. A few weights ("G:…") that choices at one place cannot teach, because there
   something has to be done anyway, are found by coordinate search on lessons
   that the fitted weights have not seen.
"""

from __future__ import annotations

import argparse
import json
import math
import random
import time
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from narrated import Narrated, Result, load_all, path_key, pooled, position_key, score_boards

from timeline.follow import follow_words
from timeline.follow.hypotheses import Hyp, Layer
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.persons import learn_persons
from timeline.follow.search import Decoder
from timeline.follow.tree import Node, Tree
from timeline.follow.weights import REASONED, Weights

REWARD = 8.0
TURNS = frozenset(("bk", "bkG", "un", "um", "fw", "fl"))
Options = list[dict[str, float]]

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
}  # fmt: skip


class Judge:
    """Rewards board changes that agree with the truth, punishes others."""

    def __init__(self, lesson: Narrated, lattice: Lattice) -> None:
        self.lesson, self.toks = lesson, lattice.toks
        self.memo: dict[tuple[int, int, bool], float] = {}
        self.keys: dict[int, str] = {}

    def __call__(self, tok: int, node: Node, act: str, end: int) -> float:
        turn = act in TURNS
        known = self.memo.get((tok, node.key, turn))
        if known is not None:
            return known
        key = self.keys.get(node.key) or self.keys.setdefault(node.key, position_key(node.board.fen(en_passant="fen")))
        at = self.toks[min(tok, len(self.toks) - 1)].onset_ms
        off = None
        standing: list[str] = []
        for change in self.lesson.changes:
            right_kind = ("play" not in change.how) if turn else ("play" in change.how or "show" in change.how)
            if turn and any(word in change.how for word in ("back", "take", "show")):
                right_kind = True
            if change.key == key and right_kind and -1500 <= at - change.at_ms <= 2300:
                off = min(off if off is not None else 9999, abs(at - change.at_ms))
            if change.at_ms <= at - 1000:
                standing = [change.key]
            elif change.at_ms <= at + 1000:
                standing.append(change.key)
        if off is not None:
            value = REWARD * (1.0 - 0.2 * min(off, 2000) / 1000)
        else:
            value = REWARD * ((-0.3 if turn else -0.02) if key in standing else -1.0)
        self.memo[(tok, node.key, turn)] = value
        return value


class Collector(Decoder):
    """Keeps the options of one hypothesis instead of searching on."""

    def _commit(self, hyp: Hyp) -> None:
        self.kept = [new for _, new in self._options]


@dataclass
class Case:
    """One lesson prepared for training."""

    lesson: Narrated
    lattice: Lattice
    tree: Tree
    judge: Judge


def prepare(lesson: Narrated) -> Case:
    lattice = Lattice(tokens(lesson.words))
    return Case(lesson, lattice, Tree(lesson.score), Judge(lesson, lattice))


def chain_of(hyp: Hyp | None) -> list[Hyp]:
    out: list[Hyp] = []
    while hyp is not None:
        if hyp.act != "pass":
            out.append(hyp)
        hyp = hyp.prev
    return out[::-1]


def reached(hyp: Hyp) -> int:
    """The token at which a hypothesis goes on."""
    if hyp.mention is None:
        return hyp.tok
    if hyp.act == "step" or (hyp.act == "ign" and hyp.mention.hear >= 0.4):
        return hyp.tok + 1
    return hyp.mention.end


def _merged(feats: Sequence[tuple[str, float]]) -> dict[str, float]:
    out: dict[str, float] = {}
    for name, value in feats:
        out[name] = out.get(name, 0.0) + value
    return out


def along(
    case: Case, chain: list[Hyp], first: int, weights: Weights, persons: dict[str, bool], until: Node | None = None
) -> list[tuple[Options, int]]:
    """The decisions along a chain: options' features, and which one the chain takes."""
    col = Collector(case.lattice, case.tree, weights, 20, keep_feats=True, persons=persons)
    found: list[tuple[Options, int]] = []
    place, k, i = chain[0], 0, first
    n = case.lattice.n
    spare: list[Layer] = [{} for _ in range(n + 20)]
    while i < n:
        following = chain[k + 1] if k + 1 < len(chain) else None
        if following is None:
            break
        if case.lattice.context.may_turn(i):
            options = [o for o in col._turns([place], i) if o.act != "pass"]
            right: int | None = 0
            if following.mention is None and following.tok == i:
                right = next(
                    (j + 1 for j, o in enumerate(options) if o.act == following.act and o.node is following.node), None
                )
            if options and right is not None:
                found.append(([{}, *(_merged(o.feats) for o in options)], right))
            if following.mention is None and following.tok == i:
                place, k = following, k + 1
                following = chain[k + 1] if k + 1 < len(chain) else None
        readings = case.lattice.readings(i)
        if not readings or following is None:
            i += 1
            continue
        col._expand([place], readings, i, spare)
        options = col.kept
        right = next(
            (
                j
                for j, o in enumerate(options)
                if o.act == following.act
                and o.node is following.node
                and o.mention is following.mention
                and following.tok == i
            ),
            None,
        )
        if right is None:
            i += 1
            continue
        found.append(([_merged(o.feats) for o in options], right))
        place, k = following, k + 1
        i = reached(place)
        if until is not None and place.node is until:
            break
    return found


def decisions(case: Case, weights: Weights, own: Weights | None) -> list[tuple[Options, int]]:
    """Decisions along the best reachable decoding; with ``own``, also on the ways back from where that model strays."""
    judged = Decoder(case.lattice, case.tree, weights, 30, judge=case.judge)
    persons = learn_persons(judged, judged.run())
    best = Decoder(case.lattice, case.tree, weights, 30, keep_feats=True, judge=case.judge, persons=persons).run()
    chain = chain_of(best)
    found = along(case, chain, 0, weights, persons)
    if own is None:
        return found
    right_board: list[Node] = [case.tree.root] * (case.lattice.n + 1)
    for k, hyp in enumerate(chain):
        last = chain[k + 1].tok if k + 1 < len(chain) else case.lattice.n
        for i in range(hyp.tok, last + 1):
            right_board[i] = hyp.node
    strayed = chain_of(Decoder(case.lattice, case.tree, own, 16, persons=persons).run())
    next_start = 0
    for hyp in strayed:
        at = reached(hyp)
        if at < next_start or at >= case.lattice.n or hyp.node is right_board[at]:
            continue
        start = Hyp(
            0.0,
            hyp.node,
            hyp.front,
            None,
            "",
            None,
            at,
            hyp.last_end,
            hyp.last_act,
            (),
            0.0,
            hyp.float_tok,
            hyp.base,
            hyp.moved,
        )
        way = Decoder(case.lattice, case.tree, weights, 20, keep_feats=True, judge=case.judge, persons=persons)
        back = chain_of(way.run(start, at, min(case.lattice.n, at + 90)))
        found += along(case, back, at, weights, persons)
        next_start = at + 45
    return found


def fit(
    cases: Sequence[tuple[Options, int]], prior: Weights, *, epochs: int = 8, rate: float = 0.08, pull: float = 0.05
) -> Weights:
    """Maximum a posteriori weights of the choices; ``pull`` is the strength of the prior."""
    weights = dict(prior)
    shuffled = list(range(len(cases)))
    rnd = random.Random(0)
    for epoch in range(epochs):
        rnd.shuffle(shuffled)
        eta = rate / (1 + 0.5 * epoch)
        for at in shuffled:
            options, right = cases[at]
            scores = [sum(weights.get(n, 0.0) * v for n, v in o.items()) for o in options]
            peak = max(scores)
            exps = [math.exp(s - peak) for s in scores]
            whole = sum(exps)
            for j, option in enumerate(options):
                slope = (1.0 if j == right else 0.0) - exps[j] / whole
                if abs(slope) > 1e-3:
                    for name, value in option.items():
                        weights[name] = weights.get(name, 0.0) + eta * slope * value
        for name in weights:
            weights[name] -= pull * 10 * eta / (1 + 10 * eta * pull) * 0.5 * (weights[name] - prior.get(name, 0.0))
    return weights


# -- measuring
def boards(lesson: Narrated, weights: Weights) -> list[tuple[int, str]]:
    follow = follow_words(lesson.words, lesson.score, weights=weights, marks=False)
    return [
        (0, position_key(lesson.score.start.fen())),
        *((c.at_ms, path_key(lesson.score, c.path)) for c in follow.cues),
    ]


def measure(job: tuple[Narrated, Weights]) -> Result:
    lesson, weights = job
    return score_boards(lesson, boards(lesson, weights))


def aim(results: Sequence[Result]) -> float:
    """What the coordinate search maximises: every speaker counts alike."""
    return sum(r.f1 + r.right for r in results) / (2 * len(results))


def coordinates(
    pool: ProcessPoolExecutor, jobs: list[tuple[Narrated, Weights]], start: Weights, rounds: int
) -> Weights:
    def value(extra: Weights) -> float:
        flat = {name: extra.get(group, 0.0) for group, names in GROUPS.items() for name in names}
        return aim(list(pool.map(measure, [(lesson, {**w, **flat}) for lesson, w in jobs])))

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


HEAD = f"{'lesson':<18}{'right@1.0':>10}{'F1':>7}{'side':>9}{'false':>7}{'cues':>6}"


def line(name: str, r: Result) -> str:
    return (
        f"{name:<18}{r.right:>10.3f}{r.f1:>7.3f}{f'{r.side_found}/{r.side_gold}':>9}{r.shown - r.matched:>7}{r.gold:>6}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("lessons", nargs="+", type=Path)
    parser.add_argument("--folds", type=int, default=4)
    parser.add_argument("--rounds", type=int, default=2, help="rounds of the coordinate search; 0 leaves it out")
    parser.add_argument("--start", type=Path, help="group weights to start the coordinate search from (JSON)")
    parser.add_argument(
        "--write", action="store_true", help="train on all lessons and write the package's weights.json"
    )
    parser.add_argument("--save-folds", type=Path, help="write each fold's weights there, for calibrate.py (JSON list)")
    parser.add_argument("--stray", type=int, default=1, help="how often strayed positions are added")
    options = parser.parse_args()
    began = time.time()
    cases = [prepare(lesson) for lesson in load_all(options.lessons)]
    groups: Weights = json.loads(options.start.read_text()) if options.start else {}
    flat = {name: groups.get(group, 0.0) for group, names in GROUPS.items() for name in names}
    plain = [decisions(case, REASONED, None) for case in cases]
    print(f"{len(cases)} lessons, {sum(map(len, plain))} decisions, {time.time() - began:.0f} s", flush=True)

    def learn(kept: Sequence[int]) -> Weights:
        data = [d for i in kept for d in plain[i]]
        weights = fit(data, REASONED)
        for _ in range(options.stray):
            own = {**weights, **flat}
            data = [d for i in kept for d in decisions(cases[i], REASONED, own)]
            weights = fit(data, REASONED)
        return weights

    folds = [learn([i for i in range(len(cases)) if i % options.folds != k]) for k in range(options.folds)]
    print(f"folds fitted, {time.time() - began:.0f} s", flush=True)
    jobs = [(case.lesson, folds[i % options.folds]) for i, case in enumerate(cases)]
    with ProcessPoolExecutor(2) as pool:
        if options.rounds:
            groups = coordinates(pool, jobs, groups, options.rounds)
            print(json.dumps(groups))
            flat = {name: groups.get(group, 0.0) for group, names in GROUPS.items() for name in names}
        results = list(pool.map(measure, [(lesson, {**w, **flat}) for lesson, w in jobs]))
    if options.save_folds:
        options.save_folds.write_text(json.dumps([{**w, **flat} for w in folds]), encoding="utf-8")
    print("lessons left out of the fit:\n" + HEAD)
    for case, result in zip(cases, results, strict=True):
        print(line(case.lesson.name, result))
    print(line("ALL", pooled(results)), flush=True)
    if options.write:
        final = learn(range(len(cases)))
        kept = {n: round(v, 3) for n, v in sorted({**final, **flat}.items()) if abs(v) >= 0.02}
        path = Path(__file__).parents[2] / "timeline/follow/weights.json"
        about = "log-linear weights of the follower, learned by tests/benchmarks/train_follow.py"
        path.write_text(
            json.dumps({"about": about, "groups": groups, "weights": kept}, indent=0) + "\n", encoding="utf-8"
        )
        print(f"wrote {path.name}: {len(kept)} weights, {time.time() - began:.0f} s")


if __name__ == "__main__":
    main()

"""Learns where the phrases that announce moves begin, from lessons with known cue times.

    python tests/benchmarks/train_lead.py LESSONS... [--write]

Prints the error of the cue's onset, in ms, for the mention's own first word
and for the learned choice on lessons left out (five folds).
"""

from __future__ import annotations

import argparse
import json
import math
import random
from collections.abc import Sequence
from pathlib import Path

from narrated import load_all, position_key
from train_decisions import Case, chain_of, prepare

from timeline.follow.leadin import candidates, lead_features, lead_in
from timeline.follow.mentions import Mention
from timeline.follow.search import Decoder
from timeline.follow.weights import REASONED

Example = tuple[str, Case, Mention, int, int]
Fitted = tuple[list[dict[str, float]], int]


def examples(case: Case) -> list[Example]:
    """Every move of the best reachable decoding that has a true time: (lesson, case, mention, previous end, ms)."""
    found: list[Example] = []
    final = Decoder(case.lattice, case.tree, REASONED, 30, judge=case.judge).run()
    for hyp in chain_of(final)[1:]:
        m = hyp.mention
        if m is None or hyp.act in ("ign", "step") or hyp.prev is None:
            continue
        key = position_key(hyp.node.board.fen(en_passant="fen"))
        at = case.lattice.toks[m.start].onset_ms
        near = [c.at_ms for c in case.lesson.changes if c.key == key and -1500 <= at - c.at_ms <= 7000]
        if near:
            found.append((case.lesson.name, case, m, hyp.prev.last_end, min(near, key=lambda ms: abs(ms - at))))
    return found


def fit(data: Sequence[Fitted]) -> dict[str, float]:
    weights: dict[str, float] = {}
    rnd = random.Random(0)
    order = list(range(len(data)))
    for epoch in range(25):
        rnd.shuffle(order)
        eta = 0.06 / (1 + 0.3 * epoch)
        for at in order:
            options, right = data[at]
            scores = [sum(weights.get(n, 0.0) * v for n, v in f.items()) for f in options]
            peak = max(scores)
            exps = [math.exp(s - peak) for s in scores]
            whole = sum(exps)
            for j, option in enumerate(options):
                slope = (j == right) - exps[j] / whole
                for name, value in option.items():
                    weights[name] = weights.get(name, 0.0) + eta * slope * value
        for name in weights:
            weights[name] *= 1 - 0.2 * eta
    return weights


def report(name: str, errors: Sequence[int]) -> None:
    sizes = sorted(abs(e) for e in errors)
    print(
        f"{name:<22} median {sizes[len(sizes) // 2]:>5} ms  p90 {sizes[int(0.9 * len(sizes))]:>5} ms  "
        f"late by > 1.5 s {sum(e > 1500 for e in errors) / len(errors):.3f}  "
        f"early by > 1.5 s {sum(e < -1500 for e in errors) / len(errors):.3f}"
    )


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("lessons", nargs="+", type=Path)
    parser.add_argument("--write", action="store_true", help="write the package's leadin.json")
    options = parser.parse_args()
    rows = [e for lesson in load_all(options.lessons) for e in examples(prepare(lesson))]
    data: list[Fitted] = []
    for _, case, m, end, at_ms in rows:
        context = case.lattice.context
        places = candidates(context, m, end)
        right = min(range(len(places)), key=lambda j: abs(context.toks[places[j]].onset_ms - at_ms))
        data.append(([lead_features(context, m, end, k) for k in places], right))
    names = sorted({row[0] for row in rows})
    plain = [case.lattice.toks[m.start].onset_ms - at_ms for _, case, m, _, at_ms in rows]
    learned: list[int] = []
    for fold in range(5):
        out = {name for i, name in enumerate(names) if i % 5 == fold}
        weights = fit([d for row, d in zip(rows, data, strict=True) if row[0] not in out])
        for name, case, m, end, at_ms in rows:
            if name in out:
                k = lead_in(case.lattice.context, m, end, weights)
                learned.append(case.lattice.toks[k].onset_ms - at_ms)
    print(f"{len(rows)} moves of {len(names)} lessons")
    report("mention's first word", plain)
    report("learned, left out", learned)
    if options.write:
        kept = {n: round(v, 2) for n, v in sorted(fit(data).items()) if abs(v) >= 0.05}
        about = "where announcing phrases begin, learned by tests/benchmarks/train_lead.py"
        path = Path(__file__).parents[2] / "timeline/follow/leadin.json"
        path.write_text(json.dumps({"about": about, "weights": kept}, indent=0) + "\n", encoding="utf-8")
        print(f"wrote {path.name}: {len(kept)} weights")


if __name__ == "__main__":
    main()

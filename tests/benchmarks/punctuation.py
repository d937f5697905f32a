"""Train and judge the punctuation model: python tests/benchmarks/punctuation.py [--write] [LESSONS.lesson.txt ...].

Multinomial logistic regression with L2 (scipy, L-BFGS). Text: the narrations of ``tests/data/lessons`` (or the files
given), lower case, marks taken out. Pauses are drawn at random: after a full
stop mostly long, after a comma often short, elsewhere seldom; half of the
copies have no pauses at all, as in a transcript that only knows blocks.
Without ``--write`` lessons are left out by fourths and judged as captions get
their marks, rules of grammar included; the last columns take commas and
full stops alike.
"""

from __future__ import annotations

import json
import random
import re
import sys
from collections import Counter
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import scipy.optimize
import scipy.sparse

from timeline.captions.english import border_gains
from timeline.captions.punctuate import Gap, border_features, english_marks, features, gaps_of
from timeline.captions.units import Unit, core
from timeline.follow.follow import follow_words
from timeline.score import load_score
from timeline.transcript.words import Word

ROOT = Path(__file__).parents[2]
LABEL = {"": 0, ",": 1, ".": 2}
OUT = ROOT / "timeline" / "captions" / "punctuation.json"
FOLDS = 4


def said(text: str) -> list[str]:
    """The narration as words with their punctuation."""
    body = text.partition("\n\n")[2]
    body = re.sub(r"<([^<>|]*)\|[^<>|]*>", r"\1", body)
    body = re.sub(r"\{[^}]*\}", " ", body)
    words: list[str] = []
    for raw in body.split():
        if core(raw):
            words.append(raw)
        elif words:
            words[-1] += raw
    return words


def mark_of(word: str) -> str:
    tail = word.rstrip("\"'”’)")
    return "." if tail[-1:] in ".!?…" else "," if tail[-1:] in ",;:–—-" else ""


@dataclass(frozen=True)
class Sample:
    """A narration as units without marks, the gaps as two transcripts would show them (with and without pauses), the labels."""

    units: list[Unit]
    views: list[list[Gap]]
    labels: list[int]

    @property
    def words(self) -> list[str]:
        return [unit.text for unit in self.units]


def sample(path: Path, seed: int) -> Sample:
    raw = said(path.read_text(encoding="utf-8"))
    words = [core(w) for w in raw]
    labels = [LABEL[mark_of(w)] for w in raw]
    rng = random.Random(seed)
    pauses = []
    for label in labels:
        if label == 2:
            pauses.append(rng.choice([0, 80, 250, 350, 450, 600, 700, 900, 1200]))
        elif label == 1:
            pauses.append(rng.choice([0, 0, 40, 100, 180, 220, 300, 400]))
        else:
            pauses.append(rng.choice([0] * 26 + [60, 120, 200, 320, 600]))
    now, timed = 0, []
    for word, pause in zip(words, pauses, strict=True):
        timed.append(Word(word, now, now + 250))
        now += 250 + pause
    follow = follow_words(timed, load_score(path.with_suffix("").with_suffix(".pgn")))
    phrase = [-1] * len(words)
    for n, reading in enumerate(follow.readings):
        if reading.last - reading.first <= 6:
            phrase[reading.first : reading.last + 1] = [n] * (reading.last + 1 - reading.first)
    units = [Unit(w.text, k, k, w.onset_ms, w.end_ms, phrase=phrase[k]) for k, w in enumerate(timed)]
    moves = {n: reading.move for n, reading in enumerate(follow.readings) if reading.move}
    gains = border_gains(words)
    views = [gaps_of(units, known, (), moves, gains) for known in (True, False)]
    return Sample(units, views, labels[:-1])


def rows_of(samples: list[Sample]) -> tuple[list[list[str]], list[int]]:
    rows, labels = [], []
    for one in samples:
        words = one.words
        for gaps in one.views:
            for k in range(1, len(words)):
                rows.append(features(words, k, gaps[k]))
                labels.append(one.labels[k - 1])
    return rows, labels


def border_rows(samples: list[Sample]) -> tuple[list[list[str]], list[int]]:
    """The true borders with what tells a full stop from a comma there."""
    rows, labels = [], []
    for one in samples:
        words, truth = one.words, one.labels
        borders = [k + 1 for k, label in enumerate(truth) if label]
        for gaps in one.views:
            first = begun = 0
            for n, k in enumerate(borders):
                following = borders[n + 1] if n + 1 < len(borders) else len(words)
                rows.append(border_features(words, first, k, following, k - begun, gaps[k]))
                labels.append(int(truth[k - 1] == 2))
                first = k
                begun = k if truth[k - 1] == 2 else begun
    return rows, labels


def train(
    rows: list[list[str]], labels: list[int], *, kinds: int, least: int, l2: float, steps: int
) -> dict[str, list[float]]:
    """Weights of each feature for each label; features seen less than ``least`` times are left out."""
    counts = Counter(name for row in rows for name in row)
    index = {name: n for n, name in enumerate(sorted(name for name, count in counts.items() if count >= least))}
    columns = [[index[name] for name in row if name in index] for row in rows]
    ends = np.cumsum([0, *map(len, columns)])
    table = scipy.sparse.csr_matrix(
        (np.ones(ends[-1]), [c for row in columns for c in row], ends), (len(rows), len(index))
    )
    across, target = table.T.tocsr(), np.eye(kinds)[labels]

    def loss(flat: np.ndarray) -> tuple[float, np.ndarray]:
        weights = flat.reshape(-1, kinds)
        score = table @ weights
        score -= score.max(axis=1, keepdims=True)
        logs = score - np.log(np.exp(score).sum(axis=1, keepdims=True))
        slope = across @ (np.exp(logs) - target) + l2 * weights
        return float(-(logs * target).sum() + l2 / 2 * (weights**2).sum()), slope.ravel()

    start = np.zeros(len(index) * kinds)
    found = scipy.optimize.minimize(loss, start, jac=True, method="L-BFGS-B", options={"maxiter": steps})
    weights = found.x.reshape(-1, kinds)
    return {
        name: [round(float(v), 2) for v in weights[n]] for name, n in index.items() if abs(weights[n]).max() >= 0.06
    }


def model(samples: list[Sample]) -> dict[str, dict[str, Any]]:
    """Both sets of weights, as ``punctuation.json`` holds them."""
    marks = train(*rows_of(samples), kinds=3, least=8, l2=8.0, steps=100)
    stops = train(*border_rows(samples), kinds=2, least=4, l2=8.0, steps=100)
    return {"marks": marks, "stops": {name: round(row[1] - row[0], 2) for name, row in stops.items()}}


def judge(one: Sample, weights: dict[str, dict[str, Any]]) -> list[np.ndarray]:
    """For the two views: counts of [right stops, stops given, true stops, right borders, borders given, true borders, stops
    where no mark is]."""
    table = {name: (row[0], row[1], row[2]) for name, row in weights["marks"].items()}
    found = []
    for gaps in one.views:
        marks = english_marks(one.units, gaps, table, weights["stops"])
        pairs = list(zip([LABEL[m] for m in marks], one.labels, strict=True))
        counts = [
            sum(g == 2 == t for g, t in pairs), sum(g == 2 for g, _ in pairs), sum(t == 2 for _, t in pairs),
            sum(g > 0 < t for g, t in pairs), sum(g > 0 for g, _ in pairs), sum(t > 0 for _, t in pairs),
            sum(g == 2 and t == 0 for g, t in pairs),
        ]  # fmt: skip
        found.append(np.array(counts))
    return found


def main() -> None:
    args = [a for a in sys.argv[1:] if not a.startswith("--")]
    paths = [Path(a) for a in args] or sorted((ROOT / "tests/data/lessons").glob("*.lesson.txt"))
    samples = [sample(path, n) for n, path in enumerate(paths)]
    if "--write" in sys.argv:
        weights = model(samples)
        OUT.write_text(json.dumps(weights, indent=0) + "\n", encoding="utf-8")
        print(f"wrote {OUT} ({len(weights['marks'])} and {len(weights['stops'])} features)")
        return
    totals = [np.zeros(7), np.zeros(7)]
    for fold in range(FOLDS):
        weights = model([s for n, s in enumerate(samples) if n % FOLDS != fold])
        for one in samples[fold::FOLDS]:
            for view, counts in enumerate(judge(one, weights)):
                totals[view] += counts
    for name, (a, b, c, d, e, f, lost) in zip(("with pauses", "without"), totals, strict=True):
        print(
            f"{name:12} full stops precision {a / b:.3f} recall {a / c:.3f} F1 {2 * a / (b + c):.3f}  "
            f"borders precision {d / e:.3f} recall {d / f:.3f} F1 {2 * d / (e + f):.3f}  "
            f"full stops where no mark is: {lost / b:.1%}"
        )


if __name__ == "__main__":
    main()

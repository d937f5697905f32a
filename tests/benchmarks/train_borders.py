"""Learns where clauses end without marks and pauses, and says how well on lessons left out by fourths.

    python tests/benchmarks/train_borders.py LESSONS... [--write]

LESSONS as ``narrated.py`` reads them. The truth: marks where a transcript has
some, else the narrator's pauses. Maximum a posteriori, Gaussian prior, L-BFGS.
"""

from __future__ import annotations

import argparse
from collections import Counter
from collections.abc import Sequence
from concurrent.futures import ProcessPoolExecutor
from difflib import SequenceMatcher
from pathlib import Path

import numpy as np
from barely import COARSE_MS, bare
from narrated import Narrated, load_all
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

from timeline.follow.borders import LEAST, MARKS, Borders, features, write_borders
from timeline.follow.lexer import tokens
from timeline.follow.pauses import by_pauses

FOLDS = 4
LEAST_SEEN = 4
PULL = 1.5
Example = tuple[list[str], list[int | None]]
"""The words without marks, and the place in ``MARKS`` after each but the last (None: not known)."""


def example(lesson: Narrated) -> Example:
    words = [tok.text for tok in tokens(bare(lesson, *COARSE_MS).words)]
    whole = by_pauses(tokens(lesson.words))
    truth: list[int | None] = [None] * len(words)
    for a, b, count in SequenceMatcher(None, words, [tok.text for tok in whole], autojunk=False).get_matching_blocks():
        for k in range(count):
            truth[a + k] = MARKS.index("." if whole[b + k].ends == "?" else whole[b + k].ends)
    return words, truth[:-1]


def fit(examples: Sequence[Example]) -> Borders:
    seen: Counter[str] = Counter()
    known: list[list[str]] = []
    truth: list[int] = []
    for words, marks in examples:
        for names, mark in zip(features(words), marks, strict=True):
            if mark is not None:
                known.append(names)
                truth.append(mark)
                seen.update(names)
    index = {name: row for row, name in enumerate(sorted(n for n, count in seen.items() if count >= LEAST_SEEN))}
    rows = [[index[name] for name in names if name in index] for names in known]
    ends = np.r_[0, np.cumsum([len(row) for row in rows])]
    places = np.array([place for row in rows for place in row], np.int32)
    matrix = csr_matrix((np.ones(len(places)), places, ends), shape=(len(rows), len(index)))
    turned, right = matrix.T.tocsr(), np.eye(len(MARKS))[truth]
    size = len(index) * len(MARKS)

    def loss(flat: np.ndarray) -> tuple[float, np.ndarray]:
        weights = flat[:size].reshape(-1, len(MARKS))
        scores = matrix @ weights + flat[size:]
        scores -= scores.max(1, keepdims=True)
        logs = scores - np.log(np.exp(scores).sum(1, keepdims=True))
        slope = np.exp(logs) - right
        away = turned @ slope + PULL * weights
        return float(-(logs * right).sum() + PULL / 2 * (weights**2).sum()), np.r_[away.ravel(), slope.sum(0)]

    best = minimize(loss, np.zeros(size + len(MARKS)), jac=True, method="L-BFGS-B", options={"maxiter": 60}).x
    return Borders(index, best[:size].reshape(-1, len(MARKS)).astype(np.float32), best[size:].astype(np.float32))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("lessons", nargs="+", type=Path)
    parser.add_argument("--write", action="store_true", help="learn from all lessons and write borders.npz")
    parser.add_argument("--save-folds", type=Path, help="write each fourth's model there")
    options = parser.parse_args()
    with ProcessPoolExecutor(2) as pool:
        examples = list(pool.map(example, load_all(options.lessons)))
    told, guessed = [], []
    for fold in range(FOLDS):
        model = fit([e for k, e in enumerate(examples) if k % FOLDS != fold])
        if options.save_folds:
            options.save_folds.mkdir(parents=True, exist_ok=True)
            write_borders(options.save_folds / f"{fold}.npz", model)
        for words, truth in examples[fold::FOLDS]:
            for mark, (nothing, comma, stop) in zip(truth, model.shares(words), strict=True):
                if mark is not None:
                    told.append(mark)
                    guessed.append(0 if nothing > 1 - LEAST else 2 if stop > comma else 1)
    truth, found = np.array(told), np.array(guessed)
    for name, is_true, is_found in (("borders", truth > 0, found > 0), ("full stops", truth == 2, found == 2)):
        both = (is_true & is_found).sum()
        print(f"{name}: precision {both / is_found.sum():.3f}, recall {both / is_true.sum():.3f}")
    if options.write:
        model = fit(examples)
        write_borders(Path(__file__).parents[2] / "timeline/follow/borders.npz", model)
        print(f"wrote {len(model.index)} features")


if __name__ == "__main__":
    main()

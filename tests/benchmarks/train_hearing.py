"""Learn how heard words are weighed: python tests/benchmarks/train_hearing.py LESSONS [--more SET ...] [--write].

LESSONS is a folder of lesson folders as ``captions.py`` takes them, each SET
one with the same lessons and other mis-hearings, from ``mishear.py``. A
reading of a stretch of words counts as right if it is what was said there, and
the rest of the mis-hearing sounds like the rest of what was said.
L2-regularised logistic regression (scipy, L-BFGS); readings of LESSONS count
three times. Lessons are left out by fourths, by their names, also of the text
that the model of talk about chess is counted from (``train_talk.py``), so that
no lesson's own words speak for it. Without ``--write`` the readings of
LESSONS are judged: right ones found and wrong ones made, by the odds asked for.
"""

from __future__ import annotations

import argparse
import json
import pickle
import sys
from collections import Counter
from pathlib import Path

import captions as bench
import numpy as np
import scipy.optimize
import scipy.sparse
import train_talk

from timeline.captions import boardhearing, hearingscore
from timeline.captions.build import _lower_case
from timeline.captions.chesstalk import TalkModel
from timeline.captions.corrections import Pad, from_hearings
from timeline.captions.followhearing import from_follow
from timeline.captions.names import from_names, known_names
from timeline.captions.units import core
from timeline.follow.phonetics import alikeness, phones

Row = tuple[list[tuple[str, float]], int, bool]
OUT = Path(hearingscore.__file__).with_name("hearing.json")
_LIKE = 0.45  # the rest of a mis-hearing is the rest of what was said up to this alikeness
FOLDS = 4
_OWN = 3.0  # times that a reading of LESSONS counts


def pad_of(lesson: bench.Lesson) -> Pad:
    """The talk with what comes before the weighing already put right."""
    words = lesson.transcript.words
    pad = Pad(words)
    from_follow(pad, lesson.follow)
    from_names(pad, known_names((), lesson.score), restore_case=_lower_case(words))
    from_hearings(pad)
    return pad


def truth_of(lesson: bench.Lesson) -> list[tuple[int, int] | None]:
    """For each word of the transcript: the stretch of ``bench.groups`` it shows, and its place among the heard words."""
    texts = [core(w.text) for w in lesson.transcript.words]
    found: list[tuple[int, int] | None] = [None] * len(texts)
    at = 0
    for number, (_, heard, _) in enumerate(bench.groups(lesson)):
        for place, word in enumerate(filter(None, heard)):
            while at < len(texts) and texts[at] != word:
                at += 1
            if at == len(texts):
                return found
            found[at] = (number, place)
            at += 1
    return found


def rows_of(lesson: bench.Lesson, model: TalkModel) -> list[Row]:
    """Features, whether the reading is right, and whether it is one word of the game."""
    pad = pad_of(lesson)
    talk = boardhearing.talk_of(pad)
    truth, groups = truth_of(lesson), bench.groups(lesson)
    rows: list[Row] = []
    evidence = boardhearing.Evidence(lesson.follow, lesson.score)
    for one in boardhearing.readings(talk, pad, evidence, boardhearing.doubt_of(pad), model):
        begin = talk.places[one.first]
        end = talk.places[one.last + 1] - 1 if one.last + 1 < len(talk.places) else len(truth) - 1
        while end > begin and truth[end] is None:
            end -= 1
        a, b = truth[begin], truth[end]
        if a is None or b is None:
            continue
        said, heard, differs = groups[a[0]]
        right = a[0] == b[0] and differs and _is_said(one.written.split(), said, [h for h in heard if h], a[1], b[1])
        rows.append((hearingscore.features(one, talk.cores, talk.ends), int(right), one.what == "word"))
    return rows


def _is_said(written: list[str], said: list[str], heard: list[str], first: int, last: int) -> bool:
    words = bench.normal(" ".join(said))
    return any(
        words[k : k + len(written)] == written
        and _alike(heard[:first], words[:k])
        and _alike(heard[last + 1 :], words[k + len(written) :])
        for k in range(len(words) - len(written) + 1)
    )


def _alike(heard: list[str], said: list[str]) -> bool:
    if not heard or not said:
        return not heard and not said
    return alikeness(*(tuple(p for w in words for p in phones(w)) for words in (heard, said))) <= _LIKE


def train(
    rows: list[Row], counted: list[float], *, l2: float = 8.0, least: int = 3, steps: int = 150
) -> dict[str, float]:
    """Weights of the features that were seen ``least`` times; ``counted``: how many times each row counts."""
    counts = Counter(name for found, _, _ in rows for name, _ in found)
    index = {name: n for n, name in enumerate(sorted(n for n, count in counts.items() if count >= least))}
    cells = [(r, index[name], value) for r, (found, _, _) in enumerate(rows) for name, value in found if name in index]
    across, down, values = zip(*cells, strict=True)
    table = scipy.sparse.csr_matrix((values, (across, down)), shape=(len(rows), len(index)))
    right, times = np.array([label for _, label, _ in rows], float), np.array(counted)

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        score = table @ weights
        share = 1 / (1 + np.exp(-np.clip(score, -30, 30)))
        return (
            float(times @ (np.logaddexp(0, score) - right * score) + l2 / 2 * weights @ weights),
            table.T @ (times * (share - right)) + l2 * weights,
        )

    found = scipy.optimize.minimize(loss, np.zeros(len(index)), jac=True, method="L-BFGS-B", options={"maxiter": steps})
    return {name: round(float(found.x[n]), 3) for name, n in index.items() if abs(found.x[n]) >= 0.02}


def load_rows(root: Path) -> dict[str, list[Row]]:
    """By lesson, each with a model of talk that its fold has no part in."""
    folders = sorted(folder for folder in root.iterdir() if (folder / "words.json").exists())
    found = {}
    for fold in range(FOLDS):
        out = {folder.name for folder in folders[fold::FOLDS]}
        model = train_talk.without(train_talk.narrations(), out)
        found.update({f.name: rows_of(bench.load(f), model) for f in folders[fold::FOLDS]})
    return found


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("lessons", type=Path)
    parser.add_argument("--more", nargs="*", type=Path, default=[])
    parser.add_argument("--write", action="store_true")
    parser.add_argument("--rows", type=Path, help="keep the rows in this file, or take them from it")
    args = parser.parse_args()
    roots = [args.lessons, *args.more]
    if args.rows and args.rows.exists():
        sets = pickle.loads(args.rows.read_bytes())
    else:
        sets = {str(root): load_rows(root) for root in roots}
        if args.rows:
            args.rows.write_bytes(pickle.dumps(sets))

    def learned(out: set[str]) -> dict[str, float]:
        kept = [(row, _OWN if root == args.lessons else 1.0)
                for root in roots for name, rows in sets[str(root)].items() if name not in out for row in rows]  # fmt: skip
        return train([row for row, _ in kept], [times for _, times in kept])

    if args.write:
        weights = learned(set())
        OUT.write_text(json.dumps(weights, indent=0, sort_keys=True) + "\n", encoding="utf-8")
        sys.stdout.write(f"{OUT.name}: {len(weights)} weights\n")
        return
    judged = sets[str(args.lessons)]
    scored: dict[bool, list[tuple[float, int]]] = {True: [], False: []}
    for fold in range(FOLDS):
        out = set(sorted(judged)[fold::FOLDS])
        weights = learned(out)
        for name in out:
            for found, label, is_word in judged[name]:
                scored[is_word].append((sum(weights.get(n, 0.0) * v for n, v in found), label))
    for is_word, pairs in scored.items():
        for least in (-2.0, -1.5, -1.25, -1.0, -0.5, 0.0):
            kept = [label for score, label in pairs if score >= least]
            what = "words" if is_word else "squares and moves"
            sys.stdout.write(f"{what}, odds from {least}: {sum(kept)} right, {len(kept) - sum(kept)} wrong\n")


if __name__ == "__main__":
    main()

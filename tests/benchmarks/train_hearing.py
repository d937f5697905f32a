"""Learn how heard words are weighed: python tests/benchmarks/train_hearing.py [--write] [--rows FOLDER].

From our own lessons alone (``retold.py``), as they were heard and with new
mis-hearings put in at random (``mishear.py``, three sets). A reading of a
stretch of words counts as right if it is what was said there, and the rest of
the mis-hearing sounds like the rest of what was said. L2-regularised logistic
regression (scipy, L-BFGS); readings of the lessons as they were heard count
six times. Lessons are left out by fourths, also of the text that the model
of talk about chess is counted from (``train_talk.py``), so that no lesson's own
words speak for it; tell it first what follows what: ``train_talk.py --write``.

With ``--write`` hearing.json is learned from all. Without, each fourth is
judged by what three fourths teach; the log-odds asked for, too, are those at
which at most ``_SPOILED`` of the right words became wrong in the three fourths,
each of them judged by weights that had not seen it. ``--rows`` keeps the readings of each set
in a folder, or takes them from there.
"""

from __future__ import annotations

import argparse
import json
import os
import pickle
import sys
import tempfile
from collections import Counter
from collections.abc import Iterable, Mapping, Sequence
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import lru_cache
from multiprocessing import get_context
from pathlib import Path

import captions as bench
import mishear
import numpy as np
import retold
import scipy.optimize
import scipy.sparse
import train_talk

from timeline.captions import boardhearing, hearingscore
from timeline.captions.build import _lower_case, _written
from timeline.captions.chesstalk import TalkModel
from timeline.captions.corrections import Pad, from_hearings, spell_squares
from timeline.captions.followhearing import from_follow
from timeline.captions.names import from_names, known_names
from timeline.captions.units import core
from timeline.follow.phonetics import alikeness, phones

OUT = Path(hearingscore.__file__).with_name("hearing.json")
SETS = {
    "heard": ("", 0, 6.0),
    "spelled": ("spelled", 11, 1.0),
    "spelled again": ("spelled", 13, 1.0),
    "near": ("near", 12, 1.0),
}
"""Manner of mis-hearing and seed ("": as they were heard); how many times a reading counts."""
_RATE = 0.08
_LIKE = 0.45  # the rest of a mis-hearing is the rest of what was said up to this alikeness
FOLDS = 4
_ODDS = (-2.0, -1.5, -1.25, -1.0, -0.5)
_SPOILED = 0.0008


@dataclass(frozen=True)
class Rows:
    """Readings of one lesson: names of what holds, for each reading where its names begin, values, and what is right."""

    names: list[str]
    columns: np.ndarray  # index in names, one for each cell
    begins: np.ndarray  # readings + 1
    values: np.ndarray
    right: np.ndarray


def fold_of(name: str) -> int:
    return retold.names().index(name) % FOLDS


@lru_cache(maxsize=FOLDS)
def talk_without(fold: int) -> TalkModel:
    """Talk about chess, counted without the lessons of a fold."""
    return train_talk.without(train_talk.narrations(), set(retold.names()[fold::FOLDS]))


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
    for number, (_, heard, _) in enumerate(bench.groups_of(lesson.said)):
        for place, word in enumerate(filter(None, heard)):
            while at < len(texts) and texts[at] != word:
                at += 1
            if at == len(texts):
                return found
            found[at] = (number, place)
            at += 1
    return found


def rows_of(lesson: bench.Lesson, model: TalkModel) -> Rows:
    """Every reading of a lesson with its features."""
    pad = pad_of(lesson)
    talk = boardhearing.talk_of(pad)
    truth, groups = truth_of(lesson), bench.groups_of(lesson.said)
    index: dict[str, int] = {}
    columns, begins, values, labels = [], [0], [], []
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
        labels.append(
            a[0] == b[0] and differs and _is_said(one.written.split(), said, [h for h in heard if h], a[1], b[1])
        )
        for name, value in hearingscore.features(one, talk.cores, talk.ends):
            columns.append(index.setdefault(name, len(index)))
            values.append(value)
        begins.append(len(columns))
    return Rows(
        list(index), np.array(columns, np.int32), np.array(begins), np.array(values, np.float32), np.array(labels, bool)
    )


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
    parts: Sequence[tuple[Rows, float]], *, l2: float = 80.0, least: int = 3, steps: int = 150
) -> dict[str, float]:
    """Weights of the features that were seen ``least`` times; beside the rows how many times each counts."""
    counts: Counter[str] = Counter()
    for rows, _ in parts:
        for n, count in enumerate(np.bincount(rows.columns, minlength=len(rows.names))):
            counts[rows.names[n]] += int(count)
    index = {name: n for n, name in enumerate(sorted(n for n, count in counts.items() if count >= least))}
    tables = []
    for rows, _ in parts:
        place = np.array([index.get(name, -1) for name in rows.names])[rows.columns]
        kept = place >= 0
        owner = np.repeat(np.arange(len(rows.right)), np.diff(rows.begins))
        tables.append(
            scipy.sparse.csr_matrix((rows.values[kept], (owner[kept], place[kept])), (len(rows.right), len(index)))
        )
    table = scipy.sparse.vstack(tables).tocsr().astype(float)
    across = table.T.tocsr()
    right = np.concatenate([rows.right for rows, _ in parts]).astype(float)
    times = np.concatenate([np.full(len(rows.right), count) for rows, count in parts])

    def loss(weights: np.ndarray) -> tuple[float, np.ndarray]:
        score = table @ weights
        share = 1 / (1 + np.exp(-np.clip(score, -30, 30)))
        return (
            float(times @ (np.logaddexp(0, score) - right * score) + l2 / 2 * weights @ weights),
            across @ (times * (share - right)) + l2 * weights,
        )

    found = scipy.optimize.minimize(loss, np.zeros(len(index)), jac=True, method="L-BFGS-B", options={"maxiter": steps})
    return {name: round(float(found.x[n]), 3) for name, n in index.items() if abs(found.x[n]) >= 0.02}


# -- lessons
def lesson_of(kind: str, name: str) -> bench.Lesson:
    """One of our lessons as one set has it, read and followed."""
    manner, seed, _ = SETS[kind]
    with tempfile.TemporaryDirectory() as folder:
        retold.retell(name, Path(folder) / "heard")
        at = Path(folder) / "heard" / name
        if manner:
            mishear.mishear(at, Path(folder) / "other", mishear.MANNERS[manner], _RATE, seed)
            at = Path(folder) / "other" / name
        return bench.load(at)


def _rows_job(job: tuple[str, str]) -> Rows:
    kind, name = job
    return rows_of(lesson_of(kind, name), talk_without(fold_of(name)))


def load_rows(kind: str, folder: Path | None, pool: ProcessPoolExecutor) -> dict[str, Rows]:
    kept = folder / f"{kind.replace(' ', '-')}.pickle" if folder else None
    if kept and kept.exists():
        found: dict[str, Rows] = pickle.loads(kept.read_bytes())
        return found
    names = retold.names()
    found = dict(zip(names, pool.map(_rows_job, [(kind, name) for name in names]), strict=True))
    if kept:
        kept.parent.mkdir(parents=True, exist_ok=True)
        kept.write_bytes(pickle.dumps(found))
    return found


# -- judging
Judged = tuple[int, int, int, int]
"""Mis-heard chess terms put right and in all, right words made wrong and in all."""
_followed: dict[str, bench.Lesson] = {}


def _judge_job(job: tuple[str, Mapping[str, float], Sequence[float]]) -> list[Judged]:
    """One lesson as it was heard, its fold's talk left out, with the weights given, for each log-odds asked for."""
    name, weights, asked = job
    if name not in _followed:
        _followed[name] = lesson_of("heard", name)
    lesson, model = _followed[name], talk_without(fold_of(name))
    words = lesson.transcript.words
    said = [w for g in bench.groups_of(lesson.said) for w in bench.normal(" ".join(g[0]))]
    before = bench.wrong(said, [w for word in words for w in bench.normal(word.text)])
    found = []
    for least in asked:
        pad = pad_of(lesson)
        boardhearing.from_board(pad, lesson.follow, lesson.score, weights=weights, model=model, least=least)
        spell_squares(pad)
        written = _written(words, sorted(pad.found, key=lambda c: c.first))
        after = bench.wrong(said, [w for text in written for w in bench.normal(text)])
        found.append((*bench.mended(bench.groups_of(lesson.said), after), len(after - before), len(said) - len(before)))
    return found


def added(rows: Iterable[Judged]) -> Judged:
    sums = [sum(column) for column in zip(*rows, strict=True)]
    return (sums[0], sums[1], sums[2], sums[3])


def told(judged: Judged) -> str:
    mended, misheard, spoiled, right = judged
    return f"{mended} of {misheard} put right ({mended / misheard:.1%}), {spoiled} of {right} made wrong ({spoiled / right:.2%})"


def judge(sets: Mapping[str, Mapping[str, Rows]], pool: ProcessPoolExecutor) -> None:
    """Judge each fourth by weights from the others, at the log-odds that suit those others."""
    names = retold.names()
    judged: list[list[Judged]] = []  # of each fourth, for each log-odds
    for fold in range(FOLDS):
        weights = train(
            [(rows[n], SETS[kind][2]) for kind, rows in sets.items() for n in names if fold_of(n) != fold]
        )
        rows = list(pool.map(_judge_job, [(n, weights, _ODDS) for n in names[fold::FOLDS]]))
        judged.append([added(row[k] for row in rows) for k in range(len(_ODDS))])
        for least, one in zip(_ODDS, judged[-1], strict=True):
            sys.stdout.write(f"fourth {fold + 1}, log-odds from {least}: {told(one)}\n")
        sys.stdout.flush()
    whole: list[Judged] = []
    for fold in range(FOLDS):
        others = [added(judged[g][k] for g in range(FOLDS) if g != fold) for k in range(len(_ODDS))]
        fits = [k for k, one in enumerate(others) if one[2] <= _SPOILED * one[3]]
        whole.append(judged[fold][fits[0] if fits else -1])
    sys.stdout.write(f"all, each fourth at the log-odds that suit the others: {told(added(whole))}\n")
    for k, least in enumerate(_ODDS):
        sys.stdout.write(f"  all, log-odds from {least}: {told(added(row[k] for row in judged))}\n")


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("--write", action="store_true")
    parser.add_argument("--rows", type=Path, help="keep the readings in this folder, or take them from it")
    args = parser.parse_args()
    with ProcessPoolExecutor(os.cpu_count(), mp_context=get_context("spawn")) as pool:
        sets = {kind: load_rows(kind, args.rows, pool) for kind in SETS}
        if args.write:
            weights = train([(rows[n], SETS[kind][2]) for kind, rows in sets.items() for n in retold.names()])
            OUT.write_text(json.dumps(weights, indent=0, sort_keys=True) + "\n", encoding="utf-8")
            sys.stdout.write(f"{OUT.name}: {len(weights)} weights\n")
        else:
            judge(sets, pool)


if __name__ == "__main__":
    main()

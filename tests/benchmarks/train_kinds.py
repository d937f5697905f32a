"""Learns which fact a stretch of talk states (timeline/checks/kinds.npz). Run by hand:

    python tests/benchmarks/train_kinds.py [--folds 6] [--leave heldout36,heldout37] [--write]

Examples: the wordings of tests/data/checks (a set stays whole: with ``--folds``
it is judged by weights that never saw it), and as "none" the sentences of the
packed lessons in which the grammar reads nothing and the parts of these, and
the sayings that are not to be judged. ``--leave`` names sets that are not to be learned from. Needs scipy.

A sentence of a lesson counts only where some fact could be made of what it
names, and it is no example against a fact that is true on the board it is said
of: teachers mostly say what is so, in words that the grammar may not know.
"""

from __future__ import annotations

import argparse
import random
import sys
from collections import Counter
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import chess
import numpy as np
from scipy.optimize import minimize
from scipy.sparse import csr_matrix

sys.path.insert(0, str(Path(__file__).parents[1] / "checks"))
sys.path.insert(0, str(Path(__file__).parent))
from judging import DATA, spoken, table
from narrated import Change, Narrated, load_all, position_key
from truth import games
from truth_game import FORBIDDEN

from timeline.checks.abstract import Abstract, abstract, features
from timeline.checks.claims import Spot, Talk
from timeline.checks.filling import Reading, fillings
from timeline.checks.grammar import Claim
from timeline.checks.kinds import FILE, NONE, KindWeights
from timeline.checks.learned import OF_ALL, parts
from timeline.checks.loose import read_loosely
from timeline.checks.sayings import GRAMMAR
from timeline.checks.sentence import Sentence, stretches
from timeline.checks.speech import sentences
from timeline.checks.spots import Positions, distinct
from timeline.checks.statements import decide, teacher_side
from timeline.checks.talk import lesson_sentences, player_sides
from timeline.checks.together import asked_and_answered
from timeline.score import Score
from timeline.tracks import BoardSpan, BoardTrack

LESSONS = Path(__file__).parents[1] / "data" / "lessons" / "packed"
SAME = {
    "check_said": "check", "lost": "result", "players_black": "players", "count": "piece_count",
    "light_square": "shade", "bishop_colour": "shade_bishop", "pinned_queen": "pinned", "only_move": "only_legal",
}  # fmt: skip
RIDGE = 0.35
SEEN = 2  # a feature must occur in so many examples of facts,
SEEN_IN_NONE = 8  # or in so many of none


@dataclass(frozen=True)
class Example:
    group: str
    kind: str
    found: Abstract
    open: frozenset[str] = frozenset()
    """Kinds that it may state as well: nothing is learned about them from it."""


def wordings(leave: set[str]) -> Iterator[Example]:
    """Each wording once, as its things are taken out."""
    seen = set()
    for row in table():
        if row["set"] in leave or row["set"].startswith("unseen"):
            continue  # the unseen sets judge what is learned from the others
        names = player_sides(Score(games()[row["game"]])) if row["game"] is not None else {}
        said = sentences(spoken(row["say"]), sides=names)
        if not said:
            continue
        kind = SAME.get(row["kind"], row["kind"])
        for sentence in (said[-1], *asked_and_answered(said)):
            found = abstract(sentence.text)
            named = kind
            if kind == "legal":
                named = "illegal" if FORBIDDEN.search(row["say"]) else "legal"
            if (found.words, named) not in seen:
                seen.add((found.words, named))
                yield Example(row["set"], named, found)


def nothing() -> Iterator[Example]:
    """Talk that states no fact: sentences of lessons without a reading, sayings that are not to be judged."""
    for line in (DATA / "unjudged.txt").read_text(encoding="utf-8").splitlines():
        if line.strip() and not line.startswith("#"):
            for sentence in sentences(spoken(line)):
                yield Example("unjudged", NONE, abstract(sentence.text))
    for lesson in load_all([LESSONS]):
        track, said = true_boards(lesson), lesson_sentences(lesson.words, lesson.score, None)
        talk = Talk(lesson.score, teacher_side(said), player_sides(lesson.score))
        positions = Positions(lesson.score, track, None, lesson.words)
        for joined in asked_and_answered(said):
            last = len(joined.tokens) - 1
            example = _no_fact(lesson, joined, 0, last, positions, talk)
            if example is not None:
                yield example
        for sentence in said:
            claims = [*GRAMMAR.read(sentence)]
            claims += read_loosely(sentence, claims)
            told = set()
            for first, last in stretches(sentence):
                if any(c.kind != "standing" and c.first <= last and c.last >= first for c in claims):
                    continue
                for start, end in ((first, last), *parts(sentence, first, last)):
                    example = _no_fact(lesson, sentence, start, end, positions, talk)
                    if example is None or example.found in told:
                        continue
                    told.add(example.found)
                    part = (start, end) != (first, last)
                    yield replace(example, open=example.open | OF_ALL) if part else example


def _no_fact(
    lesson: Narrated, sentence: Sentence, start: int, end: int, positions: Positions, talk: Talk
) -> Example | None:
    """The words of a sentence as an example of "none", but of no kind that is true there; None when nothing fits them."""
    text = " " + " ".join(t.text for t in sentence.tokens[start : end + 1]) + " "
    found = abstract(text)
    filled = fillings(text, found)
    if not filled:
        return None
    from_ms = lesson.words[sentence.tokens[start].first].onset_ms
    to_ms = lesson.words[sentence.tokens[end].last].end_ms
    spots = distinct([*positions.near(from_ms, to_ms, from_ms, to_ms), *positions.wide(from_ms, to_ms)])
    true = {kind for kind, readings in filled.items() if _true(readings, spots, talk)}
    return Example(lesson.name, NONE, found, frozenset(true))


def _true(readings: Sequence[Reading], spots: Sequence[Spot], talk: Talk) -> bool:
    return any(decide(Claim(kind, parts, 0, 0), spots, talk) is True for kind, parts in readings)


def true_boards(lesson: Narrated) -> BoardTrack:
    """The positions that a packed lesson gives, as a track; one that no single move explains is passed over."""
    score, path = lesson.score, ()
    shown: list[tuple[int, tuple[chess.Move, ...]]] = []
    for change in lesson.changes:
        new = _path_to(change, score, path)
        if new is not None:
            path = new
            shown.append((change.at_ms if shown else 0, path))
    spans = []
    for (start, moves), end in zip(shown, [*(t for t, _ in shown[1:]), lesson.end_ms], strict=True):
        if end > start:
            shared = score.mainline_length(moves)
            told = (tuple(m.uci() for m in moves), shared, score.address(moves))
            spans.append(
                BoardSpan(
                    start, end, score.board_at(moves).fen(), *told, "score" if shared == len(moves) else "sideline"
                )
            )
    return BoardTrack(score.start.fen(), tuple(m.uci() for m in score.moves), tuple(spans))


def _path_to(change: Change, score: Score, path: tuple[chess.Move, ...]) -> tuple[chess.Move, ...] | None:
    """Moves to the position of ``change``: of the game, else back along ``path``, else one move from there."""
    plies = [i for i, board in enumerate(score.boards) if position_key(board.fen()) == change.key]
    shared = score.mainline_length(path)
    if plies and not change.sideline:
        return score.moves[: min(plies, key=lambda i: abs(i - shared))]
    back = [path[:k] for k in range(len(path), -1, -1)]
    for moves in (*back, *((*b, m) for b in back for m in score.board_at(b).legal_moves)):
        if position_key(score.board_at(moves).fen()) == change.key:
            return moves
    return score.moves[: plies[0]] if plies else None


def fit(examples: Sequence[Example]) -> KindWeights:
    told = [features(e.found) for e in examples]
    facts: Counter[str] = Counter()
    others: Counter[str] = Counter()
    for feats, example in zip(told, examples, strict=True):
        (others if example.kind == NONE else facts).update(feats)
    kept = {f for f, n in facts.items() if n >= SEEN} | {f for f, n in others.items() if n >= SEEN_IN_NONE}
    rows = {f: i for i, f in enumerate(sorted(kept))}
    kinds = sorted({e.kind for e in examples})
    answers = np.array([kinds.index(e.kind) for e in examples])
    indices, starts = [], [0]
    for feats in told:
        indices += sorted(rows[f] for f in feats if f in rows)
        starts.append(len(indices))
    x = csr_matrix((np.ones(len(indices), np.float32), indices, starts), shape=(len(examples), len(rows)))
    xt = x.T.tocsr()
    shape = (len(rows) + 1, len(kinds))
    one_hot = np.eye(len(kinds), dtype=np.float32)[answers]
    shut = np.where([[kind in e.open for kind in kinds] for e in examples], -1e9, 0).astype(np.float32)

    def loss(flat: np.ndarray) -> tuple[float, np.ndarray]:
        w = flat.reshape(shape).astype(np.float32)
        z = x @ w[:-1] + w[-1] + shut
        z -= z.max(axis=1, keepdims=True)
        logs = z - np.log(np.exp(z).sum(axis=1, keepdims=True))
        slope = np.exp(logs) - one_hot
        value = -logs[np.arange(len(answers)), answers].sum() + RIDGE / 2 * (w[:-1] ** 2).sum()
        return float(value), np.vstack([xt @ slope + RIDGE * w[:-1], slope.sum(axis=0)]).ravel().astype(np.float64)

    best = minimize(loss, np.zeros(shape).ravel(), jac=True, method="L-BFGS-B", options={"maxiter": 90})
    w = best.x.reshape(shape).astype(np.float32)
    return KindWeights(tuple(kinds), rows, w[:-1], w[-1])


def write(weights: KindWeights, path: Path) -> None:
    scale = float(np.abs(weights.weights).max()) / 127
    small = np.round(weights.weights / scale).astype(np.int8)
    kept = np.flatnonzero(np.abs(small).max(axis=1) >= 2)
    names = sorted(weights.rows, key=weights.rows.__getitem__)
    np.savez_compressed(
        path,
        names=np.frombuffer("\n".join(names[i] for i in kept).encode(), np.uint8),
        kinds=np.frombuffer("\n".join(weights.kinds).encode(), np.uint8),
        weights=small[kept],
        scale=np.float32(scale),
        bias=weights.bias,
    )
    print(f"wrote {path}: {len(kept)} features, {path.stat().st_size} bytes")


def judge(examples: Sequence[Example], weights: KindWeights) -> list[tuple[Example, dict[str, float]]]:
    return [(e, weights.shares(e.found)) for e in examples]


def report(told: Sequence[tuple[Example, dict[str, float]]]) -> None:
    for least in (0.5, 0.8, 0.9, 0.95):
        facts = [(e, s) for e, s in told if e.kind != NONE]
        right = sum(s[e.kind] > 0.5 and 1 - s[NONE] >= least for e, s in facts)
        silent = sum(1 - s[NONE] < least for e, s in facts)
        false = sum(1 - s[NONE] >= least for e, s in told if e.kind == NONE)
        none = sum(e.kind == NONE for e, _ in told)
        print(f"  at {least}: kind right {right}/{len(facts)}, silent {silent}, none taken for a fact {false}/{none}")


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--folds", type=int, default=0)
    parser.add_argument("--leave", default="")
    parser.add_argument("--write", action="store_true")
    parser.add_argument("--save-folds", type=Path)
    options = parser.parse_args()
    examples = [*wordings(set(options.leave.split(","))), *nothing()]
    groups = sorted({e.group for e in examples})
    random.Random(4).shuffle(groups)
    print(len(examples), "examples in", len(groups), "groups")
    told = []
    for fold in range(options.folds):
        away = set(groups[fold :: options.folds])
        weights = fit([e for e in examples if e.group not in away])
        if options.save_folds:
            options.save_folds.mkdir(exist_ok=True)
            write(weights, options.save_folds / f"{fold}.npz")
            (options.save_folds / f"{fold}.txt").write_text("\n".join(sorted(away)))
        told += judge([e for e in examples if e.group in away], weights)
    if told:
        report(told)
    if options.write:
        write(fit(examples), FILE)


if __name__ == "__main__":
    main()

"""Where the phrase that announces a move begins: the cue stands at the onset of that word.

"He doesn't stop for breath, h5": the board should change with "he". The
candidates are the beginnings of the clauses that lead to the mention, back
to the end of the mention before, and further back over mentions that moved
nothing ("or, after the first check, king f8"). Where the board turns back
before the move, the phrase begins with the words that turn ("in the actual
game this was c3"). By the time cues are set the move is known: a clause that
names the man that moves, or its side, announces it where one that names
another man hardly does. One hidden layer of rectified units scores
each candidate, because such grounds count differently together than alone
(a log-linear choice among the same gains nothing by them). It is learned from
lessons with known cue times by tests/benchmarks/train_lead.py.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

import chess

from timeline.follow.arrays import read_arrays, write_arrays
from timeline.follow.context import Context
from timeline.follow.hypotheses import Step
from timeline.follow.lexer import Tok
from timeline.follow.mentions import Mention
from timeline.follow.tree import Node
from timeline.follow.vocabulary import MOTION, PIECE_WORDS, VAGUE

if TYPE_CHECKING:
    from timeline.follow.arrays import Array

_REACH = 16
_MOST_S = 3.0
"""Silences longer than that say no more."""
_SURE = 0.3
"""Cost of hearing up to which a word names a man."""
_ARRAYS = ("vectors", "bias", "out", "linear")


@dataclass(frozen=True)
class Chooser:
    """What scores candidates. ``index``: a feature's row in ``vectors`` (features, width) and ``linear`` (features); then the
    hidden layer's ``bias`` (width) and ``out`` (width)."""

    index: Mapping[str, int]
    vectors: Array
    bias: Array
    out: Array
    linear: Array

    def score(self, feats: Mapping[str, float]) -> float:
        """Log-odds (natural units) but for a constant. No product of matrices: the same on every machine."""
        import numpy as np

        known = [(row, value) for name, value in feats.items() if (row := self.index.get(name)) is not None]
        rows = [row for row, _ in known]
        values = np.array([value for _, value in known], np.float32)
        hidden = np.maximum((self.vectors[rows] * values[:, None]).sum(0) + self.bias, 0.0)
        return math.fsum((hidden * self.out).tolist()) + math.fsum((self.linear[rows] * values).tolist())


def candidates(context: Context, m: Mention, previous_end: int, moved_end: int) -> list[int]:
    """Tokens at which the announcing phrase may begin, nearest first; before ``previous_end`` only where a clause begins, never
    before ``moved_end``."""
    toks = context.toks
    low = max(previous_end, m.start - _REACH, 0)
    low = min(low, m.start)
    found = [m.start]
    lead = max(low, context.lead(m.start))
    if lead < m.start:
        found.append(lead)
    clause = max(low, context.clause_start(m.start))
    if clause < found[-1]:
        found.append(clause)
    k = found[-1]
    sentences = 0
    far = max(min(moved_end, low), m.start - _REACH, 0)
    while k > far and sentences < 2:
        k -= 1
        if k >= low and context.chessy[k] and k < m.start - 1 and not toks[k].ends:
            continue
        if k in (low, far) or toks[k - 1].ends or toks[k].starts:
            found.append(k)
            sentences += k > 0 and toks[k - 1].ends in (".", "?")
    return list(dict.fromkeys(found))


def lead_features(context: Context, step: Step, places: Sequence[int]) -> list[dict[str, float]]:
    """For each candidate: what speaks for and against the phrase that announces the move of ``step`` beginning there."""
    m = step.mention
    assert m is not None
    common = {
        "mention": (m.end - m.start) / 3,
        "places": len(places) / 3,
        f"act {step.act}": 1.0,
        f"after {step.last_act}": 1.0,
    }
    man, taken, side = _moved(step.node)
    found = []
    for nth, k in enumerate(places):
        feats = {**common, "nth": nth / 2, "furthest": float(nth + 1 == len(places)), **_clauses(context, m.start, k)}
        feats[f"{m.kind}{'+' if k < m.start else '-'}"] = 1.0
        words = {tok.text for tok in context.toks[k : m.start]}
        named = _men(context.toks[k : m.start])
        feats["its man"] = float(man in named)
        feats["past told"] = feats[f"past told {step.act}"] = float(k < step.last_end)
        feats["another man"] = float(bool(named - {man, taken}))
        feats["its side"] = float(side in words)
        feats["other side"] = float(bool(words & ({"white", "black"} - {side})))
        found.append(feats)
    return found


def _clauses(context: Context, start: int, k: int) -> dict[str, float]:
    """What the clauses from token ``k`` to the mention at ``start`` are like, whatever they tell of."""
    toks = context.toks
    inside = toks[k:start]
    feats = {
        "words": len(inside) / 4,
        "seconds": (toks[start].onset_ms - toks[k].onset_ms) / 1000,
        "rests": min(_MOST_S, sum(tok.gap_ms for tok in toks[k + 1 : start + 1]) / 1000),
        "rest before": min(_MOST_S, toks[k].gap_ms / 1000),
        "rest at mention": min(_MOST_S, toks[start].gap_ms / 1000),
    }
    if k > 0 and toks[k - 1].ends:
        feats["from sentence" if toks[k - 1].ends in (".", "?") else "from comma"] = 1.0
    if inside:
        feats[f"then {'.' if inside[-1].ends in ('.', '?') else inside[-1].ends or 'on'}"] = 1.0
        first = next((n for n, tok in enumerate(inside, 1) if tok.ends), len(inside))
        feats["first clause"] = first / 4
        feats["later clauses"] = (len(inside) - first) / 4
        feats["moves"] = float(any(tok.text in MOTION or tok.text in VAGUE for tok in inside))
        for name in sorted({c for j in range(k, start) for c in context.classes[j]}):
            feats[f"has {name}"] = 1.0
    return feats


def _moved(node: Node) -> tuple[int, int, str]:
    """The man that moved last, the man taken (0: none), and the side that moved ("" at the game's start)."""
    if node.parent is None or node.move is None:
        return 0, 0, ""
    board, move = node.parent.board, node.move
    taken = chess.PAWN if board.is_en_passant(move) else board.piece_type_at(move.to_square)
    return board.piece_type_at(move.from_square) or 0, taken or 0, "white" if board.turn == chess.WHITE else "black"


def _men(toks: Sequence[Tok]) -> set[int]:
    """The kinds of men that words name."""
    return {man for man, cost in (PIECE_WORDS.get(tok.text, (0, math.inf)) for tok in toks) if cost <= _SURE}


def lead_in(context: Context, step: Step, chooser: Chooser | None = None) -> int:
    """The token at which the phrase that announces the move of ``step`` begins."""
    assert step.mention is not None
    places = candidates(context, step.mention, step.last_end, step.moved_end)
    if len(places) == 1:
        return places[0]
    chooser = chooser or shipped_chooser()
    scores = [chooser.score(feats) for feats in lead_features(context, step, places)]
    return places[scores.index(max(scores))]


def read_chooser(path: Path) -> Chooser:
    """The model that ``write_chooser`` wrote."""
    index, arrays = read_arrays(path, _ARRAYS)
    return Chooser(index, *arrays)


def write_chooser(path: Path, chooser: Chooser) -> None:
    """One .npz file (``arrays``)."""
    write_arrays(path, chooser.index, {name: getattr(chooser, name) for name in _ARRAYS})


@lru_cache(maxsize=1)
def shipped_chooser() -> Chooser:
    """The model that ships with the package."""
    return read_chooser(Path(__file__).with_name("leadin.npz"))

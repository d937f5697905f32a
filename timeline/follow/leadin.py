"""Where the phrase that announces a move begins: the cue stands at the onset of that word.

"He doesn't stop for breath, h5": the board should change with "he". The
candidates are the beginnings of the clauses that lead to the mention, back
to the end of the mention before; a small log-linear choice among them,
learned from lessons with known cue times (tests/benchmarks/train_lead.py),
picks one.
"""

from __future__ import annotations

import json
from functools import lru_cache
from pathlib import Path

from timeline.follow.context import Context
from timeline.follow.mentions import Mention
from timeline.follow.vocabulary import MOTION, PIECE_WORDS, VAGUE

_AGENTS = frozenset(
    "he she i we they you white black let let's suppose if what had could could should and now so then but here".split()
)
_REACH = 16


@lru_cache(maxsize=1)
def learned() -> dict[str, float]:
    """The learned weights: log-odds in natural units."""
    raw = json.loads(Path(__file__).with_name("leadin.json").read_text(encoding="utf-8"))
    return {str(name): float(value) for name, value in raw["weights"].items()}


def candidates(context: Context, m: Mention, previous_end: int) -> list[int]:
    """Tokens at which the announcing phrase may begin, nearest first; never before ``previous_end``."""
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
    while k > low:
        k -= 1
        if context.chessy[k] and k < m.start - 1 and not toks[k].ends:
            continue
        if k == low or toks[k - 1].ends or toks[k].starts:
            found.append(k)
            if k > 0 and toks[k - 1].ends in (".", "?"):
                sentences += 1
                if sentences > 1:
                    break
    return list(dict.fromkeys(found))


def lead_features(context: Context, m: Mention, previous_end: int, k: int) -> dict[str, float]:
    """What speaks for the phrase beginning at token ``k``."""
    toks = context.toks
    length = m.start - k
    feats: dict[str, float] = {"tokens": float(length), "one": float(length == 0), "far": float(length > 8)}
    if k == max(0, previous_end):
        feats["at previous"] = 1.0
    if k > 0 and toks[k - 1].ends in (".", "?"):
        feats["sentence"] = 1.0
    elif k > 0 and toks[k - 1].ends:
        feats["comma"] = 1.0
    if k == context.lead(m.start):
        feats["lead"] = 1.0
    if k == context.clause_start(m.start):
        feats["clause"] = 1.0
    crossed = [t.ends for t in toks[k : m.start] if t.ends]
    feats["crosses ,"] = float(sum(e == "," for e in crossed))
    feats["crosses ."] = float(sum(e == "." for e in crossed))
    feats["crosses ?"] = float(sum(e == "?" for e in crossed))
    feats["pause"] = min(3.0, sum(t.gap_ms for t in toks[k + 1 : m.start + 1]) / 1000)
    if length:
        feats[f"opens {toks[k].text}" if toks[k].text in _AGENTS else "opens other"] = 1.0
        inside = toks[k : m.start]
        if any(t.text in MOTION or t.text in VAGUE for t in inside):
            feats["moves"] = 1.0
        named = {PIECE_WORDS[t.text][0] for t in inside if t.text in PIECE_WORDS and PIECE_WORDS[t.text][1] <= 0.3}
        if m.desc.piece and m.desc.piece in named:
            feats["same piece"] = 1.0
        elif named:
            feats["other piece"] = 1.0
        if any(context.chessy[j] for j in range(k, m.start)):
            feats["chess inside"] = 1.0
        for name in dict.fromkeys(c for j in range(k, m.start) for c in context.classes[j]):
            feats[f"has {name}"] = 1.0
    feats[f"{m.kind}{'+' if length else '-'}"] = 1.0
    return feats


def lead_in(context: Context, m: Mention, previous_end: int, weights: dict[str, float] | None = None) -> int:
    """The token at which the phrase that announces ``m`` begins."""
    weights = learned() if weights is None else weights
    best, top = m.start, float("-inf")
    for k in candidates(context, m, previous_end):
        score = sum(
            weights.get(name, 0.0) * value for name, value in lead_features(context, m, previous_end, k).items()
        )
        if score > top:
            best, top = k, score
    return best

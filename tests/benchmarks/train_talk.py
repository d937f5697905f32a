"""Count what follows what in talk about chess: python tests/benchmarks/train_talk.py [--write] [LESSONS.lesson.txt ...].

Text: the narrations of ``tests/data/lessons`` (or the files given) as they
were said, each once with its punctuation as borders and once without. Runs of
three words count when they were met three times in these two versions. Without
``--write`` lessons are left out by fourths, and the mean log probability of a
word is printed, beside that of plain English.
"""

from __future__ import annotations

import json
import sys
from collections import Counter
from collections.abc import Iterable
from pathlib import Path

from punctuation import ROOT, mark_of, said

from timeline.captions.chesstalk import BORDER, TalkModel, classed, count_runs
from timeline.captions.english import chance
from timeline.captions.units import core

OUT = ROOT / "timeline" / "captions" / "chesstalk.json"
_LEAST = 3
FOLDS = 4


def sentences(path: Path) -> list[list[str]]:
    """The narration with borders and without, in classed words."""
    found: list[list[str]] = [[BORDER], [BORDER]]
    for word in said(path.read_text(encoding="utf-8")):
        parts = [classed(part) for part in core(word).split()]
        found[0] += [*parts, BORDER] if mark_of(word) else parts
        found[1] += parts
    return found


def counts_of(paths: Iterable[Path]) -> dict[tuple[str, ...], int]:
    counts = count_runs(run for path in paths for run in sentences(path))
    return {run: count for run, count in counts.items() if len(run) < 3 or count >= _LEAST}


def without(paths: Iterable[Path], names: set[str]) -> TalkModel:
    """The model of those narrations whose lessons are not among the names."""
    return TalkModel(counts_of(p for p in paths if p.name.removesuffix(".lesson.txt") not in names))


def narrations() -> list[Path]:
    return sorted((ROOT / "tests" / "data" / "lessons").glob("*.lesson.txt"))


def main() -> None:
    paths = [Path(a) for a in sys.argv[1:] if a != "--write"] or narrations()
    if "--write" in sys.argv:
        counts = {" ".join(run): count for run, count in sorted(counts_of(paths).items())}
        OUT.write_text(json.dumps(counts, ensure_ascii=False, indent=0) + "\n", encoding="utf-8")
        sys.stdout.write(f"{OUT.name}: {len(counts)} runs\n")
        return
    totals: Counter[str] = Counter()
    for fold in range(FOLDS):
        model = TalkModel(counts_of(p for n, p in enumerate(paths) if n % FOLDS != fold))
        for path in paths[fold::FOLDS]:
            words = sentences(path)[0]
            totals["chess"] += model.run(words, 1)
            totals["words"] += len(words) - 1
            totals["plain"] += sum(chance(words[k], *words[max(0, k - 2) : k]) for k in range(1, len(words)))
    for name in ("chess", "plain"):
        sys.stdout.write(f"{name}: {totals[name] / totals['words']:.3f} a word, {totals['words']} words\n")


if __name__ == "__main__":
    main()

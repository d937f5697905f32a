"""How well the shipped follower does on narrated lessons, with true word times.

    python tests/benchmarks/judge.py tests/data/judging/packed [FOLDER...]

One line for each lesson: share of the time with the right board (within 1 s),
F1 of board changes (within 1.5 s), sideline changes found, false changes, gold
changes. Say nothing from this of lessons that were learned from (``tests/data/lessons``).
"""

from __future__ import annotations

import sys
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from narrated import Narrated, Result, load_all, pooled
from train_follow import HEAD, line, measure

from timeline.follow.weights import shipped


def judged(lesson: Narrated) -> Result:
    return measure((lesson, shipped()))


def main() -> None:
    lessons = load_all([Path(folder) for folder in sys.argv[1:]])
    if not lessons:
        sys.exit(__doc__)
    with ProcessPoolExecutor(2) as pool:
        results = list(pool.map(judged, lessons))
    print(HEAD)
    for lesson, result in zip(lessons, results, strict=True):
        print(line(lesson.name, result))
    print(line("ALL", pooled(results)))


if __name__ == "__main__":
    main()

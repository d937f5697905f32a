"""How well lessons are followed by models learned without them, with the code as it is now.

    python tests/benchmarks/left_out.py LESSONS... --folds FOLDS

LESSONS are folders as ``narrated.py`` reads them, FOLDS what ``train_follow.py
--save-folds`` wrote. Each lesson is followed by the model of the fold that
left it out, by name; one that no fold knows, by the last. One line for each
folder and one for all; ``-v`` a line for each lesson.
"""

from __future__ import annotations

import argparse
from concurrent.futures import ProcessPoolExecutor
from pathlib import Path

from narrated import load_all, pooled
from train_follow import HEAD, line, measure, read_folds


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("lessons", nargs="+", type=Path)
    parser.add_argument("--folds", type=Path, required=True)
    parser.add_argument("-v", action="store_true", dest="each")
    options = parser.parse_args()
    folders = {str(path): {lesson.name for lesson in load_all([path])} for path in options.lessons}
    lessons = load_all(options.lessons)
    models = read_folds(options.folds, [lesson.name for lesson in lessons])
    with ProcessPoolExecutor(2) as pool:
        results = list(pool.map(measure, [(lesson, models[lesson.name]) for lesson in lessons]))
    print(HEAD)
    for lesson, result in zip(lessons, results, strict=True):
        if options.each:
            print(line(lesson.name, result))
    for path, names in folders.items():
        print(line(path, pooled([r for x, r in zip(lessons, results, strict=True) if x.name in names])))
    print(line("ALL", pooled(results)))


if __name__ == "__main__":
    main()

"""Narrated lessons with known truth: loading, packing, scoring. Shared by the follower's benchmark and training.

A lesson folder holds ``game.pgn``, ``transcript.txt`` or ``.srt`` (as heard),
``words.json`` (every spoken word with start and end in seconds, ``heard``
where the transcript differs) and ``gold.json`` (``cues`` with ``t`` and
``fen``). ``python tests/benchmarks/narrated.py FOLDER... -o OUT`` packs
folders into one small JSON file each, without the sound; our own lessons are
so in tests/data/lessons/packed, beside the marked-up talks they were made of.
"""

from __future__ import annotations

import argparse
import json
import re
from bisect import bisect_right
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from pathlib import Path

import chess

from timeline.score import Score, read_score
from timeline.transcript.words import Word

WINDOW_MS = 1500
_EDGES = "\"'“”‘’«»()[]{}….,;:!?–—-"


def position_key(fen: str) -> str:
    """Piece placement and side to move."""
    return " ".join(fen.split()[:2])


@dataclass(frozen=True)
class Change:
    """The truth: from ``at_ms`` on the board shows ``key``. ``how``: the marks that made it (play, back, take, show)."""

    at_ms: int
    key: str
    sideline: bool
    how: str


@dataclass(frozen=True)
class Narrated:
    """One lesson: words as heard with true times, its score, its truth."""

    name: str
    words: tuple[Word, ...]
    score: Score
    changes: tuple[Change, ...]
    end_ms: int
    pgn: str


def _bare(text: str) -> str:
    return text.strip(_EDGES).lower().replace("’", "'")


def _heard_words(folder: Path) -> list[Word]:
    spoken: list[tuple[str, int, int]] = []
    for word in json.loads((folder / "words.json").read_text(encoding="utf-8"))["words"]:
        parts = word.get("heard", word["w"]).split()
        step = (word["end"] - word["start"]) / max(1, len(parts))
        for k, part in enumerate(parts):
            spoken.append(
                (part, round(1000 * (word["start"] + k * step)), round(1000 * (word["start"] + (k + 1) * step)))
            )
    spoken = [s for s in spoken if _bare(s[0])]
    if (folder / "transcript.txt").exists():
        text = re.sub(r"^\[[\d:]+\]", "", (folder / "transcript.txt").read_text(encoding="utf-8"), flags=re.M)
    else:
        import srt

        text = " ".join(s.content for s in srt.parse((folder / "transcript.srt").read_text(encoding="utf-8")))
    words: list[Word] = []
    place = 0
    for token in text.split():
        if not _bare(token):
            if words:
                last = words[-1]
                words[-1] = Word(last.text + token, last.onset_ms, last.end_ms)
            continue
        if place >= len(spoken):
            break
        ahead = next(
            (k for k in range(place, min(len(spoken), place + 4)) if _bare(spoken[k][0]) == _bare(token)), place
        )
        words.append(Word(token, spoken[ahead][1], spoken[ahead][2]))
        place = ahead + 1
    return words


def load_folder(folder: Path) -> Narrated:
    """A lesson in the layout above, with the true times of the words as heard."""
    gold = json.loads((folder / "gold.json").read_text(encoding="utf-8"))
    pgn = (folder / "game.pgn").read_text(encoding="utf-8")
    changes = [
        (round(1000 * c["t"]), position_key(c["fen"]), c["ply"] is None, " ".join(re.findall(r"\{(\w+)", c["do"])))
        for c in gold["cues"]
    ]
    return _narrated(folder.name, _heard_words(folder), pgn, changes, round(1000 * gold["duration"]))


def load_packed(path: Path) -> Narrated:
    """A lesson that ``narrated.py`` packed."""
    raw = json.loads(path.read_text(encoding="utf-8"))
    words = [Word(text, onset, end) for text, onset, end in raw["words"]]
    return _narrated(path.stem, words, raw["pgn"], [tuple(c) for c in raw["changes"]], raw["end_ms"])


def _narrated(name: str, words: Sequence[Word], pgn: str, changes: Iterable[tuple], end_ms: int) -> Narrated:  # type: ignore[type-arg]
    kept: list[Change] = []
    for at_ms, key, sideline, how in changes:
        if not kept or kept[-1].key != key:
            kept.append(Change(at_ms, key, bool(sideline), how))
    return Narrated(name, tuple(words), read_score(pgn, source=name), tuple(kept), end_ms, pgn)


def load_all(paths: Iterable[Path]) -> list[Narrated]:
    """Lessons of folders (themselves lessons, or holding lessons or packed files)."""
    found: dict[str, Narrated] = {}
    for path in paths:
        if (path / "gold.json").exists():
            found[path.name] = load_folder(path)
            continue
        for inner in sorted(path.iterdir()):
            if (inner / "gold.json").exists():
                found[inner.name] = load_folder(inner)
            elif inner.suffix == ".json" and inner.is_file():
                found[inner.stem] = load_packed(inner)
    return [found[name] for name in sorted(found)]


def pack(lesson: Narrated) -> str:
    """One JSON text with all that training and scoring need."""
    return json.dumps(
        {
            "pgn": lesson.pgn,
            "end_ms": lesson.end_ms,
            "changes": [[c.at_ms, c.key, c.sideline, c.how] for c in lesson.changes],
            "words": [[w.text, w.onset_ms, w.end_ms] for w in lesson.words],
        },
        ensure_ascii=False,
        separators=(",", ":"),
    )


# -- scoring
@dataclass(frozen=True)
class Result:
    """Counts and shares; ``right``: share of the time with the right board, a change within 1 s either way forgiven."""

    gold: int
    shown: int
    matched: int
    side_gold: int
    side_found: int
    right: float
    end_ms: int
    errors_ms: tuple[int, ...]

    @property
    def f1(self) -> float:
        """Of board changes: the same new position, one to one, in order, at most 1.5 s apart."""
        return 2 * self.matched / (self.gold + self.shown) if self.gold + self.shown else 1.0


def matched(lesson: Narrated, rows: Sequence[tuple[int, str]]) -> list[tuple[int, int]]:
    """Pairs (true change, row) of the same position at most 1.5 s apart: one to one, in order, as many as can be."""
    gold = lesson.changes
    n, m = len(gold), len(rows)
    best = [[0] * (m + 1) for _ in range(n + 1)]

    def fits(i: int, j: int) -> bool:
        return gold[i].key == rows[j][1] and abs(gold[i].at_ms - rows[j][0]) <= WINDOW_MS

    for i in range(n - 1, -1, -1):
        for j in range(m - 1, -1, -1):
            best[i][j] = max(best[i + 1][j], best[i][j + 1], best[i + 1][j + 1] + 1 if fits(i, j) else 0)
    i = j = 0
    pairs: list[tuple[int, int]] = []
    while i < n and j < m:
        if fits(i, j) and best[i][j] == best[i + 1][j + 1] + 1:
            pairs.append((i, j))
            i, j = i + 1, j + 1
        elif best[i][j] == best[i + 1][j]:
            i += 1
        else:
            j += 1
    return pairs


def score_boards(lesson: Narrated, shown: Sequence[tuple[int, str]]) -> Result:
    """``shown``: (ms, position key) of every board change, in order of time."""
    rows: list[tuple[int, str]] = []
    for at_ms, key in shown:
        if not rows or rows[-1][1] != key:
            rows.append((at_ms, key))
    gold, pairs = lesson.changes, matched(lesson, rows)
    n, m = len(gold), len(rows)
    found = {i for i, _ in pairs}
    errors = [abs(gold[i].at_ms - rows[j][0]) for i, j in pairs]
    side = [k for k, c in enumerate(gold) if c.sideline]
    return Result(
        n, m, len(found), len(side), sum(k in found for k in side),
        _right(lesson, rows, 1000), lesson.end_ms, tuple(errors),
    )  # fmt: skip


def _right(lesson: Narrated, rows: Sequence[tuple[int, str]], slack_ms: int) -> float:
    times = [c.at_ms for c in lesson.changes]
    starts = [at for at, _ in rows]
    right = steps = 0
    for ms in range(0, lesson.end_ms, 100):
        low = bisect_right(times, ms - slack_ms) - 1
        high = bisect_right(times, ms + slack_ms) - 1
        allowed = {lesson.changes[k].key if k >= 0 else None for k in range(low, high + 1)}
        k = bisect_right(starts, ms) - 1
        right += (rows[k][1] if k >= 0 else None) in allowed
        steps += 1
    return right / steps if steps else 1.0


def pooled(results: Sequence[Result]) -> Result:
    """All lessons as one: counts added, shares weighted by length."""
    whole = sum(r.end_ms for r in results)
    return Result(
        *(sum(getattr(r, name) for r in results) for name in ("gold", "shown", "matched", "side_gold", "side_found")),
        sum(r.right * r.end_ms for r in results) / max(1, whole),
        whole,
        tuple(e for r in results for e in r.errors_ms),
    )


def start_key(score: Score) -> str:
    return position_key(score.start.fen())


def path_key(score: Score, path: Sequence[str]) -> str:
    """Position key of a path in UCI."""
    return position_key(score.board_at(tuple(chess.Move.from_uci(u) for u in path)).fen())


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("-o", "--out", type=Path, required=True)
    options = parser.parse_args()
    options.out.mkdir(parents=True, exist_ok=True)
    for lesson in load_all(options.folders):
        (options.out / f"{lesson.name}.json").write_text(pack(lesson) + "\n", encoding="utf-8")
        print(lesson.name, len(lesson.words), "words", len(lesson.changes), "changes")

"""Which mis-hearings are put right: python tests/benchmarks/mended.py FOLDER... [--sound] [--list].

As a teacher gets it: each lesson (a folder, or a folder of such, with
``transcript.txt`` or ``.srt``, ``game.pgn`` and ``words.json``: ``w`` what was
said, ``heard`` what the transcript shows instead) becomes a lesson file and
goes the whole way of ``plyline captions``, from the text alone or, with
``--sound``, with ``narration.opus`` as its recording. Counted as by
``captions.py``: mis-heard stretches that hold a chess term and read as they
were said, and right words that do so no more (jiwer's alignment with what was
said). ``--list`` names each that is missed or spoiled.
"""

from __future__ import annotations

import argparse
import json
import shutil
import sys
import tempfile
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

import captions as bench

from timeline.captions.build import CaptionResult
from timeline.store import load_lesson
from timeline.transcript.words import Word
from timeline.work import Work


@dataclass(frozen=True)
class Judged:
    """One lesson: chess terms put right and misheard, right words made wrong and right words; a line for each failure."""

    mended: int
    misheard: int
    spoiled: int
    right: int
    told: tuple[str, ...]


def captions_of(folder: Path, sound: bool) -> tuple[Sequence[Word], CaptionResult]:
    """The words of the transcript and the captions of a lesson made of the folder's files."""
    source = next(p for p in (folder / "transcript.txt", folder / "transcript.srt") if p.exists())
    truth = json.loads((folder / "words.json").read_text(encoding="utf-8"))
    with tempfile.TemporaryDirectory() as place:
        lesson = Path(place)
        lines = ["title: Measured", "score: game.pgn", f"transcript: {source.name}"]
        for name in (source.name, "game.pgn", *(["narration.opus"] if sound else [])):
            shutil.copy(folder / name, lesson)
        lines.append("recording: narration.opus" if sound else f'length: "{truth["duration"]:.3f}"')
        (lesson / "lesson.yaml").write_text("\n".join(lines) + "\n", encoding="utf-8")
        work = Work(load_lesson(lesson))
        return work.transcript.words, work.caption_result


def judge(folder: Path, sound: bool) -> Judged:
    words, result = captions_of(folder, sound)
    groups = bench.groups_of(json.loads((folder / "words.json").read_text(encoding="utf-8"))["words"])
    said = [w for group in groups for w in bench.normal(" ".join(group[0]))]
    before = bench.wrong(said, [w for word in words for w in bench.normal(word.text)])
    after = bench.wrong(said, [w for text in result.written for w in bench.normal(text)])
    told = [*_missed(groups, said, after), *(f"spoiled: {_around(said, k, k + 1)}" for k in sorted(after - before))]
    mended, misheard = bench.mended(groups, after)
    return Judged(mended, misheard, len(after - before), len(said) - len(before), tuple(told))


def _missed(groups: Sequence[bench.Group], said: Sequence[str], wrong: set[int]) -> Iterator[str]:
    place = 0
    for words, heard, differs in groups:
        stop = place + len(bench.normal(" ".join(words)))
        if differs and bench.is_term(words) and wrong & set(range(place, stop)):
            yield f"missed: {_around(said, place, stop)}, heard as {' '.join(heard)!r}"
        place = stop


def _around(said: Sequence[str], first: int, stop: int) -> str:
    before, after = said[max(0, first - 4) : first], said[stop : stop + 3]
    return " ".join([*before, "[", *said[first:stop], "]", *after])


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("--sound", action="store_true", help="narration.opus is the recording")
    parser.add_argument("--list", action="store_true", help="name each failure")
    args = parser.parse_args()
    totals = [0, 0, 0, 0]
    for root in args.folders:
        inner = [root] if (root / "words.json").exists() else sorted(p.parent for p in root.glob("*/words.json"))
        for folder in inner:
            one = judge(folder, args.sound)
            row = [one.mended, one.misheard, one.spoiled, one.right]
            totals = [a + b for a, b in zip(totals, row, strict=True)]
            _tell(folder.name, row)
            sys.stdout.writelines(f"    {line}\n" for line in (one.told if args.list else ()))
            sys.stdout.flush()
    if not totals[3]:
        parser.error("no lessons with words.json there")
    _tell("all", totals)


def _tell(name: str, row: Sequence[int]) -> None:
    mended, misheard, spoiled, right = row
    share = f"{mended / misheard:.1%}" if misheard else "-"
    sys.stdout.write(
        f"{name:20} {mended:3} of {misheard:3} put right {share:>7}   {spoiled:3} of {right:5} made wrong {spoiled / right:.2%}\n"
    )


if __name__ == "__main__":
    main()

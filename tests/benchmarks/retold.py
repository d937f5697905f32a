"""Our packed lessons as lesson folders, without their sound: python tests/benchmarks/retold.py OUT [NAME ...].

``tests/data/lessons`` holds what was said and what a recogniser made of it
(NAME.lesson.txt, ``<said|heard>``); packed/NAME.json when each word was heard.
From both each OUT/NAME gets ``transcript.txt`` (stamped paragraphs of 8 to
30 s) or ``.srt`` (lower-case blocks of 2 to 5 s), ``game.pgn`` and
``words.json`` (``w``: said; ``heard``: what the transcript shows instead, ""
on the others of a group). The same input gives the same files.
"""

from __future__ import annotations

import json
import random
import re
import sys
from dataclasses import dataclass
from pathlib import Path

from timeline.captions.units import core, ends_sentence

LESSONS = Path(__file__).parents[1] / "data" / "lessons"
_TOKEN = re.compile(r"<([^<>|]*)\|([^<>|]*)>|\S+")
_TEXT_S, _CAPTION_S = (8.0, 30.0), (2.0, 5.0)  # least and most length of a block
_BREATH_S = 0.25


@dataclass(frozen=True)
class Group:
    """Words as they were said, and the words that the transcript shows for them."""

    said: tuple[str, ...]
    heard: tuple[str, ...]
    misheard: bool


@dataclass(frozen=True)
class Heard:
    """A word of the transcript, in seconds; ``opens``: a block may begin with it, because no mis-heard group is cut."""

    text: str
    start: float
    end: float
    opens: bool


def groups_of(text: str) -> list[Group]:
    """The narration of a marked-up lesson."""
    body = re.sub(r"\{[^}]*\}", " ", text.partition("\n\n")[2])
    found: list[Group] = []
    for match in _TOKEN.finditer(body):
        if match[1] is not None:
            said, heard = (tuple(filter(None, map(core, side.split()))) for side in (match[1], match[2]))
            found.append(Group(said, heard, True))
        elif core(match[0]):
            glued = match.start() > 0 and body[match.start() - 1] == ">"
            if glued and re.match(r"['’]s?\b", match[0]):  # <knight|night>'s
                last = found.pop()
                found.append(Group((*last.said[:-1], last.said[-1] + core(match[0])), last.heard, True))
            else:
                found.append(Group((core(match[0]),), (core(match[0]),), False))
    return found


def heard_words(groups: list[Group], words: list[tuple[str, int, int]]) -> list[Heard]:
    """The packed words with the groups they belong to; ValueError where they are not the same words."""
    opens: list[bool] = []
    expected: list[str] = []
    for group in groups:
        parts = [p for word in group.heard for p in _plain(word).split()]
        expected += parts
        opens += [k == 0 for k in range(len(parts))]
    shown = [_plain(text) for text, _, _ in words]
    if expected != shown:
        at = next(
            (k for k, pair in enumerate(zip(expected, shown, strict=False)) if pair[0] != pair[1]), min(len(expected), len(shown))
        )
        raise ValueError(f"word {at}: {expected[at : at + 5]} is to be heard, packed is {shown[at : at + 5]}")
    return [Heard(t, a / 1000, b / 1000, o) for (t, a, b), o in zip(words, opens, strict=True)]


def _plain(word: str) -> str:
    return " ".join(p for p in re.sub(r"[^\w\s'’/-]|_", " ", core(word).replace("’", "'")).split() if core(p))


def blocks_of(words: list[Heard], captions: bool, rng: random.Random) -> list[list[Heard]]:
    """Cut at the ends of sentences, captions at breaths, where the length allows."""
    least, most = _CAPTION_S if captions else _TEXT_S
    blocks: list[list[Heard]] = [[]]
    due = rng.uniform(least, most * 0.8)
    for k, word in enumerate(words):
        block = blocks[-1]
        if block and word.opens:
            before = words[k - 1]
            border = word.start - before.end > _BREATH_S if captions else ends_sentence(before.text)
            if (border and word.start - block[0].start >= due) or word.end - block[0].start > most:
                blocks.append([])
                due = rng.uniform(least, most * 0.8)
        blocks[-1].append(word)
    return blocks


def transcript_of(blocks: list[list[Heard]], captions: bool) -> str:
    rows = []
    for n, block in enumerate(blocks):
        text = " ".join(word.text for word in block)
        if captions:
            end = block[-1].end + 0.2
            end = min(end, blocks[n + 1][0].start) if n + 1 < len(blocks) else end
            rows.append(f"{n + 1}\n{_stamp(block[0].start)} --> {_stamp(end)}\n{text}\n")
        else:
            at = int(block[0].start)
            rows.append(f"[{at // 60}:{at % 60:02}] {text}")
    return "\n".join(rows) + "\n"


def _stamp(seconds: float) -> str:
    ms = round(seconds * 1000)
    return f"{ms // 3_600_000:02}:{ms // 60_000 % 60:02}:{ms // 1000 % 60:02},{ms % 1000:03}"


def retell(name: str, out: Path) -> None:
    """Write OUT/NAME; ValueError where narration and packed words differ."""
    text = (LESSONS / f"{name}.lesson.txt").read_text(encoding="utf-8")
    packed = json.loads((LESSONS / "packed" / f"{name}.json").read_text(encoding="utf-8"))
    captions = bool(re.search(r"^blocks:\s*caption", text.partition("\n\n")[0], re.M))
    groups = groups_of(text)
    words = heard_words(groups, [tuple(row) for row in packed["words"]])
    folder = out / name
    folder.mkdir(parents=True, exist_ok=True)
    blocks = blocks_of(words, captions, random.Random(name))
    (folder / f"transcript.{'srt' if captions else 'txt'}").write_text(transcript_of(blocks, captions), encoding="utf-8")
    (folder / "game.pgn").write_text(packed["pgn"], encoding="utf-8")
    rows: list[dict[str, str]] = []
    for group in groups:
        rows += [
            {"w": word, "heard": "" if k else " ".join(group.heard)} if group.misheard else {"w": word}
            for k, word in enumerate(group.said)
        ]
    (folder / "words.json").write_text(
        json.dumps({"duration": packed["end_ms"] / 1000, "words": rows}, ensure_ascii=False) + "\n", encoding="utf-8"
    )


def names() -> list[str]:
    """Our lessons: those that are marked up and packed."""
    packed = {path.stem for path in (LESSONS / "packed").glob("*.json")}
    return sorted(n for n in packed if (LESSONS / f"{n}.lesson.txt").exists())


def main() -> None:
    if len(sys.argv) < 2 or sys.argv[1].startswith("-"):
        sys.stderr.write(__doc__ or "")
        raise SystemExit(2)
    chosen = sys.argv[2:] or names()
    for name in chosen:
        retell(name, Path(sys.argv[1]))
    sys.stdout.write(f"{len(chosen)} lessons in {sys.argv[1]}\n")


if __name__ == "__main__":
    main()

# ruff: noqa: T201
"""Makes the table of statements and positions, tests/data/checks/statements.csv: ``python tests/checks/table.py``.

Wordings come from text files (``kind | words with slots``), positions from
public-domain games and a few hand-made ones, truth from the ``truth`` modules. A
fixed seed gives the same table again. Half of the statements are false.
"""

from __future__ import annotations

import csv
import random
import sys
from collections.abc import Iterator
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent))
import truth_board
import truth_game
import truth_lines
from truth import DATA, MAKERS, WORDS, Place, Slots, piece, places, side

TRUTHS = (truth_board, truth_game, truth_lines)
"""Imported, they fill MAKERS."""
PER_WORDING = 2  # one true, one false where the positions allow
HELD_OUT = (
    11, *range(13, 16), *range(21, 27), *range(31, 40), *range(51, 84), 104, 105, 106, 101, 102, 103, *range(114, 117), *range(111, 114),
)  # fmt: skip
UNSEEN = (91, 92, 93, 97, 98, 99, 121, 122, 123, 124, 131)
SEEDS = (
    {"known": 12, "opinions": 40}
    | {f"heldout{n}": seed for n, seed in enumerate(HELD_OUT, 1)}
    | {f"unseen{n}": seed for n, seed in enumerate(UNSEEN, 1)}
)
"""A set of wordings by its file's name, and the seed that picks its positions."""
COLUMNS = ("set", "kind", "true", "game", "ply", "fen", "say")


def never_judged(p, words):
    b = p.board
    for s, other in zip(b.men()[:6], b.men()[4:], strict=False):
        yield {**side(b.white(s)), **piece(b, s), **piece(b, other, "2"), "N": "three", "F": "e"}, None


def fill(words: str, slots: Slots, rng: random.Random) -> str:
    slots = dict(slots)
    if rng.random() < 0.3:
        for k, v in slots.items():
            if k[0] == "Q" and len(v) == 2:
                slots[k] = f"{v[0]} {WORDS[int(v[1])] if v[1] != '8' else 'eight'}"
    text = words
    for k in sorted(slots, key=len, reverse=True):
        text = text.replace("{" + k + "}", slots[k])
    text = text.replace("a exchange", "an exchange")
    return text[0].upper() + text[1:] + ("" if text.endswith("?") else ".")


def rows(path: Path, label: str, everywhere: list[Place], seed: int) -> Iterator[dict]:
    rng = random.Random(seed)
    for line in path.read_text(encoding="utf-8").splitlines():
        if not line.strip() or line.startswith("#"):
            continue
        kind, _, words = (part.strip() for part in line.partition("|"))
        make = never_judged if kind == "none" else MAKERS[kind]
        order = list(everywhere)
        rng.shuffle(order)
        got: dict[bool | None, list[tuple[Place, Slots]]] = {True: [], False: [], None: []}
        for p in order:
            options = list(make(p, words))
            rng.shuffle(options)
            seen = set()
            for slots, truth in options:
                if truth not in seen and len(got[truth]) < PER_WORDING // 2:
                    got[truth].append((p, slots))
                    seen.add(truth)
            if len(got[True]) == len(got[False]) == PER_WORDING // 2 or len(got[None]) >= 2:
                break
        if not any(got.values()):
            print(f"no position for: {line}", file=sys.stderr)
        for truth, chosen in got.items():
            for p, slots in chosen:
                yield {
                    "set": label, "kind": kind, "true": {True: "yes", False: "no", None: ""}[truth],
                    "game": p.game, "ply": p.ply, "fen": p.fen if p.game is None else "",
                    "say": fill(words, slots, rng), "words": words,
                }  # fmt: skip


def main() -> None:
    everywhere = places()
    with (DATA / "statements.csv").open("w", encoding="utf-8", newline="") as out:
        writer = csv.DictWriter(out, COLUMNS, extrasaction="ignore", lineterminator="\n")
        writer.writeheader()
        for label, seed in SEEDS.items():
            found = list(rows(DATA / "wordings" / f"{label}.txt", label, everywhere, seed))
            writer.writerows(found)
            told = [sum(r["true"] == word for r in found) for word in ("yes", "no")]
            print(f"{label}: {len(found)} pairs, {told[0]} true, {told[1]} false")


if __name__ == "__main__":
    main()

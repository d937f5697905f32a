"""Lessons with new mis-hearings, to learn from and to judge by: python tests/benchmarks/mishear.py FOLDER -o OUT [--manner M].

FOLDER holds lesson folders with ``transcript.txt`` or ``.srt``, ``game.pgn``
and ``words.json``. Each is copied with the mis-hearings it had taken back and
others put in at random: the transcript shows them, ``words.json`` names them.

Manners:
- ``skeleton``: words whose phones fall into the same ten broad classes as the
  said ones, or but for one class. The metric is not the one of
  ``timeline.follow.phonetics``, so it can judge what was built on that.
- ``near``: words near by that metric, ``close``: the nearest.
- ``spelled``: letters, digits and pieces as the everyday words that they sound
  like ("bee tree", "rookie won"), from general knowledge.

How likely a word is at its place comes from the trigram model in the
pocketsphinx wheel.
"""

from __future__ import annotations

import argparse
import json
import random
import re
import shutil
import sys
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

from timeline.captions.english import BEGIN, END, chance
from timeline.captions.units import core
from timeline.follow.phonetics import alikeness, digit_phones, letter_phones
from timeline.transcript.pronounce import dictionary

Phones = tuple[str, ...]
Picker = Callable[[random.Random, list[str], str, str], tuple[str, ...] | None]
_CLASSES = {
    phone: name
    for name, group in {
        "P": "P B", "T": "T D", "K": "K G", "F": "F V TH DH", "S": "S Z", "C": "CH JH SH ZH", "M": "M N NG", "L": "L",
        "R": "R ER", "W": "W", "Y": "Y", "H": "HH", "i": "IY IH", "e": "EY EH AE", "a": "AA AH AW AY", "o": "AO OW OY", "u": "UH UW",
    }.items()
    for phone in group.split()
}  # fmt: skip
_SQUARE = re.compile("[a-h][1-8]")
_PIECES = frozenset("king queen rook bishop knight pawn".split())
_TERMS = _PIECES | frozenset(
    "pawns rooks takes check checkmate mate castles captures file rank diagonal fork pin pinned skewer sacrifice attacks "
    "threatens defends threat square".split()
)
_RARE = -12.5  # natural log: rarer words are not what recognisers write
_LETTERS = {
    "a": "hey eh ay eight", "b": "be bee b. the", "c": "see sea si c.", "d": "the de dee d. these", "e": "he easy ee e.",
    "f": "if of have half f.", "g": "gee jee cheap jeep geez she g.", "h": "each age aged hey h.",
}  # fmt: skip
_DIGITS = {
    "1": "won one", "2": "to too two", "3": "tree free the three", "4": "for four fore floor", "5": "five fire hive fife",
    "6": "six sticks sick sex sakes", "7": "seven heaven eleven", "8": "eight ate aid",
}  # fmt: skip
_WORDS = {
    "rook": "look rock brook ruck rogue hook work", "bishop": "fish-up big-shop dish-up bish-up ship pitch-up",
    "knight": "night nine nice might nite light", "queen": "clean quinn green keen when", "king": "kin can kink ring",
    "pawn": "pond porn prawn born palm pan", "pawns": "ponds prawns pans palms", "rooks": "looks rocks brooks",
    "takes": "tax steaks cakes tastes tags text tapes", "check": "czech chuck jack chick cheque", "mate": "made meat may make",
    "checkmate": "check-made chuck-mate check-meat", "castles": "cattles hassles", "file": "fire while fail",
    "rank": "rang bank drank", "diagonal": "die-agonal diagnose-all", "fork": "pork folk fort", "pin": "bin pen",
    "pinned": "penned binned", "square": "swear squared", "threat": "thread tread", "threatens": "threads",
    "attacks": "a-tax a-tacks", "defends": "depends", "skewer": "skua sewer", "sacrifice": "sack-of-rice satisfies",
}  # fmt: skip
_JOINED = {"rook e": "rookie", "king e": "kingy", "knight e": "nightie", "knight d": "nighty", "king d": "kingdom"}


@dataclass(frozen=True)
class Sounds:
    """Everyday words of the pronouncing dictionary, by their skeleton of broad classes."""

    said: dict[str, Phones]
    by_skeleton: dict[str, list[tuple[str, Phones]]]


def skeleton(sound: Phones) -> str:
    return "".join(_CLASSES.get(p, "?") for p in sound)


@lru_cache(maxsize=1)
def sounds() -> Sounds:
    said: dict[str, Phones] = {}
    shelves: dict[str, list[tuple[str, Phones]]] = defaultdict(list)
    for word, ways in dictionary().items():
        if re.fullmatch(r"[a-z]+('[a-z]+)?", word):
            said[word] = tuple(p.rstrip("012") for p in ways[0])
            if chance(word) > _RARE and (len(word) > 1 or word in "ai"):
                for way in ways:
                    sound = tuple(p.rstrip("012") for p in way)
                    shelves[skeleton(sound)].append((word, sound))
    return Sounds(said, shelves)


def phones_of(words: list[str]) -> Phones | None:
    found: list[str] = []
    for word in words:
        if _SQUARE.fullmatch(word):
            found += ("EY",) if word[0] == "a" else letter_phones(word[0])
            found += digit_phones(word[1])
        elif word in "bcdefgh" and len(word) == 1:
            found += letter_phones(word)
        elif word in sounds().said:
            found += sounds().said[word]
        else:
            return None
    return tuple(found)


@lru_cache(maxsize=200_000)
def words_like(sound: Phones) -> tuple[tuple[str, float], ...]:
    """Words with the same skeleton or one class more, less or other, with a cost; the likeliest first."""
    shape, found = skeleton(sound), dict[str, float]()
    near = {shape} | {shape[:k] + shape[k + 1 :] for k in range(len(shape)) if len(shape) > 2}
    for k in range(len(shape)):
        near |= {shape[:k] + c + shape[k + 1 :] for c in "PTKFSCMLRWHieaou" if c.islower() == shape[k].islower()}
    for k in range(len(shape) + 1):
        near |= {shape[:k] + c + shape[k:] for c in "TSMHRi"}
    for one in sorted(near):  # the same in every run
        for word, other in sounds().by_skeleton.get(one, ()):
            cost = 0.9
            if len(other) == len(sound):
                cost = sum(
                    0.0 if a == b else 0.35 if _CLASSES.get(a) == _CLASSES.get(b) else 0.9
                    for a, b in zip(sound, other, strict=True)
                )
            found[word] = min(cost, found.get(word, 9.0))
    return tuple(sorted(found.items(), key=lambda pair: pair[1] - 0.12 * chance(pair[0])))


def confusions(sound: Phones, limit: float) -> dict[tuple[str, ...], float]:
    """One to three words that sound like it, with their costs."""

    def some(part: Phones, most: int, least: float) -> list[tuple[str, float]]:
        return [(w, c) for w, c in words_like(part) if c <= least][:most]

    found = {(w,): c for w, c in words_like(sound) if c <= limit}
    for k in range(1, len(sound)):
        for w, c in some(sound[:k], 25, limit):
            for v, d in some(sound[k:], 25, limit - c):
                found[w, v] = min(c + d, found.get((w, v), 9.0))
    for k in range(2, len(sound) - 2 if len(sound) >= 5 else 0):
        for m in range(k + 1, len(sound) - 1):
            for w, c in some(sound[:k], 6, limit / 2):
                for v, d in some(sound[k:m], 6, limit / 2):
                    for u, e in some(sound[m:], 6, limit / 2):
                        if c + d + e <= limit:
                            found[w, v, u] = min(c + d + e, found.get((w, v, u), 9.0))
    return {words: cost for words, cost in found.items() if sum(len(w) == 1 for w in words) < 2}


def by_sound(slack: tuple[float, float], own: float, fit: float, noise: float, most: int) -> Picker:
    """A picker: broad classes within ``slack``, ``own`` weight of our metric (0: the class cost), ``fit`` of plain English."""

    def pick(rng: random.Random, phrase: list[str], before: str, after: str) -> tuple[str, ...] | None:
        sound = phones_of(phrase)
        if sound is None or not 2 <= len(sound) <= 13:
            return None
        rows = []
        options = sorted(confusions(sound, slack[0] + slack[1] * len(sound) ** 0.5).items(), key=lambda pair: pair[1])
        for words, cost in options[:60] if own else options:
            if "".join(words) == "".join(phrase):
                continue
            run = [before, *words, after]
            likely = sum(chance(run[k], *run[max(0, k - 2) : k]) for k in range(1, len(run)))
            if own:
                cost = own * alikeness(sound, tuple(p for w in words for p in sounds().said[w]))
            rows.append((cost - fit * likely + rng.gauss(0, noise), words))
        return rng.choice(sorted(rows)[:most])[1] if rows else None

    return pick


def spelled(rng: random.Random, phrase: list[str], before: str, after: str) -> tuple[str, ...] | None:
    found: list[str] = []
    for k, word in enumerate(phrase):
        if _SQUARE.fullmatch(word):
            joined = _JOINED.get(f"{phrase[k - 1]} {word[0]}") if k else None
            if joined and rng.random() < 0.4:
                found[-1] = joined
            else:
                found.append(rng.choice(_LETTERS[word[0]].split()))
            found.append(rng.choice(_DIGITS[word[1]].split()))
        elif word in _WORDS and (len(phrase) == 1 or rng.random() < 0.6):
            found += rng.choice(_WORDS[word].split()).split("-")
        else:
            found.append(rng.choice(_LETTERS[word].split()) if word in _LETTERS and len(word) == 1 else word)
    return tuple(found) if found != phrase else None


MANNERS: dict[str, Picker] = {
    "skeleton": by_sound((0.5, 0.22), 0.0, 0.13, 0.2, 3),
    "near": by_sound((0.8, 0.3), 5.0, 0.25, 0.9, 5),
    "close": by_sound((0.8, 0.3), 9.0, 0.25, 0.3, 3),
    "spelled": spelled,
}


def phrase_at(said: list[str], k: int, rng: random.Random) -> int:
    """How many words from ``k`` on are a chess phrase to be misheard as one; 0 for none."""
    word, ahead = said[k], said[k + 1 : k + 3]
    options = [1, 1, 1] if _SQUARE.fullmatch(word) else [1] if word in _TERMS else []
    if word in _PIECES and ahead:
        if _SQUARE.fullmatch(ahead[0]):
            options += [2, 2]
        elif ahead[0] in ("takes", "to", "on"):
            options.append(2)
            if len(ahead) > 1 and ahead[0] != "on" and _SQUARE.fullmatch(ahead[1]):
                options += [3, 3]
    if len(word) == 1 and word in "bcdefgh" and ahead and ahead[0] in ("pawn", "file", "takes"):
        options += [2, 2]
    return rng.choice(options) if options else 0


@dataclass(frozen=True)
class Group:
    """Words ``first`` to ``last`` as said, and the span of the transcript's text that shows them."""

    first: int
    last: int
    span: tuple[int, int]
    head: str
    tail: str
    differs: bool


def shown_words(text: str, captions: bool) -> Iterator[re.Match[str]]:
    """The spoken words in the text of a transcript: no stamps, no numbers of cues."""
    for match in re.finditer(r"\S+", text):
        line = text[text.rfind("\n", 0, match.start()) + 1 : (text + "\n").find("\n", match.end())].strip()
        following = text[match.end() :].lstrip("\n").split("\n", 1)[0]
        numbered = captions and re.fullmatch(r"\d+", line) and "-->" in following
        if core(match[0]) and not numbered and "-->" not in line and not re.fullmatch(r"\[[\d:]+\]", match[0]):
            yield match


def groups_of(words: list[dict[str, str]], text: str, captions: bool) -> list[Group]:
    found: list[Group] = []
    shown = list(shown_words(text, captions))
    at = k = 0
    while k < len(words):
        last = k
        while last + 1 < len(words) and words[last + 1].get("heard") == "":
            last += 1
        size = sum(bool(core(w)) for w in words[k].get("heard", words[k]["w"]).split())
        own = shown[at : at + size]
        if own:
            span = (own[0].start(), own[-1].end())
            found.append(Group(k, last, span, own[0][0], own[-1][0], "heard" in words[k]))
        at, k = at + size, last + 1
    return found


def mishear(folder: Path, out: Path, pick: Picker, rate: float, seed: int) -> int:
    """Write the lesson with other mis-hearings; how many there are."""
    rng = random.Random(f"{folder.name} {seed}")
    data = json.loads((folder / "words.json").read_text(encoding="utf-8"))
    words = data["words"]
    source = next(p for p in (folder / "transcript.txt", folder / "transcript.srt") if p.exists())
    text, captions = source.read_text(encoding="utf-8"), source.suffix == ".srt"
    said = [core(w["w"]) for w in words]
    heard: dict[int, tuple[int, tuple[str, ...]]] = {}
    k = 0
    while k < len(said):
        size = phrase_at(said, k, rng)
        if size and rng.random() < rate and not any(re.search("[.,;:!?]", w["w"]) for w in words[k : k + size - 1]):
            before, after = said[k - 1] if k else BEGIN, said[k + size] if k + size < len(said) else END
            other = pick(rng, said[k : k + size], before, after)
            if other:
                heard[k] = (size, other)
                k += size
                continue
        k += 1
    covered = {n: k for k, (size, _) in heard.items() for n in range(k, k + size)}
    edits, fresh = [], [{name: v for name, v in w.items() if name != "heard"} for w in words]
    groups = groups_of(words, text, captions)
    at = 0
    while at < len(groups):
        stop = at
        while stop + 1 < len(groups) and covered.get(groups[stop].last, -1) == covered.get(groups[stop + 1].first, -2):
            stop += 1
        run = groups[at : stop + 1]
        numbers = range(run[0].first, run[-1].last + 1)
        if any(g.differs for g in run) or any(n in covered for n in numbers):
            edits.append((run[0].span[0], run[-1].span[1], _written(run, numbers, heard, words, fresh, captions)))
        at = stop + 1
    for begin, end, new in reversed(edits):
        text = text[:begin] + new + text[end:]
    (out / folder.name).mkdir(parents=True, exist_ok=True)
    (out / folder.name / source.name).write_text(text, encoding="utf-8")
    shutil.copy(folder / "game.pgn", out / folder.name)
    (out / folder.name / "words.json").write_text(json.dumps({"duration": data["duration"], "words": fresh}))
    return len(heard)


def _written(
    run: list[Group],
    numbers: range,
    heard: dict[int, tuple[int, tuple[str, ...]]],
    words: list[dict[str, str]],
    fresh: list[dict[str, str]],
    captions: bool,
) -> str:
    """What the transcript shows for some groups, with the case and the marks that stood there; ``fresh`` is told too."""
    parts: list[str] = []
    n = numbers.start
    while n < numbers.stop:
        if n in heard:
            size, other = heard[n]
            parts += other
            for m in range(n, n + size):
                fresh[m]["heard"] = " ".join(other) if m == n else ""
            n += size
        else:
            parts.append(core(words[n]["w"]) if captions else words[n]["w"].strip(".,;:!?"))
            n += 1
    new = " ".join(parts)
    if run[0].head[:1].isupper() and not captions:
        new = new[:1].upper() + new[1:]
    marks = re.search(r"[.,;:!?…\"'”’]+$", run[-1].tail)
    return new.rstrip(".") + marks[0] if marks else new


def main() -> None:
    parser = argparse.ArgumentParser(description=(__doc__ or "").split("\n")[0])
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("-o", "--out", type=Path, required=True)
    parser.add_argument("--manner", choices=MANNERS, default="skeleton")
    parser.add_argument("--rate", type=float, default=0.08, help="share of chess phrases that are misheard")
    parser.add_argument("--seed", type=int, default=1)
    args = parser.parse_args()
    count = 0
    for root in args.folders:
        for folder in sorted(p for p in root.iterdir() if (p / "words.json").exists()):
            count += mishear(folder, args.out, MANNERS[args.manner], args.rate, args.seed)
    sys.stdout.write(f"{count} mis-hearings in {args.out}\n")


if __name__ == "__main__":
    main()

"""How alike words sound: phones from a dictionary, a feature-weighted edit distance.

Phones are ARPAbet without stress. The dictionary is the US-English one that
the pocketsphinx wheel carries (the CMU Pronouncing Dictionary); words that it
does not hold are spelled out by a small set of letter rules. Substitution
costs come from voicing, place and manner of consonants and height, backness
and rounding of vowels (the phonological features of any phonetics handbook;
the weights are set by hand, so a distance is a rank, not a probability).
"""

from __future__ import annotations

import importlib.util
import math
import re
from functools import lru_cache
from pathlib import Path

Phones = tuple[str, ...]

# place, manner, voicing: place is ordered front to back, manner groups sounds that recognisers confuse.
_CONSONANTS: dict[str, tuple[float, str, int]] = {
    "P": (0, "stop", 0), "B": (0, "stop", 1), "M": (0, "nasal", 1), "W": (0.5, "glide", 1),
    "F": (1, "fric", 0), "V": (1, "fric", 1), "TH": (2, "fric", 0), "DH": (2, "fric", 1),
    "T": (3, "stop", 0), "D": (3, "stop", 1), "N": (3, "nasal", 1), "S": (3, "fric", 0), "Z": (3, "fric", 1),
    "L": (3, "liquid", 1), "R": (4, "liquid", 1), "SH": (4, "fric", 0), "ZH": (4, "fric", 1),
    "CH": (4, "affr", 0), "JH": (4, "affr", 1), "Y": (5, "glide", 1), "K": (6, "stop", 0), "G": (6, "stop", 1),
    "NG": (6, "nasal", 1), "HH": (7, "fric", 0),
}  # fmt: skip
# height (0 high to 3 low), backness (0 front to 2 back), rounding, glide target
_VOWELS: dict[str, tuple[float, float, int, str]] = {
    "IY": (0, 0, 0, ""), "IH": (0.5, 0.3, 0, ""), "EY": (1, 0, 0, "i"), "EH": (1.7, 0.2, 0, ""), "AE": (2.6, 0.3, 0, ""),
    "AA": (3, 1.7, 0, ""), "AO": (2, 2, 1, ""), "OW": (1, 2, 1, "u"), "UH": (0.6, 1.7, 1, ""), "UW": (0, 1.8, 1, ""),
    "AH": (2, 1.2, 0, ""), "ER": (1.5, 1, 0, "r"), "AY": (2.8, 1, 0, "i"), "AW": (2.8, 1.2, 0, "u"), "OY": (2, 2, 1, "i"),
}  # fmt: skip
_MANNER = {frozenset(p): c for p, c in {
    ("stop", "fric"): 0.45, ("stop", "affr"): 0.3, ("fric", "affr"): 0.25, ("nasal", "stop"): 0.5,
    ("liquid", "glide"): 0.25, ("nasal", "liquid"): 0.4,
}.items()}  # fmt: skip
_CHEAP_GAP = {"HH": 0.25, "T": 0.35, "D": 0.35, "Y": 0.3, "R": 0.4, "AH": 0.35, "IH": 0.4, "N": 0.45}
_GAP = 0.6


@lru_cache(maxsize=4096)
def substitution(a: str, b: str) -> float:
    """Cost in [0, 1] of hearing phone ``b`` for ``a``; symmetric."""
    if a == b:
        return 0.0
    if a in _CONSONANTS and b in _CONSONANTS:
        (pa, ma, va), (pb, mb, vb) = _CONSONANTS[a], _CONSONANTS[b]
        manner = 0.0 if ma == mb else _MANNER.get(frozenset((ma, mb)), 0.7)
        return min(1.0, manner + min(0.45, 0.12 * abs(pa - pb)) + (0.15 if va != vb else 0.0))
    if a in _VOWELS and b in _VOWELS:
        (ha, ba, ra, ga), (hb, bb, rb, gb) = _VOWELS[a], _VOWELS[b]
        cost = 0.18 * abs(ha - hb) + 0.15 * abs(ba - bb) + 0.1 * abs(ra - rb) + (0.12 if ga != gb else 0.0)
        return min(1.0, cost)
    return 1.0


def gap(phone: str) -> float:
    """Cost of a phone that is heard and was not said, or the other way round."""
    return _CHEAP_GAP.get(phone, _GAP)


def distance(a: Phones, b: Phones, limit: float = math.inf) -> float:
    """Weighted edit distance of two phone strings, in units of one wholly different phone; infinite where it is seen to be
    above ``limit`` before the end."""
    gaps = [gap(phone) for phone in b]
    row = [0.0]
    for lost in gaps:
        row.append(row[-1] + lost)
    for pa in a:
        lost_a = gap(pa)
        left, last = row[0] + lost_a, row[0]
        row[0] = left
        for j, pb in enumerate(b, 1):
            best = last + substitution(pa, pb)
            last = row[j]
            if last + lost_a < best:
                best = last + lost_a
            left += gaps[j - 1]
            if left < best:
                best = left
            row[j] = left = best
        if min(row) > limit:  # no later row can be below it
            return math.inf
    return row[-1]


def alikeness(a: Phones, b: Phones, limit: float = math.inf) -> float:
    """Distance divided by the square root of the mean length: comparable over lengths, 0 for homophones; may be infinite
    where it is above ``limit``."""
    length = (len(a) + len(b)) / 2
    return distance(a, b, (limit + 1e-6) * length**0.5) / length**0.5 if length else 0.0


def _dictionary_path() -> Path | None:
    spec = importlib.util.find_spec("pocketsphinx")
    if spec is None or not spec.submodule_search_locations:
        return None
    for root in spec.submodule_search_locations:
        found = sorted(Path(root).glob("model/en-us/*.dict"))
        if found:
            return found[0]
    return None


@lru_cache(maxsize=1)
def _dictionary() -> dict[str, str]:
    """Word (lower case) to its first pronunciation as the file has it; empty where the wheel carries none."""
    path = _dictionary_path()
    if path is None:
        return {}
    lines = path.read_text(encoding="utf-8", errors="replace").split("\n")
    parts = (line.partition(" ") for line in lines)
    return {word: written for word, _, written in parts if written and "(" not in word}


def in_dictionary(word: str) -> Phones | None:
    """The phones of a word (lower case) that the dictionary has; of 130,000 words a talk asks for some hundred."""
    written = _dictionary().get(word)
    return tuple(p.rstrip("012") for p in written.split()) if written else None


_LETTERS: dict[str, Phones] = {
    "a": ("EY",), "b": ("B", "IY"), "c": ("S", "IY"), "d": ("D", "IY"), "e": ("IY",), "f": ("EH", "F"), "g": ("JH", "IY"),
    "h": ("EY", "CH"),
}  # fmt: skip
_DIGITS: dict[str, Phones] = {
    "1": ("W", "AH", "N"), "2": ("T", "UW"), "3": ("TH", "R", "IY"), "4": ("F", "AO", "R"), "5": ("F", "AY", "V"),
    "6": ("S", "IH", "K", "S"), "7": ("S", "EH", "V", "AH", "N"), "8": ("EY", "T"), "9": ("N", "AY", "N"),
    "0": ("Z", "IH", "R", "OW"),
}  # fmt: skip
# Longest first; enough for names and rare words, no more.
_RULES = [
    ("tion", "SH AH N"), ("ough", "OW"), ("igh", "AY"), ("tch", "CH"), ("sch", "SH"), ("ck", "K"), ("ch", "CH"), ("sh", "SH"),
    ("th", "TH"), ("ph", "F"), ("gh", "G"), ("kn", "N"), ("wr", "R"), ("qu", "K W"), ("ng", "NG"), ("ee", "IY"), ("ea", "IY"),
    ("oo", "UW"), ("ou", "AW"), ("ow", "OW"), ("ai", "EY"), ("ay", "EY"), ("ei", "AY"), ("ie", "IY"), ("oa", "OW"), ("au", "AO"),
    ("aw", "AO"), ("oi", "OY"), ("oy", "OY"), ("eu", "OY"), ("er", "ER"), ("ir", "ER"), ("ur", "ER"), ("or", "AO R"),
    ("ar", "AA R"), ("x", "K S"), ("a", "AE"), ("b", "B"), ("c", "K"), ("d", "D"), ("e", "EH"), ("f", "F"), ("g", "G"),
    ("h", "HH"), ("i", "IH"), ("j", "JH"), ("k", "K"), ("l", "L"), ("m", "M"), ("n", "N"), ("o", "AA"), ("p", "P"), ("q", "K"),
    ("r", "R"), ("s", "S"), ("t", "T"), ("u", "AH"), ("v", "V"), ("w", "W"), ("y", "IY"), ("z", "Z"),
]  # fmt: skip


@lru_cache(maxsize=20000)
def phones(word: str) -> Phones:
    """The phones of one word (any case); squares and digits as spoken; by rule where no dictionary has it."""
    word = word.lower().replace("’", "'").strip('.,;:!?"()[]')
    if word in _LETTERS and word != "a":
        return _LETTERS[word]
    if word == "a":
        return ("AH",)
    known = in_dictionary(word)
    if known:
        return known
    if re.fullmatch(r"[a-h]?[0-9]+", word):
        return tuple(p for ch in word for p in (_LETTERS.get(ch) or _DIGITS[ch]))
    if word.endswith("'s") and (stem := in_dictionary(word[:-2])):
        return (*stem, "Z")
    return spell_phones(word)


def spell_phones(word: str) -> Phones:
    """Phones by letter rules alone."""
    found: list[str] = []
    word = re.sub(
        r"(.)\1", r"\1", re.sub(r"[^a-z]", "", word.lower().replace("é", "e").replace("ü", "u").replace("ö", "o"))
    )
    if len(word) > 3 and word.endswith("e"):
        word = word[:-1]
    at = 0
    while at < len(word):
        for letters, sounds in _RULES:
            if word.startswith(letters, at):
                found.extend(sounds.split())
                at += len(letters)
                break
        else:
            at += 1
    return tuple(found)


def letter_phones(letter: str) -> Phones:
    """A file letter as spoken."""
    return _LETTERS[letter]


def digit_phones(digit: str) -> Phones:
    """A rank digit as spoken."""
    return _DIGITS[digit]


SQUARE_PHONES: dict[str, Phones] = {f + r: _LETTERS[f] + _DIGITS[r] for f in "abcdefgh" for r in "12345678"}

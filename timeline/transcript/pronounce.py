"""How a written word is said: spoken form, then phones (ARPAbet without stress).

The dictionary is the US-English one that the pocketsphinx wheel carries (the
CMU Pronouncing Dictionary); what it lacks is built from its stems or spelled
out by letter rules. Chess notation is said as players say it: "e4" is "e
four", "Nxe5+" is "knight takes e five check".
"""

from __future__ import annotations

import importlib.util
import re
import unicodedata
from functools import lru_cache
from itertools import islice, product
from pathlib import Path

Phones = tuple[str, ...]

VOWELS = frozenset("AA AE AH AO AW AY EH ER EY IH IY OW OY UH UW".split())

_ONES = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen "
    "eighteen nineteen"
).split()
_TENS = ["", "", "twenty", "thirty", "forty", "fifty", "sixty", "seventy", "eighty", "ninety"]
_PIECES = {"K": "king", "Q": "queen", "R": "rook", "B": "bishop", "N": "knight"}
_SAN = re.compile(r"([KQRBN])?([a-h])?([1-8])?([x:])?([a-h][1-8])(?:=?([QRBN]))?([+#]*)")
_CASTLE = re.compile(r"[Oo0]-[Oo0](-[Oo0])?[+#]*")
_SIGNS = {
    "&": "and",
    "=": "equals",
    "%": "percent",
    "@": "at",
    "$": "dollars",
    "€": "euros",
    "£": "pounds",
    "+": "plus",
}
_ORDINALS = {
    "1st": "first", "2nd": "second", "3rd": "third", "4th": "fourth", "5th": "fifth", "6th": "sixth", "7th": "seventh",
    "8th": "eighth", "9th": "ninth", "10th": "tenth", "11th": "eleventh", "12th": "twelfth", "20th": "twentieth",
}  # fmt: skip

# File letters by name; "a" as a letter is never the article.
_LETTERS: dict[str, str] = {
    "a": "EY", "b": "B IY", "c": "S IY", "d": "D IY", "e": "IY", "f": "EH F", "g": "JH IY", "h": "EY CH", "i": "AY",
    "j": "JH EY", "k": "K EY", "l": "EH L", "m": "EH M", "n": "EH N", "o": "OW", "p": "P IY", "q": "K Y UW",
    "r": "AA R", "s": "EH S", "t": "T IY", "u": "Y UW", "v": "V IY", "w": "D AH B AH L Y UW", "x": "EH K S",
    "y": "W AY", "z": "Z IY",
}  # fmt: skip

# Letters to sounds, longest first. A small set: for names and rare words, where a rough guess aligns well enough.
_RULES: list[tuple[str, str]] = [
    ("tion", "SH AH N"), ("sion", "ZH AH N"), ("ough", "OW"), ("augh", "AO"), ("eigh", "EY"), ("cque", "K"),
    ("igh", "AY"), ("tch", "CH"), ("sch", "SH"), ("dge", "JH"), ("que", "K"), ("eau", "OW"), ("sky", "S K IY"),
    ("ski", "S K IY"), ("cia", "SH AH"), ("tia", "SH AH"), ("ck", "K"), ("ch", "CH"), ("sh", "SH"), ("th", "TH"),
    ("ph", "F"), ("gh", "G"), ("kn", "N"), ("gn", "N"), ("wr", "R"), ("wh", "W"), ("qu", "K W"), ("ng", "NG"),
    ("nk", "NG K"), ("sc", "S K"), ("ee", "IY"), ("ea", "IY"), ("oo", "UW"), ("ou", "AW"), ("ow", "OW"), ("ai", "EY"),
    ("ay", "EY"), ("ei", "AY"), ("ie", "IY"), ("ey", "IY"), ("oa", "OW"), ("au", "AO"), ("aw", "AO"), ("oi", "OY"),
    ("oy", "OY"), ("eu", "OY"), ("ew", "UW"), ("ue", "UW"), ("er", "ER"), ("ir", "ER"), ("ur", "ER"), ("or", "AO R"),
    ("ar", "AA R"), ("ce", "S EH"), ("ci", "S IH"), ("cy", "S IY"), ("ge", "JH EH"), ("x", "K S"), ("a", "AE"),
    ("b", "B"), ("c", "K"), ("d", "D"), ("e", "EH"), ("f", "F"), ("g", "G"), ("h", "HH"), ("i", "IH"), ("j", "JH"),
    ("k", "K"), ("l", "L"), ("m", "M"), ("n", "N"), ("o", "AA"), ("p", "P"), ("q", "K"), ("r", "R"), ("s", "S"),
    ("t", "T"), ("u", "AH"), ("v", "V"), ("w", "W"), ("y", "IY"), ("z", "Z"),
]  # fmt: skip
_LONGEST = 80
"""Letters of a word that are said; longer ones are slips of a file, not words."""
_VOICELESS = frozenset("P T K F TH S SH CH".split())
_SIBILANT = frozenset("S Z SH ZH CH JH".split())


def model_folder() -> Path | None:
    """The folder of the US-English model that the pocketsphinx wheel carries."""
    spec = importlib.util.find_spec("pocketsphinx")
    for root in (spec.submodule_search_locations or []) if spec else []:
        folder = Path(root, "model", "en-us")
        if folder.is_dir():
            return folder
    return None


@lru_cache(maxsize=1)
def dictionary() -> dict[str, tuple[Phones, ...]]:
    """Word (lower case) to its pronunciations, commonest first; empty where there is no dictionary."""
    folder = model_folder()
    found: dict[str, tuple[Phones, ...]] = {}
    for path in sorted(folder.glob("*.dict"))[:1] if folder else []:
        for row in path.read_text(encoding="utf-8", errors="replace").split("\n"):
            word, _, sounds = row.partition(" ")
            if sounds:
                word = word.partition("(")[0] or word
                found[word] = (*found.get(word, ()), tuple(sounds.split()))
    return found


def say_number(digits: str) -> list[str]:
    """The words of a whole number; four digits from 1100 to 1999 as a year.

    >>> say_number("1851"), say_number("42"), say_number("2026")
    (['eighteen', 'fifty', 'one'], ['forty', 'two'], ['two', 'thousand', 'twenty', 'six'])
    """
    if len(digits) > 9 or (digits.startswith("0") and len(digits) > 1):
        return [_ONES[int(d)] for d in digits[:30]]
    value = int(digits)
    if 1100 <= value <= 1999:
        head, rest = divmod(value, 100)
        tail = ["hundred"] if rest == 0 else (["oh", _ONES[rest]] if rest < 10 else _small(rest))
        return _small(head) + tail
    words: list[str] = []
    for size, name in ((1_000_000, "million"), (1000, "thousand")):
        if value >= size:
            words += [*_small(value // size), name]
            value %= size
    return words + (_small(value) if value or not words else [])


def _small(value: int) -> list[str]:
    words = []
    if value >= 100:
        words = [_ONES[value // 100], "hundred"]
        value %= 100
        if not value:
            return words
    if value < 20:
        return [*words, _ONES[value]]
    return [*words, _TENS[value // 10], *([_ONES[value % 10]] if value % 10 else [])]


@lru_cache(maxsize=20_000)
def spoken(text: str) -> tuple[str, ...]:
    """The words that a written word is said as, lower case; one letter alone before a digit is marked ``e.``.

    >>> spoken("Nxe5+"), spoken("f-file"), spoken("O-O"), spoken("e4,"), spoken("knight's")
    (('knight', 'takes', 'e.', 'five', 'check'), ('f.', 'file'), ('castles',), ('e.', 'four'), ("knight's",))
    """
    core = unicodedata.normalize("NFKC", text[:_LONGEST]).replace("’", "'").replace("‘", "'")
    core = core.strip("\"'“”«»()[]{}….,;:!?–—-*_")
    if _CASTLE.fullmatch(core):
        return ("castles", "queenside") if len(core.rstrip("+#")) > 3 else ("castles",)
    move = _SAN.fullmatch(core)
    if move:
        return tuple(_say_move(move))
    said: list[str] = []
    for part in re.findall(r"[A-Za-zÀ-ɏ']+|\d+(?:st|nd|rd|th)\b|\d+|[&=%@$€£+]|[^\W\d_]+", core):
        low = part.lower()
        if low in _ORDINALS:
            said.append(_ORDINALS[low])
        elif part[0].isdecimal():
            said += say_number("".join(str(int(c)) for c in part if c.isdecimal()))
        elif part in _SIGNS:
            said.append(_SIGNS[part])
        elif len(low) == 1 and len(core) > 1:
            said.append(low + ".")
        elif low.strip("'"):
            said.append(low.strip("'") if not low.endswith("s'") else low)
    return tuple(said)


def _say_move(move: re.Match[str]) -> list[str]:
    piece, file, rank, takes, square, promoted, marks = move.groups()
    said = [_PIECES[piece]] if piece else []
    said += [file + "."] if file else []
    said += [_ONES[int(rank)]] if rank else []
    said += ["takes"] if takes else []
    said += [square[0] + ".", _ONES[int(square[1])]]
    said += [_PIECES[promoted]] if promoted else []
    if "#" in marks:
        said.append("mate")
    elif "+" in marks:
        said.append("check")
    return said


@lru_cache(maxsize=50_000)
def ways(word: str) -> tuple[Phones, ...]:
    """The pronunciations of one spoken word (as ``spoken`` gives it), commonest first; never empty."""
    if len(word) == 2 and word[1] == "." and word[0] in _LETTERS:
        return (tuple(_LETTERS[word[0]].split()),)
    word = word.strip(".'")
    known = dictionary().get(word)
    if known:
        return known
    if len(word) == 1 and word in _LETTERS:
        return (tuple(_LETTERS[word].split()),)
    return _from_stem(word) or (by_letters(word),)


def _from_stem(word: str) -> tuple[Phones, ...]:
    """Plural, possessive and past forms of words that the dictionary holds, and two of its words run together."""
    known = dictionary()
    for ending in ("'s", "s'", "es", "s"):
        stem = known.get(word[: -len(ending)]) if word.endswith(ending) and len(word) > len(ending) + 1 else None
        if stem:
            return tuple((*p, *_plural(p)) for p in stem)
    for ending, sounds in (("ing", ("IH", "NG")), ("ed", ("D",)), ("er", ("ER",)), ("ly", ("L", "IY"))):
        if word.endswith(ending) and len(word) > len(ending) + 2:
            bare = word[: -len(ending)]
            stem = (
                known.get(bare) or known.get(bare + "e") or (known.get(bare[:-1]) if bare[-1:] == bare[-2:-1] else None)
            )
            if stem:
                return tuple((*p, *sounds) for p in stem)
    for cut in range(len(word) - 3, 2, -1):
        if (first := known.get(word[:cut])) and (second := known.get(word[cut:])):
            return ((*first[0], *second[0]),)
    return ()


def _plural(phones: Phones) -> Phones:
    if phones[-1] in _SIBILANT:
        return ("IH", "Z")
    return ("S",) if phones[-1] in _VOICELESS else ("Z",)


def by_letters(word: str) -> Phones:
    """Phones by letter rules alone; a neutral vowel where no rule finds any."""
    folded = unicodedata.normalize("NFKD", word.lower().replace("ß", "ss").replace("ø", "o").replace("ł", "l"))
    letters = re.sub(r"(.)\1", r"\1", re.sub(r"[^a-z]", "", folded))
    if len(letters) > 3 and letters[-1] == "e" and letters[-2] not in "aeiouc":
        letters = letters[:-1]
    found: list[str] = []
    at = 0
    while at < len(letters):
        pattern, sounds = next(r for r in _RULES if letters.startswith(r[0], at))
        found += sounds.split()
        at += len(pattern)
    return tuple(found) or ("AH",)


@lru_cache(maxsize=50_000)
def pronunciations(text: str, most: int = 4) -> tuple[Phones, ...]:
    """The likeliest ways (at most ``most``) to say a written word, all its spoken words run together."""
    parts = [ways(w) for w in spoken(text)]
    if not parts:
        return (("AH",),)
    # The product's first entries vary the last parts only; enough, since nearly all words have one part.
    joined = dict.fromkeys(tuple(p for part in choice for p in part) for choice in islice(product(*parts), most))
    return tuple(joined)

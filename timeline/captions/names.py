"""Proper names that the lesson, the score and its opening prove: heard in pieces or as common words, written right."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from unicodedata import combining, normalize

from timeline.captions.corrections import Kind, Pad
from timeline.captions.english import BEGIN, is_square, name_gain
from timeline.captions.everyday import CHESS, is_plain
from timeline.captions.language import ENGLISH
from timeline.checks.openings import is_opening, lines_of, opening_names
from timeline.follow.phonetics import Phones, alikeness, phones, substitution
from timeline.follow.players import ROLES
from timeline.score import Score

_MOST_WORDS = 4
# The longer a name, the less often other words come near it by chance: limit of alikeness by number of phones.
_ALIKE = {5: 0.17, 6: 0.26, 7: 0.3, 8: 0.38, 9: 0.42}
_ALIKE_LONG = 0.48
_AFTER_FIRST = 0.3  # where the first name was heard right
_SAME_START = 0.4
# Several words that are nothing in plain English and would be likelier as a name may sound less alike. Chosen on splits of
# 40 names into common words: 134 of 228 put right, 65 without this; in 118,000 words of right talk nothing is taken for
# any of six such names.
_ODD_ALIKE = {7: 0.42, 8: 0.5}
_ODD_ALIKE_LONG, _ODD_LEAST = 0.52, 7
_LEAST_GAIN, _ODD_GAIN, _VERY_ODD_GAIN = 2.0, 4.0, 20.0  # natural log
_VERY_ODD = 0.15  # more, for what plain English would all but never hold ("drow go shells")
# Surnames that are everyday words: written with a capital only where the transcript has it.
_EVERYDAY = frozenset(
    "winter short fine long young king knight bishop black white brown green gray grey rose day may march west east north south "
    "best bird fox wolf lamb love loveless little rook pawn queen stone wood woods field fields hill hills banks price rich hope "
    "will grant mark bill rob pat sue art frank drew chase hunter fisher cook baker miller porter page read reed swift sharp "
    "strong wise good power marshall burn case game castle mate check moon sun star summer".split()
)
_PLAIN_IN_OPENINGS = frozenset(
    "kings queens game defense defence attack gambit countergambit exchange four three two knights pawn pawns open closed variation system "
    "wall opening bishop bishops king queen king's queen's bishop's knight's bird bird's dragon modern orthodox classical "
    "accepted declined accelerated hyperaccelerated center centre advance main line piano giuoco guioco hippo hedgehog "
    "stonewall semi-open semi-closed double single flank half-open accelerated hippopotamus reversed anti".split()
)


_NO_NAMES = ENGLISH.articles | ENGLISH.prepositions | ENGLISH.pronouns | ENGLISH.conjunctions  # "The Doctor"


@dataclass(frozen=True, slots=True)
class Name:
    """A name as it is written, its words as a transcript may have them, how it sounds, and what proves it.

    One that is not said as English would say it stands in the list twice, once for each sound.
    """

    written: str
    words: tuple[str, ...]
    sound: Phones
    reason: str
    kind: Kind


def known_names(names: Iterable[str], score: Score | None) -> list[Name]:
    """Names of the lesson file, of the score's players (whole, and each part), and of the opening on the board."""
    found: dict[str, Name] = {}
    others: list[Name] = []

    def add(written: str, reason: str, kind: Kind) -> None:
        words = tuple(w.lower().replace("’", "'") for w in written.split())
        if not words or all(w in ROLES for w in words) or written in found:
            return
        plain = tuple(map(without_accents, words))
        found[written] = Name(written, words, _sound(plain), reason, kind)
        abroad = _sound(tuple(re.sub("[ae]j", lambda m: "igh" if m[0] == "aj" else "ay", w).replace("j", "y") for w in plain))
        if plain != words or abroad != found[written].sound:
            others.append(Name(written, plain, abroad, reason, kind))

    for name in names:
        for form in _forms(name):
            add(form, "a name in the lesson file", "name")
    if score is not None:
        for tag in ("White", "Black"):
            player = score.header(tag)
            if player:
                for form in _forms(player):
                    add(form, f"the score: {tag} is {player}", "name")
        for opening in opening_names():
            proper = [w for w in opening.split() if w not in _PLAIN_IN_OPENINGS and len(w) > 3]
            if proper and _is_played(opening, score):
                for word in proper:
                    add(_title(word), f"the opening: {opening}", "opening")
    return sorted([*found.values(), *others], key=lambda n: (-len(n.sound), n.written))


_ACCENTS = str.maketrans({"ø": "o", "ł": "l", "đ": "d", "ð": "d", "þ": "th", "ß": "ss", "æ": "ae", "œ": "oe", "ı": "i"})


def without_accents(word: str) -> str:
    """A lower-case word in plain letters, as recognisers write foreign names.

    >>> without_accents("štěpánka"), without_accents("łącki")
    ('stepanka', 'lacki')
    """
    if word.isascii():
        return word
    return "".join(c for c in normalize("NFKD", word.translate(_ACCENTS)) if not combining(c))


def _sound(words: Iterable[str]) -> Phones:
    return tuple(p for word in words for part in word.split("-") for p in phones(part))


def _is_played(opening: str, score: Score) -> bool:
    """Whether the game begins with the opening's moves, whatever their order: no more plies than it has, and one to spare."""
    plies = max(len(line.removeprefix("1. ").split()) for line in lines_of(opening)) + 1
    return bool(is_opening(opening, score.moves[:plies], start=score.start))


def _forms(name: str) -> list[str]:
    """ "Last, First Middle" and "First Last" as they are spoken: the surname, the first name, both together."""
    if "," in name:
        last, _, first = (part.strip() for part in name.partition(","))
    else:
        parts = name.split()
        last, first = (parts[-1], " ".join(parts[:-1])) if parts else ("", "")
    firsts = [f for f in first.split() if len(f.strip(".")) > 1 and not f[0].islower() and f.lower() not in _NO_NAMES]
    if {w.lower() for w in (last, *firsts)} & ROLES:
        return []
    forms = [last, *firsts, *(f"{f} {last}" for f in firsts[:1])]
    if len(firsts) > 1:
        forms.append(f"{' '.join(firsts)} {last}")
    return [f for f in forms if len(f) > 1]


def _title(word: str) -> str:
    return "-".join(part[:1].upper() + part[1:] for part in word.split("-"))


def proper_openings() -> dict[str, str]:
    """Lower-case words that are proper names in openings ("sicilian") to how they are written."""
    words = {word for name in opening_names() for word in name.split()}
    return {w: _title(w) for w in words if w not in _PLAIN_IN_OPENINGS and len(w) > 3}


def name_pairs(names: Sequence[Name]) -> frozenset[tuple[str, str]]:
    """Neighbouring words that belong to one name."""
    return frozenset(pair for n in names for pair in zip(n.words, n.words[1:], strict=False))


def from_names(pad: Pad, names: Sequence[Name], *, restore_case: bool, english: bool = True) -> None:
    """Names heard as other words, or without their capital. ``english``: plain English may judge what the words say."""
    exact = {n.words: n for n in names}
    openings = proper_openings()
    longest = max((len(n.words) for n in names), default=1)
    starts: dict[str, list[Name]] = {}
    proven: dict[str, Name] = {}
    for k, word in enumerate(pad.cores):
        if not word or pad.held[k]:
            continue
        heard = _after_first_name(pad, names, k)
        if heard:
            surname, whole = heard
            if not is_plain(surname):
                proven[surname] = exact.get(whole.words[-1:], whole)
            pad.change(
                k, k + 1, whole.written + ("'s" if pad.cores[k + 1] != surname else ""), whole.reason, whole.kind
            )
            continue
        if _exact(pad, exact, longest, k, restore_case):
            continue
        if restore_case and word in openings:
            pad.change(k, k, openings[word], "the name of an opening", "opening")
            continue
        sound = phones(word)
        if not sound:
            continue
        if sound[0] not in starts:
            starts[sound[0]] = [
                n for n in names if len(n.sound) >= 5 and substitution(n.sound[0], sound[0]) <= _SAME_START
            ]
        if starts[sound[0]]:
            _alike(pad, starts[sound[0]], k, english)
    for k, word in enumerate(pad.cores):
        name = proven.get(word.removesuffix("'s"))
        if name and len(name.words) == 1 and not pad.held[k]:
            pad.change(k, k, name.written + ("'s" if word.endswith("'s") else ""), name.reason, name.kind)


def _after_first_name(pad: Pad, names: Sequence[Name], k: int) -> tuple[str, Name] | None:
    """What is misheard after a first name (or first part of a name) heard right, which proves it: as heard, and the whole.

    Everyday words only where they sound the very same, after what is none ("caro can").
    """
    if k + 1 >= len(pad.cores) or not pad.free(k, k + 1) or pad.ends[k]:
        return None
    surname = pad.cores[k + 1].removesuffix("'s")
    if not surname or (is_plain(surname) and is_plain(pad.cores[k])):
        return None
    limit = 0.0 if is_plain(surname) else _AFTER_FIRST
    for name in names:
        parts = re.split("[ -]", " ".join(name.words))
        if len(parts) == 2 and parts[0] == pad.cores[k] and parts[1] != surname:
            if _alikeness(phones(surname), phones(parts[1])) <= limit:
                return surname, name
    return None


def _exact(pad: Pad, exact: dict[tuple[str, ...], Name], longest: int, k: int, restore_case: bool) -> bool:
    """A name heard right: hold it, and give it its capital where the transcript has none."""
    for length in range(min(longest, len(pad.cores) - k), 0, -1):
        words = tuple(pad.cores[k : k + length])
        stem = words if words in exact else (*words[:-1], words[-1].removesuffix("'s"))
        name = exact.get(stem)
        if name is None or not pad.free(k, k + length - 1):
            continue
        last = k + length - 1
        plainly = " ".join(stem) != name.written.lower().replace("’", "'")  # without its accents
        if plainly or (restore_case and not (length == 1 and stem[0] in _EVERYDAY)):
            ending = "'s" if stem != words else ""
            pad.change(k, last, name.written + ending, name.reason, name.kind)
        pad.hold(k, last)
        return True
    return False


_alikeness = lru_cache(maxsize=50_000)(alikeness)  # talks say the same few words again and again


def _alike(pad: Pad, names: Sequence[Name], k: int, english: bool) -> None:
    """The name that the next one to four words sound like, if any does closely enough."""
    best: tuple[float, int, Name] | None = None
    sound: Phones = ()
    for length in range(1, _MOST_WORDS + 1):
        last = k + length - 1
        if last >= len(pad.cores) or pad.held[last] or not pad.cores[last] or (length > 1 and pad.ends[last - 1]):
            break
        core = pad.cores[last]
        sound += phones(core.removesuffix("'s") if core.endswith("'s") else core)
        for name in names:
            if abs(len(sound) - len(name.sound)) > 3:
                continue
            if length > 1 and core == name.words[-1] and is_plain(pad.cores[k]):
                continue  # "here Morphy": the surname is right, and the word before it a word of its own
            if length > 1 and len(name.words) == 1 and name.words[0] in pad.cores[k : last + 1]:
                continue  # the name itself among its neighbours ("the Scandinavian I")
            alike = _alikeness(sound, name.sound)
            if (best is None or alike < best[0] - 0.02 * length) and _is_near(pad, k, last, name, alike, english):
                best = (alike, last, name)
    if best:
        _, last, name = best
        surname = _surname(pad, names, name, last)
        if surname:
            last, name = last + 1, surname
        ending = "'s" if pad.cores[last].endswith("'s") else ""
        pad.change(k, last, name.written + ending, name.reason, name.kind)


def _is_near(pad: Pad, k: int, last: int, name: Name, alike: float, english: bool) -> bool:
    """Whether words sound enough like a name for what they say at their place: several are plain English as they are
    ("again and"), or say little there, or nothing ("drow go shells")."""
    size = len(name.sound)
    near = alike <= _ALIKE.get(size, _ALIKE_LONG)
    if last == k or not english:
        return near
    limit = _ODD_ALIKE.get(size, _ODD_ALIKE_LONG)
    odd = size >= _ODD_LEAST and alike <= limit + _VERY_ODD
    # "Torre read it" is not the whole name of Torre Repetto: a part of it was heard right.
    odd = odd and not any(_is_of_chess(w) or w in name.words for w in pad.cores[k : last + 1])
    if not (near or odd):
        return False
    gain = _gain(pad, k, last)
    return (near and gain >= _LEAST_GAIN) or (odd and gain >= (_ODD_GAIN if alike <= limit else _VERY_ODD_GAIN))


def _is_of_chess(word: str) -> bool:
    return word.removesuffix("'s") in CHESS or is_square(word) or (len(word) == 1 and word not in "ai")


def _gain(pad: Pad, k: int, last: int) -> float:
    """How much likelier plain English is with a name in place of words ``k`` to ``last``."""
    before = pad.cores[max(0, k - 2) : k]
    if k and pad.ends[k - 1]:
        before = [BEGIN]
    elif k == 1 or (k > 1 and pad.ends[k - 2]):
        before = [BEGIN, *before[-1:]]
    after = [] if pad.ends[last] else pad.cores[last + 1 : last + 3]
    if len(after) == 2 and pad.ends[last + 1]:
        after = after[:1]
    return name_gain(before or [BEGIN], pad.cores[k : last + 1], after)


def _surname(pad: Pad, names: Sequence[Name], first: Name, last: int) -> Name | None:
    """The whole name where a misheard surname follows a first name that was misheard itself ("will helmina tarot")."""
    if len(first.words) != 1 or last + 1 >= len(pad.cores) or pad.ends[last] or pad.held[last + 1]:
        return None
    word = pad.cores[last + 1].removesuffix("'s")
    if not word or is_plain(word):
        return None
    whole = (n for n in names if len(n.words) == 2 and n.words[0] == first.words[0])
    return next((n for n in whole if _alikeness(phones(word), phones(n.words[1])) <= _AFTER_FIRST), None)

"""What was heard wrong and how it is put right: each change with its time, its reason and its evidence.

Sources of evidence, strongest first: the lesson's glossary (a person's word),
the followed moves (``followhearing.py``), names the lesson and the score give
(``names.py``), the table of hearings, and the board near the word
(``boardhearing.py``). A change never touches words that a stronger one holds.
The speaker's own words stay: a synonym ("horse", "captures") is not a
mis-hearing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

import chess

from timeline.captions.english import sets_phrase
from timeline.captions.everyday import CHESS, is_plain
from timeline.captions.hearing import Hearing, hearing_at
from timeline.captions.settings import Refusal
from timeline.captions.units import core, ends_clause, ends_sentence
from timeline.follow.phonetics import alikeness, phones
from timeline.follow.vocabulary import FILE_WORDS, PIECE_NAMES, RANK_WORDS
from timeline.transcript.words import Word

Kind = Literal["glossary", "move", "board", "name", "opening", "term", "spelling"]
"""``spelling``: no mis-hearing, only notation written as notation ("e four" as "e4")."""

_NEAR_MS = 700
_WHOLE_LIKE, _WHOLE_GAIN = (
    0.3,
    0.1,
)  # a hearing takes one more word in when its sound then is this near, and nearer by this
_BREATH_MS = 450
_LETTER = re.compile(
    r"[B-Hb-h][.,]?|[Aa][.,]"
)  # "D. five": taken for an initial; dictated letters are followed by a breath
_SIGNS = "+=*/<>|&~"  # written beside a word, they are not spoken in it
_SPELLED = re.compile(r"[a-h]", re.IGNORECASE)


@dataclass(frozen=True, slots=True)
class Correction:
    """Words ``first`` to ``last`` were heard as ``heard`` and are written as ``written``; times in recording ms."""

    at_ms: int
    end_ms: int
    first: int
    last: int
    heard: str
    written: str
    reason: str
    kind: Kind

    @property
    def mends_hearing(self) -> bool:
        return self.kind != "spelling"


class Pad:
    """Words under correction: changes laid over them, first come first kept."""

    def __init__(self, words: Sequence[Word]) -> None:
        self.words = words
        self.cores = [core(w.text).strip(_SIGNS) or core(w.text) for w in words]
        self.ends = [
            not _LETTER.fullmatch(w.text)
            and (
                ends_sentence(w.text)
                or ends_clause(w.text)
                or (k + 1 < len(words) and words[k + 1].onset_ms - w.end_ms >= _BREATH_MS)
            )
            for k, w in enumerate(words)
        ]
        self.held = [False] * len(words)
        self.found: list[Correction] = []

    def in_phrase(self, k: int) -> bool:
        """Whether word ``k`` and the next one are a phrase of everyday English ("night shift"): then it was heard right."""
        if self.ends[k] or k + 1 >= len(self.cores) or self.cores[k + 1] in CHESS:
            return False
        return sets_phrase(self.cores[k], self.cores[k + 1].removesuffix("'s"))

    def free(self, first: int, last: int) -> bool:
        return not any(self.held[first : last + 1])

    def hold(self, first: int, last: int) -> None:
        """Keep these words as they are against weaker evidence."""
        self.held[first : last + 1] = [True] * (last + 1 - first)

    def change(self, first: int, last: int, written: str, reason: str, kind: Kind) -> bool:
        """Lay a change over free words; False when they are not free or already read so.

        Words without a sound we know (another script, a sign) were not misheard; only the glossary may change them.
        """
        if not self.free(first, last) or (kind != "glossary" and any(map(_is_silent, self.cores[first : last + 1]))):
            return False
        heard = " ".join(w.text for w in self.words[first : last + 1])
        self.hold(first, last)
        if " ".join(self.cores[first : last + 1]) == written.lower() and not (
            kind in ("name", "glossary", "opening") and heard.strip(".,;:!?") != written
        ):
            if kind != "spelling" or core(heard) == heard.strip(".,;:!?…\"'”’)"):
                return False
        words = self.words
        self.found.append(
            Correction(words[first].onset_ms, words[last].end_ms, first, last, heard, written, reason, kind)
        )
        return True

    def mended(self) -> tuple[list[str], list[bool], list[int]]:
        """The talk as mended so far: each piece's core, whether a breath ends after it, and its first word."""
        by_first = {c.first: c for c in self.found}
        cores, ends, places = [], [], []
        k = 0
        while k < len(self.cores):
            change = by_first.get(k)
            last = change.last if change else k
            if change or self.cores[k]:
                cores.append(change.written.lower() if change else self.cores[k])
                ends.append(self.ends[last])
                places.append(k)
            elif ends:
                ends[-1] = ends[-1] or self.ends[k]
            k = last + 1
        return cores, ends, places


def _is_silent(word: str) -> bool:
    if word.isascii():
        return bool(word) and set(word) <= set(_SIGNS)
    return any(c.isalpha() for c in word) and not phones(word)


def refused(
    corrections: Iterable[Correction], refusals: Sequence[Refusal], words: Sequence[Word]
) -> tuple[list[Correction], list[Refusal]]:
    """The corrections that a person lets stand, and the refusals that met none.

    A phrase of the talk refuses whatever was corrected within it.
    """
    cores = [core(w.text) for w in words]
    spans = [_said(refusal.heard, cores) if refusal.heard else [] for refusal in refusals]
    kept, used = [], set()
    for correction in corrections:
        hit = [n for n, r in enumerate(refusals) if _meets(r, correction, spans[n], words)]
        used.update(hit)
        if not hit:
            kept.append(correction)
    return kept, [r for n, r in enumerate(refusals) if n not in used]


def _said(heard: str, cores: Sequence[str]) -> list[tuple[int, int]]:
    """First and last words of each place where a phrase is said."""
    phrase = _plain(heard).split()
    places = [k for k, word in enumerate(cores) if phrase and word == phrase[0]]
    return [(k, k + len(phrase) - 1) for k in places if list(cores[k : k + len(phrase)]) == phrase]


def _meets(refusal: Refusal, correction: Correction, spans: Sequence[tuple[int, int]], words: Sequence[Word]) -> bool:
    if refusal.heard is None or _plain(refusal.heard) == _plain(correction.heard):
        return _is_near(refusal, correction.at_ms, correction.end_ms)
    return any(
        first <= correction.first <= correction.last <= last
        and _is_near(refusal, words[first].onset_ms, words[last].end_ms)
        for first, last in spans
    )


def _is_near(refusal: Refusal, begin_ms: int, end_ms: int) -> bool:
    return refusal.at is None or begin_ms - _NEAR_MS <= refusal.at <= end_ms + _NEAR_MS


def _plain(text: str) -> str:
    return " ".join(core(word) for word in text.split())


# -- a person's glossary
def from_glossary(pad: Pad, glossary: dict[str, str]) -> None:
    """Phrases a person lists, heard to written, whatever the evidence says."""
    phrases = sorted(((_plain(k).split(), v) for k, v in glossary.items() if _plain(k)), key=lambda p: -len(p[0]))
    by_first: dict[str, list[tuple[list[str], str]]] = {}
    for phrase, written in phrases:
        by_first.setdefault(phrase[0], []).append((phrase, written))
    for k, word in enumerate(pad.cores):
        for phrase, written in by_first.get(word, ()):
            if pad.cores[k : k + len(phrase)] == phrase and pad.free(k, k + len(phrase) - 1):
                pad.change(k, k + len(phrase) - 1, written, "the lesson's glossary", "glossary")
                break


# -- the table
def from_hearings(pad: Pad) -> None:
    """Chess terms heard as common words, by their neighbours."""
    cores, ends, places = pad.mended()
    k = 0
    while k < len(cores):
        row = None if pad.held[places[k]] else hearing_at(cores, ends, k)
        if row:
            last = _whole(cores, ends, k + len(row.heard) - 1, row)
            written = _numbered(cores[k : last + 1], row)
            if not pad.in_phrase(places[last]) and pad.change(places[k], places[last], written, "a chess term, by the words around it", "term"):
                cores[k : last + 1] = [written]
                ends[k : last + 1] = [ends[last]]
                places[k : last + 1] = [places[k]]
        k += 1


def _whole(cores: Sequence[str], ends: Sequence[bool], last: int, row: Hearing) -> int:
    """The last word of a hearing: one more where only with it the sound is whole ("bish up" is a bishop)."""
    if " " in row.written or len(row.heard) > 1 or last + 1 >= len(cores) or ends[last] or cores[last + 1] in CHESS:
        return last
    said, heard, more = phones(row.written), phones(row.heard[0]), phones(cores[last + 1])
    return last + (alikeness(heard + more, said) < min(_WHOLE_LIKE, alikeness(heard, said) - _WHOLE_GAIN))


def _numbered(heard: Sequence[str], row: Hearing) -> str:
    """What a hearing stands for; the plural of a piece where the word that it took in says so ("bish ups" are bishops)."""
    if len(heard) == len(row.heard) or row.written not in PIECE_NAMES.values():
        return row.written
    sound = tuple(p for word in heard for p in phones(word))
    many = row.written + "s"
    return many if alikeness(sound, phones(many)) < alikeness(sound, phones(row.written)) else row.written


def spell_squares(pad: Pad) -> None:
    """Squares dictated letter by letter outside of moves: "e four" is written e4, "E4" is written e4.

    "bee tree" too: two words that each stand for a letter or a digit, and of
    which neither has a place in a talk otherwise.
    """
    words = pad.words
    for k, word in enumerate(pad.cores):
        if pad.held[k]:
            continue
        if word in chess.SQUARE_NAMES:
            pad.change(k, k, word, "notation written as notation", "spelling")
        elif k + 1 < len(words) and not pad.held[k + 1] and not pad.ends[k]:
            rank = RANK_WORDS.get(pad.cores[k + 1])
            if rank is None or counts(pad, k + 1):
                continue
            if _SPELLED.fullmatch(word) and rank[1] == 0 and word != "a":
                pad.change(k, k + 1, word + rank[0], "notation written as notation", "spelling")
            elif (
                word in FILE_WORDS
                and word not in ODD_NAMES
                and (not (is_plain(word) or is_plain(pad.cores[k + 1])) or _joins_square(pad, k))
            ):
                pad.change(
                    k, k + 1, FILE_WORDS[word][0] + rank[0], "it sounds like a square and like nothing else", "term"
                )


def _joins_square(pad: Pad, k: int) -> bool:
    """Whether a square and "and" or "or" stand before word ``k``: another square follows ("f7 and be seven")."""
    if k < 2 or pad.cores[k - 1] not in ("and", "or") or pad.ends[k - 1] or pad.ends[k - 2]:
        return False
    last = next((c for c in reversed(pad.found) if c.last == k - 2), None)
    return (last.written if last else pad.cores[k - 2])[-2:] in chess.SQUARE_NAMES


ODD_NAMES = frozenset("anna bella eva felix gustav hector david cesar charlie hotel golf delta echo bravo".split())
"""Spelling words that are names or words of their own."""
_OWNERS = frozenset("the this that my his her your our their".split())
_COUNTED = frozenset(
    "minute minutes second seconds hour hours day days week weeks month months year years time times move moves ply pieces pawns "
    "points checks more of good bad other others different things ways people players games rounds squares tempi tempos "
    "rating elo".split()
)


def counts(pad: Pad, k: int) -> bool:
    """Whether word ``k``, if a number, counts what follows it ("a five minute game"), or leads to a square ("d to e8")."""
    if k + 1 >= len(pad.cores) or pad.ends[k]:
        return False
    following = pad.cores[k + 1]
    if k and pad.cores[k] == "one" and (following == "more" or (k > 1 and pad.cores[k - 2] in _OWNERS)):
        return True  # "f and h, one more", "the c one"
    if k and pad.cores[k - 1] in ("b", "c", "d", "e", "f", "g", "h"):
        return pad.cores[k] in ("to", "for", "too") and _opens_square(pad, k + 1)
    if following in _COUNTED:
        return not (
            k > 1 and pad.cores[k - 2] in CHESS and pad.cores[k - 1] in FILE_WORDS
        )  # "rook be seven, pawns ...": a place, not a count
    return pad.cores[k] in ("to", "for", "too") and _opens_square(pad, k + 1)


def _opens_square(pad: Pad, k: int) -> bool:
    """Whether word ``k`` is a square, or a letter before a number."""
    after = pad.cores[k + 1] if k + 1 < len(pad.cores) else ""
    word = pad.cores[k]
    return word in chess.SQUARE_NAMES or (
        len(word) == 1 and word in FILE_WORDS and RANK_WORDS.get(after, ("", 1.0))[1] == 0
    )

"""What was heard wrong and how it is put right: each change with its time, its reason and its evidence.

Sources of evidence, strongest first: the lesson's glossary (a person's word),
the followed moves, the board near the word, names the lesson and the score
give, the opening's name, and the table of hearings. A change never touches
words that a stronger one holds. The speaker's own words stay: a synonym
("horse", "captures") is not a mis-hearing.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import Literal

import chess

from timeline.captions.everyday import CHESS, is_plain
from timeline.captions.hearing import hearing_at
from timeline.captions.settings import Refusal
from timeline.captions.units import core, ends_clause, ends_sentence
from timeline.follow.result import Follow, Token
from timeline.follow.vocabulary import FILE_WORDS, PIECE_NAMES, PIECE_WORDS, RANK_WORDS
from timeline.transcript.words import Word

Kind = Literal["glossary", "move", "board", "name", "opening", "term", "spelling"]
"""``spelling``: no mis-hearing, only notation written as notation ("e four" as "e4")."""

_NEAR_MS = 700
_BREATH_MS = 450
_SYNONYMS = frozenset(
    "horse horsey horsie horses steed lady tower castle monarch officer ladies towers castles royal".split()
)
_LETTERS_HEARD = frozenset("see sea si cee bee dee de gee ji jee aitch age ef eff ay".split())
_RANK_NAMES = frozenset("one two three four five six seven eight".split())
_RANK_SOUNDS = frozenset(RANK_WORDS) - {"to", "too", "for"}
_BEFORE_RANK = frozenset("the this these that they he she be a i see each to".split())
_LETTER = re.compile(r"[A-Ha-h]\.")  # "D. five": a letter that a recogniser took for an initial
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
        self.cores = [core(w.text) for w in words]
        self.ends = [
            (ends_sentence(w.text) and not _LETTER.fullmatch(w.text))
            or ends_clause(w.text)
            or (k + 1 < len(words) and words[k + 1].onset_ms - w.end_ms >= _BREATH_MS)
            for k, w in enumerate(words)
        ]
        self.held = [False] * len(words)
        self.found: list[Correction] = []

    def free(self, first: int, last: int) -> bool:
        return not any(self.held[first : last + 1])

    def hold(self, first: int, last: int) -> None:
        """Keep these words as they are against weaker evidence."""
        self.held[first : last + 1] = [True] * (last + 1 - first)

    def change(self, first: int, last: int, written: str, reason: str, kind: Kind) -> bool:
        """Lay a change over free words; False when they are not free or already read so."""
        if not self.free(first, last):
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


def refused(corrections: Iterable[Correction], refusals: Sequence[Refusal]) -> tuple[list[Correction], list[Refusal]]:
    """The corrections that a person lets stand, and the refusals that met none."""
    kept, used = [], set()
    for correction in corrections:
        hit = [n for n, r in enumerate(refusals) if _meets(r, correction)]
        used.update(hit)
        if not hit:
            kept.append(correction)
    return kept, [r for n, r in enumerate(refusals) if n not in used]


def _meets(refusal: Refusal, correction: Correction) -> bool:
    if refusal.at is not None and not correction.at_ms - _NEAR_MS <= refusal.at <= correction.end_ms + _NEAR_MS:
        return False
    if refusal.heard is None:
        return True
    return _plain(refusal.heard) == _plain(correction.heard)


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


# -- followed moves
def from_follow(pad: Pad, follow: Follow) -> None:
    """Hearings that the followed moves prove wrong, and squares spelled out."""
    for reading in follow.readings:
        tokens = [t for t in reading.tokens if 0 <= t.first <= t.last < len(pad.words)]
        for n, token in enumerate(tokens):
            square = token.written if token.written in chess.SQUARE_NAMES else None
            if not token.mended:
                heard = pad.cores[token.first : token.last + 1]
                if square and heard != [square]:
                    pad.change(token.first, token.last, square, "notation written as notation", "spelling")
                else:
                    pad.hold(token.first, token.last)
                continue
            free_from = tokens[n - 1].last + 1 if n else 0
            named = reading.played and n > 0
            found = _mended_token(pad, token, square, free_from, named=named, told=named and pad.ends[token.last])
            if found:
                first, written = found
                move = f"the board: {reading.san}" if reading.san else "the position on the board"
                pad.change(first, token.last, written, move, "move")


def _mended_token(
    pad: Pad, token: Token, square: str | None, free_from: int, *, named: bool, told: bool
) -> tuple[int, str] | None:
    """Where the hearing begins and what it stands for; None where the follower reads too much into it.

    ``named``: the move was played and its piece or capture is named before.
    ``told``: the phrase ends here as well; only then a word that makes sense of its own is
    taken for a square ("bishop before").
    """
    heard = pad.cores[token.first : token.last + 1]
    if len(heard) == 1 and (heard[0] in _SYNONYMS or heard[0] in PIECE_NAMES.values()):
        return None
    if len(token.written) == 1:  # a file's letter: pronouns and conjunctions stay what they are
        return (token.first, token.written) if heard[0] in _LETTERS_HEARD else None
    if square:
        if any(word in PIECE_NAMES.values() for word in heard):
            return None  # "queen three": the speaker's own way to name a square
        literal = literal_square(heard)
        if literal:
            return token.first, literal
        sure = (
            len(heard) > 1
            and not set(heard) & CHESS
            and (heard[-1] in _RANK_NAMES or (named and heard[-1] in _RANK_SOUNDS))
        )
        if all(is_plain(word) for word in heard) and not sure and not (told and len(heard) == 1):
            return None
        first = token.first
        if len(heard) == 1 and heard[0] in RANK_WORDS and first > free_from and pad.cores[first - 1] in _BEFORE_RANK:
            if not pad.ends[first - 1]:
                first -= 1  # "the five": the letter was heard as a little word
        return first, square
    return token.first, inflected(" ".join(heard), token.written)


def literal_square(heard: Sequence[str]) -> str | None:
    """The square that two words spell by their sound ("see six"), or one with a digit ("c 6")."""
    if len(heard) != 2 or heard[0] not in FILE_WORDS or heard[1] not in RANK_WORDS:
        return None
    (file, _), (rank, _) = FILE_WORDS[heard[0]], RANK_WORDS[heard[1]]
    return file + rank


def inflected(heard: str, written: str) -> str:
    """A piece's name in the number and case in which it was heard ("rocks" are rooks)."""
    if written not in PIECE_NAMES.values():
        return written
    if heard.endswith("'s"):
        return written + "'s"
    if heard.endswith("s") and heard[:-1] in PIECE_WORDS:
        return written + "s"
    return written


# -- the table
def from_hearings(pad: Pad) -> None:
    """Chess terms heard as common words, by their neighbours."""
    cores, ends, places = pad.mended()
    k = 0
    while k < len(cores):
        row = None if pad.held[places[k]] else hearing_at(cores, ends, k)
        if row:
            last = k + len(row.heard) - 1
            if pad.change(places[k], places[last], row.written, "a chess term, by the words around it", "term"):
                cores[k : last + 1] = [row.written]
                ends[k : last + 1] = [ends[last]]
                places[k : last + 1] = [places[k]]
        k += 1


def spell_squares(pad: Pad) -> None:
    """Squares dictated letter by letter outside of moves: "e four" is written e4, "E4" is written e4."""
    words = pad.words
    for k, word in enumerate(pad.cores):
        if pad.held[k]:
            continue
        if word in chess.SQUARE_NAMES:
            pad.change(k, k, word, "notation written as notation", "spelling")
        elif _SPELLED.fullmatch(word) and k + 1 < len(words) and not pad.held[k + 1]:
            rank = RANK_WORDS.get(pad.cores[k + 1])
            if rank and rank[1] == 0 and not pad.ends[k] and word != "a" and not pad.held[k + 1]:
                pad.change(k, k + 1, word + rank[0], "notation written as notation", "spelling")

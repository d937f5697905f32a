"""How near stretches of a talk come to the sound of chess words and squares, for all stretches at once.

The distance is that of ``follow.phonetics`` (weighted edits of phones), but
for the sounds of "th", worked out over arrays: a talk of an hour has tens of thousands of stretches, each
compared with all squares and with each piece before them.
"""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from timeline.follow.phonetics import Phones, digit_phones, gap, letter_phones, phones, substitution

Grid = NDArray[np.float32]
Ints = NDArray[np.int32]

FAR = 99.0
_SLACK = 2  # phones that a stretch may have more than the unit it stands for
_PHONES = "AA AE AH AO AW AY B CH D DH EH ER EY F G HH IH IY JH K L M N NG OW OY P R S SH T TH UH UW V W Y Z ZH".split()
# Little words have two sounds: "the" before a pause, "a" when stressed; the nearer one counts.
_EITHER = {"the": ("DH", "AH+IY"), "a": ("AH+EY",), "to": ("T", "UW+AH"), "for": ("F", "AO+ER", "R")}
_ALPHABET = [*_PHONES, "AH+IY", "AH+EY", "UW+AH", "AO+ER", ""]
_CODE = {phone: n for n, phone in enumerate(_ALPHABET)}
_END = _CODE[""]
_FILES, _RANKS = "abcdefgh", "12345678"
SQUARES = tuple(f + r for f in _FILES for r in _RANKS)


def heard_phones(word: str) -> Phones:
    """Phones of a heard word, little ones with both their vowels."""
    return _EITHER.get(word) or phones(word)


# "The" is what recognisers write for a dictated "d": th-stopping, known of many accents of English (Wells 1982), and what
# the ear confuses most among fricatives (Miller and Nicely 1955).
_STOPPED = {frozenset(("DH", "D")): 0.15, frozenset(("TH", "T")): 0.2, frozenset(("DH", "V")): 0.15}
_STOPPED[frozenset(("TH", "F"))] = 0.1


def _swap(heard: str, said: str) -> float:
    cost = substitution(heard, said)
    return min(cost, _STOPPED.get(frozenset((heard, said)), cost))


@lru_cache(maxsize=1)
def _costs() -> tuple[Grid, Grid]:
    """Of each heard phone: the cost of standing for each said one, and of standing for nothing."""
    swap = np.zeros((len(_ALPHABET), len(_ALPHABET)), np.float32)
    lost = np.zeros(len(_ALPHABET), np.float32)
    for n, heard in enumerate(_ALPHABET):
        ways = heard.split("+") if heard else []
        lost[n] = min((gap(way) for way in ways), default=FAR)
        for m, said in enumerate(_ALPHABET):
            swap[n, m] = min((_swap(way, said) for way in ways), default=FAR)
    return swap, lost


class SoundGrid:
    """The phones of a talk, word after word, and their distances from units (letters, digits, words).

    ``wanted[k]``: word ``k`` is asked about; of the others no distances are worked out.
    """

    def __init__(self, words: Sequence[str], wanted: Sequence[bool]) -> None:
        stream: list[int] = []
        starts: list[int] = []
        for word in words:
            starts.append(len(stream))
            stream += [_CODE.get(p, _END) for part in word.split() for p in heard_phones(part)]
        starts.append(len(stream))
        self.starts: Ints = np.array(starts, np.int32)
        self._stream = np.array(stream + [_END] * 24, np.int32)
        asked = np.repeat(np.array(wanted, bool), np.diff(self.starts))
        places = np.flatnonzero(asked).astype(np.int32)
        self._row = np.zeros(len(stream) + 1, np.int32)
        self._row[places] = np.arange(len(places))
        self._letters = self.units([letter_phones(f) if f != "a" else ("EY",) for f in _FILES], places)
        self._digits = self.units([digit_phones(r) for r in _RANKS], places)

    def units(self, units: Sequence[Phones], at: Ints) -> Grid:
        """Distances, shape [places, units, phones of the stretch]: from ``at[n]`` on, 0 to the longest unit's phones + 2."""
        swap, lost = _costs()
        most = max(len(u) for u in units)
        codes = np.full((len(units), most), _END, np.int32)
        for n, unit in enumerate(units):
            codes[n, : len(unit)] = [_CODE[p] for p in unit]
        lengths = np.array([len(u) for u in units])
        leave = np.array([[gap(p) for p in u] + [0.0] * (most - len(u)) for u in units], np.float32)
        row = np.concatenate([np.zeros((len(units), 1), np.float32), np.cumsum(leave, axis=1)], axis=1)
        rows = np.repeat(row[None], len(at), axis=0)  # [places, units, phones of the unit]
        found = np.full((len(at), len(units), most + _SLACK + 1), FAR, np.float32)
        picks = (slice(None), np.arange(len(units)), lengths)
        found[:, :, 0] = rows[picks]
        for step in range(1, most + _SLACK + 1):
            phone = self._stream[np.minimum(at + step - 1, len(self._stream) - 1)]
            extra = lost[phone][:, None]
            fresh = np.empty_like(rows)
            fresh[:, :, 0] = rows[:, :, 0] + extra
            for m in range(1, most + 1):
                here = np.minimum(rows[:, :, m - 1] + swap[phone][:, codes[:, m - 1]], rows[:, :, m] + extra)
                fresh[:, :, m] = np.minimum(here, fresh[:, :, m - 1] + leave[:, m - 1])
            rows = fresh
            found[:, :, step] = rows[picks]
        return found

    def squares(self, at: Ints, length: Ints) -> Grid:
        """Distances of stretches (first phone, number of phones) of wanted words from the 64 squares: [stretches, 64]."""
        best = np.full((len(at), len(_FILES), len(_RANKS)), FAR, np.float32)
        longest = self._digits.shape[2] - 1
        for first in range(min(4, self._letters.shape[2] - 1) + 1):
            rest = length - first
            fits = (rest >= 1) & (rest <= longest)
            if not fits.any():
                continue
            where = at[fits]
            letter = self._letters[self._row[where], :, first]
            digit = self._digits[self._row[where + first], :, rest[fits]]
            best[fits] = np.minimum(best[fits], letter[:, :, None] + digit[:, None, :])
        return best.reshape(len(at), 64)

"""Capitals for talk that has none: at the start of sentences; in English also for I, days, nations and the two players."""

from __future__ import annotations

import re
from collections.abc import Sequence

from timeline.captions.compose import is_notation
from timeline.captions.english import is_first_name
from timeline.captions.units import Unit, core, ends_clause, ends_sentence, is_wordless

_SQUARE = re.compile(r"[a-h][1-8](?:'s)?")
_TAKES = frozenset("takes captures recaptures grabs".split())

_CAPITAL_WORDS = {"i": "I", "i'm": "I'm", "i'll": "I'll", "i've": "I've", "i'd": "I'd"}
_CALENDAR = frozenset(
    "monday tuesday wednesday thursday friday saturday sunday january february april june july august september october "
    "november december english french german italian spanish dutch russian american european".split()
)
_OF_COLOUR = re.compile(
    r"(?:king|queen|rook|bishop|knight|pawn|piece|square|king|diagonal|colou?r|army|camp|side|structure|majority|position)"
    r"(?:s|'s)?|pieces|squared|ones?|[a-h]"
)


def with_capitals(units: list[Unit], english: bool) -> list[Unit]:
    """Capitals at the start of sentences; in English also for I, days, months, nations, and for the two players."""
    result = []
    starts = True
    for k, unit in enumerate(units):
        text = unit.text
        if unit.source == "word" and not is_notation(text):
            word = core(text)
            if (
                (starts and not _is_file(units, k, word))
                or (english and word in _CAPITAL_WORDS)
                or (english and (word.removesuffix("'s") in _CALENDAR or _is_player(units, k, word)))
                or (english and k + 1 < len(units) and word == text and is_first_name(word, units[k + 1].text))
            ):
                text = capital(text)
        result.append(unit.with_text(text, "capital") if text != unit.text else unit)
        starts = ends_sentence(unit.text) or (starts and is_wordless(unit.text))
    return result


def _is_file(units: Sequence[Unit], k: int, word: str) -> bool:
    """Whether a letter is a file's: those keep their small letter, as squares do ("d takes e5")."""
    following = core(units[k + 1].text) if k + 1 < len(units) else ""
    return len(word) == 1 and word in "abcdefgh" and (word != "a" or following in _TAKES)


def _is_player(units: Sequence[Unit], k: int, word: str) -> bool:
    """White and Black as the players, not as colours: no noun of theirs follows, no article stands before."""
    if word.removesuffix("'s") not in ("white", "black"):
        return False
    if word.endswith("'s"):
        return True
    following = core(units[k + 1].text) if k + 1 < len(units) else ""
    before = core(units[k - 1].text) if k else ""
    ended = ends_sentence(units[k].text) or ends_clause(units[k].text)
    return (ended or not _OF_COLOUR.fullmatch(following)) and before not in ("the", "a", "my", "his", "her", "in", "of")


def begun_after_edits(units: Sequence[Unit]) -> list[Unit]:
    """Units in which capitals were restored, with one where a person's own caption ends a sentence before."""
    result = list(units)
    if not any("capital" in unit.restored for unit in units):
        return result
    for k in range(1, len(result)):
        unit, before = result[k], result[k - 1]
        own = before.source == "edit" and unit.source == "word" and ends_sentence(before.text)
        if own and not is_notation(unit.text) and not _SQUARE.fullmatch(core(unit.text)):
            text = capital(unit.text)
            result[k] = unit.with_text(text, "capital") if text != unit.text else unit
    return result


def capital(text: str) -> str:
    """The text with its first letter large."""
    for n, char in enumerate(text):
        if char.isalpha():
            return text[:n] + char.upper() + text[n + 1 :]
    return text

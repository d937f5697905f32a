"""Words to tokens: lower case, punctuation apart, notation recognised."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

from timeline.follow.vocabulary import RANK_WORDS
from timeline.transcript.words import Word

SAN = re.compile(
    r"(?P<piece>[KQRBN])?(?P<ff>[a-h])?(?P<fr>[1-8])?(?P<x>[x:])?(?P<to>[a-h][1-8])(?:=?(?P<promo>[QRBN]))?(?P<chk>[+#]*)"
)
_SMALL = re.compile(r"[nrqk][a-h1-8]?x?[a-h][1-8][+#]*|b[ac-h]?x?[a-h][1-8][+#]*")
"""Notation typed in small letters: "nf3", "qxd4", "be7" (a b pawn that takes is "bxc3")."""
_MEN = frozenset("king queen rook knight night horse bishop pawn king's queen's from".split())
_CASTLE = re.compile(r"([O0o])-\1(-\1)?[+#]*")
_STRIP = "\"'“”‘’«»()[]{}….,;:!?–—-"
_END = re.compile(r"[.!?…]+[\"'”’)\]]*$")
_NUMBERED = re.compile(r"(\d{1,3})(?:\.+|…)(?=[A-Za-z]|0-0)(.+)")
"""A move's number written together with the move: "1.e4", "5...Nxd5", "6.O-O"; "3.5" and "1.20" are plain numbers."""


_INITIALS = frozenset("abcdefgh")


def _rank(text: str) -> bool:
    return text.strip(_STRIP).lower() in RANK_WORDS


@dataclass(frozen=True, slots=True)
class Tok:
    """One token. ``word`` is its index in the transcript.

    ``ends``: the strongest punctuation after it: ``"."`` (sentence), ``"?"``,
    ``","`` (any weaker mark) or ``""``. ``gap_ms``: silence before it.
    ``san`` holds the notation when the word is a move in notation.
    """

    text: str
    word: int
    onset_ms: int
    end_ms: int
    gap_ms: int
    ends: str = ""
    starts: bool = False
    san: str | None = None


def _ends(raw: str) -> str:
    tail = raw.rstrip("\"'”’)]")
    if tail.endswith("?"):
        return "?"
    if _END.search(raw):
        return "."
    if raw and raw[-1] in ",;:–—-":
        return ","
    return ""


def tokens(words: Sequence[Word]) -> list[Tok]:
    """Tokens of all words; a word of several parts ("c-takes", "f-file") gives several."""
    found: list[Tok] = []
    starts = True
    before = 0
    for index, word in enumerate(words):
        raw = word.text.replace("’", "'").replace("‘", "'")
        core = raw.strip(_STRIP)
        ends = _ends(raw)
        if ends == "." and core.lower() in _INITIALS and index + 1 < len(words) and _rank(words[index + 1].text):
            ends = ""  # "knight e. five"
        if not core:
            if ends and found:
                last = found[-1]
                found[-1] = Tok(
                    last.text, last.word, last.onset_ms, last.end_ms, last.gap_ms, ends, last.starts, last.san
                )
                starts = starts or ends in ".?"
            continue
        gap = max(0, word.onset_ms - before) if found else 0
        numbered = _NUMBERED.fullmatch(core)
        number, rest = (numbered[1], numbered[2].strip(_STRIP)) if numbered else ("", core)
        if number:
            # Hardly anybody says it; where one does, the board moves with the number.
            found.append(Tok(number, index, word.onset_ms, word.onset_ms, gap, ".", starts))
            gap, starts = 0, True
        after_man = bool(found) and found[-1].text in _MEN and not found[-1].ends
        parts, san = _parts(rest, after_man)
        span = max(1, word.end_ms - word.onset_ms)
        for k, part in enumerate(parts):
            onset = word.onset_ms + span * k // len(parts)
            end = word.onset_ms + span * (k + 1) // len(parts)
            last_part = k == len(parts) - 1
            found.append(
                Tok(part, index, onset, end, gap if k == 0 else 0, ends if last_part else "", starts and k == 0, san)
            )
        starts = ends in (".", "?")
        before = word.end_ms
    return found


def _parts(core: str, after_man: bool) -> tuple[list[str], str | None]:
    """The parts of a word without its punctuation, and the notation where it is one move. ``after_man``: a man is named just
    before, so that the word says only where it goes ("knight bd2")."""
    if _CASTLE.fullmatch(core):
        return ["o-o-o" if core.count("-") == 2 else "o-o"], None
    if SAN.fullmatch(core) and not re.fullmatch(r"[a-h1-8]?[a-h][1-8]", core):
        return [core.lower()], core
    if not after_man and _SMALL.fullmatch(core) and not re.fullmatch(r"bx[a-h][1-8][+#]*", core):
        return [core], core[0].upper() + core[1:]
    parts = [p for p in re.split(r"[-–—/]+", core.lower()) if p.strip(_STRIP)] or [core.lower()]
    return [q for p in parts for q in _split_glued(p.strip(_STRIP))], None


def _split_glued(part: str) -> list[str]:
    """ "e4e5" and "bishop-b5" style runs; "g8q" stays whole."""
    if re.fullmatch(r"(?:[a-h][1-8]){2,4}", part):
        return re.findall(r"[a-h][1-8]", part)
    glued = re.fullmatch(r"([a-h])x([a-h][1-8])", part)
    if glued:
        return [glued[1], "takes", glued[2]]
    return [part]

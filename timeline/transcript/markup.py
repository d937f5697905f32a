"""Text as people's files hold it, to words: tags, entities and stray marks taken off, sounds marked."""

from __future__ import annotations

import html
import re
from collections import Counter
from collections.abc import Iterable

from timeline.transcript.soundmarks import MARK, marked

_DROPPED = re.compile(r"<(script|style)\b[^<>]*>.*?</\1\s*>", re.IGNORECASE | re.DOTALL)
_COMMENT = re.compile(r"<!--.*?-->", re.DOTALL)
_TAG = re.compile(r"</?[A-Za-z][^<>\n]{0,500}>")
_OVERRIDE = re.compile(r"\{\\[^{}]{0,200}\}")  # position and style codes that caption tools leave in SRT
_INVISIBLE = re.compile(
    "[\u00ad\u200b\u200e\u200f\u202a-\u202e\u2060-\u2069\ufeff\u0000-\u0008\u000b\u000c\u000e-\u001f\u007f-\u009f]"
    # Joiners make one sign of several emoji and shape letters of some scripts; elsewhere they are stray.
    "|[\u200c\u200d](?![^\\x00-\\x7f])|(?<![^\\x00-\\x7f])[\u200c\u200d]"
)
_SPOKEN_SIGNS = frozenset("&=%@$€£")
NAME = r"[^\W\d_][\w.'’-]{0,40}(?:[ _](?![\w.'’-]*:\d)[\w.'’-]{1,40}){0,3}"
"""Up to four words that may be a speaker's name."""
_WHO = r"(?:speaker|spk|s)[ _]?\d+|speaker [A-Z]"
_NUMBERED = re.compile(_WHO, re.IGNORECASE)
_LABEL = re.compile(
    rf"(?P<marks>(?:\s*{MARK.pattern})*)\s*(?:>>+\s*)?"
    rf"(?:(?P<name>{NAME})\s*:|[\[(](?P<held>{NAME}):?[\])]\s*:|[\[(](?P<numbered>(?i:{_WHO}))[\])])(?=\s|$)"
)
_NOT_NAMES = frozenset(
    "white black question answer example move moves note remember here now so and but then well first second third "
    "game line idea plan threat rule result position variation".split()
)


def plain(text: str) -> str:
    """Text without tags, entities and invisible characters, with sounds as marks (``soundmarks``); line breaks stay.

    >>> plain("<i>Knight</i> f3 &amp; e5")
    'Knight f3 & e5'
    """
    text = marked(text)
    if "<" in text:
        text = _TAG.sub("", _COMMENT.sub("", _DROPPED.sub("", text)))
    if "{\\" in text:
        text = _OVERRIDE.sub("", text)
    if "&" in text:
        text = marked(html.unescape(text))
    text = _INVISIBLE.sub("", text)
    rows = (" ".join(row.split()) for row in text.split("\n"))
    return "\n".join(row for row in rows if row)


def undashed(text: str) -> str:
    """Caption text without the dash that marks a change of speaker at the start of a line."""
    return re.sub(r"^[-–—][ \t]*(?=[^\W\d_]|\ue000)", "", text, flags=re.MULTILINE)


def words_of(text: str) -> list[str]:
    """The spoken words in order, with their punctuation; a dash or stop alone joins the word before it.

    A sound's mark is a word of its own.

    >>> words_of("takes – takes, and >> e4 !")
    ['takes–', 'takes,', 'and', 'e4!']
    """
    found: list[str] = []
    held = ""
    said = -1  # the last spoken word
    for part in text.split():
        if MARK.fullmatch(part):
            found.append(part)
        elif any(c.isalnum() for c in part) or part in _SPOKEN_SIGNS:
            said = len(found)
            found.append(held + part)
            held = ""
        elif set(part) <= {">"}:
            continue
        elif said >= 0:
            found[said] += part
        elif not set(part) <= set("-–—"):
            held += part
    return found


def speakers(names: Iterable[str]) -> frozenset[str]:
    """Which of the names that stand where a speaker's may are one: used at least twice, numbered, or in capitals.

    Where two in three of the names are so known, the rest with a capital are guests.
    """
    counts = Counter(names)
    fit = {n: c for n, c in counts.items() if n.casefold() not in _NOT_NAMES}
    sure = {
        name
        for name, count in fit.items()
        if _NUMBERED.fullmatch(name) or (name[0].isupper() and (count > 1 or (name.isupper() and len(name) > 2)))
    }
    if 3 * sum(counts[n] for n in sure) >= 2 * sum(counts.values()):
        sure |= {n for n in fit if n[0].isupper()}
    return frozenset(sure)


def speaker_labels(texts: Iterable[str]) -> frozenset[str]:
    """Which "Name:" at the start of blocks are speakers.

    A lone "Remember: castle early" and the sides "White:" and "Black:" are words, not speakers.
    """
    return speakers(_named(m) for t in texts if (m := _LABEL.match(t)))


def part_speaker(text: str, labels: frozenset[str]) -> tuple[str | None, str]:
    """(speaker, rest of the text); the speaker is None where no known label leads."""
    match = _LABEL.match(text)
    if match and _named(match) in labels:
        return _named(match), f"{match['marks'].lstrip()} {text[match.end() :].lstrip()}".lstrip()
    return None, text


def _named(match: re.Match[str]) -> str:
    return match["name"] or match["held"] or match["numbered"]

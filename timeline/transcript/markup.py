"""Text as people's files hold it, to words: tags, entities and stray marks taken off, sounds marked."""

from __future__ import annotations

import html
import re

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
_JOINED = re.compile(r"((?<=\w)(?:--+|—))(?=[^\W\d_])")  # "e4--then", "e4—then"
_ARROW = re.compile("-+>")
_SPOKEN_SIGNS = frozenset("&=%@$€£")


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
    """The spoken words in order, with their punctuation; a dash (as – however it is typed) or stop alone joins the word
    before it.

    A sound's mark is a word of its own.

    >>> words_of("takes -- takes, and >> e4 !")
    ['takes–', 'takes,', 'and', 'e4!']
    """
    found: list[str] = []
    held = ""
    said = -1  # the last spoken word
    for part in _JOINED.sub(r"\1 ", text).split():
        if MARK.fullmatch(part):
            found.append(part)
        elif any(c.isalnum() for c in part) or part in _SPOKEN_SIGNS:
            said = len(found)
            found.append(held + (part.rstrip("-") + "–" if part.endswith("--") else part))
            held = ""
        elif set(part) <= {">"}:
            continue
        elif said >= 0:
            found[said] += "–" if set(part) == {"-"} else _ARROW.sub("→", part)
        elif not set(part) <= set("-–—"):
            held += part
    return found

"""Sounds marked in a transcript's text: which bracketed words are one, and what a label says of it.

In captions, sounds stand in square or round brackets and music between notes
(BBC subtitle guidelines 1.2.5, sections 16 and 17; round brackets, asterisks
and angles: common practice of people and recognisers). A bracket with spoken
words in it is told from one with a sound by what it names; in doubt it is
spoken.

A mark travels through the readers as one word between signs that no text has
(private use), until ``parting`` takes it out.
"""

from __future__ import annotations

import html
import re
from enum import Enum

_OPEN, _SPACE, _CLOSE = "\ue000", "\ue001", "\ue002"
RESERVED = {ord(c): None for c in (_OPEN, _SPACE, _CLOSE)}
"""Taken out of a file before it is read (``str.translate``)."""
MARK = re.compile(f"{_OPEN}[^{_OPEN}{_CLOSE}]+{_CLOSE}")

NOTES = "♩♪♫♬🎵🎶"
_SUNG = re.compile(rf"{MARK.pattern}|[{NOTES}]+(?:([^{NOTES}]{{1,2000}})[{NOTES}]+|(?:\s*[{NOTES}]+)*)")
_LABEL_CHARS = 60  # of a song as a label, as in lesson.yaml; a longer one is captioned word by word
_BRACKET = re.compile(
    MARK.pattern + r"|\[[^\[\]]{1,80}\]|\([^()\[\]]{1,60}\)|\*[^*\n()\[\]]{1,40}\*|<(?P<angles>[A-Za-z_ ]{3,30})>"
)
_TAG = re.compile(r"<[^<>\n]{0,200}>")
_WORD = re.compile(r"[^\W\d_]+(?:['’][^\W\d_]+)?")
_MASKED = re.compile(r"\s*\\?_(?:\s|\\?_)*|[ ?]*\?[ ?]*")  # "[ __ ]", "[?]"
MOST_WORDS = 6
"""In the name of a sound."""

_VERBS = (
    "applaud bark beep breathe buzz chatter cheer chime chuckle clap clatter clink clap cough creak cry exclaim exhale "
    "gasp giggle groan growl grunt gulp hiccup hum inhale knock laugh moan murmur mutter ping ring rumble rustle scoff "
    "scream screech shout sigh sing slam slurp sneeze sniff sniffle snore snort sob squeak stutter thud tick "
    "typing whisper whistle whoosh yawn yell"
).split()
_SOUNDS = frozenset(
    [v[: len(v) - cut] + end for v in _VERBS for cut, end in ((0, ""), (0, "s"), (0, "es"), (0, "ing"), (1, "ing"))]
    + [v + v[-1] + "ing" for v in _VERBS]
    + "music laughter applause noise noises crosstalk footsteps throat song cries "
    "musik applaus gelächter lachen musique applaudissements rires música aplausos risas musica applausi risate muziek "
    "gelach risos".split()
)
_SOURCES = frozenset(
    "alarm bang bell chair click crowd door doorbell dog engine horn phone siren speaking speaks static "
    "thunder wind".split()
)
"""What is a sound in square brackets; in round ones it may be an aside ("strictly speaking")."""
_UNCLEAR = frozenset("inaudible unintelligible indistinct indecipherable incomprehensible".split())
_UNHEARD = frozenset("audio conversation dialogue segment speech unclear voice word words".split())
_NOTHING = frozenset("blank audio silence silent pause pauses noise beat no speech sound long short brief".split())
_SPOKEN = frozenset(
    "i you we it this that which who if because when is are was were am be been has have had do does did will would "
    "can could should must not but white black king queen rook bishop knight pawn piece pieces move moves square file "
    "rank check mate castle castles takes take captures game position".split()
)
"""Words that stand in what is said about a game and not in what a sound is called."""


class Kind(Enum):
    SOUND = "sound"
    UNCLEAR = "unclear"  # words that could not be understood
    NOTHING = "nothing"  # a recogniser's or typist's note that nothing is said


def marked(text: str) -> str:
    """Text with each sound as one word of its own, which ``MARK`` matches; tags stay. Marks stay as they are.

    >>> [mark_of(m) for m in MARK.findall(marked("Mate. [Applause] The rook (on e8) stays."))]
    [('[Applause]', 'applause')]
    """
    if any(c in text for c in NOTES):
        text = _SUNG.sub(_song, text)
    return _BRACKET.sub(_bracket, text)


def mark_of(mark: str) -> tuple[str, str]:
    """(as it stands in the file, what a label says) of a mark that ``marked`` made."""
    heard = mark.strip(_OPEN + _CLOSE).replace(_SPACE, " ")
    if heard[0] in NOTES:
        inner = heard.strip(NOTES + " ")
        return heard, f"♪ {inner} ♪" if inner else "♪"
    if kind_of(heard) is Kind.UNCLEAR:
        return heard, "inaudible"
    inner = " ".join(heard[1:-1].replace("_", " ").split())
    first = inner.split()[0].lower()
    return heard, inner.lower() if inner.isupper() else first + inner[len(first) :] if first in _SOUNDS else inner


def kind_of(heard: str) -> Kind | None:
    """What a bracket with its brackets, or music between notes, stands for; None where it is spoken."""
    if heard[0] in NOTES:
        return Kind.SOUND
    inner, square = heard[1:-1], heard[0] == "["
    if square and _MASKED.fullmatch(inner):
        return Kind.UNCLEAR
    words = [w.lower() for w in _WORD.findall(inner.replace("_", " "))]
    said = set(words)
    if not words or len(words) > MOST_WORDS or any(c.isdigit() for c in inner) or said & _SPOKEN:
        return None
    if (said & _UNCLEAR and said <= _UNCLEAR | _UNHEARD) or (square and words == ["unclear"]):
        return Kind.UNCLEAR
    if said <= _NOTHING and said & {"silence", "silent", "pause", "pauses", "noise", "blank", "no", "beat"}:
        return Kind.NOTHING
    if said & _SOUNDS or said & _UNCLEAR or (square and said & _SOURCES):
        return Kind.SOUND
    return None


def is_of_talk(text: str) -> bool:
    """Whether a text holds words that stand in what is said about a game, and in no name."""
    return any(w.lower() in _SPOKEN for w in _WORD.findall(text))


def _song(match: re.Match[str]) -> str:
    """Music between notes as one mark; notes alone, or around squares and numbers, are a mark and leave the words.

    The words of a song are spoken words with their notes where they are too many for a label, or are sentences.
    """
    if match[0][0] == _OPEN:
        return match[0]
    inner = _shown(match[1] or "").strip("()[]")
    said = {w.lower() for w in _WORD.findall(inner)}
    if inner and not any(c.isdigit() for c in inner):
        sung = len(inner) > _LABEL_CHARS or said & _SPOKEN
        return f" ♪ {match[1]} ♪ " if sung else _token(f"♪ {inner} ♪")
    return _token("♪") + (match[1] if inner else "")


def _bracket(match: re.Match[str]) -> str:
    if match[0][0] == _OPEN:
        return match[0]
    # Angles would be taken for a tag afterwards.
    whole = f"[{match['angles'].strip()}]" if match["angles"] else _shown(match[0])
    return _token(whole) if len(whole) > 2 and kind_of(whole) else match[0]


def _shown(text: str) -> str:
    return " ".join(html.unescape(_TAG.sub("", text)).split())


def _token(text: str) -> str:
    return f" {_OPEN}{text.replace(' ', _SPACE)}{_CLOSE} "

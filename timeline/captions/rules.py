"""Rule profiles for captions: every number stands beside its source.

Sources, by the short names used below:

* BBC: BBC Subtitle Guidelines, version 1.2.5 (March 2026), by section.
* NFX: a streaming service's public timed text style guide (general
  requirements, subtitle timing, English SDH), current and older editions.
* DCMP: Described and Captioned Media Program, Captioning Key, and the older
  "Captioning Guidelines for the DCMP".

The mix of the three profiles is ours. Where sources collide the order is:
every spoken word, then step with the sound, then reading speed, then line
breaks (after BBC 2.1 and 3.10, and DCMP).
"""

from __future__ import annotations

import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, fields, replace
from fractions import Fraction
from typing import Any, Literal

ProfileName = Literal["broadcast", "online", "learner"]


@dataclass(frozen=True, slots=True)
class Profile:
    """Limits of one profile. Times in ms, gaps below ``open_gap_ms`` in frames, speeds as named.

    A speed of None is not judged. ``word_ms`` is the least time for each word
    besides ``min_ms``. A gap is right when it is ``gap_frames`` or at least
    ``open_gap_ms``. ``early_frames`` and ``late_frames`` bound the in-time
    around the first word's onset; ``tail_ms`` the time after the last word.
    ``label_ms`` is added to the least time of a cue that holds a label.
    """

    max_chars: int
    max_lines: int
    warn_wpm: float | None
    error_wpm: float | None
    warn_cps: float | None
    error_cps: float | None
    min_ms: int
    word_ms: int
    max_ms: int
    gap_frames: int
    open_gap_ms: int
    early_frames: int
    late_frames: int
    tail_ms: int
    label_ms: int


PROFILES: dict[str, Profile] = {
    "broadcast": Profile(
        max_chars=37,  # BBC 3.1, teletext line
        max_lines=2,  # BBC 3.3
        warn_wpm=180,  # BBC 4: 160 to 180 words a minute
        error_wpm=200,  # BBC 4.1: about 0.3 s a word
        warn_cps=None,
        error_cps=None,
        min_ms=833,  # NFX: 5/6 s; BBC gives none apart from 0.3 s a word
        word_ms=300,  # BBC 4.1
        max_ms=7000,  # NFX: 7 s; BBC gives none
        gap_frames=0,  # BBC 4.5: no gap, or ...
        open_gap_ms=1000,  # ... at least 1 s
        early_frames=0,  # BBC 5.1: at the onset of speech
        late_frames=2,  # ours, well inside BBC 5.4 (never more than 2 s late)
        tail_ms=1500,  # BBC 5.2
        label_ms=1000,  # BBC 4.3.3
    ),
    "online": Profile(
        max_chars=42,  # NFX
        max_lines=2,  # NFX
        warn_wpm=None,
        error_wpm=None,
        warn_cps=17,  # NFX, older edition, adult programmes
        error_cps=20,  # NFX, current edition, adult programmes
        min_ms=833,  # NFX: 5/6 s
        word_ms=0,
        max_ms=7000,  # NFX: 7 s
        gap_frames=2,  # NFX: at least 2 frames at any rate; no gap between 2 frames and half a second
        open_gap_ms=500,
        early_frames=2,  # NFX: within 1 to 2 frames of the first audio frame
        late_frames=2,
        tail_ms=500,  # NFX: up to half a second after the sound
        label_ms=0,
    ),
    "learner": Profile(
        max_chars=32,  # older DCMP guideline, and the CEA-608 grid (from memory)
        max_lines=2,  # DCMP
        warn_wpm=160,  # DCMP, upper level and adult special interest
        error_wpm=None,
        warn_cps=None,
        error_cps=17,  # NFX, children's programmes
        min_ms=1333,  # DCMP: 40 frames at 30 a second
        word_ms=0,
        max_ms=6000,  # DCMP: 6 s
        gap_frames=2,  # NFX
        open_gap_ms=1000,  # BBC 4.5
        early_frames=2,  # NFX
        late_frames=2,
        tail_ms=1500,  # BBC 5.2
        label_ms=1000,  # BBC 4.3.3
    ),
}

_SPEEDS = {"warn": ("warn_wpm", "warn_cps"), "error": ("error_wpm", "error_cps")}


class ContradictionError(ValueError):
    """Rules that no caption can keep together; the text says which and how to mend."""


@dataclass(frozen=True, slots=True)
class Rules:
    """A profile at a film's frame rate. Frame counts are exact; ``rate`` is frames a second."""

    profile: Profile
    rate: Fraction

    def frames(self, ms: float) -> int:
        """The least number of frames that lasts ``ms``."""
        return -int(-(Fraction(ms) * self.rate / 1000 - Fraction(1, 1000)) // 1)

    @property
    def min_frames(self) -> int:
        return self.frames(self.profile.min_ms)

    @property
    def max_frames(self) -> int:
        return int(Fraction(self.profile.max_ms) * self.rate / 1000)

    @property
    def open_gap_frames(self) -> int:
        """At 25 frames a second half a second is 13 frames: gaps are rounded up."""
        return max(self.profile.gap_frames, self.frames(self.profile.open_gap_ms))

    @property
    def tail_frames(self) -> int:
        return int(Fraction(self.profile.tail_ms) * self.rate / 1000)

    def least_frames(self, words: int, labels: int = 0) -> int:
        """The least time on screen of a cue with so many words and labels."""
        p = self.profile
        return self.frames(max(p.min_ms, p.word_ms * words) + p.label_ms * min(labels, 1))

    def reading_frames(self, chars: int, words: int, level: Literal["warn", "error"]) -> int:
        """The least time in which so many characters and words can be read at the level's speed."""
        wpm, cps = (getattr(self.profile, name) for name in _SPEEDS[level])
        need = Fraction(0)
        if wpm:
            need = max(need, Fraction(words * 60) / Fraction(wpm))
        if cps:
            need = max(need, Fraction(chars) / Fraction(cps))
        return -int(-(need * self.rate) // 1)


def rules_for(profile: str, overrides: Mapping[str, Any] | None = None, rate: Fraction = Fraction(30)) -> Rules:
    """A profile's rules with a lesson's own numbers in their place.

    ``overrides`` has the field names of ``Profile``. A speed given in one
    unit replaces the profile's speed of that level in the other unit. Raises
    ContradictionError where the numbers exclude each other.
    """
    given = {name: value for name, value in (overrides or {}).items() if value is not None}
    changes: dict[str, Any] = {}
    for names in _SPEEDS.values():
        if any(name in given for name in names):
            changes.update(dict.fromkeys(names))
    known = {f.name for f in fields(Profile)}
    unknown = sorted(set(given) - known)
    if unknown:
        raise ValueError(f"no such caption rule: {', '.join(unknown)}")
    resolved = replace(PROFILES[profile], **(changes | given))
    _agree(resolved)
    return Rules(resolved, rate)


def _agree(p: Profile) -> None:
    if p.min_ms > p.max_ms:
        raise ContradictionError(
            f"captions must stay at least {p.min_ms / 1000:g} s but at most {p.max_ms / 1000:g} s; "
            "raise max_s or lower min_s"
        )
    if p.word_ms > p.max_ms:
        raise ContradictionError(
            f"each word must stay at least {p.word_ms / 1000:g} s, a caption at most {p.max_ms / 1000:g} s; "
            "raise max_s or lower word_s"
        )
    if p.min_ms + p.label_ms > p.max_ms:
        raise ContradictionError(
            f"a caption with a label must stay at least {(p.min_ms + p.label_ms) / 1000:g} s but at most "
            f"{p.max_ms / 1000:g} s; raise max_s or lower min_s"
        )
    for unit in ("wpm", "cps"):
        warn, error = getattr(p, f"warn_{unit}"), getattr(p, f"error_{unit}")
        if warn and error and warn > error:
            raise ContradictionError(
                f"the speed to warn above ({warn:g} {unit}) is higher than the one that is an error ({error:g} {unit}); "
                f"lower warn_{unit} or raise error_{unit}"
            )
    if p.error_cps and p.max_chars / p.error_cps * 1000 > p.max_ms:
        raise ContradictionError(
            f"one full line of {p.max_chars} characters takes {p.max_chars / p.error_cps:.1f} s to read at "
            f"{p.error_cps:g} characters a second, longer than the {p.max_ms / 1000:g} s a caption may stay; "
            "raise max_s or error_cps, or lower max_chars"
        )
    if p.error_wpm and 60_000 / p.error_wpm > p.max_ms:
        raise ContradictionError(
            f"one word takes {60 / p.error_wpm:.1f} s at {p.error_wpm:g} words a minute, longer than the "
            f"{p.max_ms / 1000:g} s a caption may stay; raise error_wpm or max_s"
        )


def visible_length(text: str) -> int:
    """User-visible characters: marks that combine, joiners and direction signs do not count; a line feed is a space.

    >>> visible_length("Knight takes e5."), visible_length("a\\u0301"), visible_length("\\U0001f468\\u200d\\U0001f467")
    (16, 1, 1)
    """
    if text.isascii():
        return len(text)
    count, joined = 0, False
    for char in text:
        if char == "\u200d":
            joined = True
            continue
        if unicodedata.category(char) in ("Mn", "Me", "Cf") or "\U0001f3fb" <= char <= "\U0001f3ff":
            continue
        if not joined:
            count += 1
        joined = False
    return count

"""Which words lean on the next one: a speaker pauses before them rather than after."""

from __future__ import annotations

from timeline.transcript.spread import pause_ms

_LEANING = frozenset(
    "a an the my your his her its our their every of to in on at for with from by into and or but nor than "
    "i he she we you they it it's he's she's i'm i'll we're we'll you're they're".split()
)
"""Articles, what stands before a noun as they do, prepositions, "and", and the subjects of sentences."""


def leans(text: str) -> bool:
    """Whether a word, as it is written, belongs to the one after it.

    >>> [leans(w) for w in ("The", "knight", "and", "and,")]
    [True, False, True, False]
    """
    return not pause_ms(text) and text.lower().replace("’", "'").strip("\"'“‘(") in _LEANING

"""Units: what a caption is put together from, each a word as it will be written."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Literal

Source = Literal["word", "edit", "label"]

_CLOSERS = "\"'”’»)]"
SENTENCE_ENDS = (".", "!", "?", "…")
CLAUSE_ENDS = (",", ";", ":", "–", "—")


@dataclass(frozen=True, slots=True)
class Unit:
    """One written word, or a label.

    Stands for the transcript's words ``first`` to ``last`` (-1 for a label).
    Times are ms on the captions' clock. ``restored`` lists what was put in
    and not in the transcript: ``"capital"``, or a punctuation mark.
    ``phrase`` numbers the move phrase that the unit is part of (-1: none);
    units of one phrase belong together. ``fixed`` numbers the person's edit
    that the unit comes from (-1: none). ``head``: a sound's label that has no
    time of its own and stands on a line above the words of the unit's caption.
    """

    text: str
    first: int
    last: int
    onset_ms: int
    end_ms: int
    speaker: str | None = None
    restored: tuple[str, ...] = ()
    phrase: int = -1
    fixed: int = -1
    source: Source = "word"
    break_after: bool = False
    head: str = ""

    def with_text(self, text: str, *restored: str) -> Unit:
        """The same unit written otherwise; ``restored`` is added to what was put in."""
        return replace(self, text=text, restored=self.restored + restored)


def core(text: str) -> str:
    """A written word without quotes, brackets and punctuation around it, in lower case."""
    return text.strip("\"'“”‘’«»()[]{}….,;:!?–—-¿¡").lower().replace("’", "'")


def is_wordless(text: str) -> bool:
    """Whether a written word has no letter and no digit: an emoji, a dash."""
    return not any(c.isalnum() for c in text)


def ends_sentence(text: str) -> bool:
    """Whether a sentence ends after this word (abbreviating dots are told apart by the caller's next word)."""
    return text.rstrip(_CLOSERS).endswith(SENTENCE_ENDS)


def ends_clause(text: str) -> bool:
    """Whether a comma, colon, semicolon or dash follows."""
    return text.rstrip(_CLOSERS).endswith(CLAUSE_ENDS)

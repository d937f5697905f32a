"""Whether an English sentence asks, by the form it has: nothing but its words is known."""

from __future__ import annotations

import re
from collections.abc import Sequence

QUESTION_WORDS = frozenset("what who where why how which when whose what's who's where's how's".split())
INVERTED = frozenset(
    "do does did can could is are was were will would should shall have has may am isn't aren't doesn't don't didn't can't "
    "couldn't won't wouldn't shouldn't haven't hasn't".split()
)
_SUBJECTS = frozenset(
    "i you he she it we they this that these those the a an your his her my our their there white black anybody anyone "
    "everybody everyone somebody someone not king queen rook bishop knight pawn".split()
)
_CHOICES = frozenset("rook knight bishop pawn queen piece square move side way one file rook's".split())
_LEADS = frozenset("so and but now then okay well or because yes no right".split())
_OPEN = frozenset("what why how where".split())  # "who" and "which" may go on with what was named
_TAGS = re.compile(
    r"(?:is|isn't|are|aren't|do|don't|does|doesn't|did|didn't|can|can't|have|haven't|has|hasn't|will|won't|was|wasn't)"
    r" (?:it|he|she|they|you|we|i)"
)


def is_question(words: Sequence[str]) -> bool:
    """Whether a sentence (cores) asks: a question word first, a verb before its subject, or a tag at its end."""
    head = list(words)
    while len(head) > 1 and head[0] in _LEADS:
        head = head[1:]
    if len(words) > 3 and _TAGS.fullmatch(" ".join(words[-2:])) and words[-2].endswith("n't"):
        return True
    if not head:
        return False
    if head[0] == "which" and 1 < len(head) <= 4 and head[1] in _CHOICES:
        return True
    if head[0] in INVERTED and len(head) > 1:
        return head[1] in _SUBJECTS and not (head[0] == "do" and head[1] in ("it", "this", "that"))
    if head[0] in ("what's", "who's", "where's", "how's"):
        return True
    if head[0] in QUESTION_WORDS:
        if len(head) == 1:
            return head[0] not in ("which", "when")
        if head[0] == "what" and head[1] in ("a", "an"):
            return False  # an exclamation
        if (
            head[0] in ("when", "which")
            and head[1] not in INVERTED
            and not (head[0] == "which" and head[1:2] not in (["is"],))
        ):
            return False
        if head[0] in (
            "who",
            "what",
            "which",
        ):  # a subject asks without inversion ("who sees it"); "what I learned" does not ask
            return (head[1] not in _SUBJECTS - {"the"} and len(head) <= 14) or (
                len(head) > 2 and head[1] in ("would", "do")
            )
        return head[1] in INVERTED or head[1] in ("about", "come", "many", "much", "to")
    if head[0] in ("anybody", "anyone", "any") and len(head) <= 4:
        return True
    return (
        len(head) > 2
        and head[-1] in ("what", "who", "where", "why", "how", "right")
        and head[-2] in ("and", "then", "but")
    )


def ends_asking(clause: Sequence[str]) -> bool:
    """Whether the last clause of a sentence asks where the first does not: "knight d5, anybody see it?"."""
    head = clause[1:] if len(clause) > 1 and clause[0] in _LEADS else clause
    if len(head) < 2:
        return False
    asks = head[0] in INVERTED or head[0] in ("anybody", "anyone") or (head[0] in _OPEN and head[1] in INVERTED)
    return asks and is_question(head)

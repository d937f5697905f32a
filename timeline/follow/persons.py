"""Who "I" and "he" are: the colour that each person of the talk plays."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from timeline.follow.hypotheses import Hyp, steps
from timeline.follow.lexer import Tok

if TYPE_CHECKING:
    from timeline.follow.search import Decoder

PERSONS = {
    **dict.fromkeys(("i", "we", "my", "our", "i'm", "i'd", "i'll", "i've", "we're", "we'll", "we'd"), "we"),
    **dict.fromkeys(("he", "his", "she", "her", "they", "their", "he's", "he'd", "he'll", "she's", "opponent"), "he"),
}


def speaks_of_persons(toks: Sequence[Tok]) -> bool:
    """Whether "I" or "he" is said often enough to say anything."""
    return sum(tok.text in PERSONS for tok in toks) >= 5


def learn_persons(decoder: Decoder, final: Hyp) -> dict[str, bool]:
    """Which colour "we" and "he" play, judged from a first decoding; empty where the talk does not keep them apart.

    A person counts as one side when at least five clear moves, and five in six of them, are that side's.
    """
    counts: dict[str, list[int]] = {"we": [0, 0], "he": [0, 0]}
    for step in steps(final):
        m = step.mention
        if m is None or step.act in ("ign", "step") or m.hear > 0.5 or step.node.parent is None:
            continue
        k, low = m.start, decoder.context.clause_start(m.start)
        while k >= low:
            who = PERSONS.get(decoder.toks[k].text)
            if who is not None:
                counts[who][int(step.node.parent.board.turn)] += 1
                break
            k -= 1
    found: dict[str, bool] = {}
    for who, (black, white) in counts.items():
        if black + white >= 5 and max(black, white) >= (black + white) * 5 / 6:
            found[who] = white > black
    if len(found) == 2 and found["we"] == found["he"]:
        return {}
    return found

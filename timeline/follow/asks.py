"""Questions to the viewer: where the talk asks for a move, and the silence it leaves there."""

from __future__ import annotations

import re
from collections.abc import Sequence

from timeline.follow.lexer import Tok
from timeline.follow.result import Ask, FollowedCue

# Ways to ask for a move, as whole phrases (common practice of teachers; not from any one speaker).
_INVITES = re.compile(
    r"\b(?:pause (?:here|the|it|now|if|for|your|this)|(?:find|see|spot|guess) (?:the|a|his|her|black's|white's|it|my) ?"
    r"(?:\w+ )?(?:move|idea|win|mate|shot|blow|trick|answer|continuation|combination)|what would you (?:play|do)|"
    r"what (?:do|did|does|should|would|can|could|will) (?:you|he|she|white|black|we|i|they) (?:play|do|have|move|see)|"
    r"(?:can|could|do|did) (?:you|anyone|anybody|someone) (?:find|see|spot|guess)|who (?:sees|can see|finds|spots)|who knows (?:it|what|how|where|the (?:move|answer|idea|trick|win|mate|shot))|"
    r"(?:have|take) a (?:look|moment|minute|think) (?:yourself|and think|for yourself)?|your (?:turn|move) (?:now|to)?|"
    r"(?:white|black) to (?:play|move) and|(?:white|black) to (?:play|move),? (?:what|how|find)|how (?:does|do|did|would|should|can|could) "
    r"(?:white|black|he|she|you|we|i|they) (?:\w+ ){0,4}(?:win|continue|mate|deal|answer|finish|proceed|save|defend|punish)|"
    r"where (?:do|does|should|would|did) (?:you|he|she|we|it|i|white|black|the \w+) (?:\w+ )?(?:put|go|move|play|belong)|"
    r"(?:think|look) (?:very |about |hard|for a|now|it over)|(?:which|what) move|what's wrong with|how do we win|seconds to (?:think|pause))\b"
)
_LONGEST_MS = 45_000
_LONGEST_WORDS = 40  # of a question


def find_asks(toks: Sequence[Tok], cues: Sequence[FollowedCue], end_ms: int) -> tuple[Ask, ...]:
    """Questions that ask for the move which the talk then shows.

    A question counts when the next board change follows within 45 s and goes
    on from the position asked about. The pause stands in the longest silence
    between the question's end and that change (at the question's end where
    the words leave none).
    """
    found: list[Ask] = []
    text, starts = "", []
    for tok in toks:
        starts.append(len(text))
        text += tok.text + (tok.ends if tok.ends == "?" else "") + " "
    place = 0
    for match in _INVITES.finditer(text):
        while place + 1 < len(starts) and starts[place + 1] <= match.start():
            place += 1
        first = place
        last = first
        while last + 1 < len(starts) and starts[last + 1] < match.end():
            last += 1
        # to the end of the sentence, or of the breath
        while (
            last + 1 < len(toks)
            and toks[last].ends not in (".", "?")
            and toks[last + 1].gap_ms < 500
            and last - first < 18
        ):
            if not toks[last].ends and toks[last + 1].text in ("and", "so", "but", "now", "well", "okay"):
                break
            last += 1
        marked = next(
            (k for k in range(last, min(len(toks), first + _LONGEST_WORDS)) if toks[k].ends in (".", "?")), last
        )
        asked = toks[marked].ends == "?"  # the transcript says where the question ends: nothing within it answers
        last = marked if asked else last
        answer = next(
            (
                c
                for c in cues
                if c.at_ms > toks[first].onset_ms + 200
                and (c.first > toks[last].word if asked else c.first >= toks[first].word)
            ),
            None,
        )
        shown = next((c for c in reversed(cues) if c.at_ms <= toks[first].onset_ms), None)
        path = shown.path if shown else ()
        if answer is None or answer.at_ms - toks[first].onset_ms > _LONGEST_MS:
            continue
        if len(answer.path) <= len(path) or answer.path[: len(path)] != path:
            continue
        pause_at, pause_ms = toks[last].end_ms, 0
        k = first + 1
        while k < len(toks) and toks[k].onset_ms <= answer.at_ms:
            if toks[k].gap_ms > max(pause_ms, 700):
                pause_at, pause_ms = toks[k - 1].end_ms, toks[k].gap_ms
            k += 1
        at_ms = min(pause_at, max(0, answer.at_ms - 1))
        if found and found[-1].path == path and at_ms - found[-1].at_ms < _LONGEST_MS:
            if pause_ms > found[-1].spoken_pause_ms:
                found[-1] = Ask(at_ms, path, toks[first].word, toks[last].word, pause_ms)
            continue
        found.append(Ask(at_ms, path, toks[first].word, toks[last].word, pause_ms))
    return tuple(a for a in found if a.at_ms < end_ms)

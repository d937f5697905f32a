"""Questions to the viewer: where the talk asks for a move, and the silence it leaves there."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from timeline.follow.lexer import Tok
from timeline.follow.result import Ask, FollowedCue
from timeline.transcript.bidding import bid

_QUESTION = re.compile(
    r"(?:^|, |\b(?:and|so|now|then|okay|ok|but|here|well|right|alright|the) )(?:what(?! an?\b)|which|where|why|can|could|should|does|would"
    r"|do|how (?:does|do|did|can|could|should|would|will|to|is|are|many|much|now|about|else)|who(?! knows)"
    r"|who knows (?:it|what|how|where|the (?:move|answer|idea|trick|win|mate|shot)))\b"
    r"|\b(?:which|what(?! an?\b)) (?:\w+ ){0,2}(?:move|piece|one|square|pawn)\b|\bwhat's\b|\b(?:white|black) to (?:move|play)\b"
    r"|\bto find\b|\byou(?:'ll| will)? (?:may |should |can )?(?:find|see|choose|try|finish|know|do)\b"
    r"|\b(?:anyone|anybody|hands up|quiz|puzzle|question|candidates?|find|think|choose|guess|pick|whisper|shout)\b|\bplease$"
)
"""Signs of a question, too weak by themselves: most questions of a talk are answered in the next breath."""
QUIET_MS = 1900
"""So long a silence is hardly breath: of 214 from 2 s up in 116 narrated talks 196 belonged to a question that was put to
the listeners (of those below 2.5 s 16 of 28)."""
_REST_MS = 700
_BREATH_MS = 500
_LONGEST_MS = 45_000
_SOON_MS = 15_000
"""From a question's end to the silence it asks for, at most: hints stand between."""
_LONGEST_WORDS = 40  # of a question


def find_asks(toks: Sequence[Tok], cues: Sequence[FollowedCue], end_ms: int) -> tuple[Ask, ...]:
    """Questions that leave the move which the talk then shows to the viewer.

    The next board change must follow within 45 s and go on from the position
    asked about. A bid ("pause here", "what would you play?") asks by itself;
    any other question, also one about the past, only where a silence is left
    before the answer: speakers mostly answer their own. The pause stands in
    the longest silence between the question's end and that change (at the
    question's end where the words leave none).
    """
    found: list[Ask] = []
    for first, last, bids in _questions(toks):
        asked = toks[last].ends == "?"  # the transcript says where the question ends: nothing within it answers
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
            if toks[k].gap_ms > max(pause_ms, _REST_MS):
                pause_at, pause_ms = toks[k - 1].end_ms, toks[k].gap_ms
            k += 1
        if not bids and (pause_ms < QUIET_MS or pause_at > toks[last].end_ms + _SOON_MS):
            continue
        at_ms = min(pause_at, max(0, answer.at_ms - 1))
        if found and found[-1].path == path and at_ms - found[-1].at_ms < _LONGEST_MS:
            if pause_ms > found[-1].spoken_pause_ms:
                found[-1] = Ask(at_ms, path, toks[first].word, toks[last].word, pause_ms)
            continue
        found.append(Ask(at_ms, path, toks[first].word, toks[last].word, pause_ms))
    return tuple(a for a in found if a.at_ms < end_ms)


def bid_ends(toks: Sequence[Tok]) -> list[int]:
    """The last tokens of the bids themselves, without what else their sentences say."""
    return [place[1] for low, high in _sentences(toks) if (place := _bid_in(toks, low, high)[0])]


def _questions(toks: Sequence[Tok]) -> Iterator[tuple[int, int, bool]]:
    """First and last token of each question, and whether it is a bid."""
    for low, high in _sentences(toks):
        place, text = _bid_in(toks, low, high)
        if place:
            yield place[0], _breath(toks, place[1], high), True
        elif toks[high].ends == "?" or _QUESTION.search(text):
            yield low, high, False


def _bid_in(toks: Sequence[Tok], low: int, high: int) -> tuple[tuple[int, int] | None, str]:
    """First and last token of the bid in a sentence (None: there is none), and the sentence's text."""
    starts, text = [], ""
    for tok in toks[low : high + 1]:
        starts.append(len(text))
        text += tok.text + (", " if tok.ends == "," else " ")
    text = text.rstrip(" ,")
    place = bid(text)
    if place is None:
        return None, text
    first = max(k for k, start in enumerate(starts) if start <= place[0])
    last = max(k for k, start in enumerate(starts) if start < place[1])
    return (low + first, low + last), text


def _sentences(toks: Sequence[Tok]) -> Iterator[tuple[int, int]]:
    low = 0
    for k, tok in enumerate(toks):
        last = k + 1 == len(toks)
        if last or tok.ends in (".", "?") or toks[k + 1].gap_ms >= _BREATH_MS or k - low >= _LONGEST_WORDS:
            yield low, k
            low = k + 1


def _breath(toks: Sequence[Tok], last: int, high: int) -> int:
    """Where a bid ends in its sentence: at a conjunction that begins something new, unless a "?" closes the whole."""
    if toks[high].ends == "?":
        return high
    while last < high and (toks[last].ends or toks[last + 1].text not in ("and", "so", "but", "now", "well", "okay")):
        last += 1
    return last

"""Is everything where the viewer needs it? Cues, positions, pauses and the transcript against the recording."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import chess

from timeline.checks.codes import CODES
from timeline.checks.context import CheckContext, Help
from timeline.checks.sentence import Sentence
from timeline.checks.statements import SURE
from timeline.problems import Finding, Severity
from timeline.timecode import format_ms
from timeline.tracks import BoardSpan, step

TAIL_MS = 60_000
OVERRUN_MS = 2000
BEFORE_MS = 6000
ASKED_MS = 8000  # a pause belongs to a question this near
LEAD_MS = 2000  # the longest lead that a lesson may set: so much before its words a move may be shown
ROUNDED_MS = 100  # a pause is written to a tenth of a second


def check_timing(context: CheckContext, help_: Help) -> Iterator[Finding]:
    """All checks of time; pure, over the tracks."""
    yield from _whole(context)
    yield from _fast(context)
    yield from _early(context)
    yield from _sideline(context)
    yield from _pauses(context)
    yield from _silences(context)
    yield from _lengths(context)


def _finding(code: str, message: str, **where: object) -> Finding:
    row = CODES[code]
    return Finding(code, message, row.severity, fix=row.mend, **where)  # type: ignore[arg-type]


def _end(context: CheckContext) -> int:
    return context.duration_ms if context.duration_ms is not None else context.track.end_ms


def _whole(context: CheckContext) -> Iterator[Finding]:
    spans = context.track.spans
    if not spans:
        yield _finding("track-hole", "there is no position at all", at_ms=0)
        return
    edges = [
        (0, spans[0].start_ms),
        *((a.end_ms, b.start_ms) for a, b in pairwise(spans)),
        (spans[-1].end_ms, _end(context)),
    ]
    for end, start in edges:
        if abs(start - end) > 1:
            what = "no position" if start > end else "two positions at once"
            yield _finding(
                "track-hole",
                f"{what} from {format_ms(min(end, start))} to {format_ms(max(end, start))}",
                at_ms=min(end, start),
            )


def _fast(context: CheckContext) -> Iterator[Finding]:
    least = context.lesson.checks.fast_ms
    for span, after in pairwise(context.track.spans):
        if span.end_ms - span.start_ms < least and span.path != after.path:
            yield _finding(
                "too-fast",
                f"{span.address or 'this position'} stays {span.end_ms - span.start_ms} ms; a viewer needs {least}",
                at_ms=span.start_ms,
                end_ms=span.end_ms,
                address=span.address or None,
            )


def _early(context: CheckContext) -> Iterator[Finding]:
    """A move shown long before the phrase that names it begins, and not named before; the position still standing."""
    if not context.words:
        return
    limit = context.lesson.checks.early_ms
    named = _named_squares(context.said, context)
    onsets = [at for at, _, _ in named]
    for before, span in pairwise(context.track.spans):
        back, moves = step(before, span)
        if back or len(moves) != 1 or span.origin == "hand":
            continue
        move = chess.Move.from_uci(moves[0])
        board = context.score.board_at(tuple(chess.Move.from_uci(u) for u in before.path))
        names = _names_of(board, move)
        near = named[bisect_left(onsets, span.start_ms - BEFORE_MS) : bisect_left(onsets, span.end_ms)]
        if board.is_capture(move) and any(_TAKING.fullmatch(w) for at, _, w in near if at <= span.start_ms + limit):
            continue  # "he's eaten the rook": told without its square
        hit = next(((at, phrase) for at, phrase, word in near if word in names), None)
        if hit is not None and hit[1] - span.start_ms > limit:
            yield _finding(
                "shown-early",
                f"{span.address} is shown at {format_ms(span.start_ms)}, spoken of at {format_ms(hit[0])}",
                at_ms=span.start_ms,
                end_ms=hit[0],
                address=span.address,
            )


def _names_of(board: chess.Board, move: chess.Move) -> set[str]:
    if board.is_castling(move):
        return {"castles", "castle", "castled", "castling", "o-o"}
    return {chess.square_name(move.to_square)}


_TAKING = re.compile(
    r"(?:re)?(?:takes?|took|taken|taking|captur(?:e|es|ed|ing))|eats?|eaten|ate|eating|grab(?:s|bed)?|snatch(?:es|ed)?|"
    r"win|wins|won|trades?|traded|swap(?:s|ped)?|exchang(?:e|es|ed)|off"
)
_TELLING = re.compile(rf"[a-h][1-8]|castl\w+|{_TAKING.pattern}")


def _named_squares(talk: Sequence[Sentence], context: CheckContext) -> list[tuple[int, int, str]]:
    """(onset, onset of its phrase, word) of everything that may name a move's target.

    A phrase begins with its sentence, or after the move named before it there.
    """
    found = []
    for sentence in talk:
        phrase = context.words[sentence.tokens[0].first].onset_ms
        for token in sentence.tokens:
            if _TELLING.fullmatch(token.text):
                onset = context.words[token.first].onset_ms
                found.append((onset, phrase, token.text))
                phrase = context.words[token.last].end_ms
    return sorted(found)


def _sideline(context: CheckContext) -> Iterator[Finding]:
    spans = context.track.spans
    if spans and spans[-1].origin == "sideline":
        first = len(spans) - 1
        while first and spans[first - 1].origin == "sideline" and _same_line(spans[first - 1], spans[first]):
            first -= 1
        found = _finding(
            "open-sideline",
            f"the lesson ends in the sideline {spans[-1].address} and never returns",
            at_ms=spans[first].start_ms,
            end_ms=spans[-1].end_ms,
            address=spans[-1].address,
        )
        sure = spans[-1].sure
        if sure is not None and sure < SURE:  # the follower may have missed the words that return
            found = replace(found, severity=Severity.NOTE, sure=sure)
        yield found


def _same_line(before: BoardSpan, after: BoardSpan) -> bool:
    return before.shared == after.shared


def _pauses(context: CheckContext) -> Iterator[Finding]:
    least = round(context.lesson.follow.think_s * 1000)
    asks = context.follow.asks if context.follow is not None else ()
    for pause in context.pauses:
        ask = min(asks, key=lambda a: abs(a.at_ms - pause.at_ms), default=None)
        spoken = 0
        if ask is not None and abs(ask.at_ms - pause.at_ms) <= ASKED_MS:
            spoken = ask.spoken_pause_ms
            shown = context.track.at(pause.at_ms)
            if shown.path[: len(ask.path)] == ask.path and len(shown.path) > len(ask.path):
                yield _finding(
                    "answer-early",
                    f"the pause at {format_ms(pause.at_ms)} asks for a move, but {shown.address} is already shown",
                    at_ms=pause.at_ms,
                    address=shown.address,
                )
        if pause.hold_ms + spoken < least - ROUNDED_MS:
            yield _finding(
                "short-think",
                f"the think-pause lasts {pause.hold_ms / 1000:g} s; set are {least / 1000:g} s",
                at_ms=pause.at_ms,
            )


def _silences(context: CheckContext) -> Iterator[Finding]:
    """The viewer is asked and the teacher keeps silent: the answer must not come up while they think."""
    words = context.words
    for ask in context.follow.asks if context.follow is not None else ():
        if not 0 <= ask.last < len(words) - 1:
            continue
        begin, end = words[ask.last].end_ms, words[ask.last + 1].onset_ms - LEAD_MS
        for span in context.track.spans:
            held = any(ask.at_ms - ASKED_MS <= p.at_ms <= span.start_ms for p in context.pauses)
            answers = len(span.path) > len(ask.path) and span.path[: len(ask.path)] == ask.path
            if begin < span.start_ms < end and answers and not held:
                yield _finding(
                    "answer-early",
                    f"the viewer is asked for a move, and {span.address} is shown at {format_ms(span.start_ms)}, "
                    f"{(end + LEAD_MS - span.start_ms) / 1000:.1f} s before the talk goes on",
                    at_ms=span.start_ms,
                    address=span.address,
                )
                break


def _lengths(context: CheckContext) -> Iterator[Finding]:
    if context.duration_ms is None or not context.words:
        return
    last = max(w.end_ms for w in context.words)
    if last > context.duration_ms + OVERRUN_MS:
        yield _finding(
            "transcript-long",
            f"words go on to {format_ms(last)}, the recording ends at {format_ms(context.duration_ms)}",
            at_ms=context.duration_ms,
        )
    elif context.duration_ms - last > TAIL_MS:
        yield _finding(
            "transcript-short",
            f"the last word ends at {format_ms(last)}, the recording goes on to {format_ms(context.duration_ms)}",
            at_ms=last,
        )

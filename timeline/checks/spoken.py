"""Moves that are announced but cannot be played in any position near, or that two pieces could play."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

import chess

from timeline.checks.claims import Spot
from timeline.checks.codes import CODES
from timeline.checks.context import CheckContext, Help
from timeline.checks.facts import with_turn
from timeline.checks.grammar import Claim
from timeline.checks.guards import why_not
from timeline.checks.nouns import PIECES, moves_named
from timeline.checks.spots import Positions
from timeline.problems import Finding

_MOVE = re.compile(
    r"(?<= )(?P<piece>king|queen|rook|bishop|knight)(?: (?:from )?[a-h](?:[1-8])?)? "
    r"(?P<how>takes(?: on)?|captures(?: on)?|recaptures on|to|back to|goes to|moves to|jumps to|drops back to)? ?"
    r"(?P<goal>[a-h][1-8])(?= )"
)
# Before these words a piece and its square are looked at, wished for or listed, not played.
_NOT_PLAYED = frozenset(
    "the a an this that his her my our your their on for of with from and or like no not some any want wants needs "
    "need 's going get put place bring against behind after before if when".split()
)


def check_moves(context: CheckContext, help_: Help) -> Iterator[Finding]:
    """Announced moves against the positions of their time; one finding for each that fits nowhere."""
    if not context.words or context.unfollowed:
        return
    words = context.words
    said = context.said
    positions = Positions(context.score, context.track, context.follow, words)
    for number, sentence in enumerate(said):
        following = said[number + 1] if number + 1 < len(said) else None
        for match in _MOVE.finditer(sentence.text):
            first, last = sentence.token_at(match.start()), sentence.token_at(match.end() - 1)
            claim = Claim("announced", {"move": match[0]}, first, last)
            if why_not(sentence, claim, following) is not None:
                continue
            before = sentence.tokens[first - 1].text if first else ""
            if before == "'s" and sentence.tokens[first - 2].text in ("queen", "king"):
                continue  # "the queen's knight" may be a piece, its pawn, or a file
            capture = bool(match["how"] and re.match("takes|captures|recaptures", match["how"]))
            if re.match(r" (?:on|at) move \d", sentence.text[match.end() :]):
                continue  # a look back: the move number decides
            if before == "the" and first > 1 and sentence.tokens[first - 2].text == "or":
                continue  # one of several things that may happen
            if not capture and (before in _NOT_PLAYED or not match["how"]):
                continue
            times = words[sentence.tokens[first].first].onset_ms, words[sentence.tokens[last].last].end_ms
            whole = words[sentence.tokens[0].first].onset_ms, words[sentence.tokens[-1].last].end_ms
            if positions.stale(times[0]):
                continue
            near = positions.near(*times, *whole)
            yield from _judge(
                context, positions, match, near, times, (sentence.tokens[first].first, sentence.tokens[last].last)
            )


def _judge(
    context: CheckContext,
    positions: Positions,
    match: re.Match[str],
    near: Sequence[Spot],
    times: tuple[int, int],
    words: tuple[int, int],
) -> Iterator[Finding]:
    piece, goal = PIECES[match["piece"]], chess.parse_square(match["goal"])
    if re.match(r"\w+ [a-h][1-8] \w", match[0]):
        return  # it may be two moves in a row, without a stop between them
    wide = [*near, *positions.wide(*times)]
    if (match["how"] or "").startswith("takes") and any(_two_moves(spot.board, piece, goal) for spot in wide):
        return
    if any(_stands(spot, piece, goal) or _playable(spot.board, match[0]) for spot in wide):
        yield from _ambiguous(context, match, near, times, words)
        return
    here = near[0] if near else wide[0]
    legal = sorted(
        here.board.san(m) for m in here.board.legal_moves if here.board.piece_type_at(m.from_square) == piece
    )
    told = f"after {here.address or 'this position'} a {match['piece']} can go {' '.join(legal[:8]) or 'nowhere'}"
    yield _finding(context, "move-not-possible", match[0], told, here, times, words, 0.7)


def _stands(spot: Spot, piece: int, goal: int) -> bool:
    """It is already there: the move was played, or its result is being described."""
    return spot.board.piece_type_at(goal) == piece


def _two_moves(board: chess.Board, piece: int, goal: int) -> bool:
    """Whether "takes" and the square may be two moves: the piece takes somewhere, then a pawn goes to the square."""
    for side in chess.COLORS:
        turned = with_turn(board, side)
        if turned.was_into_check():
            continue
        for move in turned.legal_moves:
            if turned.piece_type_at(move.from_square) != piece or not turned.is_capture(move):
                continue
            after = turned.copy(stack=False)
            after.push(move)
            if any(m.to_square == goal and after.piece_type_at(m.from_square) == chess.PAWN for m in after.legal_moves):
                return True
    return False


def _playable(board: chess.Board, text: str) -> bool:
    for side in chess.COLORS:
        turned = with_turn(board, side)
        if not turned.was_into_check() and moves_named(turned, text):
            return True
    return False


def _ambiguous(
    context: CheckContext, match: re.Match[str], near: Sequence[Spot], times: tuple[int, int], words: tuple[int, int]
) -> Iterator[Finding]:
    """Two pieces fit, and none of the moves is shown or in the score."""
    decided = {spot.last for spot in near} | set(context.score.moves)
    if not near:
        return
    here = near[0]
    fits = moves_named(here.board, match[0])
    if (
        len(fits) > 1
        and not any(m in decided for m in fits)
        and not any(_stands(s, PIECES[match["piece"]], chess.parse_square(match["goal"])) for s in near)
    ):
        told = f"it may be {' or '.join(sorted(here.board.san(m) for m in fits))}"
        yield _finding(context, "move-ambiguous", match[0], told, here, times, words, 0.6)


def _finding(
    context: CheckContext,
    code: str,
    text: str,
    actual: str,
    spot: Spot,
    times: tuple[int, int],
    words: tuple[int, int],
    sure: float,
) -> Finding:
    row = CODES[code]
    said = " ".join(w.text for w in context.words[words[0] : words[1] + 1]).strip(" ,;:.")
    return Finding(
        code,
        f"“{said}”: {actual}",
        row.severity,
        file=context.lesson.transcript,
        at_ms=times[0],
        end_ms=times[1],
        address=spot.address or None,
        said=said,
        actual=actual,
        fix=row.mend,
        sure=sure,
        extra={"fen": spot.board.fen(), "words": [*words]},
    )

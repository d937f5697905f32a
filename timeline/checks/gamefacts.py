"""Statements about the game: whose move, which move, who plays, which opening, the result, legal moves."""

from __future__ import annotations

import re

import chess

from timeline.checks import facts
from timeline.checks.claims import Spot, Talk, Verdict, decider, side_of, sides, some
from timeline.checks.grammar import Claim
from timeline.checks.nouns import moves_named
from timeline.checks.openings import find_opening, is_opening


@decider("turn")
def _turn(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    side = side_of(claim, talk)
    if side is None or spot.board.is_game_over():
        return None
    return spot.board.turn == side


@decider("move_number")
def _move_number(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    number = claim.number()
    if number is None:
        return None
    now = spot.board.fullmove_number
    # After Black's 19th move the counter says 20; people still call the position "move nineteen".
    near = {now, now - 1} if spot.board.turn == chess.WHITE else {now}
    return number in near


@decider("move_number_played")
def _move_number_played(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    number = claim.number()
    if number is None or talk.score is None:
        return None
    answers: list[Verdict] = []
    for side in sides(claim, talk):
        for board, move in zip(talk.score.boards, talk.score.moves, strict=False):
            if board.fullmove_number == number and board.turn == side:
                answers.append(move in moves_named(board, claim.parts["move"]))
    return some(answers) if answers else None


@decider("in_the_game")
def _in_the_game(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    """The move must be in the mainline near the position (four plies either way), or anywhere later at once named."""
    if talk.score is None:
        return None
    shared = talk.score.mainline_length(spot.path)
    for ply in range(max(0, shared - 6), min(len(talk.score.moves), shared + 8)):
        board = talk.score.boards[ply]
        side = side_of(claim, talk)
        if side is not None and side != board.turn:
            continue
        if talk.score.moves[ply] in moves_named(board, claim.parts["move"]):
            return True
    return False


_LOSES = re.compile(
    r"los|defeat$|.*(?:beaten|(?:was|got|been).* defeated)|tipped|called|resign|gave|give|threw|had to|has to|stopped"
    r"|went down|capitul|surrender"
)
"""Outcomes of which the side named is the loser; "defeated" alone is the winner's."""


@decider("result")
def _result(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    if talk.score is None:
        return None
    result = talk.score.game.headers.get("Result", "*")
    if result not in ("1-0", "0-1", "1/2-1/2"):
        return None
    said = claim.parts.get("out", "won")
    if "draw" in said or "point" in said:
        return result == "1/2-1/2"
    side = side_of(claim, talk)
    if side is None:
        return None if result != "1/2-1/2" else False
    winner = None if result == "1/2-1/2" else result == "1-0"
    loses = bool(_LOSES.match(said))
    return winner == ((not side) if loses else side)


@decider("players")
def _players(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    who = claim.parts.get("who", "")
    side = talk.names.get(who)
    return None if side is None else side == claim.parts["seat"]


@decider("opening")
def _opening(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    name = find_opening(claim.parts["opening"])
    if name is None or talk.score is None:
        return None
    known = some(is_opening(name, moves, start=talk.score.start) for moves in (spot.path, talk.score.moves))
    sideline = spot.path != talk.score.moves[: len(spot.path)]
    return None if sideline and known is False else known  # a sideline may go on


@decider("legal", "illegal")
def _legal(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    side = side_of(claim, talk)
    text = claim.parts["move"]
    board = spot.board if side is None else facts.with_turn(spot.board, side)
    if board.was_into_check():
        return None
    legal = bool(moves_named(board, text))
    if claim.kind == "legal" and side is None and not legal:
        # "You can go": said of whoever may, also before the move that is shown.
        others = (facts.with_turn(spot.board, not spot.board.turn), spot.before)
        legal = any(b is not None and not b.was_into_check() and bool(moves_named(b, text)) for b in others)
    if not re.search(r"king|queen|rook|bishop|knight|pawn|cast", text) and not legal and "takes" not in text:
        return None
    return legal if claim.kind == "legal" else not legal

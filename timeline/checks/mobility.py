"""Statements about how many moves there are: of a side, of a king ("two squares left"), of a piece.

Legal moves are those of the FIDE Laws (3.10); a side that is not on the move is
looked at as if it were. Usage is loose where the word "legal" is not said: "no
moves" may mean none that helps. Then False is said only where no usage allows
it: a capture that wins, or (ours) very many moves.
"""

from __future__ import annotations

import chess

from timeline.checks import facts
from timeline.checks.claims import Spot, Talk, Verdict, at, decider, side_of, sides, some
from timeline.checks.grammar import Claim
from timeline.checks.nouns import parse_noun

MANY = 25  # legal moves of a side: more than in the position where all games begin
ROOMY = 3  # squares of a piece or a king, no longer "no squares" in any usage


def moves_of(board: chess.Board, side: chess.Color, place: int | None = None) -> list[chess.Move] | None:
    """Legal moves of the side (from ``place``), as if it were to move; None while the other king stands in check."""
    turned = facts.with_turn(board, side)
    if turned.was_into_check():
        return None
    return [m for m in turned.legal_moves if place is None or m.from_square == place]


@decider("side_moves")
def _side_moves(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    wanted = claim.number()
    return some(_of_side(spot.board, side, wanted, "loose" in claim.parts) for side in sides(claim, talk))


def _of_side(board: chess.Board, side: chess.Color, wanted: int | None, loose: bool) -> Verdict:
    moves = moves_of(board, side)
    if moves is None or wanted is None:
        return None
    if wanted in (len(moves), len({(m.from_square, m.to_square) for m in moves})):  # promotions told apart or not
        return True
    if not loose:
        return False
    gains = any(board.piece_at(m.to_square) and facts.exchange(board, m.to_square, side) > 0 for m in moves)
    return False if gains or len(moves) >= MANY else None


@decider("king_squares")
def _king_squares(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    """Of a side that is not said ("my king") either may be meant, the other's too while one stands in check."""
    named = sides(claim, talk)
    either = len(named) > 1 and spot.board.is_check()
    return some(_of_king(spot.board, side, claim, either=either) for side in named)


def _of_king(board: chess.Board, side: chess.Color, claim: Claim, *, either: bool = False) -> Verdict:
    """``either``: also of a king whose opponent is in check."""
    place, wanted = board.king(side), claim.number()
    moves = moves_of(board, side, place) if place is not None else None
    if moves is None and either:
        moves = [m for m in facts.with_turn(board, side).legal_moves if m.from_square == place]
    if moves is None or wanted is None:
        return None
    goals = {m.to_square for m in moves}
    plain = {s for s in goals if board.piece_at(s) is None and not (place and chess.square_distance(s, place) > 1)}
    # Captures and castling count in some usages.
    if len(plain) <= wanted <= len(goals):
        return True if wanted == len(goals) else None
    return None if "loose" in claim.parts and len(plain) < ROOMY else False


@decider("piece_moves")
def _piece_moves(claim: Claim, spot: Spot, talk: Talk) -> Verdict:
    noun = parse_noun(claim.parts["a"], talk.me)
    if noun is None or noun.plural or (not noun.definite and noun.square is None):  # "a pinned knight": any
        return None
    return some(_of_piece(spot.board, place, claim) for place in at(claim, spot, talk, "a", side_of(claim, talk)))


def _of_piece(board: chess.Board, place: int, claim: Claim) -> Verdict:
    side, wanted = board.color_at(place), claim.number()
    if side is None or wanted is None:
        return None
    if board.piece_type_at(place) == chess.KING:
        return _of_king(board, side, claim)
    moves = moves_of(board, side, place)
    if moves is None:
        return None
    goals = {m.to_square for m in moves}
    if wanted == len(goals):
        return True
    safe = {s for s in goals if not board.is_attacked_by(not side, s)}
    if "loose" in claim.parts:
        return None if len(safe) < ROOMY else False
    # "The knight has two squares" may leave out those where it is lost; a piece never has more than are legal.
    return None if len(safe) <= wanted < len(goals) and wanted else False

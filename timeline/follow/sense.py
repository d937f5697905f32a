"""What speaks for one of several moves that an unspecific mention may mean.

Plausibility breaks ties only (Gabsdil 2004, "Combining acoustic confidences
and pragmatic plausibility for classifying spoken chess move instructions"):
a lesson shows bad moves on purpose.
"""

from __future__ import annotations

import chess

from timeline.follow.hypotheses import Feature
from timeline.follow.mentions import Mention
from timeline.follow.settled import MATED, settled
from timeline.follow.tree import VALUES, Legal, Node

UNSPECIFIC = frozenset(("check", "piece", "pcheck", "take", "cap", "other", "promo", "effect"))
MOST_DROPPED = 8.0  # pawns


def exchanged(node: Node, legal: Legal) -> int:
    """What a move gains, in pawns, when both sides then take on its square with the least valuable piece for as long as
    that pays (static exchange evaluation, common practice). A man pinned to its king does not take off its line."""
    known = node.swaps.get(legal.move)
    if known is None:
        known = node.swaps[legal.move] = _exchanged(node.board, legal)
    return known


def _exchanged(board: chess.Board, legal: Legal) -> int:
    side, square = board.turn, legal.to_sq
    occupied = board.occupied & ~chess.BB_SQUARES[legal.from_sq] | chess.BB_SQUARES[square]
    gain = VALUES[legal.victim] + (VALUES[legal.promo] - 1 if legal.promo else 0)
    if not board.attackers_mask(not side, square, occupied) & occupied:
        return gain
    standing = VALUES[legal.promo or legal.piece]
    won = [gain]
    turn = not side
    pinned = _pinned(board, square, chess.BB_SQUARES[legal.from_sq])
    while len(won) < 12:
        attackers = board.attackers_mask(turn, square, occupied) & occupied & ~pinned
        piece, men = next(
            ((p, m) for p in chess.PIECE_TYPES if (m := attackers & board.pieces_mask(p, turn))), (0, chess.BB_EMPTY)
        )
        if not piece:
            break
        left = occupied & ~(men & -men)
        if piece == chess.KING and board.attackers_mask(not turn, square, left) & left:
            break
        occupied = left
        won.append(standing)
        standing = VALUES[piece]
        turn = not turn
    best = 0
    for value in reversed(won[1:]):
        best = max(0, value - best)
    return won[0] - best


def _pinned(board: chess.Board, square: chess.Square, mover: chess.Bitboard) -> chess.Bitboard:
    """Men of either side that may not leave their line to take on ``square``."""
    found = chess.BB_EMPTY
    goal = chess.BB_SQUARES[square]
    for side in chess.COLORS:
        if board.king(side) is None:
            continue
        for man in chess.scan_reversed(board.attackers_mask(side, square) & ~board.kings & ~mover):
            if not board.pin_mask(side, man) & goal:
                found |= chess.BB_SQUARES[man]
    return found


def dropped(after: Node, *, named: bool) -> list[Feature]:
    """Features of a move by which a sideline goes on: what it gives away, in pawns, once the captures are over (``settled``).

    ``named``: words name the move itself, so that it counts for less how good it is."""
    if after.parent is None:
        return []
    now = -worth(after)
    less = (worth(after.parent) - now) / 100
    name = "named:drop" if named else "drop"
    feats = [(f"{name}:first", min(1.0, less)), (name, min(MOST_DROPPED, less))] if less > 0 else []
    return [*feats, ("mates", 1.0)] if now == -MATED else feats


def worth(node: Node) -> int:
    """What a position is worth to the side to move, in centipawns; worked out once."""
    if node.worth is None:
        node.worth = settled(node.board)
    return node.worth


def told(node: Node, legal: Legal, *, check: bool) -> list[Feature]:
    """Features of a move among those that an unspecific mention may mean; ``check``: the next words say "check"."""
    feats: list[Feature] = []
    gain = exchanged(node, legal)
    if gain < 0:
        feats.append(("loses", min(5.0, -gain)))
    elif gain > 0:
        feats.append(("gains", min(5.0, gain)))
    if legal.victim:
        feats.append((f"by:{legal.piece}", 1.0))
    gives = node.checks(legal)
    if check or gives:
        feats.append((f"check:{'told' if check else 'untold'}:{min(gives, 1)}", 1.0))
    back, first = node.parent, True
    for _ in range(4):
        if back is None or back.move is None:
            break
        if back.move == legal.move:
            feats.append(("again", 1.0))
            break
        if first and back.move.to_square == legal.from_sq:
            feats.append(("same piece", 1.0))
        first = False
        back = back.parent.parent if back.parent is not None else None
    return feats


def there(node: Node, m: Mention) -> str:
    """Whether the named piece stands on the named square already ("there"), or stood there lately ("was")."""
    d = m.desc
    if d.to < 0 or not d.piece or d.cap:
        return ""
    if node.board.piece_type_at(d.to) == d.piece:
        return "there"
    back, steps_back = node.parent, 0
    while back is not None and steps_back < 6:
        if back.board.piece_type_at(d.to) == d.piece:
            return "was"
        back, steps_back = back.parent, steps_back + 1
    return ""

"""What speaks for one of several moves that an unspecific mention may mean.

Plausibility breaks ties only (Gabsdil 2004, "Combining acoustic confidences
and pragmatic plausibility for classifying spoken chess move instructions"):
a lesson shows bad moves on purpose.
"""

from __future__ import annotations

import chess

from timeline.follow.hypotheses import Feature
from timeline.follow.mentions import Mention
from timeline.follow.tree import VALUES, Legal, Node

UNSPECIFIC = frozenset(("check", "piece", "pcheck", "take", "cap", "other", "promo", "effect"))


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
    standing = VALUES[legal.promo or legal.piece]
    won = [VALUES[legal.victim] + (VALUES[legal.promo] - 1 if legal.promo else 0)]
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


def left_hanging(after: Node) -> int:
    """What the move that led to a position leaves to be taken elsewhere, in pawns: the most valuable man but a pawn that
    nothing guards, or that a lesser one attacks. 0 after a check, which has to be answered first."""
    if after.hanging < 0:
        after.hanging = _left_hanging(after)
    return after.hanging


def _left_hanging(after: Node) -> int:
    board = after.board
    if after.move is None or board.is_check():
        return 0
    side, worst = not board.turn, 0
    for kind in (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT):
        value = VALUES[kind]
        if value <= worst:
            break
        for square in chess.scan_forward(board.pieces_mask(kind, side) & ~chess.BB_SQUARES[after.move.to_square]):
            takers = board.attackers_mask(board.turn, square)
            if not takers:
                continue
            if not board.attackers_mask(side, square):
                worst = max(worst, value)
            elif takers & ~board.kings:
                worst = max(worst, value - min(VALUES[p] for p in chess.PIECE_TYPES if takers & board.pieces_mask(p, board.turn)))
    return worst


def best_capture(node: Node) -> int:
    """What the best capture of a position gains (``exchanged``), in pawns; 0 where none gains."""
    if node.best < 0:
        node.best = max((exchanged(node, legal) for legal in node.legal if legal.victim), default=0)
        node.best = max(0, node.best)
    return node.best


def missed(node: Node, legal: Legal) -> list[Feature]:
    """How much less a move gains than the best capture does, in pawns; nothing of a check, which comes first."""
    less = min(5, best_capture(node)) - max(0, exchanged(node, legal))
    return [("misses", float(less))] if less > 0 and not node.checks(legal) else []


def in_a_line(node: Node, legal: Legal, after: Node) -> list[Feature]:
    """Features of a sideline's move that is named in full: which of several lines it belongs to is still to be told."""
    feats: list[Feature] = []
    gain = exchanged(node, legal)
    if gain:
        feats.append(("named:gains" if gain > 0 else "named:loses", min(5.0, abs(gain))))
    hangs = left_hanging(after)
    if hangs:
        feats.append(("named:hangs", float(hangs)))
    return feats


def told(node: Node, legal: Legal, after: Node, *, check: bool) -> list[Feature]:
    """Features of a move among those that an unspecific mention may mean; ``after``: the position that it leads to;
    ``check``: the next words say "check"."""
    feats: list[Feature] = []
    gain = exchanged(node, legal)
    if gain < 0:
        feats.append(("loses", min(5.0, -gain)))
    elif gain > 0:
        feats.append(("gains", min(5.0, gain)))
    if legal.victim:
        feats.append((f"by:{legal.piece}", 1.0))
    hangs = left_hanging(after)
    if hangs:
        feats.append(("hangs", float(hangs)))
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

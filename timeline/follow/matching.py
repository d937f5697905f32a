"""Which legal moves a mention can mean in a position, and how well each fits."""

from __future__ import annotations

import chess

from timeline.follow.effects import fits, reach
from timeline.follow.mentions import Desc
from timeline.follow.tree import Legal, Node, Tree

Match = tuple[Legal, float, str]
"""A legal move, the cost of reading the description as it (0 is a perfect fit), and how it stands to the last
capture: "rc" takes back there, "nr" takes elsewhere though taking back was possible, "nx" nothing to take back."""


JUST_CAME = 2.5
"""What it costs a bare square to be the capture there of the man that has just come: it is named again, or looked at."""
_PAWNS = 2.0
"""What it costs a piece to be named by a square alone to which a pawn can go as well."""


def matches(node: Node, desc: Desc) -> list[Match]:
    """All legal moves of ``node`` that fit ``desc``, best first; remembered with the node."""
    known = node.matches.get(desc)
    if known is None:
        known = node.matches[desc] = _matches(node, desc)
    return known  # type: ignore[return-value]


def led(node: Node, desc: Desc) -> bool:
    """Whether a description can be the move that led to a position."""
    return node.parent is not None and any(legal.move == node.move for legal, _, _ in matches(node.parent, desc))


def fit_of(node: Node, legal: Legal, d: Desc) -> float | None:
    """The cost of reading a description as one legal move of ``node``; None where it cannot be that move."""
    if d.effect:
        men, goals = reach(node.board, d.effect)
        if not (chess.BB_SQUARES[legal.from_sq] & men and chess.BB_SQUARES[legal.to_sq] & goals):
            return None
    return _fit(node, legal, d)


def game_fits(tree: Tree, desc: Desc) -> dict[int, float]:
    """The mainline's moves that a description can be, each alone: by the ply before it, in order, the cost (``fit_of``);
    remembered with the tree."""
    known = tree.fits.get(desc)
    if known is None:
        bare = desc.to >= 0 and not desc.piece and desc.fsq < 0
        costs = ((ply, fit_of(tree.main[ply], step, desc)) for ply, step in enumerate(tree.steps))
        if bare:
            costs = ((ply, cost + _PAWNS if cost is not None and _for_a_pawn(tree.main[ply], tree.steps[ply], desc) else cost) for ply, cost in costs)
        known = tree.fits[desc] = {ply: cost for ply, cost in costs if cost is not None}
    return known  # type: ignore[return-value]


def _for_a_pawn(node: Node, legal: Legal, d: Desc) -> bool:
    """Whether a piece's move is described by a square to which a pawn can go as well."""
    return legal.piece != chess.PAWN and any(fit is not None for fit in (_fit(node, m, d) for m in node.moves(node.board.pawns, chess.BB_SQUARES[d.to])))


def _matches(node: Node, d: Desc) -> list[Match]:
    found: list[Match] = []
    for legal in _candidates(node, d):
        cost = _fit(node, legal, d)
        if cost is not None:
            found.append((legal, cost, ""))
    if d.to >= 0 and not d.piece and d.fsq < 0 and any(legal.piece == chess.PAWN for legal, _, _ in found):
        # a bare square is a pawn's move where a pawn can go there
        found = [(legal, cost if legal.piece == chess.PAWN else cost + _PAWNS, how) for legal, cost, how in found]
    if d.cap and d.to < 0 and found:
        square = node.move.to_square if node.move is not None else -1
        back = any(legal.to_sq == square for legal, _, _ in found)
        other = "nr" if back else "nx"
        found = [(legal, cost, "rc" if legal.to_sq == square else other) for legal, cost, _ in found]
    found.sort(key=lambda match: (match[1], match[2] != "rc"))
    return found[:24]


def _candidates(node: Node, d: Desc) -> list[Legal]:
    """Legal moves that may fit, by what the description says of men and goals."""
    board = node.board
    men = goals = chess.BB_ALL
    if d.effect:
        men, goals = reach(board, d.effect)
        if d.piece:
            men &= board.pieces_mask(d.piece, board.turn)
        if d.ff:
            men &= chess.BB_FILES[ord(d.ff) - 97]
    elif d.castle:
        men = board.kings
    else:
        if d.piece:
            men = board.pieces_mask(d.piece, board.turn)
        if d.ff:
            men &= chess.BB_FILES[ord(d.ff) - 97]
        if d.fr:
            men &= chess.BB_RANKS[int(d.fr) - 1]
        if d.fsq >= 0:
            men &= chess.BB_SQUARES[d.fsq]
        if d.cap:
            goals = board.occupied_co[not board.turn]
            if d.victim:
                goals &= board.pieces_mask(d.victim, not board.turn)
            if board.ep_square is not None and d.piece in (0, chess.PAWN):
                goals |= chess.BB_SQUARES[board.ep_square]
        if d.to >= 0:
            goals &= chess.BB_SQUARES[d.to]
        elif d.to_file:
            goals &= chess.BB_FILES[ord(d.to_file) - 97]
    return node.moves(men, goals) if men and goals else []


def _from_flank(board: chess.Board, m: Legal, flank: str) -> bool:
    """Whether a piece is the king's or the queen's: bishops by the colour of their square, others by the half they stand on."""
    if m.piece == chess.BISHOP:
        light = bool(chess.BB_SQUARES[m.from_sq] & chess.BB_LIGHT_SQUARES)
        return light == ((flank == "k") == board.turn)
    return (chess.square_file(m.from_sq) >= 4) == (flank == "k")


def _fit(node: Node, m: Legal, d: Desc) -> float | None:
    if d.effect:
        return fits(node, m, d.effect)
    if d.castle:
        if not m.castle or (d.castle != "any" and d.castle != m.castle):
            return None
        return 0.0
    cost = 0.0
    if m.castle:  # "king e1 to g1"
        return 0.0 if d.fsq == m.from_sq and d.to == m.to_sq else None
    if d.to >= 0 and m.to_sq != d.to:
        return None
    if d.piece:
        if m.piece != d.piece:
            return None
    elif d.man and m.piece == chess.PAWN:
        return None
    elif d.to >= 0 and not d.cap and m.piece != chess.PAWN and d.fsq < 0:
        cost += 0.3 if d.man else 0.8
    if d.ff and chess.FILE_NAMES[chess.square_file(m.from_sq)] != d.ff:
        return None
    if d.fr and chess.RANK_NAMES[chess.square_rank(m.from_sq)] != d.fr:
        return None
    if d.fsq >= 0 and m.from_sq != d.fsq:
        return None
    if d.to_file and chess.FILE_NAMES[chess.square_file(m.to_sq)] != d.to_file:
        return None
    if d.to_rank:
        rank = chess.square_rank(m.to_sq)
        turn = node.board.turn
        named = int(d.to_rank) - 1
        if rank != (named if turn == chess.WHITE else 7 - named):
            if rank != named:
                return None
            cost += 0.3
    if d.cap:
        if not m.victim:
            return None
        if d.victim and m.victim != d.victim:
            return None
    elif m.victim:
        cost += 0.4 if d.to >= 0 else 1.0
        if d.to >= 0 and not d.piece and m.piece == chess.PAWN and node.move is not None and node.move.to_square == m.to_sq:
            cost += JUST_CAME
    if d.flank and not _from_flank(node.board, m, d.flank):
        return None
    if d.steps and (m.victim or abs(m.to_sq - m.from_sq) != 8 * d.steps):
        return None
    if d.promo:
        if not m.promo or (m.promo != d.promo):
            return None
    elif m.promo:
        if m.promo != chess.QUEEN:
            return None
        cost += 0.3
    if d.chk:
        given = node.checks(m)
        if not given:
            if d.to < 0 and not d.cap:
                return None
            cost += 1.2
        elif d.chk == 2 and given < 2:
            cost += 0.9
    if d.other:
        last = node.parent.move if node.parent is not None else None
        if last is not None and last.to_square == m.from_sq:
            cost += 1.0
    return cost

"""Positions that the search visits: interned nodes with their legal moves worked out once."""

from __future__ import annotations

from typing import NamedTuple

import chess

from timeline.score import Score

VALUES = (0, 1, 3, 3, 5, 9, 99)
"""Pawn 1, knight and bishop 3, rook 5, queen 9 (common practice); index is the piece type."""


class Legal(NamedTuple):
    """A legal move, taken apart. ``victim`` is 0 when nothing is captured; ``castle`` is ``""``, ``"k"`` or ``"q"``."""

    move: chess.Move
    piece: int
    from_sq: int
    to_sq: int
    victim: int
    promo: int
    castle: str


FEW = 2
"""Men up to which asking each where it goes is cheaper than asking a square who comes there."""
_PROMOTIONS = (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT)


def _apart(board: chess.Board, move: chess.Move) -> Legal:
    piece = board.piece_type_at(move.from_square) or 0
    castle, victim = "", 0
    if piece == chess.KING and board.is_castling(move):
        castle = "k" if chess.square_file(move.to_square) > chess.square_file(move.from_square) else "q"
    elif piece == chess.PAWN and board.is_en_passant(move):
        victim = chess.PAWN
    else:
        victim = board.piece_type_at(move.to_square) or 0
    return Legal(move, piece, move.from_square, move.to_square, victim, move.promotion or 0, castle)


class Node:
    """A position, reached by one path. ``shared``: plies of the path on the mainline."""

    __slots__ = (
        "_board",
        "_checks",
        "_danger",
        "_legal",
        "_losses",
        "_place",
        "_uci",
        "children",
        "key",
        "matches",
        "move",
        "parent",
        "ply",
        "shared",
        "swaps",
        "worth",
    )

    def __init__(
        self, parent: Node | None, move: chess.Move | None, board: chess.Board | None, shared: int, key: int
    ) -> None:
        self.parent, self.move, self.shared, self.key = parent, move, shared, key
        self.ply: int = parent.ply + 1 if parent else 0
        self._board = board
        self._legal: list[Legal] | None = None
        self._checks: dict[chess.Move, int] = {}
        self._danger: tuple[int, int, int] | None = None
        self._losses: dict[chess.Move, int] = {}
        self._place: int | None = None
        self._uci: tuple[str, ...] | None = None
        self.swaps: dict[chess.Move, int] = {}
        self.worth: int | None = None
        self.children: dict[chess.Move, Node] = {}
        self.matches: dict[object, object] = {}

    @property
    def place(self) -> int:
        """A hash of the position and of where its line left the mainline: alike for lines that only change the order of moves."""
        if self._place is None:
            b = self.board
            men = (b.pawns, b.knights, b.bishops, b.rooks, b.queens, b.kings, b.occupied_co[chess.WHITE])
            self._place = hash((*men, b.turn, self.shared, self.ply))
        return self._place

    @property
    def board(self) -> chess.Board:
        if self._board is None:
            assert self.parent is not None
            assert self.move is not None
            self._board = self.parent.board.copy(stack=False)
            self._board.push(self.move)
            self._board.clear_stack()
        return self._board

    def forget(self) -> None:
        """Lets go of what can be worked out again."""
        if self.parent is not None:
            self._board = None
        self._legal = None
        self._checks, self._losses, self.swaps, self.matches = {}, {}, {}, {}

    @property
    def main(self) -> bool:
        return self.shared == self.ply

    @property
    def depth(self) -> int:
        """Plies since the path left the mainline."""
        return self.ply - self.shared

    @property
    def legal(self) -> list[Legal]:
        if self._legal is None:
            self._legal = self.moves(chess.BB_ALL, chess.BB_ALL)
        return self._legal

    def moves(self, men: chess.Bitboard, goals: chess.Bitboard) -> list[Legal]:
        """Legal moves of some men to some squares (bitboards)."""
        if self._legal is not None:
            squares = chess.BB_SQUARES
            return [m for m in self._legal if squares[m.from_sq] & men and squares[m.to_sq] & goals]
        board = self.board
        turn = board.turn
        if self._danger is None:
            king = board.king(turn)
            if king is None:
                self._danger = (-1, 0, 0)
            else:
                self._danger = (king, board.attackers_mask(not turn, king), board._slider_blockers(king))
        king, checkers, blockers = self._danger
        if checkers or king < 0:
            return [_apart(board, move) for move in board.generate_legal_moves(men, goals)]
        found: list[Legal] = []
        own, enemy = board.occupied_co[turn], board.occupied_co[not turn]
        kind_at = board.piece_type_at
        pieces = men & own & ~board.pawns
        if not goals & (goals - 1) and pieces.bit_count() > FEW:
            pieces &= board.attackers_mask(turn, goals.bit_length() - 1)
        for source in chess.scan_reversed(pieces):
            piece = kind_at(source) or 0
            targets = board.attacks_mask(source) & ~own & goals
            if source == king:
                without = board.occupied & ~chess.BB_SQUARES[king]
                for target in chess.scan_reversed(targets):
                    if not board.attackers_mask(not turn, target, without):
                        victim = (kind_at(target) or 0) if chess.BB_SQUARES[target] & enemy else 0
                        found.append(Legal(chess.Move(king, target), piece, king, target, victim, 0, ""))
                continue
            if chess.BB_SQUARES[source] & blockers:
                targets &= chess.ray(source, king)
            for target in chess.scan_reversed(targets):
                victim = (kind_at(target) or 0) if chess.BB_SQUARES[target] & enemy else 0
                found.append(Legal(chess.Move(source, target), piece, source, target, victim, 0, ""))
        if men & chess.BB_SQUARES[king] and board.castling_rights:
            found.extend(_apart(board, move) for move in board.generate_castling_moves(men, goals))
        pawns = men & own & board.pawns
        if pawns:
            self._pawn_moves(pawns, goals, king, blockers, found)
        return found

    def _pawn_moves(
        self, pawns: chess.Bitboard, goals: chess.Bitboard, king: int, blockers: chess.Bitboard, found: list[Legal]
    ) -> None:
        """Legal pawn moves of a side that is not in check."""
        board = self.board
        turn = board.turn
        enemy, empty = board.occupied_co[not turn], ~board.occupied & chess.BB_ALL
        step, third = (8, chess.BB_RANK_3) if turn == chess.WHITE else (-8, chess.BB_RANK_6)
        for source in chess.scan_reversed(pawns):
            targets = chess.BB_PAWN_ATTACKS[turn][source] & enemy
            once = chess.BB_SQUARES[source + step] & empty
            if once:
                targets |= once
                if once & third:
                    targets |= chess.BB_SQUARES[source + 2 * step] & empty
            targets &= goals
            if chess.BB_SQUARES[source] & blockers:
                targets &= chess.ray(source, king)
            for target in chess.scan_reversed(targets):
                victim = (board.piece_type_at(target) or 0) if chess.BB_SQUARES[target] & enemy else 0
                for promo in _PROMOTIONS if chess.BB_SQUARES[target] & chess.BB_BACKRANKS else (0,):
                    move = chess.Move(source, target, promo or None)
                    found.append(Legal(move, chess.PAWN, source, target, victim, promo, ""))
        if board.ep_square is not None and goals & chess.BB_SQUARES[board.ep_square]:
            found.extend(_apart(board, move) for move in board.generate_legal_ep(pawns, goals))

    def checks(self, legal: Legal) -> int:
        """0: no check; 1: check; 2: checkmate."""
        known = self._checks.get(legal.move)
        if known is None:
            board = self.board
            known = 0
            if self._may_check(legal) and board.gives_check(legal.move):
                board.push(legal.move)
                known = 2 if board.is_checkmate() else 1
                board.pop()
            self._checks[legal.move] = known
        return known

    def _may_check(self, legal: Legal) -> bool:
        """A quick look that lets every checking move pass: the piece sees the king, or leaves a line to it."""
        board = self.board
        target = board.king(not board.turn)
        if target is None:
            return False
        if legal.castle or legal.promo or legal.piece == chess.KING:
            return True
        start, goal = chess.BB_SQUARES[legal.from_sq], chess.BB_SQUARES[legal.to_sq]
        if chess.ray(legal.from_sq, target):
            return True
        if legal.piece == chess.PAWN:
            passing = bool(legal.victim) and board.is_en_passant(legal.move)
            return passing or bool(chess.BB_PAWN_ATTACKS[board.turn][legal.to_sq] & chess.BB_SQUARES[target])
        if legal.piece == chess.KNIGHT:
            return bool(chess.BB_KNIGHT_ATTACKS[legal.to_sq] & chess.BB_SQUARES[target])
        line = chess.ray(legal.to_sq, target)
        return bool(line) and not (chess.between(legal.to_sq, target) & board.occupied & ~start & ~goal)

    def loses(self, legal: Legal) -> int:
        """What a move loses at once on its square, in pawns: 0 when the piece cannot be taken or was paid for."""
        known = self._losses.get(legal.move)
        if known is None:
            board = self.board
            after = board.copy(stack=False)
            after.push(legal.move)
            enemy = after.attackers(after.turn, legal.to_sq)
            known = 0
            if enemy and legal.piece != chess.KING:
                guarded = bool(after.attackers(not after.turn, legal.to_sq))
                cheapest = min(VALUES[after.piece_type_at(s) or 0] for s in enemy)
                own = VALUES[legal.promo or legal.piece]
                price = own if not guarded else max(0, own - cheapest)
                known = max(0, price - VALUES[legal.victim])
            self._losses[legal.move] = known
        return known

    @property
    def uci(self) -> tuple[str, ...]:
        """The path in UCI; worked out once, because cues and readings ask for it again and again."""
        way: list[Node] = []
        node = self
        while node._uci is None and node.parent is not None:
            way.append(node)
            node = node.parent
        known = node._uci or ()
        for node in reversed(way):
            assert node.move is not None
            known = node._uci = (*known, node.move.uci())
        return known

    def path(self) -> tuple[chess.Move, ...]:
        moves: list[chess.Move] = []
        node: Node | None = self
        while node is not None and node.move is not None:
            moves.append(node.move)
            node = node.parent
        return tuple(reversed(moves))


class Tree:
    """All nodes of one decoding. ``main[n]`` is the mainline after n plies, ``steps[n]`` its next move there."""

    def __init__(self, score: Score) -> None:
        self.score = score
        self.count = 0
        self.root = self._node(None, None, score.start.copy(stack=False), 0)
        self.main: list[Node] = [self.root]
        for ply, move in enumerate(score.moves):
            node = self._node(self.main[-1], move, score.boards[ply + 1].copy(stack=False), ply + 1)
            self.main[-1].children[move] = node
            self.main.append(node)
        self.steps = [_apart(node.board, move) for node, move in zip(self.main, score.moves, strict=False)]
        self.spoken: dict[tuple[int, int], list[int]] = {}
        for ply, step in enumerate(self.steps):
            self.spoken.setdefault((step.piece, step.to_sq), []).append(ply)
        self.fits: dict[object, object] = {}
        self.kept: set[tuple[int, chess.Move]] = set()
        for path in score.sidelines():
            node = self.root
            for move in path:
                child = self.child(node, move)
                if not child.main:
                    self.kept.add((node.key, move))
                node = child

    def _node(self, parent: Node | None, move: chess.Move | None, board: chess.Board | None, shared: int) -> Node:
        self.count += 1
        return Node(parent, move, board, shared, self.count)

    def release(self) -> None:
        """Lets go of every position but those that somebody holds: as parents and children they would keep each other."""
        nodes = [self.root]
        for node in nodes:
            nodes.extend(node.children.values())
        for node in nodes:
            node.children = {}

    def child(self, node: Node, move: chess.Move) -> Node:
        found = node.children.get(move)
        if found is None:
            found = node.children[move] = self._node(node, move, None, node.shared)
        return found

    def next_main(self, node: Node) -> chess.Move | None:
        """The mainline's next move, when ``node`` is on the mainline and not at its end."""
        if node.main and node.ply < len(self.main) - 1:
            return self.main[node.ply + 1].move
        return None

    def numbered(self, number: int, mover: str = "") -> list[tuple[str, int]]:
        """Mainline plies that a move's number can mean: before the move, after White's, after Black's, as far as there are.

        ``mover``: "white" or "black" where only that side's move is meant.
        """
        board = self.root.board
        first = 2 * (number - board.fullmove_number) + (0 if board.turn == chess.WHITE else -1)
        named = (("before", first), ("white", first + 1), ("black", first + 2))
        return [(name, ply) for name, ply in named if 0 <= ply < len(self.main) and mover in ("", name)]

    def at(self, path: tuple[chess.Move, ...]) -> Node:
        node = self.root
        for move in path:
            node = self.child(node, move)
        return node

"""Exact mate search: is there a forced mate in N, and in how many moves at least?

Mate in N: the side to move mates with its Nth move at the latest, whatever the
other side answers. Stalemate is no mate (FIDE Laws, 1.4.1 and 5.2.1). The search
goes over attacker and defender nodes with iterative deepening, once with checks
alone (which proves most mates) and once with every move (which also disproves).
Positions are keyed by themselves, so a table entry is never that of another
position: an answer is proved, disproved or *unknown*, never guessed. The
half-move clock and repetition are left out, as usual in mate problems.
"""

from __future__ import annotations

from dataclasses import dataclass

import chess

from timeline.bitboard import (
    Position,
    checkers,
    checking_moves,
    from_board,
    is_mated,
    legal_moves,
    make,
    to_move,
)

NODE_LIMIT = 400_000
TABLE_LIMIT = 400_000
NEVER = 99


@dataclass(frozen=True, slots=True)
class Mate:
    """What is proved about a position. ``attacker`` is the side that would give mate.

    ``within``: a mate in so many moves is proved, None when none was found.
    ``not_within``: there is proof that no mate in so many moves exists (0 says
    nothing). ``line`` is a shortest mate found, the defender holding out as long
    as he can among proved replies. ``nodes``: positions looked at.
    """

    attacker: chess.Color
    within: int | None
    not_within: int
    line: tuple[chess.Move, ...]
    nodes: int

    @property
    def exact(self) -> int | None:
        """The number of moves when it is proved both ways, else None."""
        return self.within if self.within is not None and self.not_within == self.within - 1 else None

    def decides(self, moves: int) -> bool | None:
        """Whether there is a mate within ``moves``; None when not known."""
        if self.within is not None and self.within <= moves:
            return True
        return False if self.not_within >= moves else None


def find_mate(board: chess.Board, moves: int, *, node_limit: int = NODE_LIMIT) -> Mate:
    """Whether the side to move mates within ``moves`` (1 or more) moves."""
    return _Search(node_limit).run(board, moves, attack=True)


def find_mated(board: chess.Board, moves: int, *, node_limit: int = NODE_LIMIT) -> Mate:
    """Whether the side to move *is* mated within ``moves`` moves of the other side; 0 asks for checkmate now."""
    return _Search(node_limit).run(board, moves, attack=False)


class _LimitReached(Exception):
    pass


class _Search:
    def __init__(self, node_limit: int) -> None:
        self.limit = node_limit
        self.nodes = 0
        # Per attacker position: mate proved within, disproved within, the mating move.
        self.table: dict[Position, tuple[int, int, int]] = {}
        self.without_checks: dict[Position, int] = {}
        self.killers: dict[int, list[int]] = {}
        self.only_checks = False

    def run(self, board: chess.Board, moves: int, *, attack: bool) -> Mate:
        root = from_board(board)
        within, not_within = None, -1 if not attack else 0
        if not attack and checkers(root) and is_mated(root):
            return Mate(not board.turn, 0, -1, (), 1)
        if not attack:
            not_within = 0
        look = self.attack if attack else self.defend
        try:
            self.only_checks = True
            for n in range(1, moves + 1):
                if look(root, n):
                    within = n
                    break
        except _LimitReached:
            self.nodes = self.limit // 2  # the search of all moves keeps half of the limit
        self.only_checks = False
        top = moves if within is None else within - 1
        try:
            for n in range(1, top + 1):
                if look(root, n):
                    within = n
                    break
                not_within = n
        except _LimitReached:
            pass
        line: tuple[chess.Move, ...] = ()
        if within is not None:
            self.limit = self.nodes + 200_000
            line = tuple(self._line(board, root, within, attack))
        attacker = board.turn if attack else not board.turn
        return Mate(attacker, within, not_within, line, self.nodes)

    # -- the side that wants to give mate
    def attack(self, pos: Position, n: int) -> bool:
        entry = self.table.get(pos)
        failed = 0
        if entry is not None:
            proved, failed, _ = entry
            if proved <= n:
                return True
            if failed >= n:
                return False
        if self.only_checks:
            failed = max(failed, self.without_checks.get(pos, 0))
            if failed >= n:
                return False
        self.nodes += 1
        if self.nodes > self.limit:
            raise _LimitReached
        if not failed:
            for move in checking_moves(pos):
                if is_mated(make(pos, move)):
                    self.table[pos] = (1, 0, move)
                    return True
            self._fail(pos, 1)
            failed = 1
        for depth in range(failed + 1, n + 1):
            if self._deeper(pos, depth):
                return True
            self._fail(pos, depth)
        return False

    def _fail(self, pos: Position, n: int) -> None:
        if self.only_checks and n > 1:
            self.without_checks[pos] = n
        elif n > 1 or len(self.table) < TABLE_LIMIT:
            self.table[pos] = (NEVER, n, 0)

    def _deeper(self, pos: Position, n: int) -> bool:
        checks: list[tuple[int, int, Position, list[int]]] = []
        quiet: list[tuple[int, Position]] = []
        for move in checking_moves(pos) if self.only_checks else legal_moves(pos):
            after = make(pos, move)
            if self.only_checks or checkers(after):
                replies = legal_moves(after)
                checks.append((len(replies), move, after, replies))
            else:
                quiet.append((move, after))
        checks.sort(key=_by_replies)
        for _, move, after, replies in checks:
            if self._defend(after, n - 1, replies):
                self.table[pos] = (n, n - 1, move)
                return True
        if self.only_checks:
            return False
        for move, after in quiet:
            replies = legal_moves(after)
            if replies and self._defend(after, n - 1, replies):
                self.table[pos] = (n, n - 1, move)
                return True
        return False

    # -- the side that is to be mated
    def defend(self, pos: Position, n: int) -> bool:
        replies = legal_moves(pos)
        if not replies:
            return bool(checkers(pos))
        return self._defend(pos, n, replies)

    def _defend(self, pos: Position, n: int, replies: list[int]) -> bool:
        """Whether every reply is answered with mate within ``n``."""
        if n == 0:
            return False
        killers = self.killers.setdefault(n, [])
        table = self.table
        if n == 1:
            return self._defend_last(pos, replies, killers)
        if len(replies) > 1:
            known = killers + [r for r in replies if r not in killers]
            present = set(replies)
            order = []
            for reply in known:
                if reply in present:
                    after = make(pos, reply)
                    entry = table.get(after)
                    if entry is not None and entry[1] >= n:
                        return False
                    if entry is None or entry[0] > n:
                        order.append((reply, after))
        else:
            order = [(replies[0], make(pos, replies[0]))]
        for reply, after in order:
            if not self.attack(after, n):
                _remember(killers, reply)
                return False
        return True

    def _defend_last(self, pos: Position, replies: list[int], killers: list[int]) -> bool:
        """``_defend`` for mate in 1, where most positions are: reply by reply, as the first mostly refutes."""
        for reply in [k for k in killers if k in replies]:
            if not self.attack(make(pos, reply), 1):
                _remember(killers, reply)
                return False
        for reply in replies:
            if reply not in killers and not self.attack(make(pos, reply), 1):
                _remember(killers, reply)
                return False
        return True

    # -- the line of a proved mate
    def _line(self, board: chess.Board, pos: Position, n: int, attack: bool) -> list[chess.Move]:
        board = board.copy(stack=False)
        line: list[chess.Move] = []
        while True:
            if attack:
                entry = self.table.get(pos)
                if entry is None or entry[0] > n:
                    return line
                n = entry[0]
                move = entry[2]
            else:
                replies = legal_moves(pos)
                if not replies:
                    return line
                move = max(replies, key=lambda r, p=pos, top=n: self._holds_out(make(p, r), top))  # type: ignore[misc]
            line.append(to_move(board, move))
            board.push(line[-1])
            pos = make(pos, move)
            n = n - 1 if attack else n
            attack = not attack

    def _holds_out(self, pos: Position, n: int) -> int:
        """In how many moves the attacker mates here, as far as it is proved or can quickly be."""
        entry = self.table.get(pos)
        if entry is None or entry[0] > n:
            try:
                self.attack(pos, n)
            except _LimitReached:
                return 0
            entry = self.table.get(pos)
        return entry[0] if entry is not None and entry[0] <= n else 0


def _remember(killers: list[int], reply: int) -> None:
    """The reply that refuted last is tried first next time."""
    if reply in killers:
        killers.remove(reply)
    killers.insert(0, reply)
    del killers[8:]


def _by_replies(item: tuple[int, int, Position, list[int]]) -> int:
    return item[0]

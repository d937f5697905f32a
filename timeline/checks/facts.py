"""What can be decided by looking at one position: the trade's words, each with its definition.

Every function answers True, False, or None where usage differs and the
position lies between the usages. Check, checkmate and stalemate follow the FIDE
Laws (1.4.1, 3.9, 5.1.1, 5.2.1). The other words have no official definition; the
ones written here are common practice, the narrow usage giving True and only
what no usage allows giving False.

Squares and piece numbers are those of ``chess``; values are the usual 1, 3, 3, 5, 9.
"""

from __future__ import annotations

import chess

VALUE = {chess.PAWN: 1, chess.KNIGHT: 3, chess.BISHOP: 3, chess.ROOK: 5, chess.QUEEN: 9, chess.KING: 100}
SLIDERS = (chess.BISHOP, chess.ROOK, chess.QUEEN)
STEPS: dict[int, tuple[tuple[int, int], ...]] = {
    chess.BISHOP: ((1, 1), (1, -1), (-1, 1), (-1, -1)),
    chess.ROOK: ((1, 0), (-1, 0), (0, 1), (0, -1)),
}
STEPS[chess.QUEEN] = STEPS[chess.BISHOP] + STEPS[chess.ROOK]


def with_turn(board: chess.Board, side: chess.Color) -> chess.Board:
    """The board with ``side`` to move; a passed turn clears the en passant square."""
    if board.turn == side:
        return board
    copy = board.copy(stack=False)
    copy.turn = side
    copy.ep_square = None
    return copy


def slides(piece: int, dx: int, dy: int) -> bool:
    """Whether the piece moves along lines in direction (dx, dy)."""
    return piece in SLIDERS and (dx, dy) in STEPS[piece]


def along(board: chess.Board, square: int, dx: int, dy: int) -> list[int]:
    """Occupied squares met from ``square`` (not counted) in one direction, nearest first."""
    found = []
    x, y = square % 8 + dx, square // 8 + dy
    while 0 <= x < 8 and 0 <= y < 8:
        there = y * 8 + x
        if board.piece_type_at(there):
            found.append(there)
        x, y = x + dx, y + dy
    return found


# -- check and its kinds


def double_check(board: chess.Board) -> bool:
    """Two pieces give check at once."""
    return len(board.checkers()) == 2


def discovered_check(board: chess.Board, last: chess.Move | None) -> bool | None:
    """The check, or one of two, comes from a piece that did not make the last move."""
    checkers = board.checkers()
    if not checkers:
        return False
    if last is None:
        return None
    return any(square != last.to_square for square in checkers)


def discovered_attack(before: chess.Board | None, board: chess.Board, last: chess.Move | None) -> bool | None:
    """The last move opened a line of another piece of the same side to an enemy piece it did not attack before."""
    if last is None or before is None:
        return None
    side = not board.turn
    for square in chess.SquareSet(board.occupied_co[side]):
        if square == last.to_square or board.piece_type_at(square) not in SLIDERS:
            continue
        new = set(board.attacks(square)) - set(before.attacks(square))
        if any(board.color_at(s) == board.turn for s in new):
            return True
    return False


def mates_in_one(board: chess.Board, side: chess.Color) -> list[chess.Move]:
    """The mating moves of ``side``, as if it were to move; none while that side's opponent is in check."""
    turned = with_turn(board, side)
    if turned.was_into_check():
        return []
    found = []
    for move in turned.legal_moves:
        if turned.gives_check(move):
            turned.push(move)
            if turned.is_checkmate():
                found.append(move)
            turned.pop()
    return found


# -- attack and defence


def attackers(board: chess.Board, square: int, side: chess.Color) -> list[int]:
    """Squares of the side's pieces that attack ``square``, pins aside."""
    return list(board.attackers(side, square))


def counts(board: chess.Board, square: int, side: chess.Color) -> set[int]:
    """How often ``side`` attacks (or defends) a square, under every usage.

    Direct attackers; with those behind them on the same line (x-ray); and
    either without pieces pinned to their king.
    """
    direct = set(board.attackers(side, square))
    found = {len(direct)}
    occupied = board.occupied
    seen = set(direct)
    while True:
        occupied &= ~chess.SquareSet(seen).mask
        more = {s for s in chess.SquareSet(board.attackers_mask(side, square, occupied)) if board.color_at(s) == side}
        if more <= seen:
            break
        seen |= more
    found.add(len(seen))
    free = {s for s in direct if not board.is_pinned(side, s) or square in board.pin(side, s)}
    found.add(len(free))
    found.add(len({s for s in seen if not board.is_pinned(side, s) or square in board.pin(side, s)}))
    without_king = {n - 1 for n in found if board.king(side) in direct}
    return found | without_king


def undefended(board: chess.Board, square: int) -> bool | None:
    """No piece of its own side protects it; None when only a pinned piece (or an outnumbered king) does."""
    side = board.color_at(square)
    if side is None:
        return None
    guards = list(board.attackers(side, square))
    if not guards:
        return True
    sound = [s for s in guards if not board.is_pinned(side, s) or square in board.pin(side, s)]
    if not sound:
        return None
    if sound == [board.king(side)] and len(board.attackers(not side, square)) > 1:
        return None
    return False


def exchange(board: chess.Board, square: int, side: chess.Color) -> int:
    """What ``side`` wins at best by capturing on ``square`` first, in points (0 or more)."""
    target = board.piece_type_at(square)
    if target is None or board.color_at(square) == side:
        return 0
    turned = with_turn(board, side)
    if turned.was_into_check():
        return 0
    return max(0, _exchange(turned.copy(stack=False), square))


def _exchange(board: chess.Board, square: int) -> int:
    best = 0
    taken = board.piece_type_at(square)
    tried: set[int] = set()
    moves = sorted(
        board.generate_legal_moves(to_mask=chess.BB_SQUARES[square]),
        key=lambda m: VALUE[board.piece_type_at(m.from_square) or chess.PAWN],
    )
    for move in moves:
        piece = board.piece_type_at(move.from_square) or chess.PAWN
        if taken is None or piece in tried:
            continue
        tried.add(piece)
        gain = VALUE[taken] + (VALUE[move.promotion] - 1 if move.promotion else 0)
        board.push(move)
        best = max(best, gain - _exchange(board, square))
        board.pop()
        if best >= VALUE[taken]:
            break
    return best


def hanging(board: chess.Board, square: int) -> bool | None:
    """It can be captured at a profit on its square (exchanges counted out), as if the enemy were to move.

    None while the capture is not possible only because of a check elsewhere.
    """
    side = board.color_at(square)
    piece = board.piece_type_at(square)
    if side is None or piece is None or piece == chess.KING:
        return None
    if exchange(board, square, not side) > 0:
        return True
    hitting = board.attackers(not side, square)
    if hitting and (with_turn(board, not side).is_check() or with_turn(board, not side).was_into_check()):
        return None
    if hitting and undefended(board, square) is not False:
        return None
    return False


def can_capture(board: chess.Board, origin: int, target: int) -> bool | None:
    """Whether the piece may legally take on ``target``, as if its side were to move."""
    side = board.color_at(origin)
    if side is None:
        return None
    turned = with_turn(board, side)
    if turned.was_into_check():
        return None if target in board.attacks(origin) else False
    if board.color_at(target) == side:
        return False
    legal = [m for m in turned.legal_moves if m.from_square == origin and m.to_square == target]
    if not legal:
        if board.piece_at(target) is None and board.piece_type_at(origin) == chess.PAWN and board.turn != side:
            return None
        return False
    return any(turned.is_capture(m) for m in legal) or None


def can_move(board: chess.Board, origin: int, target: int) -> bool | None:
    """Whether the piece may legally go to ``target``, as if its side were to move."""
    side = board.color_at(origin)
    if side is None:
        return None
    turned = with_turn(board, side)
    if turned.was_into_check():
        return None
    return any(m.from_square == origin and m.to_square == target for m in turned.legal_moves)


# -- lines


def pin(board: chess.Board, square: int) -> list[tuple[int, int]]:
    """(pinning square, square behind) for each enemy slider that looks through the piece at a piece of its side."""
    side = board.color_at(square)
    found: list[tuple[int, int]] = []
    if side is None:
        return found
    for dx, dy in STEPS[chess.QUEEN]:
        front = along(board, square, dx, dy)
        back = along(board, square, -dx, -dy)
        if not front or not back:
            continue
        sniper, behind = front[0], back[0]
        if (
            board.color_at(sniper) == (not side)
            and board.color_at(behind) == side
            and slides(board.piece_type_at(sniper) or 0, dx, dy)
        ):
            found.append((sniper, behind))
    return found


def pinned(board: chess.Board, square: int) -> bool | None:
    """Pinned: an enemy line piece attacks it, and behind it stands its king (absolute) or a better piece (relative).

    None when what stands behind is of equal or smaller value; False when no such line exists.
    """
    piece = board.piece_type_at(square)
    if piece is None or piece == chess.KING:
        return False if piece else None
    behind = [board.piece_type_at(b) or 0 for _, b in pin(board, square)]
    if any(VALUE[b] > VALUE[piece] for b in behind):
        return True
    side = board.color_at(square)
    assert side is not None
    return None if any(b != chess.PAWN for b in behind) or board.is_pinned(side, square) else False


def pinned_to(board: chess.Board, square: int, behind: int) -> bool:
    """Pinned to a piece of type ``behind`` of its own side."""
    return any(board.piece_type_at(b) == behind for _, b in pin(board, square))


def skewers(board: chess.Board, square: int) -> list[tuple[int, int]]:
    """(front, behind): two enemy pieces in a row on a line of the slider at ``square``."""
    side, piece = board.color_at(square), board.piece_type_at(square) or 0
    found = []
    for dx, dy in STEPS.get(piece, ()):
        met = along(board, square, dx, dy)
        if len(met) > 1 and board.color_at(met[0]) == board.color_at(met[1]) == (not side):
            found.append((met[0], met[1]))
    return found


def is_skewer(board: chess.Board, square: int, front: int, behind: int) -> bool | None:
    """A skewer: the front piece is worth as much as the one behind or more (or is the king); else it is a pin."""
    one, two = board.piece_type_at(front) or 0, board.piece_type_at(behind) or 0
    if VALUE[one] >= VALUE[two] and two != chess.PAWN:
        return True
    return None


def battery(board: chess.Board, one: int, other: int) -> bool:
    """Two pieces of a side on one line along which both move, nothing between them."""
    if board.color_at(one) is None or board.color_at(one) != board.color_at(other) or one == other:
        return False
    dx, dy = other % 8 - one % 8, other // 8 - one // 8
    if dx and dy and abs(dx) != abs(dy):
        return False
    step = ((dx > 0) - (dx < 0), (dy > 0) - (dy < 0))
    met = along(board, one, *step)
    return (
        bool(met)
        and met[0] == other
        and slides(board.piece_type_at(one) or 0, *step)
        and slides(board.piece_type_at(other) or 0, -step[0], -step[1])
    )


def batteries(board: chess.Board, side: chess.Color) -> list[tuple[int, int]]:
    """All pairs of the side that form a battery."""
    men = [s for s in chess.SquareSet(board.occupied_co[side]) if board.piece_type_at(s) in SLIDERS]
    return [(a, b) for i, a in enumerate(men) for b in men[i + 1 :] if battery(board, a, b)]


def xray(board: chess.Board, origin: int, target: int) -> bool:
    """The slider at ``origin`` looks at ``target`` through exactly one piece."""
    dx, dy = target % 8 - origin % 8, target // 8 - origin // 8
    if origin == target or (dx and dy and abs(dx) != abs(dy)):
        return False
    step = ((dx > 0) - (dx < 0), (dy > 0) - (dy < 0))
    if not slides(board.piece_type_at(origin) or 0, *step):
        return False
    between = [s for s in chess.SquareSet(chess.between(origin, target)) if board.piece_type_at(s)]
    return len(between) == 1


def forked(board: chess.Board, square: int) -> list[int]:
    """Enemy men that the piece at ``square`` attacks."""
    side = board.color_at(square)
    return [s for s in board.attacks(square) if board.color_at(s) == (not side)]


def fork(board: chess.Board, square: int) -> bool | None:
    """A fork: two or more enemy pieces attacked at once by one piece.

    True when two of them are each the king, worth more, or undefended. None
    when only pawns or protected lesser pieces make up the number.
    """
    if board.color_at(square) is None:
        return None
    hit = forked(board, square)
    if len(hit) < 2:
        return False
    own = VALUE[board.piece_type_at(square) or chess.PAWN]
    real = [
        s
        for s in hit
        if board.piece_type_at(s) != chess.PAWN
        and (VALUE[board.piece_type_at(s) or 1] > own or undefended(board, s) is not False)
    ]
    return True if len(real) >= 2 else None

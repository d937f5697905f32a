"""Positions as plain tuples of integers, for searches that visit millions of them.

A position is ``(pawns, knights, bishops, rooks, queens, kings, ours, theirs,
white, rooks_that_may_castle, ep)``: bitboards numbered as in ``chess``
(a1 = bit 0), ``ours`` the side to move, ``white`` 1 or 0, ``ep`` the square a
pawn may capture on, -1 without a pawn that could. Being a tuple, a position is
its own exact key in a table: equal keys are equal positions, so that a search
never takes one position for another.

A move is ``origin | target << 6 | promotion << 12``; castling is the king
taking his own rook, which also serves Chess960. Piece numbers are those of
``chess``. The half-move clock is left out: repetition and the fifty-move rule
do not count here.
"""

from __future__ import annotations

import chess

Position = tuple[int, int, int, int, int, int, int, int, int, int, int]

KNIGHT: list[int] = list(chess.BB_KNIGHT_ATTACKS)
KING: list[int] = list(chess.BB_KING_ATTACKS)
PAWN: list[list[int]] = [list(chess.BB_PAWN_ATTACKS[chess.BLACK]), list(chess.BB_PAWN_ATTACKS[chess.WHITE])]
DIAG, DIAG_MASK = chess.BB_DIAG_ATTACKS, list(chess.BB_DIAG_MASKS)
FILE, FILE_MASK = chess.BB_FILE_ATTACKS, list(chess.BB_FILE_MASKS)
RANK, RANK_MASK = chess.BB_RANK_ATTACKS, list(chess.BB_RANK_MASKS)
RAY = chess.BB_RAYS
BETWEEN: list[list[int]] = [[chess.between(a, b) for b in range(64)] for a in range(64)]
DIAG_EMPTY = [DIAG[s][0] for s in range(64)]
LINE_EMPTY = [FILE[s][0] | RANK[s][0] for s in range(64)]
LAST_RANKS = chess.BB_RANK_1 | chess.BB_RANK_8
SECOND = [chess.BB_RANK_7, chess.BB_RANK_2]
NOT_A, NOT_H = ~chess.BB_FILE_A, ~chess.BB_FILE_H
ALL = chess.BB_ALL
PROMOTIONS = tuple(piece << 12 for piece in (chess.QUEEN, chess.KNIGHT, chess.ROOK, chess.BISHOP))


def from_board(board: chess.Board) -> Position:
    """The tuple of a ``chess.Board``."""
    white = int(board.turn)
    ep = -1
    if board.ep_square is not None and PAWN[1 - white][board.ep_square] & board.pawns & board.occupied_co[board.turn]:
        ep = board.ep_square
    return (
        board.pawns,
        board.knights,
        board.bishops,
        board.rooks,
        board.queens,
        board.kings,
        board.occupied_co[board.turn],
        board.occupied_co[not board.turn],
        white,
        board.clean_castling_rights(),
        ep,
    )


def to_move(board: chess.Board, move: int) -> chess.Move:
    """The ``chess.Move`` of a move number in ``board``'s position."""
    origin, target = move & 63, move >> 6 & 63
    if not board.chess960 and board.kings & 1 << origin and board.occupied_co[board.turn] & 1 << target:
        target = (origin & 56) | (6 if target > origin else 2)
    return chess.Move(origin, target, move >> 12 or None)


def attackers(pos: Position, square: int, by: int, by_white: int, occupied: int) -> int:
    """The pieces of ``by`` that attack ``square``, seen through ``occupied``."""
    found = (KNIGHT[square] & pos[1] | KING[square] & pos[5] | PAWN[1 - by_white][square] & pos[0]) & by
    diagonal = (pos[2] | pos[4]) & by
    if diagonal & DIAG_EMPTY[square]:
        found |= DIAG[square][DIAG_MASK[square] & occupied] & diagonal
    straight = (pos[3] | pos[4]) & by
    if straight & LINE_EMPTY[square]:
        found |= (FILE[square][FILE_MASK[square] & occupied] | RANK[square][RANK_MASK[square] & occupied]) & straight
    return found


def attacked(pos: Position) -> int:
    """The squares that the side to move attacks, its own men's included."""
    pawns, knights, bishops, rooks, queens, kings, ours, theirs, white, _, _ = pos
    occupied = ours | theirs
    men = pawns & ours
    if white:
        found = (men & ~chess.BB_FILE_A) << 7 | (men & ~chess.BB_FILE_H) << 9
    else:
        found = (men & ~chess.BB_FILE_A) >> 9 | (men & ~chess.BB_FILE_H) >> 7
    men = (bishops | queens) & ours
    while men:
        low = men & -men
        men ^= low
        square = low.bit_length() - 1
        found |= DIAG[square][DIAG_MASK[square] & occupied]
    men = (rooks | queens) & ours
    while men:
        low = men & -men
        men ^= low
        square = low.bit_length() - 1
        found |= FILE[square][FILE_MASK[square] & occupied] | RANK[square][RANK_MASK[square] & occupied]
    men = knights & ours
    while men:
        low = men & -men
        men ^= low
        found |= KNIGHT[low.bit_length() - 1]
    return found | KING[(kings & ours).bit_length() - 1]


def checkers(pos: Position) -> int:
    """The pieces that give check to the side to move."""
    king = (pos[5] & pos[6]).bit_length() - 1
    return attackers(pos, king, pos[7], 1 - pos[8], pos[6] | pos[7])


def blockers(pos: Position, king: int, snipers: int, mine: int) -> int:
    """Pieces of ``mine`` that alone stand between ``king`` and a slider of ``snipers``."""
    occupied = pos[6] | pos[7]
    found = 0
    lines = snipers & ((pos[2] | pos[4]) & DIAG_EMPTY[king] | (pos[3] | pos[4]) & LINE_EMPTY[king])
    while lines:
        low = lines & -lines
        lines ^= low
        between = BETWEEN[king][low.bit_length() - 1] & occupied
        if between and not between & (between - 1):
            found |= between & mine
    return found


def make(pos: Position, move: int) -> Position:
    """The position after a legal move."""
    pawns, knights, bishops, rooks, queens, kings, ours, theirs, white, castling, _ = pos
    origin, target = move & 63, move >> 6 & 63
    start, end = 1 << origin, 1 << target
    both = start | end
    ep = -1
    if kings & start and ours & end:  # castling
        rank = origin & 56
        king_to, rook_to = (1 << (rank | 6), 1 << (rank | 5)) if target > origin else (1 << (rank | 2), 1 << (rank | 3))
        kings = kings & ~start | king_to
        rooks = rooks & ~end | rook_to
        ours = ours & ~both | king_to | rook_to
        castling &= ~RANK_FULL[origin]
        return (pawns, knights, bishops, rooks, queens, kings, theirs, ours, 1 - white, castling, ep)
    if theirs & end:
        keep = ~end
        theirs &= keep
        pawns &= keep
        knights &= keep
        bishops &= keep
        rooks &= keep
        queens &= keep
    if castling and castling & both:
        castling &= ~both
    if pawns & start:
        promotion = move >> 12
        if promotion:
            pawns ^= start
            if promotion == 5:
                queens |= end
            elif promotion == 2:
                knights |= end
            elif promotion == 4:
                rooks |= end
            else:
                bishops |= end
        else:
            pawns ^= both
            if target == pos[10]:
                taken = 1 << (target - 8 if white else target + 8)
                pawns ^= taken
                theirs ^= taken
            elif (target - origin) & 15 == 0:  # two squares
                middle = (origin + target) >> 1
                if PAWN[white][middle] & pawns & theirs:
                    ep = middle
    elif knights & start:
        knights ^= both
    elif bishops & start:
        bishops ^= both
    elif rooks & start:
        rooks ^= both
    elif queens & start:
        queens ^= both
    else:
        kings ^= both
        castling &= ~RANK_FULL[origin] if castling and RANK_FULL[origin] & castling & ours else ALL
    return (pawns, knights, bishops, rooks, queens, kings, theirs, ours ^ both, 1 - white, castling, ep)


RANK_FULL = [chess.BB_RANKS[s >> 3] for s in range(64)]


def _spread(moves: list[int], origin: int, targets: int) -> None:
    """Adds the moves from ``origin`` to every target."""
    while targets:
        end = targets & -targets
        targets ^= end
        moves.append(origin | (end.bit_length() - 1) << 6)


def _slides(pos: Position, origin: int, bit: int, occupied: int) -> int:
    """Where the line piece on ``origin`` (its bit is ``bit``) goes, own men included."""
    targets = 0
    if not pos[3] & bit:
        targets = DIAG[origin][DIAG_MASK[origin] & occupied]
    if not pos[2] & bit:
        targets |= FILE[origin][FILE_MASK[origin] & occupied] | RANK[origin][RANK_MASK[origin] & occupied]
    return targets


def _pawn_steps(pos: Position, origin: int, bit: int, occupied: int) -> int:
    """Captures and steps of a pawn, captures in passing left out."""
    white = pos[8]
    forward = 8 if white else -8
    targets = PAWN[white][origin] & pos[7]
    ahead = 1 << origin + forward
    if not ahead & occupied:
        targets |= ahead
        if bit & SECOND[white]:
            targets |= 1 << origin + 2 * forward & ~occupied
    return targets


def legal_moves(pos: Position) -> list[int]:
    """All legal moves of the side to move."""
    pawns, knights, bishops, rooks, queens, kings, ours, theirs, white, castling, ep = pos
    occupied = ours | theirs
    king = (kings & ours).bit_length() - 1
    checks = attackers(pos, king, theirs, 1 - white, occupied)
    moves: list[int] = []
    flights = KING[king] & ~ours
    without = occupied & ~(1 << king)
    while flights:
        low = flights & -flights
        flights ^= low
        target = low.bit_length() - 1
        if not attackers(pos, target, theirs, 1 - white, without | low):
            moves.append(king | target << 6)
    if checks & (checks - 1):
        return moves
    allowed = ~ours
    if checks:
        allowed &= checks | BETWEEN[king][checks.bit_length() - 1]
    pinned = blockers(pos, king, theirs, ours)

    pieces = knights & ours & ~pinned
    while pieces:
        low = pieces & -pieces
        pieces ^= low
        origin = low.bit_length() - 1
        targets = KNIGHT[origin] & allowed
        _spread(moves, origin, targets)
    pieces = (bishops | rooks | queens) & ours
    while pieces:
        low = pieces & -pieces
        pieces ^= low
        origin = low.bit_length() - 1
        targets = _slides(pos, origin, low, occupied)
        targets &= allowed
        if pinned & low:
            targets &= RAY[king][origin]
        _spread(moves, origin, targets)

    pieces = pawns & ours
    while pieces:
        low = pieces & -pieces
        pieces ^= low
        origin = low.bit_length() - 1
        targets = _pawn_steps(pos, origin, low, occupied)
        targets &= allowed
        if pinned & low:
            targets &= RAY[king][origin]
        while targets:
            end = targets & -targets
            targets ^= end
            move = origin | (end.bit_length() - 1) << 6
            if end & LAST_RANKS:
                moves.extend([move | p for p in PROMOTIONS])
            else:
                moves.append(move)
    if ep >= 0:
        moves.extend(_in_passing(pos, king, occupied))
    if castling and not checks:
        moves.extend(_castling(pos, king, occupied))
    return moves


def _in_passing(pos: Position, king: int, occupied: int) -> list[int]:
    ep = pos[10]
    takers = PAWN[1 - pos[8]][ep] & pos[0] & pos[6]
    gone = 1 << (ep - 8 if pos[8] else ep + 8)
    found = []
    while takers:
        low = takers & -takers
        takers ^= low
        after = occupied & ~low & ~gone | 1 << ep
        if not attackers(pos, king, pos[7] & ~gone, 1 - pos[8], after):
            found.append((low.bit_length() - 1) | ep << 6)
    return found


def _castling(pos: Position, king: int, occupied: int) -> list[int]:
    found = []
    rights = pos[9] & pos[6] & RANK_FULL[king]
    while rights:
        rook = rights & -rights
        rights ^= rook
        square = rook.bit_length() - 1
        rank = king & 56
        king_to, rook_to = (rank | 6, rank | 5) if square > king else (rank | 2, rank | 3)
        others = occupied & ~(1 << king) & ~rook
        path = BETWEEN[king][king_to] | 1 << king_to
        if (path | BETWEEN[square][rook_to] | 1 << rook_to) & others:
            continue
        walk = path & ~(1 << king)
        safe = True
        while walk and safe:
            low = walk & -walk
            walk ^= low
            target = low.bit_length() - 1
            # The rook does not yet shield the squares the king crosses; at the end it may have left a line open.
            safe = not attackers(pos, target, pos[7], 1 - pos[8], occupied & ~(1 << king))
        if safe and not attackers(pos, king_to, pos[7], 1 - pos[8], others | 1 << rook_to | 1 << king_to):
            found.append(king | square << 6)
    return found


def is_mated(pos: Position) -> bool:
    """Whether the side to move, which must be in check, has no legal move."""
    pawns, _knights, _bishops, _rooks, _queens, kings, ours, theirs, white, _, ep = pos
    occupied = ours | theirs
    king_bit = kings & ours
    king = king_bit.bit_length() - 1
    without = occupied ^ king_bit
    enemy = 1 - white
    flights = KING[king] & ~ours
    while flights:
        low = flights & -flights
        flights ^= low
        if not attackers(pos, low.bit_length() - 1, theirs, enemy, without | low):
            return False
    checks = attackers(pos, king, theirs, enemy, occupied)
    if checks & (checks - 1):
        return True
    checker = checks.bit_length() - 1
    if ep >= 0:
        return not legal_moves(pos)
    free = ours & ~king_bit & ~blockers(pos, king, theirs, ours)
    if attackers(pos, checker, free, white, occupied):
        return False
    between = BETWEEN[king][checker]
    if not between:
        return True
    movers = free & ~pawns
    men = free & pawns
    steps = (men << 8 if white else men >> 8) & ~occupied & ALL
    if steps & between:
        return False
    third = (steps & chess.BB_RANK_3) << 8 if white else (steps & chess.BB_RANK_6) >> 8
    if third & between & ~occupied:
        return False
    while between:
        low = between & -between
        between ^= low
        if attackers(pos, low.bit_length() - 1, movers, white, occupied):
            return False
    return True


def checking_moves(pos: Position) -> list[int]:
    """Legal moves that give check, without trying every legal move one by one."""
    pawns, knights, bishops, rooks, queens, kings, ours, theirs, white, castling, ep = pos
    occupied = ours | theirs
    king_bit = kings & ours
    king = king_bit.bit_length() - 1
    target_king = (kings & theirs).bit_length() - 1
    if attackers(pos, king, theirs, 1 - white, occupied):
        return [m for m in legal_moves(pos) if checkers(make(pos, m))]
    pinned = blockers(pos, king, theirs, ours)
    openers = blockers(pos, target_king, ours, ours)
    see_diag = DIAG[target_king][DIAG_MASK[target_king] & occupied]
    see_line = (
        FILE[target_king][FILE_MASK[target_king] & occupied] | RANK[target_king][RANK_MASK[target_king] & occupied]
    )
    moves: list[int] = []
    pieces = knights & ours & ~pinned
    if not openers:
        pieces &= KNIGHT_TWO[target_king]
    while pieces:
        low = pieces & -pieces
        pieces ^= low
        origin = low.bit_length() - 1
        away = ALL if openers & low else KNIGHT[target_king]
        targets = KNIGHT[origin] & ~ours & away
        _spread(moves, origin, targets)
    pieces = (bishops | rooks | queens) & ours
    while pieces:
        low = pieces & -pieces
        pieces ^= low
        origin = low.bit_length() - 1
        reach = (0 if rooks & low else see_diag) | (0 if bishops & low else see_line)
        targets = _slides(pos, origin, low, occupied) & ~ours
        if openers & low:  # leaving the line checks; a rook or bishop that opens a line cannot stay on it
            targets &= reach | ~RAY[target_king][origin]
        else:
            targets &= reach
        if pinned & low:
            targets &= RAY[king][origin]
        _spread(moves, origin, targets)
    pieces = pawns & ours
    hit = PAWN[1 - white][target_king]
    while pieces:
        low = pieces & -pieces
        pieces ^= low
        origin = low.bit_length() - 1
        targets = _pawn_steps(pos, origin, low, occupied)
        if pinned & low:
            targets &= RAY[king][origin]
        if not targets:
            continue
        last = targets & LAST_RANKS
        targets ^= last
        targets &= hit | (~RAY[target_king][origin] if openers & low else 0)
        _spread(moves, origin, targets)
        while last:
            end = last & -last
            last ^= end
            move = origin | (end.bit_length() - 1) << 6
            moves.extend([move | p for p in PROMOTIONS if checkers(make(pos, move | p))])
    if openers & king_bit:
        flights = KING[king] & ~ours & ~RAY[target_king][king]
        while flights:
            low = flights & -flights
            flights ^= low
            square = low.bit_length() - 1
            if not attackers(pos, square, theirs, 1 - white, occupied & ~king_bit | low):
                moves.append(king | square << 6)
    if ep >= 0:
        moves.extend([m for m in _in_passing(pos, king, occupied) if checkers(make(pos, m))])
    if castling & ours:
        moves.extend([m for m in _castling(pos, king, occupied) if checkers(make(pos, m))])
    return moves


KNIGHT_TWO = [0] * 64
for _square in range(64):
    for _step in chess.SquareSet(KNIGHT[_square]):
        KNIGHT_TWO[_square] |= KNIGHT[_step]

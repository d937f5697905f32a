"""What a position is worth once the captures are over: the plausibility of a sideline's move.

Quiescence search (Shannon 1950, "Programming a computer for playing chess",
cited from memory: a position is judged only when nothing is to be taken), with
standing pat, captures that lose material at once left out, and promotions counted as
captures. A check has to be answered; later checks, pins and castling are not
looked at. Men are worth what is common practice in programs (a pawn 100), and
a little more where they usually stand well: pieces near the middle, pawns
advanced, the king at home until few men are left.
"""

from __future__ import annotations

from collections.abc import Iterator

import chess

from timeline.bitboard import Position, attacked, attackers, checkers, from_board, legal_moves, make

WORTH = (0, 100, 320, 330, 500, 900, 0)
MATED = -20_000
MARGIN = 150  # what a capture may be worth beyond the man it takes
DEEP = 4  # captures one after the other
EVEN = 50  # a bishop for a knight is an even exchange
_HOME_KING, _WALKING_KING = chess.KING, chess.KING + 1


def settled(board: chess.Board) -> int:
    """Centipawns for the side to move; ``MATED`` when it is mated. The half-move clock and castling are left out."""
    men = from_board(board)
    pos = (*men[:9], 0, men[10])
    pieces = (pos[1] | pos[2] | pos[3] | pos[4]).bit_count()
    king = _WALKING_KING if pieces <= (4 if pos[4] else 6) else _HOME_KING
    if not checkers(pos):
        return _settle(pos, _standing(pos, king), MATED, -MATED, DEEP, king)
    best = MATED
    for move in legal_moves(pos):
        after = make(pos, move)
        best = max(best, -_settle(after, _standing(after, king), MATED, -best, DEEP, king))
    return best


def _settle(pos: Position, score: int, alpha: int, beta: int, left: int, king: int) -> int:
    """Alpha-beta over captures; ``score`` is what stands on the board for the side to move, ``king`` the table for kings."""
    ours, theirs, white = pos[6], pos[7], pos[8]
    if score >= beta:
        return score
    occupied = ours | theirs
    if attackers(pos, (pos[5] & theirs).bit_length() - 1, ours, white, occupied):
        return -MATED  # the last move left its king to be taken
    if not left:
        return score
    best, alpha = score, max(alpha, score)
    mine, yours = TABLES[white], TABLES[1 - white]
    for victim, to, takers in _captures(pos, occupied):
        if victim and score + WORTH[victim] + MARGIN <= alpha:
            break  # the victims to come are worth less
        guards = -1
        for piece in chess.PIECE_TYPES:
            able = pos[piece - 1] & takers
            if not able:
                continue
            if victim and (piece == chess.KING or WORTH[piece] > WORTH[victim] + EVEN):
                if guards < 0:
                    guards = attackers(pos, to, theirs, 1 - white, occupied)
                if guards:
                    break  # it would be lost for less, and so would all that are worth more
            start = able.bit_length() - 1
            table = king if piece == chess.KING else piece
            grown = chess.QUEEN if piece == chess.PAWN and not 7 < to < 56 else table
            gain = mine[grown][to] - mine[table][start] + yours[victim][to]
            if score + gain <= alpha:
                best = max(best, score + gain)  # the other side would let it stand at that
                continue
            move = start | to << 6 | (chess.QUEEN << 12 if grown != table else 0)
            value = -_settle(make(pos, move), -(score + gain), -beta, -alpha, left - 1, king)
            if value > best:
                best, alpha = value, max(alpha, value)
                if value >= beta:
                    return best
    return best


def _captures(pos: Position, occupied: int) -> Iterator[tuple[int, int, int]]:
    """The man that may be taken (0: none, a pawn that becomes a queen), where, and by whom (bitboard); the dearest first."""
    ours, theirs, white = pos[6], pos[7], pos[8]
    last = pos[0] & ours & (chess.BB_RANK_7 if white else chess.BB_RANK_2)
    while last:
        low = last & -last
        last ^= low
        ahead = low << 8 if white else low >> 8
        if not ahead & occupied:
            yield 0, ahead.bit_length() - 1, low
    hit = attacked(pos) & theirs
    for victim in (chess.QUEEN, chess.ROOK, chess.BISHOP, chess.KNIGHT, chess.PAWN):
        men = pos[victim - 1] & hit
        while men:
            low = men & -men
            men ^= low
            square = low.bit_length() - 1
            yield victim, square, attackers(pos, square, ours, white, occupied)


def _standing(pos: Position, king: int) -> int:
    """What stands on the board, for the side to move."""
    return _side(pos, pos[6], TABLES[pos[8]], king) - _side(pos, pos[7], TABLES[1 - pos[8]], king)


def _side(pos: Position, men: int, tables: list[list[int]], king: int) -> int:
    total = 0
    for piece in chess.PIECE_TYPES:
        table = tables[king if piece == chess.KING else piece]
        own = pos[piece - 1] & men
        while own:
            low = own & -own
            own ^= low
            total += table[low.bit_length() - 1]
    return total


def _where(piece: int, square: int) -> float:
    """What a white man is worth on a square beyond its own worth (by reason, not learned)."""
    file, rank = square & 7, square >> 3
    inside = (7 - abs(2 * file - 7)) / 2  # 0 on the edge, 3 in the middle
    middle = 7 - (abs(2 * file - 7) + abs(2 * rank - 7)) / 2
    home = 10 if rank == 0 else 0
    match piece:
        case chess.PAWN:
            centre = 6 if file in (3, 4) and rank in (3, 4) else 0
            return 1.5 * (rank - 1) ** 2 + centre + (1.5 * (inside + 0.5) if rank > 1 else 0)
        case chess.KNIGHT:
            return 8 * middle - 20 - home
        case chess.BISHOP:
            return 5 * middle - 10 - home
        case chess.ROOK:
            return (10 if rank == 6 else 0) + inside + 1.5
        case chess.QUEEN:
            return 2 * middle - 5
        case chess.KING:
            return -8 * rank + (15 if rank == 0 and file in (1, 2, 6) else 0)
    return 10 * middle  # a walking king


def _table(piece: int, *, white: bool) -> list[int]:
    if not piece:
        return [0] * 64
    worth = WORTH[piece] if piece <= chess.KING else 0
    return [worth + int(_where(piece, s if white else chess.square_mirror(s))) for s in chess.SQUARES]


TABLES = [[_table(piece, white=white) for piece in range(_WALKING_KING + 1)] for white in (False, True)]
"""``TABLES[white][piece][square]`` in centipawns; piece 7 is a king when few men are left."""

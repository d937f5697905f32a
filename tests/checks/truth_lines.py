"""Truth about check, mate, attack and defence, pins, forks and lines."""

from __future__ import annotations

import itertools

import chess
from naive import DIAGO, ORTHO, VALUE, Board, name
from truth import WORDS, brute_mate, games, maker, piece, side


@maker("turn")
def _(p, words):
    for white in (True, False):
        yield side(white), p.board.white_to_move == white


@maker("check")
def _(p, words):
    for white in (True, False):
        yield side(white), bool(p.board.in_check(white))


def _checkers(p):
    return p.board.in_check(p.board.white_to_move)


@maker("check_said")
def _(p, words):
    yield {}, bool(_checkers(p))


@maker("double_check")
def _(p, words):
    yield {}, len(_checkers(p)) == 2


@maker("discovered_check")
def _(p, words):
    if p.last and not _checkers(p):
        yield {}, False
    elif p.last:
        yield {}, any(name(s) != p.last[2:4] for s in _checkers(p))


def legal_count(p) -> int:
    return chess.Board(p.fen).legal_moves.count()


@maker("checkmate")
def _(p, words):
    for white in (True, False):
        if white == p.board.white_to_move or "{S}" not in words:
            yield side(white), bool(_checkers(p)) and legal_count(p) == 0
            if "{S}" not in words:
                return


@maker("stalemate")
def _(p, words):
    yield side(p.board.white_to_move), not _checkers(p) and legal_count(p) == 0


@maker("mate_in")
def _(p, words):
    board = chess.Board(p.fen)
    if board.is_game_over():
        return
    s = side(p.board.white_to_move)
    exact = next((n for n in (1, 2) if brute_mate(board, n)), None)
    for n in (1, 2):
        yield {**s, "N": ["one", "two"][n - 1]}, exact == n
    if exact:
        yield {**s, "N": "three"}, False


@maker("only_move")
def _(p, words):
    n = legal_count(p)
    if n:
        yield side(p.board.white_to_move), n == 1


@maker("threat_mate")
def _(p, words):
    board = chess.Board(p.fen)
    if board.is_check():
        return
    board.turn = not board.turn
    board.ep_square = None
    yield side(board.turn), brute_mate(board, 1)


def pairs(b: Board, same: bool):
    return [(a, c) for a in b.men() for c in b.men() if a != c and (b.white(a) == b.white(c)) == same]


@maker("can_capture")
def _(p, words):
    b = p.board
    if _checkers(p):
        return
    for a, c in pairs(b, False):
        if b.kind(c) != "k":
            yield {**piece(b, a), **piece(b, c, "2")}, b.takes_legally(a, c)


@maker("attacks")
def _(p, words):
    b = p.board
    for a, c in pairs(b, False):
        if c in b.attacks(a):
            yield {**piece(b, a), **piece(b, c, "2")}, True
        elif not _through(b, a, c) and not (b.kind(a) == "p" and a % 8 == c % 8):
            yield {**piece(b, a), **piece(b, c, "2")}, False


def _through(b: Board, a: int, c: int) -> bool:
    return any(c in b.ray(a, *d)[1:] and b.moves_along(a, *d) for d in ORTHO + DIAGO)


@maker("defends")
def _(p, words):
    b = p.board
    for a, c in pairs(b, True):
        if b.kind(c) == "k":
            continue
        if c in b.attacks(a):
            yield {**piece(b, a), **piece(b, c, "2")}, True
        elif not _through(b, a, c) and not (b.kind(a) == "p" and a % 8 == c % 8):
            yield {**piece(b, a), **piece(b, c, "2")}, False


@maker("pinned")
def _(p, words):
    b = p.board
    for s in b.men():
        if b.kind(s) == "k":
            continue
        if "king" in words:
            behind = [b.kind(x) for _, x in b.pins(s)]
            yield {**piece(b, s), **side(b.white(s))}, "k" in behind
            continue
        truth = b.pinned(s)
        if truth is not None:
            yield {**piece(b, s), **side(b.white(s))}, truth


@maker("pins")
def _(p, words):
    b = p.board
    for a, c in pairs(b, False):
        if b.kind(a) not in "brq" or b.kind(c) == "k":
            continue
        behind = [x for pinner, x in b.pins(c) if pinner == a]
        if not behind:
            yield {**piece(b, a), **piece(b, c, "2")}, False
        elif VALUE[b.kind(behind[0])] > VALUE[b.kind(c)]:
            yield {**piece(b, a), **piece(b, c, "2")}, True


@maker("fork")
def _(p, words):
    b = p.board
    for a in b.men():
        enemies = [c for c in b.men(not b.white(a)) if b.kind(c) != "p"]
        for c, d in itertools.combinations(enemies, 2):
            if b.kind(c) == b.kind(d) and "{Q2}" not in words:
                continue
            slots = {**piece(b, a), **piece(b, c, "2"), **piece(b, d, "3"), **side(b.white(a))}
            truth = c in b.attacks(a) and d in b.attacks(a)
            if not truth and "{Q2}" not in words:
                # Another piece of that kind may be the one that is hit.
                hit = {b.kind(x) for x in b.attacks(a) if b.cells[x] and b.white(x) != b.white(a)}
                if {b.kind(c), b.kind(d)} <= hit:
                    continue
            yield slots, truth


@maker("skewer")
def _(p, words):
    b = p.board
    lines = []
    for a in b.men():
        for d in ORTHO + DIAGO:
            r = b.ray(a, *d)
            if b.moves_along(a, *d) and len(r) > 1 and b.white(r[0]) == b.white(r[1]) != b.white(a):
                lines.append((a, r[0], r[1]))
    kinds = {(b.kind(a), b.kind(c), b.kind(d)) for a, c, d in lines}
    for a, c, d in lines:
        if VALUE[b.kind(c)] >= VALUE[b.kind(d)] > 1:
            yield {**piece(b, a), **piece(b, c, "2"), **piece(b, d, "3")}, True
    for a in b.men():
        if b.kind(a) in "brq":
            for c, d in itertools.permutations([x for x in b.men(not b.white(a)) if b.kind(x) != "p"], 2):
                if not any(k[1:] == (b.kind(c), b.kind(d)) for k in kinds):
                    yield {**piece(b, a), **piece(b, c, "2"), **piece(b, d, "3")}, False


@maker("battery")
def _(p, words):
    b = p.board
    for a, c in pairs(b, True):
        if b.kind(a) not in "brq" or b.kind(c) not in "brq":
            continue
        truth = any(b.ray(a, *d)[:1] == [c] and b.moves_along(a, *d) and b.moves_along(c, *d) for d in ORTHO + DIAGO)
        slots = {**piece(b, a), **piece(b, c, "2"), **side(b.white(a)), "F": "abcdefgh"[a % 8]}
        if "{F}" in words:
            if truth and a % 8 != c % 8:
                continue
            if not truth and len(b.men(b.white(a), b.kind(a))) + len(b.men(b.white(a), b.kind(c))) > 2:
                continue
        yield slots, truth


@maker("hanging")
def _(p, words):
    b = p.board
    if _checkers(p):
        return
    for s in b.men():
        if b.kind(s) == "k":
            continue
        hit = b.attackers(s, not b.white(s))
        slots = {**piece(b, s), **side(b.white(s))}
        if not hit:
            yield slots, False
        elif not b.attackers(s, b.white(s)) and any(b.takes_legally(a, s) for a in hit):
            yield slots, True
        elif min(VALUE[b.kind(a)] for a in hit) > VALUE[b.kind(s)] and len(hit) == 1 and b.gain(s, not b.white(s)) == 0:
            guards = [g for g in b.attackers(s, b.white(s)) if not b.pins(g)]
            if guards:
                yield slots, False


@maker("undefended")
def _(p, words):
    b = p.board
    for s in b.men():
        if b.kind(s) != "k":
            guards = b.attackers(s, b.white(s))
            if not guards:
                yield piece(b, s), True
            elif all(not b.pins(g) and b.kind(g) != "k" for g in guards):
                yield piece(b, s), False


def plain_count(b: Board, s: int, white: bool) -> int | None:
    """The number of attackers when every way of counting agrees (no x-ray behind, no pin, no king)."""
    men = b.attackers(s, white)
    if any(b.pins(m) or b.kind(m) == "k" for m in men):
        return None
    for m in men:
        if len(b.without(m).attackers(s, white)) >= len(men):
            return None
    return len(men)


@maker("attackers")
def _(p, words):
    b = p.board
    for s in range(64):
        for white in (True, False):
            if b.cells[s] and b.white(s) == white:
                continue
            n = plain_count(b, s, white)
            if n is None or n < 1:
                continue
            for k in (n, n + 1, n + 2):
                if 2 <= k < 7:
                    yield {**side(white), "Q": name(s), "N": WORDS[k]}, k == n


@maker("defenders")
def _(p, words):
    b = p.board
    for s in b.men():
        if b.kind(s) == "k":
            continue
        n = plain_count(b, s, b.white(s))
        for k in (n or 0, (n or 0) + 1, (n or 0) + 2):
            if n and 2 <= k < 7:
                yield {**side(b.white(s)), **piece(b, s), "N": WORDS[k]}, k == n


@maker("attack_defend")
def _(p, words):
    b = p.board
    for s in b.men():
        n, m = plain_count(b, s, not b.white(s)), plain_count(b, s, b.white(s))
        if n and m and n > 1 and m > 1:
            yield {**piece(b, s), "N": WORDS[n], "N2": WORDS[m]}, True
        if n and m and n + 1 > 1 and m > 1:
            yield {**piece(b, s), "N": WORDS[n + 1], "N2": WORDS[m]}, False


@maker("pinned_queen")
def _(p, words):
    """Pinned to the queen behind it (common practice: a relative pin)."""
    b = p.board
    for s in b.men():
        if b.kind(s) not in "kq":
            yield {**piece(b, s), **side(b.white(s))}, "q" in [b.kind(x) for _, x in b.pins(s)]


@maker("xray")
def _(p, words):
    """One man between on a line of the piece's own kind; no claim where nothing stands between."""
    b = p.board
    for a, c in pairs(b, False):
        if b.kind(a) not in "brq":
            continue
        rays = [b.ray(a, *d) for d in ORTHO + DIAGO if b.moves_along(a, *d)]
        if any(c in r[:1] for r in rays):
            continue
        yield {**piece(b, a), **piece(b, c, "2")}, any(c in r[1:2] for r in rays)


@maker("discovered_attack")
def _(p, words):
    """A line piece that did not move hits an enemy man which it did not hit before the last move."""
    if not p.last or p.game is None or p.ply < 1:
        return
    now, before = p.board, position_before(p)
    white = not now.white_to_move
    moved = chess.parse_square(p.last[2:4])
    found = False
    for s in now.men(white):
        if s != moved and now.kind(s) in "brq" and before.cells[s] == now.cells[s]:
            new = now.attacks(s) - before.attacks(s)
            found |= any(now.cells[x] and now.white(x) != white for x in new)
    yield side(white), found


def position_before(p):
    board = games()[p.game].board()
    for move in list(games()[p.game].mainline_moves())[: p.ply - 1]:
        board.push(move)
    return Board(board.fen())

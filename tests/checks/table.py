# ruff: noqa: T201
"""Makes the table of statements and positions, tests/data/checks/statements.jsonl: ``python tests/checks/table.py``.

Wordings come from text files (``kind | words with slots``), positions from
public-domain games and a few hand-made ones, truth from ``naive.py``. A fixed
seed gives the same table again. Half of the statements are false.
"""

from __future__ import annotations

import itertools
import json
import random
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import chess
import chess.pgn

sys.path.insert(0, str(Path(__file__).parent))
from naive import DIAGO, NAMES, ORTHO, VALUE, Board, name

DATA = Path(__file__).parents[1] / "data" / "checks"
PER_WORDING = 4  # two true, two false where the positions allow
HAND = [
    "7k/5Q2/6K1/8/8/8/8/8 b - - 0 1",
    "8/8/8/8/8/2k5/2p5/2K5 w - - 0 1",
    "k7/P7/K7/8/8/8/8/8 b - - 0 1",
    "r1bq1rk1/pp3ppp/2n1pn2/8/1bPP4/2NB1N2/PP3PPP/R1BQ1RK1 w - - 0 9",
    "2r2rk1/pb3ppp/1p2p3/8/2PP4/4P3/PB3PPP/2R2RK1 w - - 0 18",
    "r2q1rk1/1b3ppp/p3pn2/1p6/3P4/PB3N2/1P2QPPP/R4RK1 w - - 0 17",
    "3r1rk1/5ppp/8/3N4/4P3/2b5/5PPP/3R1RK1 w - - 0 25",
    "8/5pk1/4b1p1/3p3p/3P3P/4B1P1/5PK1/8 w - - 0 40",
    "8/5pk1/3b2p1/3p3p/3P3P/4B1P1/5PK1/8 w - - 0 40",
    "2r3k1/1b1r1ppp/p3p3/1p2P3/8/P2R2P1/1P3PBP/3R2K1 b - - 0 24",
    "4r1k1/pp3pp1/2p4p/3n4/3P4/P1N2N2/1P3PPP/4R1K1 b - - 0 22",
    "r4rk1/2p2ppp/p1n5/1p1qp3/8/P2P1N2/1PP1QPPP/R4RK1 w - - 0 16",
    "6k1/5ppp/8/8/8/8/r4PPP/1R4K1 w - - 0 30",
    "r3k2r/pppq1ppp/2npbn2/2b1p3/2B1P3/2NPBN2/PPPQ1PPP/R3K2R w KQkq - 0 9",
    "r4rk1/pppq1ppp/2npbn2/2b1p3/2B1P3/2NPBN2/PPPQ1PPP/2KR3R w - - 0 10",
    "3q2k1/5pp1/7p/8/3R4/3Q3P/5PP1/6K1 w - - 0 31",
    "4k3/8/8/4n3/8/8/4R3/4K3 b - - 0 50",
    "r5k1/5ppp/8/8/8/1B6/5PPP/R5K1 w - - 0 28",
    "1k1r4/pp3ppp/8/8/8/8/PP3PPP/1K1RR3 w - - 0 26",
    "8/8/2k5/1p1p4/1P1P4/2K5/6p1/8 w - - 0 45",
]


class Place:
    """One position with its game: ``board`` naive, ``fen``, ``ply`` of ``game`` (None for hand-made)."""

    def __init__(self, fen: str, game: int | None, ply: int, last: str | None, headers: dict[str, str]) -> None:
        self.fen, self.game, self.ply, self.last, self.headers = fen, game, ply, last, headers
        self.board = Board(fen)


def places() -> list[Place]:
    found = []
    with (DATA / "games.pgn").open(encoding="utf-8") as stream:
        for number in itertools.count():
            game = chess.pgn.read_game(stream)
            if game is None:
                break
            board = game.board()
            headers = dict(game.headers)
            found.append(Place(board.fen(), number, 0, None, headers))
            for ply, move in enumerate(game.mainline_moves(), 1):
                board.push(move)
                found.append(Place(board.fen(), number, ply, move.uci(), headers))
    found += [Place(fen, None, 0, None, {}) for fen in HAND]
    return found


Slots = dict[str, str]
MAKERS: dict[str, Callable[[Place, str], Iterator[tuple[Slots, bool]]]] = {}


def maker(kind: str):
    def register(function):
        MAKERS[kind] = function
        return function

    return register


def side(white: bool) -> Slots:
    return {"S": "White" if white else "Black", "O": "Black" if white else "White"}


def piece(b: Board, s: int, k: str = "") -> Slots:
    return {"P" + k: NAMES[b.kind(s)], "Q" + k: name(s)}


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


def brute(board: chess.Board, n: int) -> bool:
    for move in list(board.legal_moves):
        board.push(move)
        good = board.is_checkmate()
        if not good and n > 1 and (board.is_check() or n < 3):
            replies = list(board.legal_moves)
            good = bool(replies)
            for reply in replies:
                board.push(reply)
                good = brute(board, n - 1)
                board.pop()
                if not good:
                    break
        board.pop()
        if good:
            return True
    return False


@maker("mate_in")
def _(p, words):
    board = chess.Board(p.fen)
    if board.is_game_over():
        return
    s = side(p.board.white_to_move)
    exact = next((n for n in (1, 2) if brute(board, n)), None)
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
    yield side(board.turn), brute(board, 1)


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


WORDS = ["zero", "one", "two", "three", "four", "five", "six", "seven"]


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


def pawn_facts(p, words, test):
    b = p.board
    for white in (True, False):
        men = b.men(white, "p")
        for file in range(8):
            here = [s for s in men if s % 8 == file]
            truths = [test(b, s) for s in here]
            if not here or None in truths:
                continue
            others = [s for s in b.men(not white, "p") if s % 8 == file]
            if "{Q}" not in words and "{S}" not in words and others:
                continue
            for s, truth in zip(here, truths, strict=True):
                value = truth if "{Q}" in words else any(truths)
                yield {**side(white), "Q": name(s), "F": "abcdefgh"[file]}, value


@maker("isolated")
def _(p, words):
    yield from pawn_facts(p, words, lambda b, s: b.isolated(s))


@maker("passed")
def _(p, words):
    yield from pawn_facts(p, words, lambda b, s: b.passed(s))


@maker("backward")
def _(p, words):
    yield from pawn_facts(p, words, lambda b, s: b.backward(s))


@maker("doubled")
def _(p, words):
    for white in (True, False):
        files = p.board.pawn_files(white)
        for f in range(8):
            yield {**side(white), "F": "abcdefgh"[f]}, files.count(f) > 1


@maker("hanging_pawns")
def _(p, words):
    b = p.board
    for white in (True, False):
        files, enemy = b.pawn_files(white), b.pawn_files(not white)
        for f in range(7):
            slots = {**side(white), "F": "abcdefgh"[f], "F2": "abcdefgh"[f + 1]}
            if f not in files or f + 1 not in files or f - 1 in files or f + 2 in files:
                if not any(
                    x in files and x + 1 in files and x - 1 not in files and x + 2 not in files
                    for x in (f - 1, f, f + 1)
                ):
                    yield slots, False
            elif f not in enemy and f + 1 not in enemy:
                ranks = {s // 8 for s in b.men(white, "p") if s % 8 in (f, f + 1)}
                if len(ranks) == 1:
                    yield slots, True


@maker("open_file")
def _(p, words):
    for f in range(8):
        yield {"F": "abcdefgh"[f]}, not any(s % 8 == f for s in p.board.men(None, "p"))


@maker("half_open")
def _(p, words):
    for white in (True, False):
        mine, theirs = p.board.pawn_files(white), p.board.pawn_files(not white)
        for f in range(8):
            yield {**side(white), "F": "abcdefgh"[f]}, f not in mine and f in theirs


@maker("outpost")
def _(p, words):
    b = p.board
    for s in b.men(None, "n"):
        white = b.white(s)
        rank = s // 8 if white else 7 - s // 8
        slots = {**piece(b, s), **side(white)}
        if b.pawn_reaches(s, not white):
            yield slots, False
        elif rank >= 3 and any(b.kind(a) == "p" for a in b.attackers(s, white)):
            yield slots, True


@maker("weak_square")
def _(p, words):
    for white in (True, False):
        for s in range(64):
            rank = s // 8 if white else 7 - s // 8
            if 2 <= rank <= 3:
                yield {**side(white), "Q": name(s)}, not p.board.pawn_reaches(s, white)


def bishops(b: Board, white: bool) -> list[bool]:
    return [b.light(s) for s in b.men(white, "b")]


@maker("bishop_pair")
def _(p, words):
    for white in (True, False):
        yield side(white), len(set(bishops(p.board, white))) == 2


@maker("opposite_bishops")
def _(p, words):
    one, two = bishops(p.board, True), bishops(p.board, False)
    yield {}, len(one) == len(two) == 1 and one != two


@maker("fianchetto")
def _(p, words):
    b = p.board
    for s in b.men(None, "b"):
        white = b.white(s)
        homes = ("g2", "b2") if white else ("g7", "b7")
        slots = {**piece(b, s), **side(white)}
        if "king's" in words:
            yield slots, any(name(x) == homes[0] for x in b.men(white, "b"))
        else:
            yield slots, name(s) in homes


def castled_before(p, white) -> bool | None:
    if p.game is None:
        return None
    with (DATA / "games.pgn").open(encoding="utf-8") as stream:
        for _ in range(p.game + 1):
            game = chess.pgn.read_game(stream)
    board = game.board()
    for _ply, move in zip(range(p.ply), game.mainline_moves(), strict=False):
        if board.turn == white and board.is_castling(move):
            return True
        board.push(move)
    return False


@maker("castled")
def _(p, words):
    for white in (True, False):
        truth = castled_before(p, white)
        if truth is not None:
            yield side(white), truth


@maker("uncastled")
def _(p, words):
    for white in (True, False):
        truth = castled_before(p, white)
        if truth is not None:
            yield side(white), not truth


@maker("castle_right")
def _(p, words):
    b = p.board
    for white in (True, False):
        if p.game is None or castled_before(p, white):
            continue
        mine = [c for c in b.castling if c in ("KQ" if white else "kq")]
        if "kingside" in words:
            yield side(white), ("K" if white else "k") in mine
        elif any(w in words for w in ("no longer", "the right to", "can't", "cannot")) and "still" not in words:
            yield side(white), not mine
        elif "right now" not in words:
            yield side(white), bool(mine)
        elif not mine:
            yield side(white), False


@maker("developed")
def _(p, words):
    b = p.board
    if p.game is None:
        return
    home = {True: {"n": ("b1", "g1"), "b": ("c1", "f1"), "r": ("a1", "h1"), "q": ("d1",)}}
    home[False] = {k: tuple(x[0] + "8" for x in v) for k, v in home[True].items()}
    for white in (True, False):
        out = [s for k in "nbrq" for s in b.men(white, k) if name(s) not in home[white][k]]
        minors = [s for s in out if b.kind(s) in "nb"]
        if len(out) == len(minors) > 0:
            yield {**side(white), "N": WORDS[len(out)]}, True
        wrong = len(out) + 2
        if 2 <= wrong < 7:
            yield {**side(white), "N": WORDS[wrong]}, False


def differences(b: Board) -> dict[str, int]:
    return {k: b.count(True, k) - b.count(False, k) for k in ("p", "nb", "r", "q")}


@maker("material")
def _(p, words):
    b = p.board
    d = differences(b)
    for white in (True, False):
        sign = 1 if white else -1
        m = {k: v * sign for k, v in d.items()}
        lead = (b.points(True) - b.points(False)) * sign
        s = side(white)
        pieces_even = not (m["nb"] or m["r"] or m["q"])
        if "level" in words or "equal" in words:
            yield {}, lead == 0
            return
        if "{N}" in words:
            for n in (2, 3):
                if pieces_even:
                    yield {**s, "N": WORDS[n]}, m["p"] == n
                elif abs(lead - n) > 1:
                    yield {**s, "N": WORDS[n]}, False
        elif "{P}" in words:
            for kind, group in (("pawn", "p"), ("rook", "r"), ("queen", "q")):
                rest = [v for k, v in m.items() if k not in (group, "p")]
                worth = {"p": 1, "r": 5, "q": 9}[group]
                if m[group] == 1 and not any(rest):
                    yield {**s, "P": kind}, True
                elif abs(lead - worth) > 2:
                    yield {**s, "P": kind}, False
        elif "pawn" in words:
            if pieces_even:
                yield s, m["p"] == 1
            elif abs(lead - 1) > 1:
                yield s, False
        elif "exchange" in words:
            flip = -1 if "down" in words else 1
            yield s, m["r"] * flip == 1 and m["nb"] * flip == -1 and m["q"] == 0
        elif "piece" in words:
            flip = -1
            if m["nb"] * flip == 1 and not m["r"] and not m["q"]:
                yield s, True
            elif abs(lead * flip - 3) > 2 and abs(lead * flip - 5) > 2:
                yield s, False


@maker("count")
def _(p, words):
    b = p.board
    for letter in "nbrqp":
        word = {"p": "pawn", "n": "knight", "b": "bishop", "r": "rook", "q": "queen"}[letter]
        for white in (True, False):
            n = b.count(white, letter)
            total = n + b.count(not white, letter)
            real = n if "{S}" in words else total
            for k in (real, real + 1, real - 1):
                if 2 <= k < 8:
                    yield {**side(white), "N": WORDS[k], "P": word}, k == real
            if "{S}" not in words:
                break


@maker("bishop_colour")
@maker("light_square")
def _(p, words):
    b = p.board
    for white in (True, False):
        men = b.men(white, "b")
        if "remaining" in words:
            if len(men) == 1:
                for c in ("light", "dark"):
                    yield {**side(white), "C": c}, b.light(men[0]) == (c == "light")
            continue
        for s in b.men(white):
            for c in ("light", "dark"):
                yield {**piece(b, s), "C": c}, b.light(s) == (c == "light")


@maker("standing")
def _(p, words):
    b = p.board
    kinds = "k" if "king" in words else "nbrqp"
    for white in (True, False):
        for s in range(64):
            for k in kinds:
                there = bool(b.cells[s]) and b.white(s) == white and b.kind(s) == k
                anyone = bool(b.cells[s]) and b.kind(s) == k
                truth = there if "{S}" in words else anyone
                if there or (not anyone and _like(b, s, k, white) and p.game is None):
                    yield {**side(white), "P": NAMES[k], "Q": name(s)}, truth


def _like(b: Board, s: int, k: str, white: bool) -> bool:
    """Whether a piece of that kind stands on the same file or rank: the slip people make."""
    return any(x % 8 == s % 8 or x // 8 == s // 8 for x in b.men(white, k))


SPOKEN = (
    "zero one two three four five six seven eight nine ten eleven twelve thirteen fourteen fifteen sixteen seventeen"
)
SPOKEN_LIST = [
    *SPOKEN.split(),
    "eighteen",
    "nineteen",
    "twenty",
    "twenty-one",
    "twenty-two",
    "twenty-three",
    "twenty-four",
]
SPOKEN_LIST += ["twenty-five", "twenty-six", "twenty-seven", "twenty-eight", "twenty-nine", "thirty"]


@maker("move_number")
def _(p, words):
    b = p.board
    if p.game is None or not p.last or b.number > 27:
        return
    if "{M}" in words:
        board = chess.Board(p.fen)
        with (DATA / "games.pgn").open(encoding="utf-8") as stream:
            for _ in range(p.game + 1):
                game = chess.pgn.read_game(stream)
        moves = list(game.mainline_moves())
        if p.ply >= len(moves):
            return
        spoken = speak(board, moves[p.ply])
        for shift in (0, 1, -1):
            n = b.number + shift
            at = (n - 1) * 2 + (0 if b.white_to_move else 1)
            if n > 0 and at < len(moves) and (shift == 0 or moves[at].to_square != moves[p.ply].to_square):
                yield {**side(b.white_to_move), "N": SPOKEN_LIST[n], "M": spoken}, shift == 0
        return
    if "{N}th" in words:
        if b.white_to_move and 4 <= b.number <= 20:
            for shift in (0, 2, -2):
                yield {**side(True), "N": str(b.number + shift)}, shift == 0
        return
    for shift in (0, 2, -3):
        if 1 <= b.number + shift <= 29:
            yield {**side(b.white_to_move), "N": SPOKEN_LIST[b.number + shift]}, shift == 0


def speak(board: chess.Board, move: chess.Move) -> str:
    if board.is_castling(move):
        return "castles kingside" if board.is_kingside_castling(move) else "castles queenside"
    man = chess.piece_name(board.piece_type_at(move.from_square))
    to = chess.square_name(move.to_square)
    if man == "pawn":
        return f"{chess.FILE_NAMES[move.from_square % 8]} takes {to}" if board.is_capture(move) else to
    return f"{man} takes {to}" if board.is_capture(move) else f"{man} to {to}"


@maker("players")
def _(p, words):
    if p.game is None or p.ply not in (3, 10):
        return
    white, black = p.headers["White"], p.headers["Black"]
    for a, b_, truth in ((white, black, True), (black, white, False)):
        if "black" in words:
            yield {"A": b_, "B": a}, truth
        elif "{C}" in words:
            yield {"A": a, "C": "white"}, truth
            yield {"A": b_, "C": "black"}, truth
        else:
            yield {"A": a, "B": b_}, truth


OPENINGS = {
    0: "King's Gambit",
    1: "Evans Gambit",
    2: "Caro-Kann",
    3: "Philidor Defence",
    4: "Four Knights",
    5: "Italian Game",
}


@maker("opening")
def _(p, words):
    if p.game in OPENINGS and p.ply in (8, 9):
        yield {"G": OPENINGS[p.game]}, True
        for other in ("Sicilian Defence", "French Defence", "Queen's Gambit", "King's Indian Defence", "Nimzo-Indian"):
            yield {"G": other}, False


@maker("result")
def _(p, words):
    if p.game is None or p.ply < 20:
        return
    result = p.headers["Result"]
    if "draw" in words:
        yield {}, result == "1/2-1/2"
    elif "{A}" in words:
        for tag, won in (("White", result == "1-0"), ("Black", result == "0-1")):
            yield {"A": p.headers[tag]}, (not won) if "resigned" in words else won
    elif "resigned" in words:
        yield side(True), result == "0-1"
        yield side(False), result == "1-0"
    else:
        yield side(True), result == "1-0"
        yield side(False), result == "0-1"


@maker("legal")
def _(p, words):
    board = chess.Board(p.fen)
    if board.is_game_over() or board.is_check():
        return
    s = side(board.turn)
    legal = {(board.piece_type_at(m.from_square), m.to_square) for m in board.legal_moves if not board.is_castling(m)}
    for kind in (chess.KNIGHT, chess.BISHOP, chess.ROOK, chess.QUEEN):
        if not board.pieces(kind, board.turn):
            continue
        for to in range(64):
            truth = (kind, to) in legal
            if "takes" in words:
                continue
            slots = {**s, "M": f"{chess.piece_name(kind)} to {name(to)}"}
            yield slots, truth if "play {M}" in words else not truth


def never_judged(p, words):
    b = p.board
    for s in b.men()[:6]:
        yield {**side(b.white(s)), **piece(b, s), "N": "three", "F": "e"}, None


def fill(words: str, slots: Slots, rng: random.Random) -> str:
    slots = dict(slots)
    if rng.random() < 0.3:
        for k, v in slots.items():
            if k[0] == "Q" and len(v) == 2:
                slots[k] = f"{v[0]} {WORDS[int(v[1])] if v[1] != '8' else 'eight'}"
    text = words
    for k in sorted(slots, key=len, reverse=True):
        text = text.replace("{" + k + "}", slots[k])
    text = text.replace("s on the board", "s on the board").replace("a exchange", "an exchange")
    return text[0].upper() + text[1:] + ("" if text.endswith("?") else ".")


def rows(path: Path, label: str, everywhere: list[Place], seed: int) -> Iterator[dict]:
    rng = random.Random(seed)
    for line in path.read_text(encoding="utf-8").splitlines():
        if not line.strip() or line.startswith("#"):
            continue
        kind, _, words = (part.strip() for part in line.partition("|"))
        make = never_judged if kind == "none" else MAKERS[kind]
        order = list(everywhere)
        rng.shuffle(order)
        got: dict[bool | None, list[tuple[Place, Slots]]] = {True: [], False: [], None: []}
        for p in order:
            options = list(make(p, words))
            rng.shuffle(options)
            seen = set()
            for slots, truth in options:
                if truth not in seen and len(got[truth]) < PER_WORDING // 2:
                    got[truth].append((p, slots))
                    seen.add(truth)
            if len(got[True]) == len(got[False]) == PER_WORDING // 2 or len(got[None]) >= 2:
                break
        if not any(got.values()):
            print(f"no position for: {line}", file=sys.stderr)
        for truth, chosen in got.items():
            for p, slots in chosen:
                yield {
                    "kind": kind, "true": truth, "say": fill(words, slots, rng), "fen": p.fen,
                    "game": p.game, "ply": p.ply, "set": label, "words": words,
                }  # fmt: skip


def main() -> None:
    everywhere = places()
    found = [
        *rows(DATA / "heldout_wordings.txt", "heldout", everywhere, 11),
        *rows(DATA / "heldout_wordings2.txt", "heldout2", everywhere, 13),
        *rows(DATA / "heldout_wordings3.txt", "heldout3", everywhere, 14),
        *rows(DATA / "heldout_wordings4.txt", "heldout4", everywhere, 15),
        *rows(DATA / "wordings.txt", "known", everywhere, 12),
    ]
    with (DATA / "statements.jsonl").open("w", encoding="utf-8") as out:
        for row in found:
            out.write(json.dumps(row) + "\n")
    for label in ("known", "heldout", "heldout2", "heldout3", "heldout4"):
        mine = [r for r in found if r["set"] == label]
        print(
            label,
            len(mine),
            "true",
            sum(r["true"] is True for r in mine),
            "false",
            sum(r["true"] is False for r in mine),
        )


if __name__ == "__main__":
    main()

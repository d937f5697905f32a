"""Truth about pawns, files, squares, bishops, kings, development, material and places."""

from __future__ import annotations

import re

from naive import NAMES, Board, name
from truth import WORDS, games, maker, piece, side


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
    board = games()[p.game].board()
    for _ply, move in zip(range(p.ply), games()[p.game].mainline_moves(), strict=False):
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


GONE = re.compile(r"no longer|can't|cannot|(?<!not )(?<!n't )(?:lost|given up|forfeited) the right")
"""Words of a saying that a side may never castle again."""


@maker("castle_right")
def _(p, words):
    b = p.board
    for white in (True, False):
        if p.game is None or castled_before(p, white):
            continue
        mine = [c for c in b.castling if c in ("KQ" if white else "kq")]
        if "kingside" in words:
            yield side(white), ("K" if white else "k") in mine
        elif GONE.search(words):
            yield side(white), not mine
        elif "right now" not in words:
            yield side(white), bool(mine)
        elif not mine:
            yield side(white), False


@maker("castle_lost")
def _(p, words):
    for white in (True, False):
        if p.game is not None and not castled_before(p, white):
            yield side(white), not any(c in p.board.castling for c in ("KQ" if white else "kq"))


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
        if "remaining" in words or "{S}" in words:
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

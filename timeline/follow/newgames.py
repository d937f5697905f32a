"""Where a talk begins a game anew: moves that follow each other from the start position, other ones than before."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass

import chess

from timeline.follow.lattice import Lattice
from timeline.follow.matching import matches
from timeline.follow.mentions import Mention
from timeline.follow.tree import Node, Tree
from timeline.follow.wayfeatures import marked

CLEAR = frozenset("full pawn to capsq san castle".split())
APART_TOKENS = 30
CLOSE_TOKENS = 8
"""Between the moves of a row: at most, and where nothing announces that they are a new game's."""
MISSES = 1
"""Clear moves that do not fit, in a row of moves that do."""
ANNOUNCED, UNANNOUNCED = 3, 8
"""Plies from the start position that make a new game, with and without words that announce one."""
_REACH = 30
_NEW = re.compile(
    r"\b(?:second|next|another|other|third|fourth|new|return|last|following|rapid|blitz) (?:\w+ )?(?:game|round|match|example)\b"
    r"|\b(?:game|round|example) (?:number )?(?:two|three|four|2|3|4)\b"
    r"|\b(?:the )?(?:next|following) (?:day|evening|morning|week|time)\b|\brematch\b|\brevenge\b"
    r"|\b(?:back to|from|in) the (?:start|starting|initial) position\b"
    r"|\bin the (?:afternoon|evening)\b|\b(?:later|afterwards) (?:that|the same|we|i|they)\b"
    r"|\b(?:set up|put) the pieces\b|\b(?:both|these|all|two) games\b|\bnow i (?:had|have|play|played) (?:black|white)\b"
)
"""Words that announce another game."""


@dataclass(frozen=True, slots=True)
class Begun:
    """A game that begins at token ``start``; ``words`` is the token from which the talk is about it, ``moves`` its first ones."""

    start: int
    words: int
    moves: tuple[chess.Move, ...]
    announced: bool = False


def games_begun(lattice: Lattice, tree: Tree) -> list[Begun]:
    """The games that a talk begins from the start position, in order: one where it tells of one game only."""
    found: list[Begun] = []
    i, told = 0, 0
    while i < lattice.n:
        mention = _first(lattice, tree.root, i)
        if mention is None:
            i += 1
            continue
        moves, end = _run(lattice, tree, mention)
        words = _announced(lattice, told, i) if found else -1
        enough = len(moves) >= ANNOUNCED
        if found and words < 0:
            moves, end = _run(lattice, tree, mention, apart=CLOSE_TOKENS, misses_at_most=0)
            enough = len(moves) >= UNANNOUNCED
        fresh = all(_parts(moves, other.moves) for other in found)
        if enough and fresh and not marked(lattice, mention):
            found.append(Begun(i, words if words >= 0 else i, tuple(moves), words >= 0))
        if len(moves) >= ANNOUNCED:
            i = told = end
        else:
            i = mention.end
    return found


def _first(lattice: Lattice, root: Node, i: int) -> Mention | None:
    """The mention at token ``i`` that tells a game's first move."""
    clear = [m for m in lattice.readings(i) if m.hear < 0.4 and m.kind in ("full", "pawn", "san", "to")]
    return max((m for m in clear if _played(root, m)), key=lambda m: m.end, default=None)


def _played(node: Node, m: Mention) -> chess.Move | None:
    fitting = matches(node, m.desc)
    return fitting[0][0].move if fitting and fitting[0][1] < 0.8 else None


def _run(
    lattice: Lattice, tree: Tree, first: Mention, apart: int = APART_TOKENS, misses_at_most: int = MISSES
) -> tuple[list[chess.Move], int]:
    """The moves told one after the other from the first on, and the token after the last."""
    node, at, end, misses = tree.root, first.start, first.end, 0
    moves: list[chess.Move] = []
    while at < lattice.n and at - end <= apart:
        readings = [m for m in lattice.readings(at) if m.hear < 0.4]
        if moves and _first(lattice, tree.root, at) is not None and _announced(lattice, end, at) >= 0:
            break
        named = [(m, move) for m in readings if (move := _played(node, m)) is not None and (m.kind in CLEAR or (m.desc.cap and misses_at_most))]
        if named:
            m, move = max(named, key=lambda pair: pair[0].end)
            if m.kind == "to" and marked(lattice, m):
                break
            node = tree.child(node, move)
            moves.append(move)
            at = end = m.end
            continue
        clear = [m for m in readings if m.kind in CLEAR and m.desc.to >= 0]
        if clear:
            misses += 1
            if misses > misses_at_most or len(moves) < 2 or _first(lattice, tree.root, at) is not None:
                break
            at = max(m.end for m in clear)
        else:
            at += 1
    return moves, end


def _announced(lattice: Lattice, told: int, i: int) -> int:
    """The token from which another game is announced before token ``i``, not before ``told``; -1 where none is."""
    first = max(told, i - _REACH)
    text, starts = "", []
    for k in range(first, i):
        starts.append(len(text))
        text += f"{lattice.toks[k].text} "
    hit = next(iter(_NEW.finditer(text)), None)
    return -1 if hit is None else first + max(k for k, start in enumerate(starts) if start <= hit.start())


def _parts(moves: Sequence[chess.Move], other: Sequence[chess.Move]) -> bool:
    """Whether one row of moves is no beginning of the other."""
    return any(a != b for a, b in zip(moves, other, strict=False))

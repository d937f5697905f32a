"""A game from speech alone: its moves with how sure each is, the second reading, and what a person has settled."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from itertools import pairwise

import chess

from timeline.follow.collector import collector_paused
from timeline.follow.gameparts import game_parts
from timeline.follow.lattice import Lattice
from timeline.follow.leftover import leftover
from timeline.follow.lexer import tokens
from timeline.follow.lines import Line, chain
from timeline.follow.newgames import games_begun
from timeline.follow.pauses import heard_punctuation
from timeline.follow.reconstruct import Reconstructor
from timeline.follow.reconstructed import Ply, Reconstruction, ToldGame, ToldMoves
from timeline.follow.setup import find_setup
from timeline.follow.toldplies import told_plies
from timeline.follow.tree import Node
from timeline.follow.wayweights import Weights, learned
from timeline.transcript.words import Word


def reconstruct(
    words: Sequence[Word],
    *,
    start: chess.Board | None = None,
    told: Sequence[ToldMoves] = (),
    weights: Weights | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Reconstruction:
    """The game that ``words`` tell, from ``start`` (else from a set-up read aloud, else from the usual position).

    Deterministic; never raises for odd words. ``told`` must be legal where it stands, else it is ``unheeded``.
    """
    with collector_paused():
        return _reconstruct(words, start, told, learned() if weights is None else weights, progress)


def _reconstruct(
    words: Sequence[Word],
    start: chess.Board | None,
    told: Sequence[ToldMoves],
    weights: Weights,
    progress: Callable[[int, int], None] | None,
) -> Reconstruction:
    lattice = Lattice(heard_punctuation(tokens(words)))
    setup = find_setup(lattice) if start is None else None
    board = start or (setup.board if setup else chess.Board())
    first = setup.end if setup else 0
    spoken = (lattice.toks[setup.first].word, lattice.toks[setup.end - 1].word) if setup else None
    if not lattice.n:
        return Reconstruction(board.fen(), (), None, (), board.chess960)
    orders: dict[int, tuple[str, ...]] = {}
    numbers: dict[int, int] = {}
    for number, item in enumerate(told):
        at = next((i for i, tok in enumerate(lattice.toks) if tok.onset_ms >= item.at_ms - 40), lattice.n - 1)
        orders[max(at, first)] = item.sans
        numbers[max(at, first)] = number
    search = Reconstructor(lattice, board, weights, told=orders, progress=progress)
    games = games_begun(lattice, search.tree) if setup is None and board.fen() == chess.STARTING_FEN else []
    parts, taken = game_parts(search, games, orders, first, lattice.n)
    first, search.stop = parts[taken]
    orders = search.told = {at: sans for at, sans in orders.items() if first <= at < search.stop}
    best = search.run(first=first)[0]
    steps = chain(best)
    plies: list[Ply] = []
    for before, step in pairwise(steps):
        if step.tip is before.tip:
            continue
        base = _shared(before.tip, step.tip)
        plies = [*plies[: base.ply], *told_plies(search, before, step, steps, base)]
    obeyed = {step.tok for step in steps if step.act == "told"}
    unheeded = tuple(
        (numbers[at], *_standing(steps, at)) for at, sans in sorted(orders.items()) if sans and at not in obeyed
    )
    denied = [at for at, sans in orders.items() if not sans]
    told_games = tuple(
        ToldGame(lattice.toks[game.start].onset_ms, board.variation_san(game.moves)) for game in games if len(parts) > 1
    )
    left = leftover(lattice, steps, denied)
    search.tree.release()
    return Reconstruction(board.fen(), tuple(plies), spoken, unheeded, board.chess960, told_games, taken, left)


def _standing(steps: Sequence[Line], at: int) -> tuple[str, str]:
    """The main line before a token in words, and the legal moves there."""
    tip = next((s.tip for s in reversed(steps) if s.tok < at or s.prev is None), steps[0].tip)
    root = tip
    while root.parent is not None:
        root = root.parent
    line = root.board.variation_san(tip.path()) if tip.ply else "the start"
    return line, " ".join(sorted(tip.board.san(move) for move in tip.board.legal_moves))


def _shared(a: Node, b: Node) -> Node:
    """Where two lines part."""
    while a is not b:
        longer = a if a.ply > b.ply else b
        assert longer.parent is not None
        a, b = (longer.parent, b) if longer is a else (a, longer.parent)
    return a

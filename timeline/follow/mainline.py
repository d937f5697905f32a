"""A game from speech alone: its moves with how sure each is, the second reading, and what a person has settled."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import chess
import chess.pgn

from timeline.follow.collector import collector_paused
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.lines import Line, chain
from timeline.follow.pauses import heard_punctuation
from timeline.follow.reconstruct import Reconstructor
from timeline.follow.setup import find_setup
from timeline.follow.tree import Node
from timeline.follow.wayweights import Weights, learned
from timeline.score import Score
from timeline.timecode import format_ms
from timeline.transcript.words import Word

ANNOTATOR = "reconstructed by plyline from speech"
AHEAD_TOKENS = 60
"""How far the second reading of a move is followed before it is compared with the first."""
NARROW_BEAM = 8
CLOSE = 1.0
"""A second reading that falls behind by less than this (natural-log units) is asked about."""


@dataclass(frozen=True, slots=True)
class ToldMoves:
    """A person's word: the words at ``at_ms`` tell these moves of the game (SAN), or none of it."""

    at_ms: int
    sans: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Ply:
    """One move of the reconstructed main line.

    ``first``/``last``: the words that tell it (-1 for a move that was not told and is guessed from what follows).
    ``at_ms``: their onset; a guessed move has that of the next told one, which a person names to settle both.
    ``sure``: calibrated probability in [0, 1], given that all moves before are right. ``rival``: the move of the second
    reading (SAN), "none" when there the game does not go on here, None when nothing came near; ``margin``: how far it
    falls behind, in natural-log units.
    """

    uci: str
    san: str
    at_ms: int
    first: int
    last: int
    sure: float
    rival: str | None = None
    margin: float = 0.0
    guessed: bool = False
    settled: bool = False

    @property
    def asked(self) -> bool:
        """Whether two readings remain, so that a person should say which."""
        return not self.settled and (self.guessed or self.margin < CLOSE)


@dataclass(frozen=True, slots=True)
class Reconstruction:
    """The main line from ``start_fen`` on. ``setup``: the words (first, last) that read a set-up aloud.

    ``unheeded``: numbers of the told moves that could not be played, with the moves up to there and what is legal.
    """

    start_fen: str
    plies: tuple[Ply, ...]
    setup: tuple[int, int] | None = None
    unheeded: tuple[tuple[int, str, str], ...] = ()
    chess960: bool = False


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
    best = search.run(first=first)[0]
    steps = chain(best)
    plies: list[Ply] = []
    for before, step in pairwise(steps):
        if step.tip is before.tip:
            continue
        base = _shared(before.tip, step.tip)
        plies = [*plies[: base.ply], *_plies(search, before, step, steps, base)]
    obeyed = {step.tok for step in steps if step.act == "told"}
    unheeded = tuple(
        (numbers[at], *_standing(steps, at)) for at, sans in sorted(orders.items()) if sans and at not in obeyed
    )
    search.tree.release()
    return Reconstruction(board.fen(), tuple(plies), spoken, unheeded, board.chess960)


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


def _plies(search: Reconstructor, before: Line, step: Line, steps: Sequence[Line], base: Node) -> list[Ply]:
    """The moves of one step: one; two where the first was not told; as many as a person says."""
    toks = search.lattice.toks
    m = step.mention
    at_ms = toks[step.tok].onset_ms
    words = (toks[m.start].word, toks[m.end - 1].word) if m else (toks[step.tok].word, toks[step.tok].word)
    nodes = []
    node = step.tip
    while node is not base:
        nodes.append(node)
        assert node.parent is not None
        node = node.parent
    made: list[Ply] = []
    for node in reversed(nodes):
        assert node.parent is not None
        assert node.move is not None
        san = node.parent.board.san(node.move)
        if step.act == "told":
            made.append(Ply(node.move.uci(), san, at_ms, *words, 1.0, settled=True))
            continue
        guessed = node is not step.tip
        margin, rival = _second(search, before, step, steps, node)
        sure = _sure(search.weights, margin, "guess" if guessed else "or" if rival not in (None, "none") else "sure")
        told = (-1, -1) if guessed else words
        made.append(Ply(node.move.uci(), san, at_ms, *told, round(sure, 3), rival, round(margin, 3), guessed))
    return made


def _sure(weights: Weights, margin: float, name: str) -> float:
    """Probability that a move is right, by its margin over the second reading; the curves are fitted on held-out talk."""
    x = weights.get(f"{name}:0", 0.0) + weights.get(f"{name}:1", 0.5) * min(margin, 12.0)
    return 1.0 / (1.0 + math.exp(-x))


def _second(
    search: Reconstructor, before: Line, step: Line, steps: Sequence[Line], node: Node
) -> tuple[float, str | None]:
    """How far the best line without this move falls behind, and what it plays instead."""
    ends = min(search.n, step.tok + AHEAD_TOKENS)
    base = node.parent
    assert base is not None
    other_way = Reconstructor(
        search.lattice,
        search.tree.root.board,
        search.weights,
        told=search.told,
        beam=NARROW_BEAM,
        barred=node,
        tree=search.tree,
    )
    rivals = other_way.run(_fresh(before), step.tok, ends)
    search.forget((*steps, *rivals[:1]))
    if not rivals:
        return 12.0, None
    ours = next(line for line in reversed(steps) if line.tok < ends)
    margin = max(0.0, ours.score - before.score - rivals[0].score)
    other: Node | None = rivals[0].tip
    while other is not None and other.ply > base.ply + 1:
        other = other.parent
    if other is not None and other.parent is base and other.move is not None:
        return margin, base.board.san(other.move)
    return margin, "none"


def _fresh(line: Line) -> Line:
    """The line as a beginning: its own past plays no part."""
    return Line(0.0, line.tip, line.node, None, "pass", None, line.tok, line.last_end, line.last, line.moved)


def score_of(found: Reconstruction, *, title: str | None = None) -> Score:
    """The reconstruction as a score, its tags saying what it is and its comments where it is in doubt."""
    board = chess.Board(found.start_fen, chess960=found.chess960)
    game = chess.pgn.Game()
    if title:
        game.headers["Event"] = re.sub(r'[\x00-\x1f"\\]+', " ", title)
    game.headers["Annotator"] = ANNOTATOR
    if board.fen() != chess.STARTING_FEN:
        game.setup(board)
    node: chess.pgn.GameNode = game
    for ply in found.plies:
        node = node.add_variation(chess.Move.from_uci(ply.uci))
        if ply.guessed:
            node.comment = f"not told: guessed from what follows at {format_ms(ply.at_ms)}"
        elif ply.asked:
            other = f", or {ply.rival}" if ply.rival and ply.rival != "none" else ", or not played"
            node.comment = f"{format_ms(ply.at_ms)}: sure {ply.sure:.2f}{other}"
    return Score(game, "the game as reconstructed from speech")


def write_pgn(score: Score) -> str:
    """The PGN text of a reconstructed score."""
    return f"{score.game.accept(chess.pgn.StringExporter(columns=80))}\n"

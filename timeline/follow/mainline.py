"""A game from speech alone: its moves with how sure each is, the second reading, and what a person has settled."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from string import capwords

import chess
import chess.pgn

from timeline.follow.collector import collector_paused
from timeline.follow.lattice import Lattice
from timeline.follow.leftover import Leftover, leftover
from timeline.follow.lexer import tokens
from timeline.follow.lines import Line, chain
from timeline.follow.matching import matches
from timeline.follow.mentions import Mention
from timeline.follow.newgames import Begun, games_begun
from timeline.follow.pauses import heard_punctuation
from timeline.follow.reconstruct import Reconstructor
from timeline.follow.setup import find_setup
from timeline.follow.tree import Node
from timeline.follow.wayweights import BARE_CAPTURES, Weights, learned
from timeline.score import Score
from timeline.timecode import format_ms
from timeline.transcript.words import Word

ANNOTATOR = "reconstructed by plyline from speech"
AHEAD_TOKENS = 60
"""How far the second reading of a move is followed before it is compared with the first."""
NARROW_BEAM = 8
CLOSE = 1.0
"""A second reading that falls behind by less than this (natural-log units) is asked about."""
CLOSE_CAPTURE = 2.5
"""The same for a capture of which the words say only who takes whom, or not even that, and that other moves fit as well."""
READINGS = 3
"""Other readings of one move that are looked for."""


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
    falls behind, in natural-log units. ``others``: further moves that come as near. ``open``: the words are those of a bare
    capture that other moves fit as well. ``named``: the opening, as it is named, by which a move is
    guessed.
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
    others: tuple[str, ...] = ()
    open: bool = False
    named: str = ""

    @property
    def asked(self) -> bool:
        """Whether two readings remain, so that a person should say which."""
        return not self.settled and (self.guessed or self.margin < (CLOSE_CAPTURE if self.open else CLOSE))

    @property
    def alternatives(self) -> tuple[str, ...]:
        """The moves (SAN) of the other readings, the nearest first."""
        return (() if self.rival in (None, "none") else (str(self.rival),)) + self.others


@dataclass(frozen=True, slots=True)
class ToldGame:
    """A game that the talk begins: the onset of its first move, and its first moves (SAN, with numbers)."""

    at_ms: int
    moves: str


@dataclass(frozen=True, slots=True)
class Reconstruction:
    """The main line from ``start_fen`` on. ``setup``: the words (first, last) that read a set-up aloud.

    ``games``: where the talk begins a game anew and with which moves, if it tells more than one; ``taken``: which is the main line.
    ``left``: moves told after the last one.
    ``unheeded``: numbers of the told moves that could not be played, with the moves up to there and what is legal.
    """

    start_fen: str
    plies: tuple[Ply, ...]
    setup: tuple[int, int] | None = None
    unheeded: tuple[tuple[int, str, str], ...] = ()
    chess960: bool = False
    games: tuple[ToldGame, ...] = ()
    taken: int = 0
    left: Leftover | None = None


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
    parts = _parts(games, orders, first, lattice.n)
    first, search.stop, taken = _taken(search, parts, orders) if len(parts) > 1 else (first, lattice.n, 0)
    orders = search.told = {at: sans for at, sans in orders.items() if first <= at < search.stop}
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
    denied = [at for at, sans in orders.items() if not sans]
    told_games = tuple(
        ToldGame(lattice.toks[game.start].onset_ms, board.variation_san(game.moves)) for game in games if len(parts) > 1
    )
    left = leftover(lattice, steps, denied)
    search.tree.release()
    return Reconstruction(board.fen(), tuple(plies), spoken, unheeded, board.chess960, told_games, taken, left)


def _parts(games: Sequence[Begun], orders: dict[int, tuple[str, ...]], first: int, end: int) -> list[tuple[int, int]]:
    """The tokens of each game that the talk begins; one part where a person's word joins them.

    A person says "none" of a game's first move where no game begins, and names moves of one game only.
    """
    starts = [first, *(game.words for game in games[1:])]
    parts = list(zip(starts, [*starts[1:], end], strict=True))
    settled = {k for k, (a, b) in enumerate(parts) for at, sans in orders.items() if sans and a <= at < b}
    denied = any(orders.get(game.start) == () for game in games[1:])
    return [(first, end)] if denied or len(settled) > 1 else parts


def _taken(search: Reconstructor, parts: Sequence[tuple[int, int]], orders: dict[int, tuple[str, ...]]) -> tuple[int, int, int]:
    """The part that is worked out, with its number: the one of which a person has settled moves, else the one that tells most."""
    settled = [k for k, (a, b) in enumerate(parts) if any(sans and a <= at < b for at, sans in orders.items())]
    plies = []
    for first, stop in parts:
        search.stop = stop
        plies.append(search.run(first=first)[0].tip.ply)
        search.forget(())
    k = settled[0] if settled else plies.index(max(plies))
    return *parts[k], k


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
    named = search.plays.named(step.tip, step.tok) if step.act == "opening" else None
    opening = capwords(" ".join(tok.text for tok in toks[named.start : named.end])) if named else ""
    for node in reversed(nodes):
        assert node.parent is not None
        assert node.move is not None
        san = node.parent.board.san(node.move)
        if step.act == "told":
            made.append(Ply(node.move.uci(), san, at_ms, *words, 1.0, settled=True))
            continue
        guessed = node is not step.tip
        if guessed and opening and made:  # an opening's moves are guessed together
            made.append(replace(made[0], uci=node.move.uci(), san=san, rival=None))
            continue
        margin, rival, rival_node = _second(search, before, step, steps, (node,))
        sure = _sure(search.weights, margin, "guess" if guessed else "or" if rival not in (None, "none") else "sure")
        told = (-1, -1) if guessed else words
        bare = not guessed and m is not None and _open_capture(m, node)
        ply = Ply(node.move.uci(), san, at_ms, *told, round(sure, 3), rival, round(margin, 3), guessed, open=bare)
        if guessed and opening:
            ply = replace(ply, named=opening)
        if bare and ply.asked:
            ply = replace(ply, others=_others(search, before, step, steps, [node, rival_node]))
        made.append(ply)
    return made


def _open_capture(m: Mention, node: Node) -> bool:
    """Whether the words of a capture leave open which one it is."""
    assert node.parent is not None
    fitting = [cost for legal, cost, _ in matches(node.parent, m.desc) if legal.move != node.move]
    return m.kind in BARE_CAPTURES and bool(fitting) and min(fitting) < 0.9


def _others(
    search: Reconstructor, before: Line, step: Line, steps: Sequence[Line], known: Sequence[Node | None]
) -> tuple[str, ...]:
    """Moves of further readings beside those ``known`` that come near enough to be asked about as well."""
    found: list[str] = []
    barred = [node for node in known if node is not None]
    while len(barred) == len(found) + len(known) and len(barred) < READINGS:
        margin, san, node = _second(search, before, step, steps, tuple(barred))
        if node is None or san is None or margin >= CLOSE_CAPTURE:
            break
        found.append(san)
        barred.append(node)
    return tuple(found)


def _sure(weights: Weights, margin: float, name: str) -> float:
    """Probability that a move is right, by its margin over the second reading; the curves are fitted on held-out talk."""
    x = weights.get(f"{name}:0", 0.0) + weights.get(f"{name}:1", 0.5) * min(margin, 12.0)
    return 1.0 / (1.0 + math.exp(-x))


def _second(
    search: Reconstructor, before: Line, step: Line, steps: Sequence[Line], barred: tuple[Node, ...]
) -> tuple[float, str | None, Node | None]:
    """How far the best line without these moves (alternatives at one place) falls behind, what it plays instead, and where that leads."""
    ends = min(search.stop, step.tok + AHEAD_TOKENS)
    base = barred[0].parent
    assert base is not None
    other_way = Reconstructor(
        search.lattice,
        search.tree.root.board,
        search.weights,
        told=search.told,
        beam=NARROW_BEAM,
        barred=barred,
        tree=search.tree,
    )
    other_way.stop = search.stop
    rivals = other_way.run(_fresh(before), step.tok, ends)
    search.forget((*steps, *rivals[:1]), (*barred,))
    if not rivals:
        return 12.0, None, None
    ours = next(line for line in reversed(steps) if line.tok < ends)
    margin = max(0.0, ours.score - before.score - rivals[0].score)
    other: Node | None = rivals[0].tip
    while other is not None and other.ply > base.ply + 1:
        other = other.parent
    if other is not None and other.parent is base and other.move is not None:
        return margin, base.board.san(other.move), other
    return margin, "none", None


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
            by = f"guessed from the opening's name, {ply.named}" if ply.named else f"guessed from what follows at {format_ms(ply.at_ms)}"
            node.comment = f"not told: {by}"
        elif ply.asked:
            other = "".join(f", or {san}" for san in ply.alternatives) or ", or not played"
            node.comment = f"{format_ms(ply.at_ms)}: sure {ply.sure:.2f}{other}"
    return Score(game, "the game as reconstructed from speech")


def write_pgn(score: Score) -> str:
    """The PGN text of a reconstructed score."""
    return f"{score.game.accept(chess.pgn.StringExporter(columns=80))}\n"

"""The main line from speech alone: which moves were played, when no score says so.

The words are read by the same lattice of mentions as in following, and any
legal move is allowed. A beam over whole lines explains every mention in one of
three ways: the game goes on by it, a sideline is told by it, or it is only
talk. How likely each way is depends on the words around alone (a log-linear
model learned from lessons); what the board allows then multiplies in. So a
line in which later words are impossible pays for each of them, and the line
that explains most of what follows wins.
"""

from __future__ import annotations

import json
import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path

import chess
import chess.pgn

from timeline.follow.lattice import Lattice
from timeline.follow.matching import matches
from timeline.follow.mentions import Mention
from timeline.follow.tree import Legal, Node, Tree
from timeline.follow.wayfeatures import (
    WAYS,
    mention_features,
    number_before,
    set_aside,
    sounds_like,
    state_features,
    turn_features,
)
from timeline.score import Score

BEAM = 36
NODES_A_TIP = 4
"""How many places in sidelines are kept for one main line; the rest of the beam is for other main lines."""
LOST = 16.0
"""Lines that fall this far behind the best (natural-log units) are given up."""

NEAR = 6.0
HOPELESS = -4.0
FORGET_EVERY = 60
"""Tokens after which positions that no line can come back to are forgotten."""
REWIND_PLIES = 8
"""How far the main line may turn out to have been a sideline."""
GUESSES = 16
"""How many moves are tried for one that was not told."""
_CLEAR = ("full", "capsq", "san", "pawn", "castle")
_CENTRE = frozenset(chess.parse_square(name) for name in "e4 d4 e5 d5 c4 c5 f3 c3 f6 c6 e3 d3 e6 d6".split())

Weights = dict[str, float]


@lru_cache(maxsize=1)
def learned() -> Weights:
    """The learned weights (tests/benchmarks/train_reconstruct.py): log-odds in natural units."""
    raw = json.loads(Path(__file__).with_name("reconstruct.json").read_text(encoding="utf-8"))
    return {str(name): float(value) for name, value in raw["weights"].items()}


@dataclass(slots=True, eq=False)
class Line:
    """A hypothesis: ``tip`` ends its main line, ``node`` is the position that the talk is at (in a sideline or at the tip).

    ``act``: main, mend (the last main move was misspoken), rewind (the last main moves were a sideline), gap (after a move that was not told), told (a person's word),
    side, ign, back or pass. ``last_end``: the token after the
    last mention used; ``last``: how it was used (0 nothing yet, m, s, i, b).
    """

    score: float
    tip: Node
    node: Node
    prev: Line | None = None
    act: str = "pass"
    mention: Mention | None = None
    tok: int = 0
    last_end: int = 0
    last: str = "0"
    moved: int = 0


class Reconstructor:
    """Decodes one token sequence from one start position."""

    def __init__(
        self,
        lattice: Lattice,
        start: chess.Board,
        weights: Weights | None = None,
        *,
        told: dict[int, tuple[str, ...]] | None = None,
        beam: int = BEAM,
        barred: Node | None = None,
        tree: Tree | None = None,
        progress: Callable[[int, int], None] | None = None,
    ) -> None:
        self.beam, self.barred = beam, barred
        self.lattice, self.context, self.n = lattice, lattice.context, lattice.n
        self.tree = tree or Tree(Score(chess.pgn.Game.from_board(start)))
        self.weights = learned() if weights is None else weights
        self.told = told or {}
        self.progress = progress
        self._words: dict[tuple[int, int, object, bool], tuple[float, float]] = {}
        self._turns: dict[tuple[int, str, str, str], tuple[float, float]] = {}
        self._said: dict[tuple[int, int, int], bool] = {}
        self._numbers = [number_before(lattice, i) for i in range(lattice.n)]
        self._passed: dict[int, Node | None] = {}
        self._usual: dict[int, list[tuple[Legal, float]]] = {}

    # -- chances from the words alone
    def ways(self, line: Line, m: Mention) -> dict[str, float]:
        """Log-probability of each way in which a mention may be meant."""
        aside = line.node is not line.tip
        key = (m.start, m.end, m.desc, aside)
        static = self._words.get(key)
        get = self.weights.get
        if static is None:
            named = mention_features(self.lattice, m, aside)
            static = tuple(sum(get(f"{n}>{way}", 0.0) * v for n, v in named) for way in WAYS[:2])  # type: ignore[assignment]
            self._words[key] = static  # type: ignore[assignment]
        assert static is not None
        state = state_features(m.start - line.last_end, line.last, m.start - line.moved, aside)
        main = static[0] + sum(get(f"{n}>main", 0.0) for n in state) + get("bias>main", 0.0)
        side = static[1] + sum(get(f"{n}>side", 0.0) for n in state) + get("bias>side", 0.0)
        peak = max(main, side, 0.0)
        whole = peak + math.log(math.exp(main - peak) + math.exp(side - peak) + math.exp(-peak))
        return {"main": main - whole, "side": side - whole, "ign": -whole}

    def _return(self, line: Line, i: int) -> tuple[float, float]:
        """Log-probabilities of returning to the game at token ``i`` and of staying in the sideline."""
        feats = turn_features(self.lattice, i, i - line.last_end, line.last, i - line.moved)
        key = (i, feats[-3], feats[-2], "")
        known = self._turns.get(key)
        if known is None:
            x = sum(self.weights.get(f"{n}>back", 0.0) for n in feats)
            known = self._turns[key] = (-math.log1p(math.exp(-x)), -math.log1p(math.exp(x)))
        return known

    # -- what the board says
    def _fits(self, m: Mention, base: Node, legal: Legal, cost: float, how: str, rivals: int, way: str) -> float:
        get = self.weights.get
        value = get(f"legal:{m.kind}>{way}", 0.0) + get("fit", -1.0) * cost + get("hear", 0.0) * m.hear
        value += get("rivals", -1.0) * math.log1p(rivals)
        if how:
            value += get(f"{how}>{way}", 0.0)
        if m.kind == "pawn" and legal.piece != chess.PAWN:
            value += get("bare", -2.5)
        if rivals:
            value += get("loses", 0.0) * (base.loses(legal) > 0)
        return value

    def _numbered(self, line: Line, m: Mention, base: Node, way: str) -> float:
        """A move number said just before ("seven, a3") agrees with the position or speaks against it."""
        number = self._numbers[m.start]
        if not number or line.last_end > m.start - 1:
            return 0.0
        agrees = base.board.fullmove_number == number
        return self.weights.get(f"number:{'ok' if agrees else 'bad'}>{way}", 0.0)

    def _named_before(self, tip: Node, m: Mention) -> bool:
        """Whether the mention names a move that the main line has made already."""
        d = m.desc
        if d.to < 0:
            return False
        key = (tip.key, d.piece, d.to)
        known = self._said.get(key)
        if known is None:
            node: Node | None = tip
            known, steps = False, 0
            while node is not None and node.move is not None and steps < 60:
                if node.move.to_square == d.to:
                    moved = node.board.piece_type_at(d.to)
                    if moved == (d.piece or chess.PAWN) or node.move.promotion:
                        known = True
                        break
                node, steps = node.parent, steps + 1
            self._said[key] = known
        return known

    def _side_bases(self, line: Line) -> list[tuple[Node, str]]:
        """Where a sideline's next move may be played, with the name of each place's cost."""
        node, tip = line.node, line.tip
        bases = [(node, "open" if node is tip else "cont")]
        if node is not tip:
            back, k = node.parent, 1
            while back is not None and k <= 6:
                bases.append((back, f"alt{min(k, 3)}"))
                if tip.ply >= back.ply and _ancestor(tip, back.ply) is back:
                    break
                back, k = back.parent, k + 1
            if all(base is not tip for base, _ in bases):
                bases.append((tip, "fresh"))
        elif tip.parent is not None:
            bases.append((tip.parent, "instead"))
            if tip.parent.parent is not None:
                bases.append((tip.parent.parent, "instead2"))
        return bases

    # -- decoding
    def run(self, start: Line | None = None, first: int = 0, last: int | None = None) -> list[Line]:
        """The best lines after token ``last - 1`` (all by default), best first."""
        last = self.n if last is None else min(last, self.n)
        layers: list[dict[tuple[int, int], Line]] = [{} for _ in range(self.n + 1)]
        begin = start or Line(0.0, self.tree.root, self.tree.root)
        layers[first][(begin.tip.key, begin.node.key)] = begin
        for i in range(first, last):
            lines = _kept(layers[i], self.beam)
            layers[i] = {}
            if not lines:
                continue
            if self.progress and i % 100 == 0:
                self.progress(i, self.n)
            if self.context.may_turn(i):
                lines = self._turn(lines, i)
            readings = self.lattice.readings(i)
            if i in self.told:
                self._obey(lines, readings, i, layers)
            elif readings:
                for line in lines:
                    self._expand(line, readings, i, layers, near=line.score > lines[0].score - NEAR)
            else:
                for line in lines:
                    _put(layers[i + 1], line)
            if self.barred is None and i % FORGET_EVERY == FORGET_EVERY - 1:  # a barred one is known by its identity
                self.forget(line for layer in layers[i + 1 : i + 1 + FORGET_EVERY] for line in layer.values())
        ends = [line for layer in layers[last:] for line in layer.values()]
        return sorted(ends, key=lambda line: -line.score)

    def forget(self, lines: Iterable[Line]) -> None:
        """Drops the positions that none of these lines stands on or came through: memory stays level over an hour."""
        kept: set[int] = {self.tree.root.key}
        for line in lines:
            for node in (line.tip, line.node):
                at: Node | None = node
                while at is not None and at.key not in kept:
                    kept.add(at.key)
                    at = at.parent
        waiting = [self.tree.root]
        while waiting:
            node = waiting.pop()
            if node.key in kept:
                waiting += node.children.values()
                node.children = {move: child for move, child in node.children.items() if child.key in kept}
            else:
                waiting += node.children.values()
                node.children = {}
                node.forget()
        for table in (self._passed, self._usual):
            for key in [key for key in table if key not in kept]:
                del table[key]
        for triple in [triple for triple in self._said if triple[0] not in kept]:
            del self._said[triple]

    def _turn(self, lines: Sequence[Line], i: int) -> list[Line]:
        out: dict[tuple[int, int], Line] = {}
        for line in lines:
            if line.node is line.tip or line.last_end > i:
                _put(out, line)
                continue
            back, stay = self._return(line, i)
            _put(
                out,
                Line(
                    line.score + stay, line.tip, line.node, line, "pass", None, i, line.last_end, line.last, line.moved
                ),
            )
            _put(out, Line(line.score + back, line.tip, line.tip, line, "back", None, i, i, "b", i))
        return sorted(out.values(), key=lambda line: -line.score)

    def _expand(
        self, line: Line, readings: Sequence[Mention], i: int, layers: list[dict[tuple[int, int], Line]], *, near: bool
    ) -> None:
        """All ways to take the words at ``i``; only lines ``near`` the best try the costly ones."""
        get = self.weights.get
        for m in readings:
            chances = self.ways(line, m)
            lost = near and m.hear < 0.4 and m.kind in _CLEAR and not matches(line.tip, m.desc)
            self._play_main(line, m, i, chances["main"], layers, lost=lost)
            self._play_side(line, m, i, chances["side"], layers)
            if lost and chances["main"] > HOPELESS:
                self._play_gap(line, m, i, chances["main"], layers)
        aside = set_aside(readings)
        weak = aside.hear >= 0.4
        score = self.ways(line, aside)["ign"]
        if self._named_before(line.tip, aside):
            score += get(f"said:{aside.kind}", 0.0)
        if weak:  # nothing was surely named here: the state stays as it is
            layer, end, last = layers[i + 1], line.last_end, line.last
        else:
            layer, end, last = layers[aside.end], aside.end, "i"
        _put(layer, Line(line.score + score, line.tip, line.node, line, "ign", aside, i, end, last, line.moved))
        if not weak and aside.end > i + 1:  # a shorter reading may begin inside
            score += get("step", -2.0)
            _put(
                layers[i + 1],
                Line(
                    line.score + score, line.tip, line.node, line, "ign", aside, i, line.last_end, line.last, line.moved
                ),
            )

    def _play_main(
        self, line: Line, m: Mention, i: int, chance: float, layers: list[dict[tuple[int, int], Line]], *, lost: bool
    ) -> None:
        """The game's move that these words tell; ``lost``: they cannot be played at the tip, but clearly are a move."""
        get = self.weights.get
        bases = [(line.tip, "main")]
        if line.tip.parent is not None and "SORRY" in self.lattice.names(m):
            bases.append((line.tip.parent, "mend"))
        if lost:
            # what seemed to be the game was a sideline: the game goes on from before it
            back = line.tip.parent
            for _ in range(REWIND_PLIES):
                if back is None:
                    break
                bases.append((back, "rewind"))
                back = back.parent
        for base, act in bases:
            found = matches(base, m.desc)
            if not found:
                continue
            if m.desc.both:
                found = found[:1]
            lowest = found[0][1]
            rivals = sum(1 for _, cost, how in found if cost < lowest + 0.9 and how == found[0][2]) - 1
            for legal, cost, how in found[:8]:
                value = chance + self._fits(m, base, legal, cost, how, rivals, "main") + get(f"act:{act}", 0.0)
                value += self._numbered(line, m, base, "main")
                tip = self.tree.child(base, legal.move)
                if tip is self.barred or (act != "main" and _ancestor(line.tip, tip.ply) is tip):
                    continue
                _put(layers[m.end], Line(line.score + value, tip, tip, line, act, m, i, m.end, "m", m.end))

    def _play_gap(
        self, line: Line, m: Mention, i: int, chance: float, layers: list[dict[tuple[int, int], Line]]
    ) -> None:
        """The game's move that these words tell, after one that was not told, or not heard: it is guessed."""
        tip = line.tip
        passed = self._after_pass(tip)
        ready = [f for f in matches(passed, m.desc) if f[1] < 1.0] if passed is not None else []
        if not ready and not m.desc.cap:
            return
        get = self.weights.get
        words = tuple(t.text for t in self.lattice.toks[max(line.last_end, m.start - 6) : m.start])
        for legal, prior in self._likely(tip)[:GUESSES]:
            middle = self.tree.child(tip, legal.move)
            if middle is self.barred:
                continue
            if ready:  # what could be played without the guess: is it legal with it?
                found = [f for f in ready[:2] if middle.board.is_legal(f[0].move)]
            else:
                found = [f for f in matches(middle, m.desc) if f[1] < 1.0]
            for played, cost, how in found[:2]:
                value = chance + self._fits(m, middle, played, cost, how, len(ready or found) - 1, "main")
                value += self._numbered(line, m, middle, "main")
                value += (
                    get("act:gap", -4.0) + prior + get("sounds", 1.0) * sounds_like(words, legal.to_sq, legal.piece)
                )
                node = self.tree.child(middle, played.move)
                if node is not self.barred:
                    _put(layers[m.end], Line(line.score + value, node, node, line, "gap", m, i, m.end, "m", m.end))

    def _after_pass(self, tip: Node) -> Node | None:
        """The position with the other side to move; None in check, when nobody could pass."""
        if tip.key not in self._passed:
            board = tip.board.copy(stack=False)
            if board.is_check():
                self._passed[tip.key] = None
            else:
                board.turn, board.ep_square = not board.turn, None
                self._passed[tip.key] = Node(None, None, board, 0, -tip.key)
        return self._passed[tip.key]

    def _likely(self, tip: Node) -> list[tuple[Legal, float]]:
        """Legal moves with log-probabilities by plain usage: taking back, taking, the centre, development, castling."""
        known = self._usual.get(tip.key)
        if known is None:
            get = self.weights.get
            target = tip.move.to_square if tip.move is not None else -1
            raw = []
            for legal in tip.legal:
                value = 0.0
                if legal.victim:
                    value += get("usual:back", 1.5) if legal.to_sq == target else get("usual:take", 0.5)
                if legal.castle:
                    value += get("usual:castle", 1.0)
                if tip.ply < 20 and legal.to_sq in _CENTRE and legal.piece != chess.QUEEN:
                    value += get("usual:centre", 1.0)
                if tip.loses(legal) > 0:
                    value += get("usual:loses", -1.5)
                raw.append((legal, value))
            whole = math.log(sum(math.exp(v) for _, v in raw)) if raw else 0.0
            known = sorted(((legal, v - whole) for legal, v in raw), key=lambda pair: -pair[1])
            self._usual[tip.key] = known
        return known

    def _play_side(
        self, line: Line, m: Mention, i: int, chance: float, layers: list[dict[tuple[int, int], Line]]
    ) -> None:
        get = self.weights.get
        for base, place in self._side_bases(line):
            found = matches(base, m.desc)
            if not found:
                continue
            lowest = found[0][1]
            rivals = sum(1 for _, cost, how in found if cost < lowest + 0.9 and how == found[0][2]) - 1
            for legal, cost, how in found[:3]:
                node = self.tree.child(base, legal.move)
                if node is line.tip or node is line.node:
                    continue
                value = chance + self._fits(m, base, legal, cost, how, rivals, "side") + get(f"at:{place}", 0.0)
                value += self._numbered(line, m, base, "side")
                _put(layers[m.end], Line(line.score + value, line.tip, node, line, "side", m, i, m.end, "s", m.end))

    def _obey(
        self, lines: Sequence[Line], readings: Sequence[Mention], i: int, layers: list[dict[tuple[int, int], Line]]
    ) -> None:
        """A person's word: at token ``i`` these moves were played, or none was."""
        sans = self.told[i]
        for line in lines:
            if not sans:
                aside = set_aside(readings) if readings else None
                for m in readings:
                    self._play_side(line, m, i, self.ways(line, m)["side"], layers)
                end = aside.end if aside is not None else i + 1
                _put(layers[end], Line(line.score, line.tip, line.node, line, "ign", aside, i, end, "i", line.moved))
                continue
            tip = line.tip
            try:
                for san in sans:
                    tip = self.tree.child(tip, tip.board.parse_san(san))
            except ValueError:
                continue
            assert tip.parent is not None
            named = [m for m in readings if any(legal.move == tip.move for legal, _, _ in matches(tip.parent, m.desc))]
            best = min(named, key=lambda m: (m.hear, -m.end)) if named else None
            end = best.end if best is not None else i + 1
            _put(layers[end], Line(line.score, tip, tip, line, "told", best, i, end, "m", end))
        if not any(layers[i + 1 :]):  # no line allows it; the caller sees that it was not obeyed
            for line in lines:
                if readings:
                    self._expand(line, readings, i, layers, near=False)
                else:
                    _put(layers[i + 1], line)


def _put(layer: dict[tuple[int, int], Line], line: Line) -> None:
    key = (line.tip.key, line.node.key)
    old = layer.get(key)
    if old is None or line.score > old.score:
        layer[key] = line


def _kept(layer: dict[tuple[int, int], Line], beam: int) -> list[Line]:
    """The beam: best first, not too many sidelines of one main line."""
    kept: list[Line] = []
    counts: dict[int, int] = {}
    for line in sorted(layer.values(), key=lambda line: -line.score):
        if kept and line.score < kept[0].score - LOST:
            break
        count = counts.get(line.tip.key, 0)
        if count < NODES_A_TIP:
            counts[line.tip.key] = count + 1
            kept.append(line)
            if len(kept) == beam:
                break
    return kept


def _ancestor(node: Node, ply: int) -> Node:
    while node.ply > ply:
        assert node.parent is not None
        node = node.parent
    return node


def chain(line: Line) -> list[Line]:
    """The hypotheses that lead to a line, in order, without those at which nothing happened."""
    found: list[Line] = []
    at: Line | None = line
    while at is not None:
        if at.act != "pass" or at.prev is None:
            found.append(at)
        at = at.prev
    return found[::-1]

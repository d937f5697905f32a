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

from collections.abc import Callable, Iterable, Sequence
from dataclasses import replace
from itertools import pairwise

import chess
import chess.pgn

from timeline.follow.lattice import Lattice
from timeline.follow.lines import Layer, Line, kept_of, put
from timeline.follow.matching import led, matches
from timeline.follow.mentions import Mention
from timeline.follow.tree import Node, Tree
from timeline.follow.wayfeatures import compared, marked, parted, set_aside
from timeline.follow.wayplays import WayPlays
from timeline.follow.wayweights import Chances, Weights, learned
from timeline.numbered import written_moves
from timeline.score import Score

BEAM = 36
NEAR = 6.0
HOPELESS = -4.0
FORGET_EVERY = 60
"""Tokens after which positions that no line can come back to are forgotten."""
PHRASE_TOKENS = 8
"""How far after the time that a person gives the words of the move may begin."""
_CLEAR = ("full", "capsq", "san", "pawn", "castle")


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
        barred: tuple[Node, ...] = (),
        tree: Tree | None = None,
        progress: Callable[[int, int], None] | None = None,
    ) -> None:
        self.beam, self.barred = beam, barred
        self.lattice, self.context, self.n = lattice, lattice.context, lattice.n
        self.tree = tree or Tree(Score(chess.pgn.Game.from_board(start)))
        self.weights = learned() if weights is None else weights
        self.told = told or {}
        self.stop = self.n
        self.progress = progress
        self.chances = Chances(lattice, self.weights)
        self.plays = WayPlays(self.chances, self.tree, barred)

    def run(self, start: Line | None = None, first: int = 0, last: int | None = None) -> list[Line]:
        """The best lines after token ``last - 1`` (by default where the game's words ``stop``), best first."""
        last = self.stop if last is None else min(last, self.stop)
        layers: list[Layer] = [{} for _ in range(self.n + 1)]
        begin = start or Line(0.0, self.tree.root, self.tree.root)
        layers[first][(begin.tip.key, begin.node.key)] = begin
        for i in range(first, last):
            lines = kept_of(layers[i], self.beam)
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
                    put(layers[i + 1], line)
            if not self.barred and i % FORGET_EVERY == FORGET_EVERY - 1:  # barred ones are known by their identity
                self.forget(line for layer in layers[i + 1 : i + 1 + FORGET_EVERY] for line in layer.values())
        ends = [line for layer in layers[last:] for line in layer.values()]
        if last == self.stop:
            ends = [replace(line, score=line.score + self._ending(line)) for line in ends]
        return sorted(ends, key=lambda line: -line.score)

    def _ending(self, line: Line) -> float:
        """What it costs that a talk ends in a sideline that no word marks as one, or after it without going on: few do.

        A mark holds for its sentence: two moves or more in a later one, without any, are rather the game's.
        """
        at: Line | None = line
        aside: list[Mention] = []
        while at is not None and at.tip is line.tip:
            if at.act == "side" and at.mention is not None:
                aside.append(at.mention)
            at = at.prev
        opened = aside[-1] if aside else None
        if opened is None:
            return 0.0
        if marked(self.lattice, opened):
            ends = (k for k, (b, a) in enumerate(pairwise(aside), 1) if parted(self.lattice, a, b))
            last = aside[: next(ends, len(aside))]
            if not 2 <= len(last) < len(aside) or any(compared(self.lattice, m) for m in last):
                return 0.0
        return self.weights.get("end:aside" if line.node is not line.tip else "end:after", 0.0)

    def forget(self, lines: Iterable[Line], nodes: Iterable[Node] = ()) -> None:
        """Drops the positions that none of these lines stands on or came through, but for ``nodes``: memory stays level over an hour."""
        kept: set[int] = {self.tree.root.key}
        for node in (*(node for line in lines for node in (line.tip, line.node)), *nodes):
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
        self.plays.forget(kept)

    def _turn(self, lines: Sequence[Line], i: int) -> list[Line]:
        out: Layer = {}
        for line in lines:
            if line.node is line.tip or line.last_end > i:
                put(out, line)
                continue
            back, stay = self.chances.back(line, i)
            put(
                out,
                Line(
                    line.score + stay, line.tip, line.node, line, "pass", None, i, line.last_end, line.last, line.moved
                ),
            )
            put(out, Line(line.score + back, line.tip, line.tip, line, "back", None, i, i, "b", i))
        return sorted(out.values(), key=lambda line: -line.score)

    def _expand(self, line: Line, readings: Sequence[Mention], i: int, layers: list[Layer], *, near: bool) -> None:
        """All ways to take the words at ``i``; only lines ``near`` the best try the costly ones."""
        get = self.weights.get
        for m in self._whole(line, readings):
            chances = self.chances.ways(line, m)
            lost = near and m.hear < 0.4 and m.kind in _CLEAR and not matches(line.tip, m.desc)
            for played in self.plays.main(line, m, i, chances["main"], lost=lost):
                put(layers[m.end], played)
            for played in self.plays.side(line, m, i, chances["side"]):
                put(layers[m.end], played)
            for played in self.plays.opening(line, m, i, chances["main"], lost=not matches(line.tip, m.desc)):
                put(layers[m.end], played)
            if lost and chances["main"] > HOPELESS:
                for played in self.plays.gap(line, m, i, chances["main"]):
                    put(layers[m.end], played)
        aside = set_aside(readings)
        weak = aside.hear >= 0.4
        score = self.chances.ways(line, aside)["ign"]
        if any(self.plays.put_right(line, m) for m in readings):
            score += get("slip:kept", 0.0)
        if self.plays.named_before(line.tip, aside):
            score += get(f"said:{aside.kind}", 0.0)
        if self.plays.named_now(line, aside):
            score += get("said:now", 0.0)
        if weak:  # nothing was surely named here: the state stays as it is
            layer, end, last = layers[i + 1], line.last_end, line.last
        else:
            layer, end, last = layers[aside.end], aside.end, "i"
        put(layer, Line(line.score + score, line.tip, line.node, line, "ign", aside, i, end, last, line.moved))
        if not weak and aside.end > i + 1:  # a shorter reading may begin inside
            score += get("step", -2.0)
            put(
                layers[i + 1],
                Line(
                    line.score + score, line.tip, line.node, line, "ign", aside, i, line.last_end, line.last, line.moved
                ),
            )

    def _whole(self, line: Line, readings: Sequence[Mention]) -> list[Mention]:
        """Without a bare "takes" that a pause shows to go on with a man that can be taken: "he takes the knight,"."""
        exact = [m for m in readings if m.hear < 0.4 and m.kind == "cap" and self.lattice.toks[m.end - 1].ends]
        more = any(matches(line.node, m.desc) for m in exact)
        return [m for m in readings if not (more and m.kind == "take")]

    def _obey(self, lines: Sequence[Line], readings: Sequence[Mention], i: int, layers: list[Layer]) -> None:
        """A person's word: at token ``i`` these moves were played, or none was.

        Lines whose mention runs over ``i`` do not know of it: they are given up where others obey.
        """
        moves = [move for san in self.told[i] for move in written_moves(san)]
        if not moves:
            self._refrain(lines, readings, i, layers)
            return
        beyond = layers[i + 1 :]
        layers[i + 1 :] = [{} for _ in beyond]
        for line in lines:
            tip = line.tip
            try:
                for move in moves:
                    if not move.fits(tip.board):
                        raise ValueError(move)
                    tip = self.tree.child(tip, tip.board.parse_san(move.san))
            except ValueError:
                continue
            mention, end = self._telling(tip, len(moves), i)
            put(layers[end], Line(line.score, tip, tip, line, "told", mention, i, end, "m", end))
        if any(layers[i + 1 :]):
            return
        layers[i + 1 :] = beyond  # no line allows it; the caller sees that it was not obeyed
        for line in lines:
            if readings:
                self._expand(line, readings, i, layers, near=False)
            else:
                put(layers[i + 1], line)

    def _refrain(self, lines: Sequence[Line], readings: Sequence[Mention], i: int, layers: list[Layer]) -> None:
        """The words at ``i`` tell no move of the game; a sideline they may tell."""
        for line in lines:
            aside = set_aside(readings) if readings else None
            for m in readings:
                for played in self.plays.side(line, m, i, self.chances.ways(line, m)["side"]):
                    put(layers[m.end], played)
            end = aside.end if aside is not None else i + 1
            put(layers[end], Line(line.score, line.tip, line.node, line, "ign", aside, i, end, "i", line.moved))

    def _telling(self, tip: Node, count: int, i: int) -> tuple[Mention | None, int]:
        """The last mention that tells one of the ``count`` moves up to ``tip``, from token ``i`` on, and where it ends.

        They are looked for in order, a few words on: a person gives the time of a phrase, or of a word inside it.
        What the words tell else ends the search.
        """
        nodes: list[Node] = []
        while len(nodes) < count:
            nodes.append(tip)
            assert tip.parent is not None
            tip = tip.parent
        nodes.reverse()
        last: Mention | None = None
        end, at, k = i + 1, i, 0
        while at < min(self.n, end + PHRASE_TOKENS) and k < count:
            readings = self.lattice.readings(at)
            named = [(n, m) for m in readings for n in range(k, count) if led(nodes[n], m.desc)]
            if named:
                n, last = min(named, key=lambda pair: (pair[1].hear, pair[0], -pair[1].end))
                k, end = n + 1, last.end
                at = end
            elif any(m.hear < 0.4 and m.kind in _CLEAR for m in readings):
                break
            else:
                at += 1
        return last, end

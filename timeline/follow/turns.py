"""Board changes without a named move: returns, takebacks, going to a place by number, moves told vaguely."""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping

import chess

from timeline.follow.hypotheses import Feature, Hyp
from timeline.follow.idling import waited
from timeline.follow.items import UNKNOWN, items
from timeline.follow.lattice import Lattice
from timeline.follow.lookahead import Lookahead
from timeline.follow.matching import game_fits
from timeline.follow.numbers import mover_named, place_number
from timeline.follow.openings import Openings
from timeline.follow.passing import passes
from timeline.follow.sense import dropped, exchanged
from timeline.follow.spine import Spine, level
from timeline.follow.takebacks import ALL, SOME, counted, man_put_back
from timeline.follow.tree import Node, Tree
from timeline.follow.verdicts import verdict_at

Turn = tuple[Node, str, list[Feature]]

_END = re.compile(
    r"(?:final|end|last|closing) (?:position|picture|board)|at the (?:very )?end\b|where (?:it|the game) ended"
)
_START = re.compile(
    r"(?:starting|initial|opening|first) (?:position|picture|board)|start position|(?:back to|from|at) the (?:start|beginning|top)\b"
    r"|(?:pieces|everything|it all) back|restore the position|position again|set (?:it|them|the pieces) up again"
)


_BACK_THERE = re.compile(
    r"(?:(?:and|so|but|no|now|okay|well|please|let me|let's|let us|i'll|we'll|we|i|can|could|just|for that|then) )*"
    r"(?:go|going|come|jump|wind|rewind|turn|get|step|look|put (?:it|everything|the board)) back (?:there|(?:to|at) (?:that|this|it)(?: (?:moment|move|point|place|position|spot|one))?)(?= |$)"
)
"""A clause that goes back to the move of which the words before it spoke."""
_SPOKEN_OF = 20
"""So many words before such a clause that move is looked for."""
_SETTLES = 9
"""For so many words after a turn no other position is shown again."""
_SHORTLY = 4
"""A man that is put back in the game itself moved at most so many plies ago."""
_UNDOES = frozenset("undo rewind pair pairs".split())
"""In the game itself "go back a step" is one move of one side; with these words it may be one of both sides."""


class Turns:
    """What may happen at a turn of the talk, over one lattice and one tree. ``again``: for the first token of a clause, the
    log-odds of each ply that its words go back to (``recap``)."""

    def __init__(
        self, lattice: Lattice, tree: Tree, ahead: Lookahead, spine: Spine | None = None,
        again: Mapping[int, Mapping[int, float]] | None = None,
    ) -> None:  # fmt: skip
        self.toks, self.context, self.idles, self.readings = lattice.toks, lattice.context, lattice.idle, lattice.readings
        self.tree, self.ahead, self.spine = tree, ahead, spine
        self.again = again or {}
        self.openings = Openings(tree)
        self.items = items(lattice.toks)
        self.backs = lattice.context.backs
        self._at = -1

    def _look(self, i: int) -> None:
        """What the words from token ``i`` on say, the same for all hypotheses."""
        if self._at == i:
            return
        self._at = i
        self.names = self.context.turn(i)
        self.backwards = any(n.endswith((":BACK", ":REMEMBER")) for n in self.names)
        self.vague = self.context.vague(i)
        self.idle = self.idles.get(i)
        self.verdict: list[Feature] = [("verdict", 1.0)] if verdict_at(self.toks, i) else []
        self.places = self._places(i)
        self.counted = counted(self.toks, i)
        self.taken_back = self.backs[i].moves if i in self.backs else 0
        self.undoing = any(tok.text in _UNDOES for tok in self.toks[i : i + 9])
        self.put_back = man_put_back(self.toks, i)
        self.there = self._back_there(i)
        self.passed = passes(self.toks, i) if not i or self.toks[i - 1].ends or self.toks[i].starts else 0

    def _places(self, i: int) -> list[Turn]:
        """Mainline positions named by their number or as start or end, in the clause that begins at ``i``."""
        words: list[str] = []
        main = self.tree.main
        found: list[Turn] = []
        for k in range(i, min(len(self.toks), i + 14)):
            words.append(self.toks[k].text)
            number, used = place_number(self.toks, k)
            if number and used:
                for name, ply in self.tree.numbered(number, mover_named(self.toks, k)):
                    found.append((main[ply], "goto", [(f"goto:{name}", 1.0)]))
                break
            if self.toks[k].ends in (".", "?"):
                break
        text = " ".join(words)
        if _END.search(text):
            found.append((main[-1], "goto", [("goto:end", 1.0)]))
        if _START.search(text):
            found.append((main[0], "goto", [("goto:start", 1.0)]))
        if self.again.get(i):  # it weighs the same grounds and more
            found.clear()
        opening = self.openings.named(text)
        if opening is not None:
            found.append((opening, "goto", [("goto:opening", 1.0)]))
        return found

    def _back_there(self, i: int) -> list[int]:
        """The plies before the move that the words before token ``i`` spoke of, where the clause there goes back to it."""
        if (i and not self.toks[i - 1].ends) or not _BACK_THERE.match(" ".join(tok.text for tok in self.toks[i : i + 14])):
            return []
        for k in range(i - 1, max(-1, i - _SPOKEN_OF), -1):
            told = [m for m in self.readings(k) if m.end <= i and m.hear < 0.4 and (m.desc.to >= 0 or m.desc.castle)]
            if told:
                return list(dict.fromkeys(game_fits(self.tree, max(told, key=lambda m: m.end).desc)))
        return []

    def _undone(self, node: Node, count: int) -> list[Node]:
        """Positions so many moves back, of one side and of both; the talk that goes on tells which. One ply back is offered
        at every turn anyway."""
        found: list[Node] = []
        place: Node | None = node
        for k in range(1, 2 * count + 1):
            place = place.parent if place is not None else None
            if place is not None and k in (count, 2 * count) and k > 1:
                found.append(place)
        return found

    def _taken_back(self, node: Node, turns: list[Turn]) -> Iterator[Turn]:
        """The turns, with what speaks for those that words take back; two moves back where they say so."""
        for place, act, feats in turns:
            fits = act == "bk" or (act in ("un", "um") and self.taken_back != ALL)
            yield place, act, [*feats, ("undo:said", 1.0)] if fits else feats
        further = self._undone(node, 2) if self.taken_back == 2 else self._undone(node, 2)[:1] if self.taken_back == SOME else []
        yield from ((place, "un" if node.depth else "um", [("undo:said", 1.0)]) for place in further)

    def _item(self, hyp: Hyp, told: int) -> Iterator[Turn]:
        """Back to where the first move after token ``told``, of the list's item before, was played; to where the sideline left
        the game where that is not known."""
        if told == UNKNOWN:
            yield self.tree.main[hyp.node.shared], "bk", [("listed", 1.0)]
            return
        first: Hyp | None = None
        step: Hyp | None = hyp
        while step is not None and step.tok >= told:
            if step.mention is not None and step.base is not None and step.node is not step.base:
                first = step
            step = step.prev
        base = first.base if first is not None else None
        place = hyp.node.parent
        while place is not None and place is not base:
            place = place.parent
        if place is not None:
            act = "un" if place.depth else "bk" if place.ply == hyp.node.shared else "goto"
            yield place, act, [("listed", 1.0)]

    @staticmethod
    def _before(node: Node, man: chess.PieceType, square: chess.Square | None) -> Node | None:
        """The latest position of a line in which a man stood where it no longer stands; of no square: before it last moved or
        was taken."""
        place: Node | None = node
        while place is not None and (place.ply >= node.shared if node.depth else place.ply >= node.ply - _SHORTLY):
            before = place.parent if bool(place.depth) == bool(node.depth) else None
            moved = before.board.piece_type_at(place.move.from_square) if before is not None and place.move is not None else None
            taken = before.board.piece_type_at(place.move.to_square) if before is not None and place.move is not None else None
            if square is None and man in (moved, taken):
                return before
            if square is not None and place.board.piece_type_at(square) == man:
                return place if place is not node else None
            place = place.parent
        return None

    def options(self, hyp: Hyp, i: int, rank: int) -> list[Turn]:
        """Every turn that hypothesis ``hyp`` may take at token ``i``; ``rank`` is its place in the beam."""
        self._look(i)
        node, main = hyp.node, self.tree.main
        found: list[Turn] = []
        if node.depth:
            found.append((main[node.shared], "bk", self.verdict))
            if hyp.front > node.shared:
                found.append((main[hyp.front], "bkG", []))
            if node.depth > 1 and node.parent is not None:
                found.append((node.parent, "un", []))
            if rank < 5:
                found.extend(
                    (silent, "sil", self._plain(silent, place)) for place, silent in enumerate(self.ahead.silent(node, i))
                )
        elif node.ply:
            found.append((main[node.ply - 1], "um", []))
            if hyp.front > node.ply:
                found.append((main[hyp.front], "fw", []))
        if self.idle and (node.depth or self.idle.supposed or node is main[-1]):
            quiet = waited(self.tree, self.ahead, node, self.idle)
            if quiet is not None:
                found = [turn for turn in found if turn[1] != "sil"]
                found.append((quiet, "sil", [*self._plain(quiet, 0), ("idle", 1.0)]))
        if self.vague and node.main and node.ply < len(main) - 1:
            vague: list[Feature] = [(f"vg:{self.vague}", 1.0)]
            side = self._agent_at(i)
            if side is not None:
                vague.append(("agent:ok" if side == node.board.turn else "agent:bad", 1.0))
            found.append((main[node.ply + 1], "vg", vague))
        if self.backwards and hyp.front > 0 and hyp.float_tok < 0:
            found.append((node, "fl", []))
        found.extend((place, act, feats) for place, act, feats in self.places if place is not node)
        found.extend((main[ply], "goto", [("goto:there", 1.0)]) for ply in self.there if ply < hyp.front)
        if self.passed and self.spine is not None and node.main and node.ply >= hyp.front - 1:
            found.extend((main[ply], "far", [("passed", 1.0)]) for ply in self.spine.told_after(self.passed, hyp.front))
        if self.counted and (node.depth or self.undoing):
            act = "un" if node.depth else "um"
            found.extend((place, act, [("undo:counted", 1.0)]) for place in self._undone(node, self.counted))
        if self.taken_back:
            found = list(self._taken_back(node, found))
        if i in self.items and node.depth:
            found.extend(self._item(hyp, self.items[i]))
        before = self._before(node, *self.put_back) if self.put_back else None
        if before is not None:
            found.append((before, "un" if node.depth else "um", [("undo:counted", 1.0)]))
        whole = [(target, act, [*feats, *self._features(hyp, target, act, i)]) for target, act, feats in found]
        again = {} if hyp.last_act == "b" and i - hyp.moved < _SETTLES else self.again.get(i, {})
        standing = again.get(node.ply, -math.inf) if node.main else -math.inf  # words that mean what stands there go nowhere else
        whole.extend((main[ply], "show", []) for ply, odds in again.items() if main[ply] is not node and odds > standing)
        return whole

    def _features(self, hyp: Hyp, target: Node, act: str, i: int) -> list[Feature]:
        node = hyp.node
        feats: list[Feature] = [(f"{name}>{act}", 1.0) for name in self.names]
        feats.append((f"bias>{act}", 1.0))
        gap = i - hyp.last_end
        bucket = "0" if gap <= 0 else "1" if gap <= 4 else "2" if gap <= 12 else "3" if gap <= 30 else "4"
        feats.append((f"h:{hyp.last_act}{bucket}>{act}", 1.0))
        if node.depth:
            since = i - hyp.moved
            feats.append((f"since:{'1' if since <= 20 else '2' if since <= 50 else '3'}>{act}", 1.0))
            if not node.legal:
                feats.append((f"over>{act}", 1.0))
        if self.spine is not None and target.main:
            feats.append((f"told next:{level(self.spine.next(i, target.ply + 1))}>{act}", 1.0))
        if act != "fl":
            here, there = self.ahead.run(node, i), self.ahead.run(target, i)
            feats.append((f"next>{act}", there.worth - here.worth))
            feats.append((f"next main>{act}", there.main - here.main))
            if here.stopped and not here.worth:
                feats.append((f"next stopped here>{act}", 1.0))
            if there.stopped and not there.worth:
                feats.append((f"next stopped>{act}", 1.0))
        return feats

    def _plain(self, silent: Node, place: int) -> list[Feature]:
        feats: list[Feature] = [(f"sil:{self.vague or 'unsaid'}", 1.0), (f"sil:{place}", 1.0)]
        assert silent.parent is not None
        legal = next(m for m in silent.parent.legal if m.move == silent.move)
        gain = exchanged(silent.parent, legal)
        if gain:
            feats.append(("gains" if gain > 0 else "loses", min(5.0, abs(gain))))
        feats.extend(dropped(silent, named=False))
        if legal.victim:
            feats.append(("sil:takes", 1.0))
        return feats

    def _agent_at(self, i: int) -> bool | None:
        word = self.toks[i].text
        if word in ("and", "so", "then", "but", "now") and i + 1 < len(self.toks):
            word = self.toks[i + 1].text
        return {"white": chess.WHITE, "black": chess.BLACK}.get(word)

"""Where a mention may be played from a line: on in its game, after a move that was not told, or in a sideline."""

from __future__ import annotations

import math
from collections.abc import Iterator

import chess

from timeline.follow.lines import Line, ancestor
from timeline.follow.matching import matches
from timeline.follow.mentions import Mention
from timeline.follow.openings import Spoken, spoken
from timeline.follow.tree import Legal, Node, Tree
from timeline.follow.wayfeatures import marked, sounds_like
from timeline.follow.wayweights import Chances

REWIND_PLIES = 8
"""How far the main line may turn out to have been a sideline."""
GUESSES = 16
"""How many moves are tried for one that was not told."""
AT_ONCE_TOKENS = 3
"""So soon after a capture told by what is taken it is named."""
_CENTRE = frozenset(chess.parse_square(name) for name in "e4 d4 e5 d5 c4 c5 f3 c3 f6 c6 e3 d3 e6 d6".split())


class WayPlays:
    """The lines that follow when a mention is played; all of them end at the mention's end.

    ``barred``: positions that no main line may come through.
    """

    def __init__(self, chances: Chances, tree: Tree, barred: tuple[Node, ...] = ()) -> None:
        self.chances, self.lattice, self.tree, self.barred = chances, chances.lattice, tree, barred
        self._said: dict[tuple[int, int, int], bool] = {}
        self._passed: dict[int, Node | None] = {}
        self._usual: dict[int, list[tuple[Legal, float]]] = {}
        self.usual = tree.root.board.fen() == chess.STARTING_FEN
        self.openings = spoken(self.lattice.toks) if self.usual else []

    def forget(self, kept: set[int]) -> None:
        """Drops what is known of all positions but those with these keys."""
        for table in (self._passed, self._usual):
            for key in [key for key in table if key not in kept]:
                del table[key]
        for triple in [triple for triple in self._said if triple[0] not in kept]:
            del self._said[triple]

    def main(self, line: Line, m: Mention, i: int, chance: float, *, lost: bool) -> Iterator[Line]:
        """The game's move that these words tell; ``lost``: they cannot be played at the tip, but clearly are a move."""
        get = self.chances.weights.get
        bases = [(line.tip, "main")]
        slip = self.lattice.corrections.by(m)
        if self.put_right(line, m):
            bases = [(line.node.parent or line.tip, "correct")] if line.last == "m" else bases
        elif slip is not None:  # what it puts right is no move on this line
            bases = [(line.tip, "after slip")]
        elif line.tip.parent is not None and "SORRY" in self.lattice.names(m):
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
            lowest = found[0][1]
            rivals = sum(1 for _, cost, how in found if cost < lowest + 0.9 and how == found[0][2]) - 1
            for legal, cost, how in found[:8]:
                value = chance + self.chances.fits(m, base, legal, cost, how, rivals, "main") + get(f"act:{act}", 0.0)
                value += self.chances.numbered(line, m, base, "main")
                tip = self.tree.child(base, legal.move)
                if tip in self.barred or (act != "main" and ancestor(line.tip, tip.ply) is tip):
                    continue
                for end in self._both(tip, m):
                    if end not in self.barred:
                        yield Line(line.score + value, end, end, line, act, m, i, m.end, "m", m.end)

    def gap(self, line: Line, m: Mention, i: int, chance: float) -> Iterator[Line]:
        """The game's move that these words tell, after one that was not told, or not heard: it is guessed."""
        tip = line.tip
        passed = self._after_pass(tip)
        ready = [f for f in matches(passed, m.desc) if f[1] < 1.0] if passed is not None else []
        if not ready and not m.desc.cap:
            return
        get = self.chances.weights.get
        words = tuple(t.text for t in self.lattice.toks[max(line.last_end, m.start - 6) : m.start])
        for legal, prior in self._likely(tip)[:GUESSES]:
            middle = self.tree.child(tip, legal.move)
            if middle in self.barred:
                continue
            if ready:  # what could be played without the guess: is it legal with it?
                found = [f for f in ready[:2] if middle.board.is_legal(f[0].move)]
            else:
                found = [f for f in matches(middle, m.desc) if f[1] < 1.0]
            for played, cost, how in found[:2]:
                value = chance + self.chances.fits(m, middle, played, cost, how, len(ready or found) - 1, "main")
                value += self.chances.numbered(line, m, middle, "main")
                value += (
                    get("act:gap", -4.0) + prior + get("sounds", 1.0) * sounds_like(words, legal.to_sq, legal.piece)
                )
                node = self.tree.child(middle, played.move)
                if node not in self.barred:
                    yield Line(line.score + value, node, node, line, "gap", m, i, m.end, "m", m.end)

    def opening(self, line: Line, m: Mention, i: int, chance: float, *, lost: bool) -> Iterator[Line]:
        """The game's move that these words tell, after the moves, or the other moves, of an opening named before."""
        tip = line.tip
        for named in self.openings:
            if named.end > m.start or tip.ply >= len(named.moves) or tip.path() != named.moves[: tip.ply]:
                continue
            base = tip
            for move in named.moves[tip.ply :]:
                base = self.tree.child(base, move)
                if base in self.barred:
                    break
            else:
                cost = self.chances.weights.get("act:opening" if lost else "act:opening free", -2.0)
                for legal, fit, how in [f for f in matches(base, m.desc) if f[1] < 1.0][:2]:
                    node = self.tree.child(base, legal.move)
                    if node in self.barred:
                        continue
                    value = chance + self.chances.fits(m, base, legal, fit, how, 0, "main") + cost
                    value += self.chances.numbered(line, m, base, "main")
                    yield Line(line.score + value, node, node, line, "opening", m, i, m.end, "m", m.end)

    def named(self, tip: Node, i: int) -> Spoken | None:
        """The opening, named before token ``i``, whose moves lead to the last but one position of a line."""
        path = tip.path()[:-1]
        return next((named for named in self.openings if named.moves == path and named.end <= i), None)

    def side(self, line: Line, m: Mention, i: int, chance: float) -> Iterator[Line]:
        """A sideline's move that these words tell: going on in it, beside it, or beginning one."""
        get = self.chances.weights.get
        right = line.last == "s" and self.put_right(line, m) and line.node.parent is not None
        for base, place in [(line.node.parent, "correct")] if right and line.node.parent else _side_bases(line):
            found = matches(base, m.desc)
            if not found:
                continue
            lowest = found[0][1]
            rivals = sum(1 for _, cost, how in found if cost < lowest + 0.9 and how == found[0][2]) - 1
            for legal, cost, how in found[:3]:
                node = self.tree.child(base, legal.move)
                if node is line.tip or node is line.node:
                    continue
                value = chance + self.chances.fits(m, base, legal, cost, how, rivals, "side") + get(f"at:{place}", 0.0)
                value += self.chances.numbered(line, m, base, "side")
                if base is self.tree.root and self.usual and line.tip is base and not marked(self.lattice, m):
                    value += get("begin:aside", 0.0)
                for end in self._both(node, m):
                    yield Line(line.score + value, line.tip, end, line, "side", m, i, m.end, "s", m.end)

    def _both(self, node: Node, m: Mention) -> list[Node]:
        """Where a move leads that both sides make ("both castle"): on by the answer; ``node`` where only one can make it."""
        answers = matches(node, m.desc) if m.desc.both else []
        return [self.tree.child(node, legal.move) for legal, _, _ in answers] or [node]

    def put_right(self, line: Line, m: Mention) -> bool:
        """Whether a mention puts right the line's last move ("knight d4, no, knight e7") and can be played in its place."""
        slip = self.lattice.corrections.by(m)
        if slip is None or line.node.parent is None or not slip.start < line.last_end <= slip.cue:
            return False
        return line.last in ("m", "s") and bool(matches(line.node.parent, m.desc))

    def named_before(self, tip: Node, m: Mention) -> bool:
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

    def named_now(self, line: Line, m: Mention) -> bool:
        """Whether the mention only names the capture just told by its victim: "he takes the queen, bishop takes d1"."""
        if line.last != "m" or line.mention is None or not line.mention.desc.victim or line.mention.desc.to >= 0:
            return False
        if not m.desc.cap or m.desc.to < 0:
            return False
        base = line.tip.parent
        if base is None or m.start - line.last_end > AT_ONCE_TOKENS:
            return False
        return any(legal.move == line.tip.move for legal, cost, _ in matches(base, m.desc) if cost < 1.0)

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
            get = self.chances.weights.get
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


def _side_bases(line: Line) -> list[tuple[Node, str]]:
    """Where a sideline's next move may be played, with the name of each place's cost."""
    node, tip = line.node, line.tip
    bases = [(node, "open" if node is tip else "cont")]
    if node is not tip:
        back, k = node.parent, 1
        while back is not None and k <= 6:
            bases.append((back, f"alt{min(k, 3)}"))
            if tip.ply >= back.ply and ancestor(tip, back.ply) is back:
                break
            back, k = back.parent, k + 1
        if all(base is not tip for base, _ in bases):
            bases.append((tip, "fresh"))
    elif tip.parent is not None:
        bases.append((tip.parent, "instead"))
        if tip.parent.parent is not None:
            bases.append((tip.parent.parent, "instead2"))
    return bases

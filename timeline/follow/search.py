"""One global decoding: a beam over words, with positions of the game tree as states.

Each hypothesis holds the position on the board and how far the game has been
shown. At every mention it may ignore it, play it on (on the mainline, or in a
sideline), take it as an alternative to earlier moves, return to the game and
play it there, skip mainline moves, or jump back. At every turn of the talk it
may return without a move. The score of a hypothesis is a sum of weighted
features (a log-linear model); later words thereby settle earlier doubt.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, NamedTuple

import chess

from timeline.follow.hypotheses import Feature, Hyp, Layer, Weights, key_of, log_add
from timeline.follow.lattice import Lattice
from timeline.follow.lookahead import Lookahead
from timeline.follow.matching import matches
from timeline.follow.mentions import Mention
from timeline.follow.movers import Movers
from timeline.follow.network import Network
from timeline.follow.sense import UNSPECIFIC, exchanged, there, told
from timeline.follow.spine import Spine, level
from timeline.follow.tenor import meant
from timeline.follow.tree import Legal, Node, Tree
from timeline.follow.turns import Turns

if TYPE_CHECKING:
    from timeline.follow.arrays import Array

SKIPS_AT_MOST = 1.1
"""Cost of a fit above which a mention does not carry the game over moves that were not told."""
NORMALISED = 0.6
"""How far each choice is normalised: 1 makes it a probability among its options, 0 leaves one global score. A choice with
little to choose from is else free of cost (see ``tenor``). Tried on 62 left-out lessons: F1 .735 (1), .745 (0.9),
.753 (0.75), .751 (0.55), .746 (0.35); with 97 and half the ``G:`` weights: .735 (0.7), .739 (0.6), .739 (0.45)."""
_FORWARD = frozenset(("main", "ret", "retG", "skip", "rskip", "tele"))


class Static(NamedTuple):
    """What a mention says of one act wherever it is: its score, features (where they are kept), and the network's sum."""

    score: float
    feats: tuple[Feature, ...]
    ground: Array | None


@dataclass
class Decoder:
    """Decodes one token sequence over one tree.

    ``judge(tok, node, act)`` adds an outside score to each board change (used
    to find the best reachable decoding in training); ``fixed`` maps a token
    index to the path that must stand on the board from there on. ``tenor``
    holds what each way to take the mention at a token adds to the score;
    ``spine`` says which mentions tell the game, ``again`` which clauses go back
    to a position (all None or empty: without).
    """

    lattice: Lattice
    tree: Tree
    weights: Weights
    beam: int = 10
    keep_feats: bool = False
    judge: Callable[[int, Node, str, int], float] | None = None
    fixed: dict[int, Node] = field(default_factory=dict)
    progress: Callable[[int, int], None] | None = None
    persons: dict[str, bool] = field(default_factory=dict)
    window: float = 6.0
    network: Network | None = None
    tenor: Mapping[int, Sequence[float]] = field(default_factory=dict)
    spine: Spine | None = None
    again: Mapping[int, Mapping[int, float]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.named = self.keep_feats or self.network is not None
        self.toks = self.lattice.toks
        self.context = self.lattice.context
        self.n = self.lattice.n
        self.ahead = Lookahead(self.lattice, self.tree)
        self.turns = Turns(self.lattice, self.tree, self.ahead, self.spine, self.again)
        self.order: list[Hyp] = []
        self._options: list[tuple[Layer, Hyp]] = []
        self._static: dict[tuple[int, str], Static] = {}
        self.movers = Movers(self.toks, self.context, self.persons)

    # -- features
    def _static_score(self, m: Mention, act: str) -> Static:
        key = (id(m), act)
        found = self._static.get(key)
        if found is None:
            names: list[Feature] = [(f"{name}>{act}", 1.0) for name in self.lattice.names(m)]
            names.append((f"k:{m.kind}>{act}", 1.0))
            names.append((f"bias>{act}", 1.0))
            if m.tail:
                names.append((f"tail:{m.tail}>{act}", 1.0))
            if m.desc.effect:
                names.append((f"effect:{m.desc.effect}>{act}", 1.0))
            if m.prep:
                names.append((f"prep:{m.prep}:{'p' if m.desc.piece else '-'}{'m' if m.motion else '-'}>{act}", 1.0))
            if m.hear:
                names.append(
                    (("hear_ign" if act == "ign" else "hear_main" if act in ("main", "ret") else "hear"), m.hear)
                )
            if m.fillers and act != "ign":
                names.append(("fillers", float(m.fillers)))
            if act != "ign":
                names.append(("words", float(m.end - m.start)))
            ground = self.network.ground(names) if self.network is not None else None
            found = self._static[key] = Static(self._score(names), tuple(names) if self.keep_feats else (), ground)
        return found

    def _dynamic(self, hyp: Hyp, m: Mention, act: str) -> list[Feature]:
        gap = m.start - hyp.last_end
        bucket = "0" if gap <= 0 else "1" if gap <= 2 else "2" if gap <= 6 else "3" if gap <= 15 else "4"
        feats = [(f"h:{hyp.last_act}{bucket}>{act}", 1.0)]
        if hyp.node.depth:
            since = m.start - hyp.moved
            feats.append(
                (f"since:{'0' if since <= 6 else '1' if since <= 20 else '2' if since <= 50 else '3'}>{act}", 1.0)
            )
            if hyp.node.depth > 4:
                feats.append((f"deep>{act}", 1.0))
        return feats

    # -- decoding
    def run(self, start: Hyp | None = None, first: int = 0, last: int | None = None) -> Hyp:
        """The best hypothesis after token ``last - 1`` (all tokens by default), begun from ``start`` at ``first``."""
        last = self.n if last is None else min(last, self.n)
        layers: list[Layer] = [{} for _ in range(self.n + 1)]
        start = start or Hyp(0.0, self.tree.root, 0)
        layers[first][key_of(start)] = start
        for i in range(first, last):
            layer = layers[i]
            if not layer:
                continue
            layers[i] = {}
            if self.progress and i % 200 == 0:
                self.progress(i, self.n)
            hyps = sorted(layer.values(), key=lambda h: -h.score)[: self.beam]
            best = hyps[0].score
            hyps = [h for h in hyps if h.score > best - 10.0]
            if i in self.fixed:
                hyps = self._fix(hyps, self.fixed[i], i)
            if any(h.float_tok >= 0 and i - h.float_tok > 40 for h in hyps):
                hyps = [h for h in hyps if h.float_tok < 0 or i - h.float_tok <= 40] or hyps
            self._sum(hyps)
            if self.context.may_turn(i):
                hyps = self._turns(hyps, i)
                self._sum(hyps)
            readings = self.lattice.readings(i)
            if not readings:
                self._pass(hyps, layers[i + 1])
            else:
                self._expand(hyps, readings, i, layers)
        finals = [h for layer in layers[last:] for h in layer.values()]
        self._sum(finals)
        self.finals = finals
        return max(finals, key=lambda h: h.score)

    def _sum(self, hyps: Sequence[Hyp]) -> None:
        """Forward sums of the hypotheses that are about to be used, over all ways that were merged into them."""
        for hyp in hyps:
            if hyp.prev is None or hyp.alpha != 0.0:
                if hyp.prev is None and not self.order:
                    self.order.append(hyp)
                continue
            total = -math.inf
            for edge in (hyp, *(hyp.rivals or ())):
                if edge.prev is not None:
                    total = log_add(total, edge.prev.alpha + edge.score - edge.prev.score)
            hyp.alpha = total or 1e-12
            self.order.append(hyp)

    def _pass(self, hyps: Sequence[Hyp], layer: Layer) -> None:
        for hyp in hyps:
            key = key_of(hyp)
            if key not in layer:
                layer[key] = hyp
            else:  # a copy, because what has used this hypothesis already must not see the newcomer
                self._merge(
                    layer,
                    Hyp(
                        hyp.score,
                        hyp.node,
                        hyp.front,
                        hyp,
                        "pass",
                        None,
                        hyp.tok,
                        hyp.last_end,
                        hyp.last_act,
                        (),
                        hyp.drift,
                        hyp.float_tok,
                        hyp.base,
                    ),
                )

    def _fix(self, hyps: Sequence[Hyp], node: Node, i: int) -> list[Hyp]:
        out: dict[int, Hyp] = {}
        for hyp in hyps:
            front = max(hyp.front, node.shared)
            score = hyp.score + (0.5 if hyp.node is node else 0.0)
            new = Hyp(score, node, front, hyp, "fix", None, i, i, "f")
            if front not in out or out[front].score < score:
                out[front] = new
        return list(out.values())

    def _add(self, layer: Layer, hyp: Hyp) -> None:
        self._options.append((layer, hyp))

    @staticmethod
    def _merge(layer: Layer, hyp: Hyp) -> None:
        key = key_of(hyp)
        old = layer.get(key)
        if old is None:
            layer[key] = hyp
            return
        best, rest = (hyp, old) if hyp.score > old.score else (old, hyp)
        if best is not old:
            layer[key] = best
            best.rivals, old.rivals = old.rivals, None
        if rest.score > best.score - 9.0:
            if best.rivals is None:
                best.rivals = [rest]
            elif len(best.rivals) < 8:
                best.rivals.append(rest)

    def _score(self, feats: Sequence[Feature]) -> float:
        get = self.weights.get
        total = 0.0
        for name, value in feats:
            weight = get(name)
            if weight is not None:
                total += weight * value
        return total

    def _turns(self, hyps: Sequence[Hyp], i: int) -> list[Hyp]:
        out: Layer = {key_of(h): h for h in hyps}
        offered = [(hyp, self.turns.options(hyp, i, rank)) for rank, hyp in enumerate(hyps) if hyp.last_end <= i]
        every = [feats for _, options in offered for _, _, feats in options]
        together = iter(self.network.extra(every) if self.network and every else [0.0] * len(every))
        for hyp, options in offered:
            if not options:
                continue
            made: list[Hyp] = []
            for target, act, feats in options:
                more = next(together)
                score = hyp.score + self._score(feats) + more
                if act == "show":
                    score += self.again[i][target.ply]
                drift = hyp.drift
                if self.judge and act != "fl":
                    extra = self.judge(i, target, act, i)
                    score += extra
                    drift += extra
                whole = tuple(feats) if self.keep_feats else ()
                told = act in ("vg", "sil")
                front = max(hyp.front, target.ply) if act == "vg" else hyp.front
                end, last = (i + 1, "v") if told else (hyp.last_end, hyp.last_act) if act == "fl" else (i, "b")
                flown = i if act == "fl" else -1
                moved = hyp.moved if act == "fl" else i
                new = Hyp(score, target, front, hyp, act, None, i, end, last, whole, drift, flown, None, moved)
                made.append(new)
            total = NORMALISED * math.log(
                1.0 + sum(math.exp(new.score - hyp.score - (new.drift - hyp.drift)) for new in made)
            )
            stay = Hyp(
                hyp.score - total, hyp.node, hyp.front, hyp, "pass", None, i, hyp.last_end, hyp.last_act, (), hyp.drift,
                hyp.float_tok, hyp.base, hyp.moved,
            )  # fmt: skip
            if out.get(key_of(hyp)) is hyp:
                out[key_of(hyp)] = stay
            for new in made:
                new.score += self._global(new) - total
                key = key_of(new)
                if key not in out or out[key].score < new.score:
                    out[key] = new
        return sorted(out.values(), key=lambda h: -h.score)[: self.beam + 8]

    def _bases(self, hyp: Hyp, m: Mention) -> list[tuple[Node, str, list[Feature]]]:
        """Positions in which a mention may be played, with the action's name and features."""
        node, main = hyp.node, self.tree.main
        bases: list[tuple[Node, str, list[Feature]]] = [(node, "main" if node.main else "cont", [])]
        if node.depth:
            depth = node.depth
            bases.append((main[node.shared], "ret", [("ret:depth", math.log1p(depth))]))
            if hyp.front > node.shared:
                bases.append((main[hyp.front], "retG", []))
            back = node.parent
            k = 1
            while back is not None and k <= min(depth, 7):
                whole = k == depth
                bases.append((back, "alt", [(f"alt:{min(k, 4)}", 1.0), ("alt:whole", 1.0 if whole else 0.0)]))
                if whole:
                    break
                back = back.parent
                k += 1
            if node.shared > 0:
                bases.append((main[node.shared - 1], "alt", [("alt:before", 1.0)]))
        else:
            if node.ply:
                bases.append((main[node.ply - 1], "alt", [("alt:1", 1.0), ("alt:main", 1.0)]))
            if node.ply > 1:
                bases.append((main[node.ply - 2], "alt", [("alt:2", 1.0), ("alt:main2", 1.0)]))
            if hyp.front > node.ply:
                bases.append((main[hyp.front], "retG", []))
        if hyp.float_tok >= 0 and m.kind in ("full", "capsq", "san", "cap", "castle", "pawn", "to"):
            here = node.shared
            for ply in range(min(hyp.front, here), -1, -1):
                bases.append((main[ply], "jfrom", [("jfrom:far", math.log1p(here - ply))]))
        return bases

    def _expand(self, hyps: Sequence[Hyp], readings: Sequence[Mention], i: int, layers: list[Layer]) -> None:
        longest = max(readings, key=lambda m: (m.end, -m.hear))
        exact = [m for m in readings if m.hear < 0.4]
        ignored = max(exact, key=lambda m: m.end) if exact else longest
        found: list[list[tuple[Layer, Hyp]]] = []
        for hyp in hyps:
            self._options = []
            status = 0
            for m in readings:
                status = max(status, self._play(hyp, m, i, layers))
            self._ignore(hyp, ignored, status, i, layers)
            self._look_ahead()
            found.append(self._options)
        self._together([new for options in found for _, new in options])
        for hyp, options in zip(hyps, found, strict=True):
            self._commit(hyp, options)

    def _commit(self, hyp: Hyp, options: Sequence[tuple[Layer, Hyp]]) -> None:
        """Turns the raw scores of one hypothesis' options into log-probabilities, as far as ``NORMALISED`` says, and hands
        them to their layers.

        Without this, lines in which more can be played would win for that alone.
        """
        gains = [new.score - hyp.score - (new.drift - hyp.drift) for _, new in options]
        peak = max(gains)
        whole = NORMALISED * (peak + math.log(sum(math.exp(g - peak) for g in gains)))
        for layer, new in options:
            new.score += self._global(new) - whole
            self._merge(layer, new)

    def _look_ahead(self) -> None:
        """Drops the options that are far behind, and tells the others what the words to come say of them."""
        best = max(new.score for _, new in self._options)
        self._options = [(layer, new) for layer, new in self._options if new.score > best - self.window]
        if len(self._options) == 1:
            return
        for _, new in self._options:
            m = new.mention
            if m is None or (m.hear >= 0.4 and new.act == "ign"):
                continue
            feats = self._coming(new.node, m.end, new.act)
            share = 0.5 if new.act == "step" else 1.0
            new.score += share * self._score(feats)
            if self.named:
                new.feats = (*new.feats, *((n, v * share) for n, v in feats))

    def _together(self, found: Sequence[Hyp]) -> None:
        """Adds what the network says of the options left at one token."""
        if self.network is None:
            return
        if self.keep_feats:
            extras = self.network.extra([new.feats for new in found])
        else:
            grounds = [new.ground for new in found if new.ground is not None]
            extras = self.network.extra([new.feats for new in found], grounds)
        for new, more in zip(found, extras, strict=True):
            new.score += more
            new.ground = None
            if not self.keep_feats:
                new.feats = ()

    def _global(self, new: Hyp) -> float:
        """What an action costs however few the alternatives (see ``weights`` and ``tenor``)."""
        cost = self.weights.get(f"G:{new.act}", 0.0) + (self.weights.get(new.stake, 0.0) if new.stake else 0.0)
        m = new.mention
        if m is None or not self.tenor or (new.act == "ign" and m.hear >= 0.4):
            return cost
        assert new.prev is not None
        place = meant(new.act, new.node.main, new.prev.last_act == "b")
        for tok in range(m.start, m.start + 1 if new.act == "step" else m.end):
            said = self.tenor.get(tok)
            if said is not None:
                cost += said[place]
        return cost

    def _ignore(self, hyp: Hyp, m: Mention, status: int, i: int, layers: list[Layer]) -> None:
        static, names, ground = self._static_score(m, "ign")
        feats = self._dynamic(hyp, m, "ign")
        if status < 3 and hyp.node.parent is not None:
            said = matches(hyp.node.parent, m.desc)
            if any(legal.move == hyp.node.move for legal, _, _ in said):
                status = 4
        if self.spine is not None:
            feats.append((f"told:{level(self.spine.on(m.start))}>ign", 1.0))
        feats.append((f"ign:{('none', 'near', 'legal', 'main', 'said')[status]}:{m.kind}", 1.0))
        standing = there(hyp.node, m)
        if standing:
            feats.append((f"{standing}:{m.prep or '-'}>ign", 1.0))
        weak = m.hear >= 0.4
        scale = 0.15 if weak else 1.0
        score = scale * (static + self._score(feats))
        if weak:
            names, feats = tuple((n, v * scale) for n, v in names), [(n, v * scale) for n, v in feats]
            ground = ground * scale if ground is not None else None
        whole = (*names, *feats) if self.named else ()

        stake = "" if weak else f"G:ign:{('none', 'near', 'legal', 'main', 'said')[status]}:{m.kind}"

        def ignored(
            total: float, act: str, end: int, last: str, named: tuple[Feature, ...], ground: Array | None
        ) -> Hyp:
            return Hyp(
                hyp.score + total, hyp.node, hyp.front, hyp, act, m, i, end, last, named, hyp.drift, hyp.float_tok, None,
                hyp.moved, stake, ground,
            )  # fmt: skip

        if weak:
            self._add(layers[i + 1], ignored(score, "ign", hyp.last_end, hyp.last_act, whole, ground))
        elif m.end == i + 1:
            self._add(layers[i + 1], ignored(score, "ign", i + 1, "i", whole, ground))
        else:
            self._add(layers[m.end], ignored(score, "ign", m.end, "i", whole, ground))
            half = (*((n, v * 0.5) for n, v in whole), ("step", 1.0)) if self.named else ()
            total = score * 0.5 + self.weights.get("step", 0.0)
            ground = ground * 0.5 if ground is not None else None
            self._add(layers[i + 1], ignored(total, "step", hyp.last_end, hyp.last_act, half, ground))

    def _coming(self, node: Node, end: int, act: str) -> list[Feature]:
        """How far the words after token ``end - 1`` can be played from the board that an option leaves."""
        run = self.ahead.run(node, end)
        feats: list[Feature] = []
        if run.worth:
            feats = [("next", run.worth), (f"next>{act}", run.worth)]
        if run.main:
            feats.append((f"next main>{act}", run.main))
        if run.stopped:
            feats.append((f"next stopped{'' if run.worth else ' at once'}", 1.0))
            if not run.worth:
                feats.append((f"next stopped>{act}", 1.0))
        return feats

    def _play(self, hyp: Hyp, m: Mention, i: int, layers: list[Layer]) -> int:
        """Adds every way to play the mention; returns 3 if it is the mainline's next move, 2 if legal now, 1 if legal in a
        position near by, else 0."""
        status = 0
        if m.desc.both:
            self._play_both(hyp, m, i, layers)
        for base, kind, extra in self._bases(hyp, m):
            found = matches(base, m.desc)
            if not found:
                continue
            wanted = self.tree.next_main(base)
            lowest = found[0][1]
            takes_back = found[0][2] == "rc"
            near = sum(1 for _, c, how in found if c < lowest + 0.9 and (how == "rc" or not takes_back))
            if len(found) > 6 and m.kind in UNSPECIFIC:
                found = sorted(
                    found, key=lambda f: (f[0].move != wanted, f[2] != "rc", f[1] - 0.2 * exchanged(base, f[0]))
                )
            for legal, cost, how in found[: 8 if m.kind in UNSPECIFIC else 5]:
                is_main = wanted is not None and legal.move == wanted
                act = kind
                if kind in ("main", "ret", "retG"):
                    if is_main:
                        act = kind
                    elif kind == "main":
                        act = "open"
                    else:
                        continue  # a new sideline from the departure is the action "alt"
                elif kind == "alt" and is_main:
                    continue
                elif kind == "jfrom" and not is_main:
                    act = "jopen"
                if base is not hyp.node:
                    status = max(status, 1)
                else:
                    status = max(status, 3 if is_main and cost < 1.0 else 2)
                rivals = 0 if is_main or (how == "rc" and near == 1) else near - 1
                named = [*extra, (f"{how}:{'m' if is_main else 's'}", 1.0)] if how else extra
                self._move(hyp, m, base, legal, act, cost, max(0, rivals), named, i, layers)
        node = hyp.node
        last = node.ply if node.main else node.shared
        self._skips(hyp, m, last, i, layers)
        return status

    def _skips(self, hyp: Hyp, m: Mention, last: int, i: int, layers: list[Layer]) -> None:
        """Mainline moves further on: the talk has skipped some."""
        if m.kind in ("take", "check", "other", "piece", "pcheck", "effect"):
            reach = 2
        elif m.kind in ("cap", "castle", "to", "pawn"):
            reach = 4
        else:
            reach = 10
        main = self.tree.main
        for k in range(1, reach + 1):
            ply = last + k
            if ply >= len(main) - 1:
                break
            wanted = main[ply + 1].move
            for legal, cost, _ in matches(main[ply], m.desc):
                if legal.move == wanted and cost < SKIPS_AT_MOST:
                    extra = [("skip", math.log1p(k)), ("skip:n", float(k))]
                    act = "skip" if hyp.node.main else "rskip"
                    self._move(hyp, m, main[ply], legal, act, cost, 0, extra, i, layers)
                    break
        self._teleports(hyp, m, last, reach, i, layers)
        if any(c in ("BACK", "REMEMBER") for c in self.lattice.names(m)):
            for ply in range(min(last, len(main) - 1), 0, -1):
                wanted = main[ply].move
                for legal, cost, _ in matches(main[ply - 1], m.desc):
                    if legal.move == wanted and main[ply] is not hyp.node:
                        extra = [("jump:far", math.log1p(abs(last - ply)))]
                        self._move(hyp, m, main[ply - 1], legal, "jump", cost, 0, extra, i, layers)
                        break

    def _teleports(self, hyp: Hyp, m: Mention, last: int, reach: int, i: int, layers: list[Layer]) -> None:
        """A mainline move anywhere else, without a word of warning: dear, but it finds a lost thread again."""
        if m.kind not in ("full", "capsq", "san", "pawn") or m.hear > 1.6 or m.prep in ("on", "at", "from"):
            return
        main = self.tree.main
        piece = m.desc.piece or chess.PAWN
        number, _ = self.movers.number(m.start)
        for ply in self.tree.spoken.get((piece, m.desc.to), ()):
            if 0 <= ply - last <= reach or (number and main[ply].board.fullmove_number != number):
                continue
            wanted = main[ply + 1].move
            for legal, cost, _ in matches(main[ply], m.desc):
                if legal.move == wanted:
                    ahead = ply > last
                    extra = [("tele:ahead" if ahead else "tele:back", 1.0), ("tele:far", math.log1p(abs(ply - last)))]
                    self._move(hyp, m, main[ply], legal, "tele", cost, 0, extra, i, layers)
                    break

    def _move(
        self, hyp: Hyp, m: Mention, base: Node, legal: Legal, act: str, cost: float, rivals: int,
        extra: Sequence[Feature], i: int, layers: list[Layer],
    ) -> None:  # fmt: skip
        node = self.tree.child(base, legal.move)
        static, names, ground = self._static_score(m, act)
        feats = self._dynamic(hyp, m, act)
        feats.extend(extra)
        if self.spine is not None:
            share = self.spine.at(m.start, node.ply) if node.main else self.spine.on(m.start)
            feats.append((f"told:{level(share)}>{act}", 1.0))
        if cost:
            feats.append(("fit_main" if act in ("main", "ret") else "fit", cost))
        if rivals:
            feats.append((f"amb>{'open' if act == 'open' else 'side'}", math.log1p(rivals)))
        if (base.key, legal.move) in self.tree.kept:
            feats.append(("kept", 1.0))
        side = self.movers.agent(m)
        if side is not None:
            feats.append(("agent:ok" if side == base.board.turn else "agent:bad", 1.0))
        elif self.persons:
            who = self.movers.person(m)
            if who is not None:
                feats.append(("person:ok" if who == base.board.turn else "person:bad", 1.0))
        number, named = self.movers.number(m.start)
        if number:
            feats.append(
                (f"num:{'ok' if number == base.board.fullmove_number else 'bad'}{':move' if named else ''}", 1.0)
            )
        standing = there(hyp.node, m)
        if standing:
            feats.append((f"{standing}:{m.prep or '-'}>play", 1.0))
        if m.kind in UNSPECIFIC:
            feats.extend(told(base, legal, check=not m.desc.chk and self.context.check_follows(m.end)))
        if hyp.node.depth and base is not hyp.node and not hyp.node.legal:
            feats.append(("over>ret", 1.0))
        score = hyp.score + static + self._score(feats)
        drift = hyp.drift
        if self.judge:
            extra_score = self.judge(max(self.context.lead(m.start), hyp.last_end), node, act, m.end)
            if hyp.float_tok >= 0 and base is not hyp.node and act in ("jfrom", "jopen"):
                extra_score += self.judge(hyp.float_tok, base, act, m.end)
            score += extra_score
            drift += extra_score
        front = max(hyp.front, node.shared) if act in _FORWARD else hyp.front
        last = "m" if node.main else "s"
        whole = (*names, *feats) if self.named else ()
        new = Hyp(score, node, front, hyp, act, m, i, m.end, last, whole, drift, -1, base, m.end, "", ground)
        self._add(layers[m.end], new)

    def _play_both(self, hyp: Hyp, m: Mention, i: int, layers: list[Layer]) -> None:
        """ "Both sides castle": the mainline's next two castlings, whatever stands between them."""
        main = self.tree.main
        base = hyp.node.ply if hyp.node.main else hyp.node.shared
        seen = 0
        for ply in range(base, min(len(main) - 1, base + 8)):
            move = main[ply + 1].move
            if move is not None and main[ply].board.is_castling(move):
                seen += 1
                if seen == 2:
                    static, names, ground = self._static_score(m, "main")
                    feats = [*self._dynamic(hyp, m, "main"), ("both", 1.0), ("skip:n", float(ply - base - 1))]
                    score = hyp.score + static + self._score(feats)
                    drift = hyp.drift
                    if self.judge:
                        extra = self.judge(max(self.context.lead(m.start), hyp.last_end), main[ply + 1], "main", m.end)
                        score += extra
                        drift += extra
                    self._add(
                        layers[m.end],
                        Hyp(
                            score,
                            main[ply + 1],
                            max(hyp.front, ply + 1),
                            hyp,
                            "main",
                            m,
                            i,
                            m.end,
                            "m",
                            (*names, *feats) if self.named else (),
                            drift,
                            ground=ground,
                        ),
                    )
                    return

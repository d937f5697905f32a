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
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from timeline.follow.grounds import Grounds
from timeline.follow.hypotheses import Feature, Hyp, Layer, Weights, key_of, log_add
from timeline.follow.lattice import Lattice
from timeline.follow.lookahead import Lookahead
from timeline.follow.matching import led
from timeline.follow.mentions import Mention
from timeline.follow.movers import Movers
from timeline.follow.network import Network
from timeline.follow.plays import SPENT_AT_MOST, Judge, Option, Plays
from timeline.follow.sense import UNSPECIFIC, dropped, there
from timeline.follow.spine import Spine, level
from timeline.follow.tenor import meant
from timeline.follow.tree import Node, Tree
from timeline.follow.turns import Turns

if TYPE_CHECKING:
    from collections.abc import Callable

    from timeline.follow.arrays import Array

NORMALISED = 0.6
"""How far each choice is normalised: 1 makes it a probability among its options, 0 leaves one global score. A choice with
little to choose from is else free of cost (see ``tenor``). Tried on 62 left-out lessons: F1 .735 (1), .745 (0.9),
.753 (0.75), .751 (0.55), .746 (0.35); with 97 and half the ``G:`` weights: .735 (0.7), .739 (0.6), .739 (0.45)."""

BEAM = 24
"""Hypotheses that go on at each word. On 152 left-out lessons F1 .776 with 10, .781 with 16, .783 with 24, .783 with 32;
false changes 2,147, 2,035, 1,990 of 16,414 (all with ``FAR`` 7)."""

FAR = 6.0
"""How far behind the best a hypothesis may be and still go on. With 24 of them F1 .783 (7), .782 (6), .779 (5) for 1,
0.9, 0.75 of the time; false changes 1,990, 2,032, 2,082."""

TURNED = 7.5
"""The same once the talk may have turned (returns, takebacks), which costs most of them several units."""

UNTOLD_AT_MOST = 3
"""For so many moves that nobody told a way to a person's cue pays, one unit of log-odds each."""

STANDING = 1.5
"""What a way pays that shows the board of a person's cue already: a cue says that the board changes there."""

TOLD_AT_MOST = 1.0
"""Cost of hearing up to which a mention may be what a person's cue shows."""

HOPELESS = 9.0
"""How far behind the best option at a word, over all hypotheses, an option may be and still be looked at closely (what
comes next, what it loses, the network): the others are dropped. On 160 left-out lessons F1 .780 without, .780 (10),
.780 (9), .778 (8); false changes 2,186, 2,197, 2,208, 2,218 of 17,209."""

WINDOW = 5.5
"""How far behind its hypothesis' best an option may be and still be looked at closely. On 160 left-out lessons right board .782
(6), .781 (5.5), .778 (5), F1 .792 with each; false changes 2,112, 2,107, 2,091; the time of 10 minutes 1, 0.94, 0.87."""


@dataclass
class Decoder:
    """Decodes one token sequence over one tree.

    ``judge(tok, node, act)`` adds an outside score to each board change (used
    to find the best reachable decoding in training); ``fixed`` maps a token
    index to the path that must stand on the board from there on. ``tenor``
    holds what each way to take the mention at a token adds to the score;
    ``spine`` says which mentions tell the game, ``again`` which clauses go back
    to a position, ``begins`` where the talk may join the game (all None or
    empty: without). ``earlier``, a decoder over the same talk with the same
    weights, lends what it has worked out already.
    """

    lattice: Lattice
    tree: Tree
    weights: Weights
    beam: int = BEAM
    keep_feats: bool = False
    judge: Judge | None = None
    fixed: dict[int, Node] = field(default_factory=dict)
    progress: Callable[[int, int], None] | None = None
    persons: dict[str, bool] = field(default_factory=dict)
    window: float = WINDOW
    network: Network | None = None
    tenor: Mapping[int, Sequence[float]] = field(default_factory=dict)
    spine: Spine | None = None
    again: Mapping[int, Mapping[int, float]] = field(default_factory=dict)
    begins: Node | None = None
    earlier: Decoder | None = None

    def __post_init__(self) -> None:
        self.named = self.keep_feats or self.network is not None
        self.toks = self.lattice.toks
        self.context = self.lattice.context
        self.n = self.lattice.n
        self.ahead: Lookahead = self.earlier.ahead if self.earlier else Lookahead(self.lattice, self.tree)
        self.turns = Turns(self.lattice, self.tree, self.ahead, self.spine, self.again)
        self.order: list[Hyp] = []
        movers = Movers(self.toks, self.context, self.persons)
        self.grounds: Grounds = (
            self.earlier.grounds
            if self.earlier
            else Grounds(self.lattice, self.ahead, self.weights, self.network, keep=self.keep_feats)
        )
        self.plays = Plays(self.lattice, self.tree, self.grounds, movers, self.spine, self.judge)

    def run(self, start: Hyp | None = None, first: int = 0, last: int | None = None) -> Hyp:
        """The best hypothesis after token ``last - 1`` (all tokens by default), begun from ``start`` at ``first``."""
        last = self.n if last is None else min(last, self.n)
        layers: list[Layer] = [{} for _ in range(self.n + 1)]
        begins = self.begins if start is None else None
        start = start or Hyp(0.0, self.tree.root, 0)
        layers[first][key_of(start)] = start
        if begins is not None:
            self._sum([start])
            later = Hyp(0.0, begins, begins.ply, start, "goto", None, first, first)
            layers[first][key_of(later)] = later
        hyps: list[Hyp] = []
        for i in range(first, last):
            layer = layers[i]
            if not layer and i in self.fixed:
                layer = {key_of(h): h for h in hyps}  # every mention before it goes over the person's cue
            if not layer:
                continue
            layers[i] = {}
            if self.progress and i % 200 == 0:
                self.progress(i, self.n)
            hyps = sorted(layer.values(), key=lambda h: -h.score)[: self.beam]
            best = hyps[0].score
            hyps = [h for h in hyps if h.score > best - FAR]
            if i in self.fixed:
                self._sum(hyps)
                hyps = self._fix(hyps, self.fixed[i], i)
                for k in range(i + 1, self.n + 1):
                    layers[k] = {}  # no way leads past a person's cue
                told = self._told_until(self.fixed[i], i)
                if told > i:
                    for hyp in hyps:
                        hyp.last_end = told
                    self._sum(hyps)
                    layers[told] = {key_of(h): h for h in hyps}
                    continue
            if any(h.float_tok >= 0 and i - h.float_tok > 40 for h in hyps):
                hyps = [h for h in hyps if h.float_tok < 0 or i - h.float_tok <= 40] or hyps
            self._sum(hyps)
            if self.context.may_turn(i):
                hyps = self._turns(hyps, i)
                hyps = [h for h in hyps if h.score > hyps[0].score - TURNED]
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
        """A person's cue: every hypothesis goes to its board; those that then agree become one, the others its rivals."""
        alike: dict[int, list[Hyp]] = {}
        for hyp in hyps:
            front = max(hyp.front, node.shared)
            score = hyp.score - (STANDING if hyp.node is node else min(UNTOLD_AT_MOST, _untold(hyp.node, node)))
            alike.setdefault(front, []).append(Hyp(score, node, front, hyp, "fix", None, i, i, "f"))
        out: list[Hyp] = []
        for same in alike.values():
            best = max(same, key=lambda h: h.score)
            best.rivals = [h for h in same if h is not best] or None
            out.append(best)
        return out

    def _told_until(self, node: Node, i: int) -> int:
        """Where the mention ends that tells the move of a person's cue at token ``i``; ``i`` where none does."""
        if node.parent is None:
            return i
        for k in range(i, min(self.n, i + SPENT_AT_MOST + 1)):
            if k in self.fixed and k > i:
                break
            told = [m for m in self.lattice.readings(k) if m.hear < TOLD_AT_MOST]
            if not told:
                continue
            if any(m.desc.to < 0 and not m.desc.castle for m in told) and self.context.lead(k) > i:
                break  # "takes" later in the clause may be the next move
            fits = [m.end for m in told if led(node, m.desc)]
            end = max(fits, default=i)
            return i if any(k in self.fixed for k in range(i + 1, end + 1)) else end
        return i

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

    def _just_fixed(self, hyp: Hyp, i: int) -> bool:
        """Whether token ``i`` stands in the clause in which a person's cue was shown: its words do not turn away from it."""
        return hyp.last_act == "f" and not any(tok.ends for tok in self.toks[max(0, hyp.last_end) : i])

    def _turns(self, hyps: Sequence[Hyp], i: int) -> list[Hyp]:
        out: Layer = {key_of(h): h for h in hyps}
        free = [(rank, hyp) for rank, hyp in enumerate(hyps) if hyp.last_end <= i and not self._just_fixed(hyp, i)]
        offered = [(hyp, self.turns.options(hyp, i, rank)) for rank, hyp in free]
        every = [feats for _, options in offered for _, _, feats in options]
        together = iter(self.network.extra(every) if self.network and every else [0.0] * len(every))
        for hyp, options in offered:
            if not options:
                continue
            made: list[Hyp] = []
            for target, act, feats in options:
                more = next(together)
                score = hyp.score + self.grounds.score(feats) + more
                if act == "show":
                    score += self.again[i][target.ply]
                drift = hyp.drift
                if self.judge and act != "fl":
                    extra = self.judge(i, target, act, i)
                    score += extra
                    drift += extra
                whole = tuple(feats) if self.keep_feats else ()
                told = act in ("vg", "sil")
                front = max(hyp.front, target.ply) if act in ("vg", "far") else hyp.front
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

    def _expand(self, hyps: Sequence[Hyp], readings: Sequence[Mention], i: int, layers: list[Layer]) -> None:
        longest = max(readings, key=lambda m: (m.end, -m.hear))
        exact = [m for m in readings if m.hear < 0.4]
        ignored = max(exact, key=lambda m: m.end) if exact else longest
        raw: list[list[Option]] = []
        for hyp in hyps:
            options: list[Option] = []
            status = 0
            for m in readings:
                played, near = self.plays.of(hyp, m, i)
                options += played
                status = max(status, near)
            options += self._ignore(hyp, ignored, status, i)
            raw.append(options)
        floor = max(new.score for options in raw for _, new in options) - HOPELESS
        found = [self._look_ahead(options, floor) for options in raw]
        self._together([new for options in found for _, new in options])
        for hyp, options in zip(hyps, found, strict=True):
            if options:
                self._commit(hyp, options, layers)

    def _commit(self, hyp: Hyp, options: Sequence[Option], layers: list[Layer]) -> None:
        """Turns the raw scores of one hypothesis' options into log-probabilities, as far as ``NORMALISED`` says, and hands
        them to their layers.

        Without this, lines in which more can be played would win for that alone.
        """
        gains = [new.score - hyp.score - (new.drift - hyp.drift) for _, new in options]
        peak = max(gains)
        whole = NORMALISED * (peak + math.log(sum(math.exp(g - peak) for g in gains)))
        for tok, new in options:
            new.score += self._global(new) - whole
            self._merge(layers[tok], new)

    def _look_ahead(self, options: Sequence[Option], floor: float) -> list[Option]:
        """The options that are not far behind and above ``floor``, with what the words to come say of them."""
        floor = max(floor, max(new.score for _, new in options) - self.window)
        kept = [(tok, new) for tok, new in options if new.score > floor]
        if len(kept) <= 1:
            return kept
        for _, new in kept:
            m = new.mention
            if m is None or (m.hear >= 0.4 and new.act == "ign"):
                continue
            feats = self.grounds.coming(new.node, m.end, new.act)
            share = 0.5 if new.act == "step" else 1.0
            if new.act not in ("ign", "step") and not new.node.main and "HABIT" not in self.lattice.names(m):
                feats = [*feats, *dropped(new.node, named=m.kind not in UNSPECIFIC)]  # but what people are said to play is often bad
            new.score += share * self.grounds.score(feats)
            if self.named:
                new.feats = (*new.feats, *((n, v * share) for n, v in feats))
        return kept

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

    def _ignore(self, hyp: Hyp, m: Mention, status: int, i: int) -> list[Option]:
        """Not to play a mention; ``status`` says how near it was to being played (``plays``)."""
        static, names, ground = self.grounds.static(m, "ign")
        feats = self.grounds.dynamic(hyp, m, "ign")
        if status < 3 and led(hyp.node, m.desc):
            status = 4
        if self.spine is not None:
            feats.append((f"told:{level(self.spine.on(m.start))}>ign", 1.0))
        feats.append((f"ign:{('none', 'near', 'legal', 'main', 'said')[status]}:{m.kind}", 1.0))
        standing = there(hyp.node, m)
        if standing:
            feats.append((f"{standing}:{m.prep or '-'}>ign", 1.0))
        weak = m.hear >= 0.4
        scale = 0.15 if weak else 1.0
        score = scale * (static + self.grounds.score(feats))
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
            return [(i + 1, ignored(score, "ign", hyp.last_end, hyp.last_act, whole, ground))]
        if m.end == i + 1:
            return [(i + 1, ignored(score, "ign", i + 1, "i", whole, ground))]
        half = (*((n, v * 0.5) for n, v in whole), ("step", 1.0)) if self.named else ()
        total = score * 0.5 + self.weights.get("step", 0.0)
        less = ground * 0.5 if ground is not None else None
        return [
            (m.end, ignored(score, "ign", m.end, "i", whole, ground)),
            (i + 1, ignored(total, "step", hyp.last_end, hyp.last_act, half, less)),
        ]


def _untold(node: Node, goal: Node) -> int:
    """How many moves lie between ``node`` and the last move of ``goal``."""
    way: set[Node] = set()
    at: Node | None = node
    while at is not None:
        way.add(at)
        at = at.parent
    missing, at = -1, goal
    while at is not None and at not in way:
        missing, at = missing + 1, at.parent
    return max(0, missing)

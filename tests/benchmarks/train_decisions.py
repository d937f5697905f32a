"""What there is to learn from: decisions along the decodings that the truth rewards, and on the ways back to them.

1. The best reachable decoding of each lesson is found by the search itself,
   with rewards for board changes that agree with the truth. Each decision
   along it is a choice among the actions that the search offers there.
2. Positions that a model strays to are added with the way back that the
   rewarded search finds (Ross, Gordon, Bagnell 2011, "A reduction of imitation
   learning and structured prediction to no-regret online learning").
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import chess
from narrated import Narrated, position_key

from timeline.follow.hypotheses import Hyp, Layer
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.pauses import heard_punctuation
from timeline.follow.persons import learn_persons
from timeline.follow.players import with_sides
from timeline.follow.plays import Option
from timeline.follow.search import Decoder
from timeline.follow.spine import Spine
from timeline.follow.tenor import grounds, meant, mentions_of
from timeline.follow.tree import Node, Tree
from timeline.follow.weights import Model, Weights

REWARD = 8.0
TURNS = frozenset(("bk", "bkG", "un", "um", "fw", "fl", "goto"))
Options = list[dict[str, float]]


@dataclass
class Decision:
    """One choice: the options' features, and which was taken."""

    options: Options
    taken: int


@dataclass
class Said:
    """One mention: what the talk says of it, and how it is meant (a place in ``tenor.MEANT``)."""

    grounds: list[str]
    meant: int


@dataclass
class Guided:
    """What the rewarded search finds in one lesson: its decisions, how its mentions are meant, whose moves "I" and "he" tell
    of, the board by token."""

    decisions: list[Decision]
    said: list[Said]
    persons: dict[str, bool]
    boards: list[tuple[chess.Move, ...]]


class Judge:
    """Rewards board changes that agree with the truth, punishes others."""

    def __init__(self, lesson: Narrated, lattice: Lattice) -> None:
        self.lesson, self.toks = lesson, lattice.toks
        self.memo: dict[tuple[int, int, bool], float] = {}
        self.keys: dict[int, str] = {}

    def __call__(self, tok: int, node: Node, act: str, end: int) -> float:
        turn = act in TURNS
        known = self.memo.get((tok, node.key, turn))
        if known is not None:
            return known
        key = self.keys.get(node.key) or self.keys.setdefault(node.key, position_key(node.board.fen(en_passant="fen")))
        at = self.toks[min(tok, len(self.toks) - 1)].onset_ms
        off = None
        standing: list[str] = []
        for change in self.lesson.changes:
            right_kind = ("play" not in change.how) if turn else ("play" in change.how or "show" in change.how)
            if turn and any(word in change.how for word in ("back", "take", "show")):
                right_kind = True
            if change.key == key and right_kind and -1500 <= at - change.at_ms <= 2300:
                off = min(off if off is not None else 9999, abs(at - change.at_ms))
            if change.at_ms <= at - 1000:
                standing = [change.key]
            elif change.at_ms <= at + 1000:
                standing.append(change.key)
        if off is not None:
            value = REWARD * (1.0 - 0.2 * min(off, 2000) / 1000)
        else:
            value = REWARD * ((-0.3 if turn else -0.02) if key in standing else -1.0)
        self.memo[(tok, node.key, turn)] = value
        return value

    def true(self, tok: int, node: Node) -> bool:
        """Whether the board of ``node`` stands at about that token in truth (within 1.5 s, and until the words have ended)."""
        key = position_key(node.board.fen(en_passant="fen"))
        at = self.toks[min(tok, len(self.toks) - 1)].onset_ms
        standing = ""
        for change in self.lesson.changes:
            if change.at_ms > at + 2300:
                break
            if change.at_ms >= at - 1500 and change.key == key:
                return True
            if change.at_ms <= at + 1500:
                standing = change.key if change.at_ms < at - 1500 else standing
        return standing in ("", key)


class Collector(Decoder):
    """Keeps the options of one hypothesis instead of searching on."""

    def _commit(self, hyp: Hyp, options: Sequence[Option], layers: list[Layer]) -> None:
        self.kept = [new for _, new in options]


@dataclass
class Case:
    """One lesson prepared for training."""

    lesson: Narrated
    lattice: Lattice
    tree: Tree
    judge: Judge
    spine: Spine


def prepare(lesson: Narrated) -> Case:
    lattice = Lattice(with_sides(heard_punctuation(tokens(lesson.words)), lesson.score))
    tree = Tree(lesson.score)
    return Case(lesson, lattice, tree, Judge(lesson, lattice), Spine(lattice, tree, mentions_of(lattice)))


def chain_of(hyp: Hyp | None) -> list[Hyp]:
    out: list[Hyp] = []
    while hyp is not None:
        if hyp.act != "pass":
            out.append(hyp)
        hyp = hyp.prev
    return out[::-1]


def reached(hyp: Hyp) -> int:
    """The token at which a hypothesis goes on."""
    if hyp.mention is None:
        return hyp.tok
    if hyp.act == "step" or (hyp.act == "ign" and hyp.mention.hear >= 0.4):
        return hyp.tok + 1
    return hyp.mention.end


def _merged(feats: Sequence[tuple[str, float]]) -> dict[str, float]:
    out: dict[str, float] = {}
    for name, value in feats:
        out[name] = out.get(name, 0.0) + value
    return out


def along(
    case: Case, chain: list[Hyp], weights: Weights, persons: dict[str, bool], first: int = 0, *, true: bool = False
) -> list[Decision]:
    """The decisions along a chain of hypotheses that begins at token ``first``.

    ``true``: only those after which the board is the true one. Where the best reachable decoding cannot follow the truth,
    it ignores moves that are told, which is nothing to learn from.
    """
    col = Collector(
        case.lattice, case.tree, weights, 20, keep_feats=True, persons=persons, window=30.0, spine=case.spine
    )
    found: list[Decision] = []
    place, k, i = chain[0], 0, first
    n = case.lattice.n
    spare: list[Layer] = [{} for _ in range(n + 20)]

    while i < n and k + 1 < len(chain):
        following = chain[k + 1]
        turned = following.mention is None and following.tok == i
        if case.lattice.context.may_turn(i):
            options = [o for o in col._turns([place], i) if o.act != "pass"]
            right = 0
            if turned:
                right = next(
                    (j + 1 for j, o in enumerate(options) if (o.act, o.node) == (following.act, following.node)), -1
                )
            if options and right >= 0 and (not true or case.judge.true(i, (following if turned else place).node)):
                found.append(Decision([{}, *(_merged(o.feats) for o in options)], right))
        if turned:
            place, k = following, k + 1
            if k + 1 >= len(chain):
                break
            following = chain[k + 1]
        readings = case.lattice.readings(i)
        if not readings:
            i += 1
            continue
        col._expand([place], readings, i, spare)
        options = col.kept
        right = next(
            (
                j
                for j, o in enumerate(options)
                if (o.act, o.node, following.tok) == (following.act, following.node, i)
                and o.mention is following.mention
            ),
            -1,
        )
        if right < 0:
            i += 1
            continue
        if not true or case.judge.true(i, following.node):
            found.append(Decision([_merged(o.feats) for o in options], right))
        place, k = following, k + 1
        i = reached(place)
    return found


def guided(case: Case, weights: Weights) -> Guided:
    """Decisions along the best reachable decoding."""
    quick = Decoder(case.lattice, case.tree, weights, 6, judge=case.judge)
    persons = learn_persons(quick, quick.run())
    best = Decoder(case.lattice, case.tree, weights, 20, keep_feats=True, judge=case.judge, persons=persons).run()
    chain = chain_of(best)
    boards: list[tuple[chess.Move, ...]] = [()] * (case.lattice.n + 1)
    for k, hyp in enumerate(chain):
        last = chain[k + 1].tok if k + 1 < len(chain) else case.lattice.n
        boards[hyp.tok : last + 1] = [hyp.node.path()] * (last + 1 - hyp.tok)
    return Guided(along(case, chain, weights, persons, true=True), said_in(case, chain, boards), persons, boards)


def said_in(case: Case, chain: list[Hyp], boards: Sequence[tuple[chess.Move, ...]]) -> list[Said]:
    """How the mentions of a lesson are meant, by a chain of hypotheses; where it passes over one, it is not played.

    Mentions at which the board of the chain is not the true one are left out."""
    played: dict[int, int] = {}
    for hyp in chain:
        if hyp.mention is None or hyp.prev is None:
            continue
        place = meant(hyp.act, hyp.node.main, hyp.prev.last_act == "b")
        for tok in range(hyp.mention.start, hyp.mention.end):
            played[tok] = played.get(tok) or place
    order = mentions_of(case.lattice)
    places = (next((played[t] for t in range(m.start, m.end) if played.get(t)), 0) for m in order)
    known = zip(order, grounds(case.lattice, case.tree, order, case.spine), places, strict=True)
    return [Said(found, place) for m, found, place in known if case.judge.true(m.start, case.tree.at(boards[m.end]))]


def strays(case: Case, guide: Guided, weights: Weights, own: Model) -> list[Decision]:
    """Decisions on the ways back from where the model ``own`` strays."""
    said = own.tenor.over(case.lattice, case.tree, case.spine) if own.tenor is not None else {}
    straying = Decoder(
        case.lattice, case.tree, own.weights, persons=guide.persons, network=own.network, tenor=said, spine=case.spine
    )
    found: list[Decision] = []
    next_start = 0
    for hyp in chain_of(straying.run()):
        at = reached(hyp)
        if at < next_start or at >= case.lattice.n or hyp.node is case.tree.at(guide.boards[at]):
            continue
        start = Hyp(
            0.0, hyp.node, hyp.front, None, "", None, at, hyp.last_end, hyp.last_act, (), 0.0, hyp.float_tok, hyp.base,
            hyp.moved,
        )  # fmt: skip
        way = Decoder(case.lattice, case.tree, weights, 12, keep_feats=True, judge=case.judge, persons=guide.persons)
        back = chain_of(way.run(start, at, min(case.lattice.n, at + 70)))
        found += along(case, back, weights, guide.persons, at)
        next_start = at + 30
    return found

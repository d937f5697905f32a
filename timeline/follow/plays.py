"""How a mention may be played from a hypothesis: on, in a sideline, in place of earlier moves, back in the game, ahead of it."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from typing import NamedTuple

import chess

from timeline.follow.effects import retreats
from timeline.follow.framing import Framing
from timeline.follow.grounds import Grounds
from timeline.follow.hypotheses import Feature, Hyp
from timeline.follow.lattice import Lattice
from timeline.follow.matching import game_fits, led, matches
from timeline.follow.mentions import Desc, Mention
from timeline.follow.movers import Movers
from timeline.follow.sense import UNSPECIFIC, exchanged, there, told
from timeline.follow.spine import Spine, level
from timeline.follow.tree import Legal, Node, Tree

Option = tuple[int, Hyp]
"""The token at which a hypothesis goes on, and the hypothesis."""
Judge = Callable[[int, Node, str, int], float]
SKIPS_AT_MOST = 1.1
"""Cost of a fit above which a mention does not carry the game over moves that were not told."""
REPLACED_AT_MOST = 14
"""So many plies back a move may be that words say another stands in place of."""
AGAIN_AT_MOST = 6
"""So many words after a move was named its man and square, named again, are no capture there by the other side's man."""
SPENT_AT_MOST = 8
"""Words between a person's cue and the mention that tells its move."""
_ASIDE = frozenset(("cont", "open", "alt", "jopen"))
_INSTEAD = _ASIDE | {"main", "ret", "retG"}
_FORWARD = frozenset(("main", "ret", "retG", "skip", "rskip", "tele"))


class Said(NamedTuple):
    """Who moves by a mention's words (``movers``), at which number, whether it was called a move, and how surely the mention
    tells the game (``spine``); what it stands in place of."""

    agent: bool | None
    person: bool | None
    number: int
    called: bool
    told: int
    instead: tuple[Desc, ...]


class Plays:
    """The plays over one lattice and one tree. ``judge``, ``spine``: see ``search.Decoder``."""

    def __init__(
        self, lattice: Lattice, tree: Tree, grounds: Grounds, movers: Movers, spine: Spine | None, judge: Judge | None
    ) -> None:
        self.lattice, self.context, self.tree, self.grounds = lattice, lattice.context, tree, grounds
        self.movers, self.spine, self.judge = movers, spine, judge
        self.named = grounds.keep or grounds.network is not None
        self.framing = Framing(lattice.toks, tree)
        self._found: list[Option] = []
        self._acts: dict[str, list[Feature]] = {}
        self._standing = ""
        self._words: dict[int, Said] = {}
        self._later: dict[tuple[int, int, int], list[tuple[int, Legal, float]]] = {}

    def of(self, hyp: Hyp, m: Mention, i: int) -> tuple[list[Option], int]:
        """Every way to play the mention at token ``i``; and 3 if it is the mainline's next move, 2 if legal now, 1 if legal
        in a position near by, else 0."""
        self._found = []
        self._acts = {}
        if self._spent(hyp, m):
            return [], 3
        if self._goes_on(hyp, m) or (m.kind in ("full", "piece", "to") and self.lattice.put_back(m)):
            return [], 0
        if self.lattice.unplayed.at(m.start) or (hyp.node.depth and self.lattice.idly(m)):
            return [], 0
        standing = there(hyp.node, m)
        self._standing = f"{standing}:{m.prep or '-'}>play" if standing else ""
        status = self._play(hyp, m, i)
        return self._found, status

    def _dynamic(self, hyp: Hyp, m: Mention, act: str) -> list[Feature]:
        """``Grounds.dynamic`` of the hypothesis and mention in hand, a list of its own."""
        found = self._acts.get(act)
        if found is None:
            found = self._acts[act] = self.grounds.dynamic(hyp, m, act)
        return found.copy()

    def _said(self, m: Mention) -> Said:
        """What the words say of a mention wherever it is played."""
        found = self._words.get(id(m))
        if found is None:
            number, called = self.movers.number(m.start)
            person = self.movers.person(m) if self.movers.persons else None
            told_level = level(self.spine.on(m.start)) if self.spine is not None else 0
            found = self._words[id(m)] = Said(
                self.movers.agent(m), person, number, called, told_level, self.lattice.unplayed.instead_of(m)
            )
        return found

    @staticmethod
    def _spent(hyp: Hyp, m: Mention) -> bool:
        """Whether the mention is what a person's cue just before it has shown already."""
        node = hyp.node
        if hyp.last_act != "f" or node.parent is None or m.start - hyp.last_end > SPENT_AT_MOST:
            return False
        if m.desc.to < 0 and not m.desc.castle:
            return False
        return led(node, m.desc)

    def _told_again(self, hyp: Hyp, m: Mention) -> bool:
        """Whether the mention names the very move that the words just before it told otherwise ("White centralises, knight e4"),
        so that it is not the capture of the man that came there."""
        node, d = hyp.node, m.desc
        if d.cap or d.to < 0 or node.parent is None or node.move is None or node.move.to_square != d.to:
            return False
        told: Hyp | None = hyp
        while told is not None and (told.act == "pass" or (told.prev is not None and told.prev.node is node)):
            told = told.prev
        if told is None:
            return False
        if told.mention is not None and told.mention.desc.to >= 0:  # "with a knight on e4. Knight to e4, …"
            said = told.mention.desc
            return d.piece != 0 and said.piece == d.piece and not said.cap and m.start - told.mention.end <= AGAIN_AT_MOST
        if any(self.lattice.toks[k].ends in (".", "?") for k in range(hyp.last_end, m.start)):
            return False
        return led(node, d)

    def _goes_on(self, hyp: Hyp, m: Mention) -> bool:
        """Whether the mention is only the end of what was just played: "takes | on e6" is one move."""
        if m.prep not in ("on", "at") or m.motion or m.desc.piece or hyp.last_act not in ("m", "s"):
            return False
        return m.start == hyp.last_end and self.lattice.toks[m.start - 1].ends not in (".", "?")

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
        replaced = self._said(m).instead
        if replaced:
            known = {base for base, _, _ in bases}
            earlier: Node | None = node
            for _ in range(REPLACED_AT_MOST):
                earlier = earlier.parent if earlier is not None else None
                if earlier is not None and earlier not in known and self._left(node, earlier, replaced):
                    bases.append((earlier, "alt", [("alt:2", 1.0)]))
        return bases

    def _play(self, hyp: Hyp, m: Mention, i: int) -> int:
        status = 0
        if m.desc.both:
            self._play_both(hyp, m, i)
            if hyp.node.depth and self._found:
                return 2
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
                self._move(hyp, m, base, legal, act, cost, max(0, rivals), named, i)
        node = hyp.node
        last = node.ply if node.main else node.shared
        self._skips(hyp, m, last, i)
        return status

    def _skips(self, hyp: Hyp, m: Mention, last: int, i: int) -> None:
        """Mainline moves further on: the talk has skipped some."""
        if m.kind in ("take", "check", "other", "piece", "pcheck", "effect"):
            reach = 2
        elif m.kind in ("cap", "castle", "to", "pawn"):
            reach = 4
        else:
            reach = 10
        main = self.tree.main
        for ply, legal, cost in self._told_later(m, last + 1, last + reach):
            if cost < SKIPS_AT_MOST:
                extra = [("skip", math.log1p(ply - last)), ("skip:n", float(ply - last))]
                self._move(hyp, m, main[ply], legal, "skip" if hyp.node.main else "rskip", cost, 0, extra, i)
        self._teleports(hyp, m, last, reach, i)
        if any(c in ("BACK", "REMEMBER") for c in self.lattice.names(m)):
            for ply in range(min(last, len(main) - 1), 0, -1):
                if main[ply] is hyp.node:
                    continue
                for _, legal, cost in self._told_later(m, ply - 1, ply - 1):
                    extra = [("jump:far", math.log1p(abs(last - ply)))]
                    self._move(hyp, m, main[ply - 1], legal, "jump", cost, 0, extra, i)

    def _told_later(self, m: Mention, first: int, last: int) -> list[tuple[int, Legal, float]]:
        """The plies from ``first`` to ``last`` before which the game goes on with what a mention means: ply, move, cost."""
        key = (id(m), first, last)
        found = self._later.get(key)
        if found is None:
            found = self._later[key] = []
            for ply in game_fits(self.tree, m.desc):
                if first <= ply <= last:
                    step = self.tree.steps[ply]
                    fitting = matches(self.tree.main[ply], m.desc)
                    found += [(ply, legal, cost) for legal, cost, _ in fitting if legal.move == step.move][:1]
        return found

    def _teleports(self, hyp: Hyp, m: Mention, last: int, reach: int, i: int) -> None:
        """A mainline move anywhere else, without a word of warning: dear, but it finds a lost thread again."""
        if m.kind not in ("full", "capsq", "san", "pawn") or m.hear > 1.6 or m.prep in ("on", "at", "from"):
            return
        main = self.tree.main
        piece = m.desc.piece or chess.PAWN
        number, _ = self.movers.number(m.start)
        for ply in self.tree.spoken.get((piece, m.desc.to), ()):
            if 0 <= ply - last <= reach or (number and main[ply].board.fullmove_number != number):
                continue
            for _, legal, cost in self._told_later(m, ply, ply):
                extra = [
                    ("tele:ahead" if ply > last else "tele:back", 1.0), ("tele:far", math.log1p(abs(ply - last))),
                ]  # fmt: skip
                self._move(hyp, m, main[ply], legal, "tele", cost, 0, extra, i)

    def _move(
        self, hyp: Hyp, m: Mention, base: Node, legal: Legal, act: str, cost: float, rivals: int,
        extra: Sequence[Feature], i: int,
    ) -> None:  # fmt: skip
        if legal.piece == chess.PAWN and act in _ASIDE and m.desc.piece == 0 and self.lattice.back(m):
            return  # pawns never go back; "back to h5, he played" may yet return to the game
        said = self._said(m)
        if said.agent not in (None, base.board.turn) and "THREAT" in self.lattice.names(m):
            return  # "White threatens d6" while Black is to play d6
        if base is hyp.node and legal.victim and self._told_again(hyp, m):
            return
        node = self.tree.child(base, legal.move)
        if node.main and self.lattice.unplayed.threat(m.start):
            return
        static, names, ground = self.grounds.static(m, act)
        feats = self._dynamic(hyp, m, act)
        feats.extend(extra)
        if self.spine is not None:
            told_level = level(self.spine.at(m.start, node.ply)) if node.main else said.told
            feats.append((f"told:{told_level}>{act}", 1.0))
        if cost:
            feats.append(("fit_main" if act in ("main", "ret") else "fit", cost))
        if rivals:
            feats.append((f"amb>{'open' if act == 'open' else 'side'}", math.log1p(rivals)))
        if self.tree.kept and (base.key, legal.move) in self.tree.kept:
            feats.append(("kept", 1.0))
        if said.agent is not None:
            feats.append(("agent:ok" if said.agent == base.board.turn else "agent:bad", 1.0))
        elif said.person is not None:
            feats.append(("person:ok" if said.person == base.board.turn else "person:bad", 1.0))
        if said.number:
            right = said.number == base.board.fullmove_number
            feats.append((f"num:{'ok' if right else 'bad'}{':move' if said.called else ''}", 1.0))
        if said.instead and act in _INSTEAD:
            if self._left(hyp.node, base, said.instead):
                feats.append(("instead:ok", 1.0))
            elif any(d.to >= 0 or d.castle or self._told_in(hyp.node, d) for d in said.instead):
                feats.append(("instead:bad", 1.0))
        feats.extend(self.framing.grounds(hyp, m, base, legal, act))
        if self._standing:
            feats.append((self._standing, 1.0))
        if m.tail in ("back", "home") or (m.desc.to >= 0 and rivals and self.lattice.back(m)):
            retreat = retreats(base, legal)
            feats.append(("fit", 1.5 if retreat is None else retreat))
        if m.kind in UNSPECIFIC or rivals:
            feats.extend(told(base, legal, check=not m.desc.chk and self.context.check_follows(m.end)))
        if hyp.node.depth and base is not hyp.node and not hyp.node.legal:
            feats.append(("over>ret", 1.0))
        score = hyp.score + static + self.grounds.score(feats)
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
        self._found.append((m.end, new))

    @staticmethod
    def _told_in(node: Node, d: Desc) -> bool:
        """Whether the line that leads to ``node`` holds a move that a description means."""
        place: Node | None = node
        while place is not None and place.depth:
            if led(place, d):
                return True
            place = place.parent
        return False

    def _left(self, node: Node, base: Node, descs: Sequence[Desc]) -> bool:
        """Whether ``descs`` mean the move that was played in ``base`` on the way to ``node``, or is the game's next one there."""
        left: Node | None = node
        since: list[Node] = []
        while left is not None and left.parent is not base:
            since.append(left)
            left = left.parent
        move = left.move if left is not None else self.tree.next_main(base)
        meant = [d for d in descs if d != Desc(piece=d.piece) or (left is not None and not any(led(n, d) for n in since))]
        return any(legal.move == move and cost < 1.2 for d in meant for legal, cost, _ in matches(base, d))

    def _play_both(self, hyp: Hyp, m: Mention, i: int) -> None:
        """ "Both sides castle": the mainline's next two castlings, whatever stands between them; in a sideline at once."""
        main = self.tree.main
        if hyp.node.depth:
            self._both_aside(hyp, m, i)
        base = hyp.node.ply if hyp.node.main else hyp.node.shared
        seen = 0
        for ply in range(base, min(len(main) - 1, base + 8)):
            move = main[ply + 1].move
            if move is not None and main[ply].board.is_castling(move):
                seen += 1
                if seen == 2:
                    static, names, ground = self.grounds.static(m, "main")
                    feats = [*self.grounds.dynamic(hyp, m, "main"), ("both", 1.0), ("skip:n", float(ply - base - 1))]
                    score = hyp.score + static + self.grounds.score(feats)
                    drift = hyp.drift
                    if self.judge:
                        extra = self.judge(max(self.context.lead(m.start), hyp.last_end), main[ply + 1], "main", m.end)
                        score += extra
                        drift += extra
                    named = (*names, *feats) if self.named else ()
                    node, front = main[ply + 1], max(hyp.front, ply + 1)
                    new = Hyp(
                        score, node, front, hyp, "main", m, i, m.end, "m", named, drift, ground=ground
                    )  # fmt: skip
                    self._found.append((m.end, new))
                    return

    def _both_aside(self, hyp: Hyp, m: Mention, i: int) -> None:
        one = next((legal for legal, _, _ in matches(hyp.node, m.desc)), None)
        if one is None:
            return
        between = self.tree.child(hyp.node, one.move)
        other = next((legal for legal, _, _ in matches(between, m.desc)), None)
        if other is not None:
            self._move(hyp, m, between, other, "cont", 0.0, 0, [("both", 1.0)], i)

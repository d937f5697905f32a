"""Positions shown again: "one last look at the rook on h7", "and this is how it ended".

When the game is told, and at times before, a teacher goes back to single
positions, named by what stands there or by what was just played. A small
log-linear choice at every clause, among staying and the mainline positions
that its words can mean, is learned from lessons with known cue times
(tests/benchmarks/train_recap.py); its log-odds against staying are what the
search adds for going there. It knows words, mainline and ``spine``; nothing of
what stands on the board.
"""

from __future__ import annotations

import json
import math
import re
from bisect import bisect_left
from collections.abc import Callable, Iterator, Sequence
from functools import lru_cache
from pathlib import Path

import chess

from timeline.follow.context import Context
from timeline.follow.matching import game_fits
from timeline.follow.mentions import Mention
from timeline.follow.numbers import mover_named, place_number
from timeline.follow.spine import Spine
from timeline.follow.tree import Tree
from timeline.follow.vocabulary import PIECE_WORDS

REACH = 22
"""Words of a clause and of those that follow in its sentence that are read for the position meant."""
LEAST = -1.5
"""Log-odds under which a position is no option of the search."""
_TIED = 6
"""So many words before a mention, with its own, are read for the one that rules it."""
_SOON = 14
"""Within so many words of what is read for the position, the next move named is looked at."""
_HEARD = 0.4
_DWELT = (8, 25, 60)
"""Words for which a position stood: it is shown again the likelier."""
_TOLD = 0.5
_WORDS = {
    "HERE": "here this that's there these it's",
    "PICTURE": "position positions picture diagram moment point spot place board mess crossroad crossroads",
    "SEE": "look looks see remember keep take think imagine put set frame show",
    "LAST": "last final finally end ended ends over finished finish stopped resigned resigns closing",
    "FIRST": "start started starting began begin beginning beginnings first initial opening top diagram",
    "AGAIN": "again once back return returning returns rewind jump jumping go going step forward",
    "WHEN": "when where before after until",
    "JUST": "just had already still",
    "ONE": "one two three second third",
    "EARLIER": "earlier sooner ago later previous",
    "SUM": "recap summary summarise summarize revise lesson lessons learn learned takeaways conclusion remember homework sum",
    "FAREWELL": "thank thanks bye goodbye night evening cheers week tomorrow luck welcome",
    "IF": "if suppose instead would could should might say",
    "ASK": "what why how which who",
    "SO": "so and but well okay right now anyway",
}  # fmt: skip
_CLASS = {word: name for name, words in _WORDS.items() for word in words.split()}
_END = re.compile(
    r"(?:final|end|last|closing) (?:position|picture|board)|at the (?:very )?end\b|(?:where|how|here) (?:it|the game|we) (?:all )?"
    r"(?:ended|ends|stopped|finished)|(?:it|the game) ended (?:here|there)|(?:this|that|here)(?:'s| is| was) (?:our|the|my|his|her|that) mate (?:again|once more)|that's the end|the end of (?:it|the game)"
)
_START = re.compile(
    r"(?:starting|initial|opening|first|very first) (?:position|picture|board|diagram)|start position"
    r"|(?:back to|return to|returning to|from|at) the (?:very )?(?:start|beginning|top)\b|(?:where|how|here) (?:it|we|everything|he|she) (?:all )?(?:began|started|start)"
    r"|this was the start|back to the diagram"
)

_WHERE = re.compile(r"\b(?:this|that|here|there|it|which|and so)(?:'s| is| was)?(?: (?:just|exactly|how|once more|again))? (?:where|how|he ended up|she ended up|we ended up|it looked)\b")
"""Words that show a position by what happened there ("and this is where he went home")."""


@lru_cache(maxsize=1)
def learned() -> dict[str, float]:
    """The learned weights: log-odds in natural units."""
    raw = json.loads(Path(__file__).with_name("recap.json").read_text(encoding="utf-8"))
    return {str(name): float(value) for name, value in raw["weights"].items()}


class Recap:
    """What the clauses of one talk say of mainline positions; ``order``: its mentions (``tenor.mentions_of``). ``end``: the
    first token after the last move that the talk tells of the game."""

    def __init__(self, context: Context, tree: Tree, spine: Spine, order: Sequence[Mention]) -> None:
        self.context, self.toks, self.tree, self.order = context, context.toks, tree, order
        self._starts = [m.start for m in order]
        self._told, self.end = _told(spine, order, len(tree.main) - 1)
        self._dwelt = _dwelt(order, self._told, self.end)

    def clauses(self) -> Iterator[int]:
        """Tokens at which a clause begins."""
        for i, tok in enumerate(self.toks):
            if i and (tok.starts or self.toks[i - 1].ends):
                yield i

    def grounds(self, i: int) -> dict[int, list[str]]:
        """What speaks for each position that the clause at token ``i`` can mean, by ply; -1: for staying. Empty where its
        words can mean none."""
        end = self._window(i)
        words = [tok.text for tok in self.toks[i:end]]
        text = " ".join(words)
        tail = "t" if i >= self.end else "m"
        last = len(self.tree.main) - 1
        k = bisect_left(self._starts, i)
        front = self._told[k - 1] if k else 0
        found: dict[int, list[str]] = {}

        def add(ply: int, *names: str) -> None:
            if 0 <= ply <= last:
                found.setdefault(ply, []).extend(names)

        if _START.search(text):
            add(0, "start")
        if _END.search(text):
            add(last, "end")
        for j in range(i, end):
            number, used = place_number(self.toks, j)
            if number and used:
                for name, ply in self.tree.numbered(number, mover_named(self.toks, j)):
                    add(ply, f"number {name}")
                break
        named = [m for m in self.order[k : k + 6] if m.start < end]
        following = next((m for m in self.order[k + len(named) : k + len(named) + 4] if m.desc.to >= 0 and m.hear < _HEARD), None)
        if following is not None and following.start >= end + _SOON:
            following = None
        for n, m in enumerate(named):
            self._of_mention(n, m, add)
        if tail == "t":
            add(last, "end unsaid")
        if not found:
            return {}
        about = self._about(i, end, words, tail)
        for ply, names in found.items():
            names += self._where(ply, front, last, named)
            if following is not None:
                names.append(self._goes_on(ply, following))
            whole = list(dict.fromkeys(names))
            found[ply] = [*whole, *(f"{tail}:{name}" for name in whole), *self._crossed(whole, about)]
        found[-1] = ["stay", f"{tail}:stay", *(f"stay&{name}" for name in about), f"stay:{min(3, len(found))}"]
        return found

    def _window(self, i: int) -> int:
        end = i
        while end < len(self.toks) and end - i < REACH:
            end += 1
            if self.toks[end - 1].ends in (".", "?") and end - i > 2:
                break
        return end

    def _of_mention(self, n: int, m: Mention, add: Callable[..., None]) -> None:
        """Positions just after and before the mainline moves that a mention can name."""
        tie = self._tie(m.start)
        if m.desc.to >= 0:
            piece = m.desc.piece or (chess.PAWN if m.kind in ("pawn", "san", "promo") else 0)
            kinds = (piece,) if piece else chess.PIECE_TYPES
            plies = sorted(ply for kind in kinds for ply in self.tree.spoken.get((kind, m.desc.to), ()))
        elif tie and m.desc.cap and m.desc.victim:  # "back to before he took the bishop"
            plies = sorted(game_fits(self.tree, m.desc))
        else:
            return
        before = self.toks[m.start - 1].text if m.start else ""
        link = (
            before if before in ("before", "after", "when", "with", "on", "to", "the", "and", "here", "this") else "-"
        )
        for at, ply in enumerate(plies):
            many = "only" if len(plies) == 1 else "last" if at == len(plies) - 1 else "more"
            kind = f"{m.kind}:{m.prep or '-'}"
            told = self._told_of(m, ply, at)
            if tie != "before":
                add(ply + 1, *(f"after {name}" for name in told), "after", f"after {min(n, 2)}", f"after {many}", f"after {kind}", f"after {link}")
            if tie != "after":
                add(ply, *(f"before {name}" for name in told), "before", f"before {min(n, 2)}", f"before {many}", f"before {kind}", f"before {link}")

    def _told_of(self, m: Mention, ply: int, at: int) -> list[str]:
        """How the words of a mention fit the game's move after ``ply`` plies: as a capture, as that side's, as the first of
        its kind ("where the rook first stood on c5"), as that man's, as one just made."""
        node, move = self.tree.main[ply], self.tree.main[ply + 1].move
        assert move is not None
        found = [f"takes {int(node.board.is_capture(move))} said {int(m.desc.cap)}"]
        words = [tok.text for tok in self.toks[max(0, m.start - _TIED) : m.end]]
        sides = {word.removesuffix("'s") for word in words} & {"white", "black"}
        if len(sides) == 1:
            found.append(f"side {int((sides == {'white'}) == node.board.turn)}")
        men = {piece for piece, cost in (PIECE_WORDS.get(word, (0, 1.0)) for word in words) if cost < _HEARD}
        if len(men) == 1:
            found.append(f"man {int(men == {node.board.piece_type_at(move.from_square)})}")
        if "first" in words:
            found.append(f"first {min(at, 1)}")
        if "just" in words:
            found.append("just")
        return found

    def _goes_on(self, ply: int, following: Mention) -> str:
        """Whether the move named next can be played from a position, as the game's own or another."""
        node, said = self.tree.main[ply], following.desc
        fitting = [m.move for m in node.moves(chess.BB_ALL, chess.BB_SQUARES[said.to]) if said.piece in (0, m.piece)]
        if ply + 1 < len(self.tree.main) and self.tree.main[ply + 1].move in fitting:
            return "then:game"
        return "then:legal" if fitting else "then:not"

    def _tie(self, start: int) -> str:
        """ "before" or "after" where that word rules a mention at token ``start`` ("before he played his bishop to g3")."""
        for k in range(start - 1, max(-1, start - _TIED), -1):
            if self.toks[k].ends or self.context.chessy[k]:
                break
            if self.toks[k].text in ("before", "after"):
                return self.toks[k].text
        return ""

    def _where(self, ply: int, front: int, last: int, named: Sequence[Mention]) -> list[str]:
        """How the position stands to what was told so far, and to all that is said to stand there."""
        off = ply - front
        far = "on" if 0 <= off <= 1 else "ahead" if off > 1 else "near" if off > -4 else "back"
        words = self._dwelt.get(ply, 0)
        found = [f"far:{far}", f"end:{ply == last}", f"dwelt:{sum(words >= some for some in _DWELT)}"]
        board = self.tree.main[ply].board
        placed = [m for m in named if m.desc.to >= 0 and m.desc.piece]
        if placed:
            right = sum(board.piece_type_at(m.desc.to) == m.desc.piece for m in placed)
            found.append(f"stands:{min(right, 3)}/{min(len(placed), 3)}")
        return found

    def _about(self, i: int, end: int, words: Sequence[str], tail: str) -> list[str]:
        """What the clause is about, and how it stands in the talk."""
        classes = dict.fromkeys(_CLASS[w] for w in words if w in _CLASS)
        first = list(dict.fromkeys(_CLASS[w] for w in words[:4] if w in _CLASS))
        found = [f"{tail}:{name}" for name in classes] + [f"{tail}:0:{name}" for name in first]
        found += [
            f"w:{tail}:{name}" for name in dict.fromkeys(c for k in range(i, end) for c in self.context.classes[k])
        ]
        if _WHERE.search(" ".join(words)):
            found.append(f"{tail}:this is where")
        tok, before = self.toks[i], self.toks[i - 1]
        found.append(f"{tail}:after {before.ends or '_'}")
        if tok.gap_ms > 700:
            found.append(f"{tail}:gap")
        left = len(self.toks) - i
        found.append(f"{tail}:left {0 if left < 12 else 1 if left < 30 else 2 if left < 60 else 3}")
        found.append(f"{tail}:long {0 if len(words) < 4 else 1 if len(words) < 9 else 2}")
        return found

    @staticmethod
    def _crossed(names: Sequence[str], about: Sequence[str]) -> list[str]:
        kinds = [n for n in names if n in ("start", "end", "end unsaid", "after", "before")]
        kinds += ["number"] * any(n.startswith("number") for n in names)
        return [f"{kind}&{name}" for kind in kinds for name in about]

    def all_odds(self) -> dict[int, dict[int, float]]:
        """``odds`` of every clause that goes anywhere, by its first token."""
        found = ((i, self.odds(i)) for i in self.clauses())
        return {i: odds for i, odds in found if odds}

    def odds(self, i: int) -> dict[int, float]:
        """Log-odds (natural units) of each position that the clause at token ``i`` can mean, against staying."""
        found = self.grounds(i)
        if not found:
            return {}
        weights = learned()
        scores = {ply: sum(weights.get(name, 0.0) for name in names) for ply, names in found.items()}
        stay = scores.pop(-1)
        return {ply: score - stay for ply, score in scores.items() if score - stay > LEAST}


def _dwelt(order: Sequence[Mention], told: Sequence[int], end: int) -> dict[int, int]:
    """How many words long the game stood at each ply it was told to."""
    starts = {ply: m.start for m, ply in zip(reversed(order), reversed(told), strict=True)}
    plies = sorted(starts)
    ends = [starts[ply] for ply in plies[1:]] + [end]
    return {ply: max(0, after - starts[ply]) for ply, after in zip(plies, ends, strict=False)}


def _told(spine: Spine, order: Sequence[Mention], last: int) -> tuple[list[int], int]:
    """For each mention the ply that the game has been told to with it; and the first token after the game's last move told."""
    front, fronts, end = 0, [], math.inf
    for m in order:
        share, ply = spine.best(m.start, max(1, front - 1), last)
        if share > _TOLD and ply >= front:
            front = ply
            end = m.end
        fronts.append(front)
    return fronts, int(end) if end != math.inf else 0

"""Where the board changes in the words: the steps of a decoding as changes, with the tokens that announce them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

import chess

from timeline.follow.asks import bid_ends
from timeline.follow.hypotheses import Step
from timeline.follow.joining import MIDDLE, been
from timeline.follow.lattice import Lattice
from timeline.follow.leadin import lead_in
from timeline.follow.matching import led
from timeline.follow.mentions import Mention
from timeline.follow.tree import Node
from timeline.follow.vocabulary import MOTION, PIECE_WORDS, TAKE_WORDS, VAGUE

UNTOLD_AT_MOST = 2
"""So many mainline moves that no words name are shown between two that are named. Where the decoding passes over one move and
is right on both sides of it, a person shows it there in 77 of 87 places (63 of 65 with a clause between), over two in 8 of 9."""
TURNS_MS = 1500
"""So long before a move is named, the words that lead to it may first turn away from a line: the board goes back with them, and
the move comes at its own words ("in the actual game this was c3"). Where lessons do either, persons show both in 52 places of 90."""
SAID_APART_MS = {".": 300, "?": 300, ",": 900}
"""The same for the game's move where those words end with a mark ("but no. Queen f3"). In 177 lessons persons then show both in 45
of 56 places where the words end with a sentence, in 42 of 66 where with a comma."""
LINGERS_MS = 8_000
"""So long a line from the game's final position stands without a further move; then the board goes back where a sentence begins
("he could give the queen up, I suppose. Anyway, he stopped the clock there"). In what follows in 30 such places of 210 lessons, the
final position is the right one for 120 s, the line for 21 s; lines within the game are often stayed with."""
_JOINED = 1  # small words before a move that belong to it, not to what leads there
_ANNOUNCE = frozenset(("facing", "double", "same"))
"""Effects whose words announce the move named next. With all of them ("White pushes past, e5") cues move away from the truth as
often as towards it."""
_PERSONS = frozenset("he she i we they white black you it who".split())


@dataclass
class Change:
    """The board changes at a token; ``first``/``last`` are the tokens that announce it. ``unnamed``: no decoding says so,
    the changes on both sides of it do; ``own``: a person's cue."""

    tok: int
    first: int
    last: int
    node: Node
    mention: Mention | None
    unnamed: bool = False
    own: bool = False


def board_changes(lattice: Lattice, taken: Sequence[Step]) -> list[Change]:
    """Board changes in order of tokens; changes with no word between them become one."""
    toks, context = lattice.toks, lattice.context
    raw: list[Change] = []
    asked = bid_ends(toks)
    shown = pinned = -1  # a person's cue, and the end of what tells it: what follows begins after it
    for k, step in enumerate(taken):
        if step.act == "fix":
            told = taken[k + 1].last_end if k + 1 < len(taken) else 0  # the words that tell its move have ended
            shown, pinned = step.tok, max(step.tok, told - 1)
            if step.node is not step.before:
                raw.append(Change(step.tok, step.tok, pinned, step.node, None, own=True))
            continue
        if step.node is step.before:
            continue
        if step.act in ("jfrom", "jopen") and step.float_tok >= 0 and step.base is not None:
            tok = min(max(step.float_tok, pinned + 1), len(toks) - 1)
            raw.append(Change(tok, tok, tok, step.base, None))
        m = step.mention
        if m is None:
            raw.append(Change(step.tok, step.tok, min(len(toks) - 1, step.tok + 2), step.node, None))
        else:
            begins = max((end + 1 for end in asked if end < m.start), default=0)  # "your move, take a minute" announces none
            first = max(lead_in(context, step), begins, min(pinned + 1, len(toks) - 1))
            if shown >= 0 and step.last_end <= shown:  # no words tell the move of the person's cue
                first = max(first, _after_clause(lattice, shown, m.start))
            announced = _announced(lattice, taken[k - 1], step) if k else -1
            for begun in (announced, lattice.unplayed.replaced_before(m)):
                if begun > max(raw[-1].last if raw else -1, pinned):
                    first = min(first, begun)
            told = max(first, context.lead(m.start, _JOINED))
            base = step.node.parent
            back = base is not None and base is not step.before and (step.node.main or not step.before.main)
            apart = SAID_APART_MS.get(toks[told - 1].ends, TURNS_MS) if told and step.node.main else TURNS_MS
            if base is not None and back and first < told and toks[told].onset_ms - toks[first].onset_ms >= apart:
                raw.append(Change(first, first, told - 1, base, None, unnamed=True))
                first = told
            raw.append(Change(first, first, max(first, m.end - 1), step.node, m))
    merged: list[Change] = []
    for change in raw:
        if merged and change.tok <= merged[-1].tok and not merged[-1].own:
            old = merged[-1]
            merged[-1] = Change(old.tok, old.first, change.last, change.node, change.mention)
        else:
            merged.append(change)
    return list(_ended(lattice, list(_with_unnamed(lattice, _in_the_middle(lattice, merged)))))


def _announced(lattice: Lattice, before: Step, step: Step) -> int:
    """Where words begin that tell by what it does the move that is named next ("White takes the opposition, king e4"); -1: none
    do."""
    told, m = before.mention, step.mention
    if before.act != "ign" or told is None or m is None or told.desc.effect not in _ANNOUNCE:
        return -1
    if not 0 <= m.start - told.end <= _JOINED or any(tok.ends in (".", "?") for tok in lattice.toks[told.end - 1 : m.start]):
        return -1
    if told.desc.effect != "same" and not led(step.node, told.desc):
        return -1
    return lead_in(lattice.context, replace(step, mention=told, last_end=before.last_end, last_act=before.last_act))


def _after_clause(lattice: Lattice, k: int, most: int) -> int:
    """The first token after the clause in which token ``k`` stands, ``most`` at most: a clause at which a person shows a
    position does not announce the next."""
    return next((i + 1 for i in range(k, most) if lattice.toks[i].ends), most)


def _in_the_middle(lattice: Lattice, changes: list[Change]) -> list[Change]:
    """A talk whose first move is far into the game begins at the position before it, not at the game's; after it, where it
    "has just" been played."""
    if not changes or changes[0].own:
        return changes
    first = changes[0]
    if first.tok == 0:
        second = changes[1] if first.mention is None and len(changes) > 1 else None
        if second is None or second.mention is None or second.node.parent is not first.node:
            return changes
        return [Change(0, 0, 0, second.node, None, unnamed=True), *changes[2:]] if been(lattice.toks, second.mention) else changes
    node = first.node if first.mention is None or been(lattice.toks, first.mention) else first.node.parent
    if node is None or not first.node.main or node.ply < MIDDLE:
        return changes
    begun = Change(0, 0, 0, node, None, unnamed=True)
    return [begun, *(changes if node is not first.node else changes[1:])]


def placed(changes: Sequence[Change]) -> list[tuple[int, int, Node]]:
    """For each change: its token, a token at which its board stands (just after its words), and the board."""
    found = []
    for k, change in enumerate(changes):
        tok = change.mention.start if change.mention else change.tok
        following = changes[k + 1].tok if k + 1 < len(changes) else change.last + 2
        found.append((tok, max(tok, min(change.last + 1, following - 1)), change.node))
    return found


def _with_unnamed(lattice: Lattice, changes: Sequence[Change]) -> Iterator[Change]:
    """The changes, and between two in the game the moves passed over, where clauses between them may tell of them."""
    for k, change in enumerate(changes):
        yield change
        after = changes[k + 1] if k + 1 < len(changes) else None
        if after is None or not (after.mention is not None or after.own) or not (change.node.main and after.node.main):
            continue
        passed: list[Node] = []
        node = after.node.parent
        while node is not None and node is not change.node and len(passed) <= UNTOLD_AT_MOST:
            passed.append(node)
            node = node.parent
        if node is not change.node or not 0 < len(passed) <= UNTOLD_AT_MOST:
            continue
        clauses = _clauses(lattice, change.last + 1, after.tok)
        for left, missing in zip(range(len(passed) - 1, -1, -1), reversed(passed), strict=True):
            free = clauses[: len(clauses) - left]
            if not free:
                break
            first, last = max(free, key=lambda clause: (_tells(lattice, missing, clause), -clause[0]))
            clauses = [clause for clause in clauses if clause[0] > first]
            yield Change(first, first, last, missing, None, unnamed=True)


def _ended(lattice: Lattice, changes: Sequence[Change]) -> Iterator[Change]:
    """The changes, and those back to the game's final position from lines after its end that no words leave."""
    toks = lattice.toks
    for k, change in enumerate(changes):
        yield change
        final = _left_the_end(change.node)
        following = changes[k + 1] if k + 1 < len(changes) else None
        if final is None or change.own or (following is not None and (following.own or following.node.parent is change.node)):
            continue
        lingered = toks[change.tok].onset_ms + LINGERS_MS
        for i in range(change.last + 1, following.tok if following is not None else len(toks)):
            if toks[i].onset_ms >= lingered and (toks[i].starts or toks[i - 1].ends in (".", "?")):
                yield Change(i, i, i, final, None, unnamed=True)
                break


def _left_the_end(node: Node) -> Node | None:
    """The game's final position, where ``node`` is in a line that begins there."""
    place = node
    while not place.main and place.parent is not None:
        place = place.parent
    return None if node.main or any(child.main for child in place.children.values()) else place


def _clauses(lattice: Lattice, first: int, end: int) -> list[tuple[int, int]]:
    """First and last tokens of the clauses from token ``first`` to ``end`` (exclusive), of two words at least."""
    found: list[tuple[int, int]] = []
    start = first
    for k in range(first, end):
        if lattice.toks[k].ends or k == end - 1:
            if k > start:
                found.append((start, k))
            start = k + 1
    return found


def _tells(lattice: Lattice, node: Node, clause: tuple[int, int]) -> float:
    """How much the words of a clause speak for the move that leads to ``node``."""
    assert node.parent is not None
    assert node.move is not None
    board, words = node.parent.board, [tok.text for tok in lattice.toks[clause[0] : clause[1] + 1]]
    mover = board.piece_type_at(node.move.from_square)
    told = 2.0 if any(PIECE_WORDS.get(word, (0, 0.0))[0] == mover for word in words) else 0.0
    told += 1.0 if any(w in VAGUE or w in MOTION or TAKE_WORDS.get(w, 1.0) < 0.5 for w in words) else 0.0
    told += 0.5 if words[0] in _PERSONS or words[0] in ("and", "so", "then") else 0.0
    side = "white" if board.turn == chess.WHITE else "black"
    return told + (1.0 if side in words else 0.0)

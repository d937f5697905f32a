"""The follower's entry: words and score in; cues, readings, marks and asks out."""

from __future__ import annotations

from collections.abc import Callable, Collection, Sequence

import chess

from timeline.follow.asks import find_asks
from timeline.follow.changes import Change, board_changes, placed
from timeline.follow.collector import collector_paused
from timeline.follow.hypotheses import Hyp, Step, steps
from timeline.follow.joining import joined
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.matching import led, matches
from timeline.follow.mentions import Mention
from timeline.follow.pauses import heard_punctuation
from timeline.follow.persons import learn_persons, speaks_of_persons
from timeline.follow.players import with_sides
from timeline.follow.pointing import find_marks
from timeline.follow.posterior import Evidence, Share, evidence, shares, sure
from timeline.follow.recap import Recap
from timeline.follow.result import FixedPoint, Follow, FollowedCue, Reading
from timeline.follow.search import Decoder
from timeline.follow.spine import Spine
from timeline.follow.tenor import mentions_of
from timeline.follow.tree import Node, Tree
from timeline.follow.weights import Model, shipped
from timeline.score import Score
from timeline.tracks import MarkSpan
from timeline.transcript.words import Word

QUICK_BEAM = 2
QUICK_TOKENS = 2400
"""Words from which it is learned whose moves "I" and "he" tell of: some seventeen minutes."""


def follow_words(
    words: Sequence[Word],
    score: Score,
    *,
    lead_ms: int = 0,
    hold_ms: int = 300,
    marks: bool = True,
    fixed: Sequence[FixedPoint] = (),
    model: Model | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> Follow:
    """Decides which position each moment of the talk is about.

    ``words`` in order of time; ``lead_ms`` moves every cue earlier, ``hold_ms``
    is the least time a position stays. ``fixed`` points (a person's cues)
    stand as given, and the decoding agrees with them. Deterministic: the
    same input gives the same cues. Never raises for odd words; without any
    recognised move there are no cues.
    """
    with collector_paused():
        return _follow(words, score, lead_ms, hold_ms, marks, fixed, model, progress)


def _follow(
    words: Sequence[Word],
    score: Score,
    lead_ms: int,
    hold_ms: int,
    marks: bool,
    fixed: Sequence[FixedPoint],
    model: Model | None,
    progress: Callable[[int, int], None] | None,
) -> Follow:
    decoded = decode(words, score, fixed=fixed, model=model, progress=progress)
    if decoded is None:
        return Follow(())
    decoder, final = decoded
    toks, lattice, tree = decoder.toks, decoder.lattice, decoder.tree
    taken = steps(final)
    changes = board_changes(lattice, taken)
    own = {(max(0, toks[c.tok].onset_ms - lead_ms), c.node.uci) for c in changes if c.own}
    cues = worth_showing([cue for cue, _ in followed_cues(decoder, changes, score, lead_ms, hold_ms)], own)
    end_ms = toks[-1].end_ms
    asks = find_asks(toks, cues, end_ms)
    found: tuple[MarkSpan, ...] = ()
    if marks:
        boards, until, quiet = _standing(lattice, changes, tree.root)
        found = find_marks(lattice, boards, quiet, until)
    readings = tuple(_readings(lattice, taken, score))
    tree.release()
    return Follow(tuple(cues), readings, found, asks)


def decode(
    words: Sequence[Word],
    score: Score,
    *,
    fixed: Sequence[FixedPoint] = (),
    model: Model | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> tuple[Decoder, Hyp] | None:
    """The search itself, run; None where nothing is said."""
    toks = with_sides(heard_punctuation(tokens(words)), score)
    if not toks:
        return None
    lattice = Lattice(toks)
    tree = Tree(score)
    pins: dict[int, Node] = {}
    for point in fixed:
        at = next((i for i, tok in enumerate(toks) if tok.onset_ms >= point.at_ms - 40), None)
        if at is not None:
            pins[at] = tree.at(tuple(chess.Move.from_uci(u) for u in point.path))
    weights, network, tenor = shipped() if model is None else model
    order = mentions_of(lattice)
    spine = Spine(lattice, tree, order)
    again = Recap(lattice.context, tree, spine, order).all_odds()
    said = tenor.over(lattice, tree, spine) if tenor is not None else {}
    begins = joined(toks, tree, spine, order)
    persons: dict[str, bool] = {}
    quick: Decoder | None = None
    if speaks_of_persons(toks):  # a quick decoding first, to learn whose moves "I" and "he" tell of
        quick = Decoder(lattice, tree, weights, QUICK_BEAM, network=network, tenor=said, fixed=pins, spine=spine, begins=begins)
        persons = learn_persons(quick, quick.run(last=QUICK_TOKENS))
    decoder = Decoder(
        lattice, tree, weights, network=network, tenor=said, fixed=pins, progress=progress, persons=persons,
        spine=spine, again=again, begins=begins, earlier=quick,
    )  # fmt: skip
    return decoder, decoder.run()


def shares_of(decoder: Decoder, changes: Sequence[Change]) -> list[Share]:
    """What the decodings say of each change; of an unnamed one, what they say of the next that is named, or of the last."""
    known = iter(shares(decoder, placed([c for c in changes if not c.unnamed])))
    found: list[Share] = []
    waiting = 0
    for change in changes:
        if change.unnamed:
            waiting += 1
            continue
        share = next(known)
        found += [share] * (waiting + 1)
        waiting = 0
    return found + found[-1:] * waiting


def followed_cues(
    decoder: Decoder, changes: Sequence[Change], score: Score, lead_ms: int, hold_ms: int
) -> list[tuple[FollowedCue, Evidence]]:
    """The board changes as cues, each with what speaks for it."""
    toks = decoder.toks
    known = shares_of(decoder, changes)
    proof = evidence(known, [(c.mention, c.node) for c in changes])
    cues: list[tuple[FollowedCue, Evidence]] = []
    own_ms = -hold_ms  # the last cue of a person's: it stays, what follows waits
    for change, share, facts in zip(changes, known, proof, strict=True):
        at_ms = max(0, toks[change.tok].onset_ms - lead_ms)
        earlier_ms = own_ms
        if change.own:
            own_ms = at_ms
        elif at_ms < own_ms + hold_ms:
            at_ms = own_ms + hold_ms
        cue = FollowedCue(
            at_ms,
            change.node.uci,
            score.address(change.node.path()),
            toks[change.first].word,
            toks[change.last].word,
            sure(facts),
            round(share.margin, 3),
            score.address(share.rival.path()) if share.rival is not None and share.rival_share > 0.02 else None,
        )
        if cues and cue.at_ms - cues[-1][0].at_ms < hold_ms and not (change.own and cues[-1][0].at_ms == earlier_ms):
            old, _ = cues.pop()  # a position that would flash by: the later one takes its place
            at_ms = at_ms if change.own else old.at_ms
            cue = FollowedCue(
                at_ms, cue.path, cue.address, old.first, cue.last, cue.sure, cue.margin, cue.runner_up
            )  # fmt: skip
        if cues and cues[-1][0].path == cue.path:
            continue
        if not cues and not cue.path:
            continue
        cues.append((cue, facts))
    return cues


LEAST_SURE = 0.4
"""Sidelines less sure are not shown. F1 is largest where a change is shown from half the F1 reached (Lipton, Elkan, Naryanaswamy
2014, "Optimal thresholding of classifiers to maximize F1 measure", cited from memory). 44 lessons that no model knows: F1 .827, .829,
.830, .831, .831 with .3, .35, .4, .45, .5, right board .837, .837, .836, .836, .834."""

GOES_ON = 0.36
"""The same of a line's next move where the one before it is shown: mostly both are right or none is. In 80 lessons 20 sides
more of 3,768 are found so and 23 false changes; with .3 27 and 62."""

LEADS = 0.6
"""So sure a position must be to show those on the way to it."""


def on_the_way(paths: Sequence[tuple[object, ...]], chances: Sequence[float]) -> list[float]:
    """How sure the positions are, each at least as much as the next one where it leads there and that is sure."""
    led = list(chances)
    for k in range(len(led) - 2, -1, -1):
        if paths[k + 1][: len(paths[k])] == paths[k] and led[k + 1] >= LEADS:
            led[k] = max(led[k], led[k + 1])
    return led


def worth_showing(cues: Sequence[FollowedCue], own: Collection[tuple[int, tuple[str, ...]]] = ()) -> list[FollowedCue]:
    """The cues without doubtful sidelines; a return to what then stands anyway goes with them. A person's stay: ``own`` has
    their times and paths. A position on the way to one that is sure enough is itself."""
    kept: list[FollowedCue] = []
    standing: tuple[str, ...] = ()
    led = on_the_way([cue.path for cue in cues], [cue.sure for cue in cues])
    for cue, likely in zip(cues, led, strict=True):
        goes_on = bool(standing) and cue.path[:-1] == standing
        least = GOES_ON if goes_on else LEAST_SURE
        if " " in cue.address and likely < least and (cue.at_ms, cue.path) not in own:
            continue
        if cue.path != standing:
            kept.append(cue)
            standing = cue.path
    return kept


def _standing(
    lattice: Lattice, changes: Sequence[Change], root: Node
) -> tuple[list[Node], list[int], list[tuple[int, int]]]:
    """For each token: the board, the time of the next change; and the token ranges that announce no move."""
    toks, n = lattice.toks, lattice.n
    boards: list[Node] = [root] * n
    until: list[int] = [toks[-1].end_ms] * n
    busy = [False] * n
    for k, change in enumerate(changes):
        end = changes[k + 1].tok if k + 1 < len(changes) else n
        next_ms = toks[changes[k + 1].tok].onset_ms if k + 1 < len(changes) else toks[-1].end_ms
        for i in range(change.tok, end):
            boards[i], until[i] = change.node, next_ms
        if change.mention is not None:
            for i in range(change.mention.start, change.mention.end):
                busy[i] = True
    first = changes[0].tok if changes else n
    for i in range(first):
        until[i] = toks[first].onset_ms if changes else toks[-1].end_ms
    quiet: list[tuple[int, int]] = []
    i = 0
    while i < n:
        if busy[i]:
            i += 1
            continue
        j = i
        while j < n and not busy[j] and boards[j] is boards[i]:
            j += 1
        quiet.append((i, j))
        i = j
    return boards, until, quiet


def _readings(lattice: Lattice, taken: Sequence[Step], score: Score) -> list[Reading]:
    """Every mention that was played or is understood on the board at hand."""
    out: list[Reading] = []
    for step in taken:
        m = step.mention
        if m is None or step.act == "step":
            continue
        words = m.tokens(lattice.toks)
        if step.act != "ign":
            base = step.base if step.base is not None else step.before
            move = step.node.move
            if move is None:
                continue
            out.append(_reading(m, words, base, move, True, score))
            continue
        fitting = matches(step.node, m.desc) if m.kind in ("full", "capsq", "san", "castle", "promo") else []
        parent = step.node.parent
        if fitting and m.hear < 2.5:
            out.append(_reading(m, words, step.node, fitting[0][0].move, False, score))
        elif parent is not None and led(step.node, m.desc):
            assert step.node.move is not None
            out.append(_reading(m, words, parent, step.node.move, False, score))
        elif m.hear < 0.4:
            kind = "square" if m.desc.to >= 0 else "piece"
            if m.kind in ("full", "pawn", "to", "capsq") or m.desc.piece:
                out.append(Reading(words[0].first, words[-1].last, kind, words, step.node.uci, sure=0.8))  # type: ignore[arg-type]
    return out


def _reading(m: Mention, words: tuple, base: Node, move: chess.Move, played: bool, score: Score) -> Reading:  # type: ignore[type-arg]
    san = base.board.san(move) if move in base.board.legal_moves else None
    return Reading(
        words[0].first, words[-1].last, "move", words, base.uci, move.uci(), san, played, 0.95 if played else 0.7
    )

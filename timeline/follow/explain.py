"""Why the board stands as it does at one moment: readings with their costs, what decided, how to have the second best."""

from __future__ import annotations

import math
import shlex
from collections.abc import Collection, Sequence
from dataclasses import dataclass
from itertools import pairwise

from timeline.follow.changes import Change, board_changes
from timeline.follow.follow import LEAST_SURE, decode, on_the_way, shares_of
from timeline.follow.hypotheses import Feature, Hyp, Layer, steps
from timeline.follow.mentions import Mention
from timeline.follow.plays import Option
from timeline.follow.posterior import Share, evidence, sure
from timeline.follow.reasons import reason
from timeline.follow.result import FixedPoint
from timeline.follow.search import Decoder
from timeline.score import Score
from timeline.timecode import format_ms
from timeline.transcript.words import Word

_SPAN_MS = 3000
_SOON_MS = 1000
_FILED_MS = 1500
"""How far from its words a cue may stand and still be theirs: as near as ``merge.NEAR_MS``."""
_MOST = 5
_HEAD = f"{'cost':>5} {'chance':>7}  reading"
_LEAST = 0.0005
_NO_RIVAL = 0.001
"""A second board with less than this share came nowhere near."""
_SAYS = {
    "main": "the game's next move",
    "open": "a new sideline",
    "cont": "the sideline goes on",
    "alt": "an alternative to an earlier move",
    "ret": "back to the game, with its next move",
    "retG": "back to where the game had got to, with its next move",
    "skip": "a later move of the game; some are skipped",
    "rskip": "back to the game, some moves skipped",
    "jump": "an earlier move of the game, named on the way back",
    "jfrom": "a move of the game, from an earlier position",
    "jopen": "a sideline from an earlier position",
    "tele": "a move elsewhere in the game, without a word of warning",
    "vg": "the game's next move, told without its name",
    "bk": "back to where the sideline left the game",
    "bkG": "back to where the game had got to",
    "un": "one move taken back",
    "um": "the game's last move taken back",
    "fw": "forward to where the game had got to",
    "show": "a position of the game, shown again",
    "goto": "a position of the game, named by its number or as start or end",
    "far": "ahead in the game, past moves that are not told",
    "sil": "a move that the words to come need",
    "fl": "back to an earlier position that the next words will tell",
    "ign": "only spoken of, the board stays",
    "step": "left aside here, a shorter reading may follow",
    "pass": "nothing happens, the board stays",
    "fix": "a person's cue",
}


@dataclass(frozen=True)
class Choice:
    """One way to take the words at a place: its cost (natural-log units, 0 is certain), and where it leads; ``beside``: how
    much of that is said whatever else could be done there."""

    cost: float
    says: str
    words: str
    address: str
    won: bool
    feats: tuple[Feature, ...]
    beside: float

    @property
    def chance(self) -> float:
        """Its share among the ways at this place."""
        return math.exp(-self.cost)


_MEANS = (
    "(chance: how the readings of these words compare, on this board; sure: how often such a cue is right, by all that is said "
    "before and after)"
)
"""What the two figures are; they differ because one place is not the whole talk."""
_LISTED = 30.0
"""How far behind the best a reading may be to be listed (natural-log units): nearly all are."""


class _Listing(Decoder):
    """Lists the options of one hypothesis instead of searching on."""

    kept: list[Hyp]

    def _commit(self, hyp: Hyp, options: Sequence[Option], layers: list[Layer]) -> None:
        self.kept = [new for _, new in options]


def explain(
    words: Sequence[Word],
    score: Score,
    at_ms: int,
    *,
    fixed: Sequence[FixedPoint] = (),
    lead_ms: int = 0,
    folder: str = "DIR",
    shown: Sequence[FixedPoint] = (),
    locked: Collection[int] = (),
) -> str:
    """A text for the terminal: the words near ``at_ms``, the readings weighed, what decided, the runner-up.

    The place that decided what stands on the board at ``at_ms`` comes first, however long ago it was; then
    those within three seconds. ``lead_ms`` is how early cues stand before their words. ``shown``: the lesson's cues
    as they stand in its file; their times are told, which may differ a little from those of the words. ``locked``: the
    times of the follower's cues that a person locked.
    """
    decoded = decode(words, score, fixed=fixed)
    if decoded is None:
        return "there are no words in the transcript"
    decoder, final = decoded
    toks = decoder.toks
    lines: list[str] = []
    near = [i for i, tok in enumerate(toks) if abs(tok.onset_ms - at_ms) <= _SPAN_MS]
    if near:
        heard = words[toks[near[0]].word : toks[near[-1]].word + 1]
        lines += [f"around {format_ms(at_ms)} the transcript says:", "  " + " ".join(w.text for w in heard)]
    else:
        lines.append(f"nothing is said within {_SPAN_MS // 1000} s of {format_ms(at_ms)}")
    chain = _chain(final)
    changes = board_changes(decoder.lattice, steps(final))
    known = shares_of(decoder, changes)
    proof = evidence(known, [(c.mention, c.node) for c in changes])
    chances = [sure(facts) for facts in proof]
    led = on_the_way([c.node.path() for c in changes], chances)
    times = [_filed(max(0, toks[c.tok].onset_ms - lead_ms), c, fixed if c.own else shown) for c in changes]
    standing = max((k for k, time in enumerate(times) if time <= at_ms), default=None)
    lines += [
        "",
        f"on the board then: {score.address(changes[standing].node.path()) if standing is not None else 'start'}",
    ]
    told: set[int] = set()
    soon = 0 if standing is None else standing + 1
    asked = [] if standing is None else [standing]
    if soon < len(changes) and times[soon] - at_ms <= _SOON_MS:
        asked.append(soon)
    for k in asked:
        decided = _deciding(changes[k], chain)
        told |= decided
        if changes[k].own or FixedPoint(times[k], _path(changes[k])) in fixed:
            lines += _places(decoder, chain, decided, score)
            lines += _own(times[k], changes[k], score, folder, locked=times[k] in locked)
            continue
        rival = known[k].rival
        second = score.address(rival.path()) if rival is not None and known[k].rival_share >= _NO_RIVAL else None
        lines += _places(decoder, chain, decided, score, second)
        lines += _cue(changes, k, times[k], known[k], (chances[k], led[k]), score, folder)
    rest = {k for k, hyp in enumerate(chain) if near and near[0] <= hyp.tok <= near[-1]} - told
    others = _places(decoder, chain, rest, score)
    if others:
        lines += ["", "other places nearby:", *others]
    if any(line.endswith(_HEAD) for line in lines):
        lines += ["", _MEANS]
    return "\n".join(lines)


def _filed(at_ms: int, change: Change, shown: Sequence[FixedPoint]) -> int:
    """The time at which the lesson's file has a change; where it has it nowhere near, that of the words.

    A person's own cue need not be near any words.
    """
    times = [point.at_ms for point in shown if point.path == _path(change)]
    near = [ms for ms in times if change.own or abs(ms - at_ms) <= _FILED_MS]
    return min(near, key=lambda ms: abs(ms - at_ms), default=at_ms)


def _path(change: Change) -> tuple[str, ...]:
    return change.node.uci


def _chain(final: Hyp) -> list[Hyp]:
    found: list[Hyp] = []
    hyp: Hyp | None = final
    while hyp is not None:
        if hyp.act != "pass" or hyp.prev is None:
            found.append(hyp)
        hyp = hyp.prev
    return found[::-1]


def _deciding(change: Change, chain: Sequence[Hyp]) -> set[int]:
    """Indices in the chain of the steps that made a board change: those that moved, at its words."""
    return {
        k
        for k, (before, hyp) in enumerate(pairwise(chain), 1)
        if hyp.node is not before.node and change.tok <= hyp.tok <= change.last
    } or {k for k, hyp in enumerate(chain) if hyp.node is change.node and hyp.tok == change.tok}


def _places(
    decoder: Decoder, chain: Sequence[Hyp], wanted: set[int], score: Score, second: str | None = None
) -> list[str]:
    """The readings at the places ``wanted``; one that leads to the address ``second`` is listed however unlikely, and at the
    last place a line for it where none does: other words would have to be read otherwise."""
    lines: list[str] = []
    places = [k for k in sorted(wanted) if k and not (chain[k].mention is None and chain[k].node is chain[k - 1].node)]
    for k in places:
        before, chosen = chain[k - 1], chain[k]
        when = format_ms(decoder.toks[min(chosen.tok, decoder.n - 1)].onset_ms)
        head = f"{when}  on the board before: {score.address(before.node.path())}"
        if chosen.act == "fix":
            lines += ["", head, f"  -> a cue of yours stands here: {score.address(chosen.node.path())}"]
            continue
        choices = _choices(decoder, before, chosen, score)
        winner = next((c for c in choices if c.won), None)
        if winner is None or len(choices) < 2:
            continue
        lines += ["", head, f"     {_HEAD}"]
        likely = [choice for choice in choices[:_MOST] if choice.chance >= _LEAST]
        to_second = next((choice for choice in choices if choice.address == second), winner)
        lines += [_line(c) for c in choices if c in likely or c is winner or c is to_second]
        if second is not None and k == places[-1] and not any(line.endswith(f"-> {second}") for line in lines):
            lines.append(f"     {'–':>5} {'–':>7}  with words before or after it read otherwise -> {second}")
        rival = next(c for c in choices if not c.won)
        lines += _because(decoder, chosen, winner, rival)
        if winner.cost > rival.cost:
            lines.append(
                "     here the other was the likelier one; what is said later fits only with the reading taken"
            )
    return lines


def _line(choice: Choice) -> str:
    mark = "->" if choice.won else "  "
    return f"  {mark} {choice.cost:>5.2f} {choice.chance:>7.1%}  {choice.words}: {choice.says} -> {choice.address}"


def _because(decoder: Decoder, chosen: Hyp, winner: Choice, rival: Choice) -> list[str]:
    """The three strongest reasons for the winner and the strongest against it, in words."""
    total: dict[str, float] = {}
    for sign, choice in ((1.0, winner), (-1.0, rival)):
        for name, value in choice.feats:
            weight = decoder.weights.get(name, 0.0) * value * sign
            text = reason(name, decoder, chosen)
            if text:
                total[text] = total.get(text, 0.0) + weight
    if decoder.network is not None:
        mine, other = decoder.network.extra([winner.feats, rival.feats])
        total["how these grounds go together"] = mine - other
    total["what is said before and after"] = winner.beside - rival.beside
    ranked = sorted(total.items(), key=lambda pair: -pair[1])
    pros = [f"{text} ({value:+.1f})" for text, value in ranked[:3] if value > 0.15]
    cons = [f"{text} ({value:+.1f})" for text, value in ranked[-1:] if value < -0.15]
    lines = []
    if pros:
        lines.append(f"     for it, against “{rival.says}”: {'; '.join(pros)}")
    if cons:
        lines.append(f"     against it: {'; '.join(cons)}")
    return lines


def _choices(decoder: Decoder, before: Hyp, chosen: Hyp, score: Score) -> list[Choice]:
    """Every way to take the words at one place, cheapest first; costs are those of the choice at this place alone."""
    listing = _Listing(
        decoder.lattice,
        decoder.tree,
        decoder.weights,
        keep_feats=True,
        network=decoder.network,
        fixed=decoder.fixed,
        persons=decoder.persons,
        window=_LISTED,
        spine=decoder.spine,
        again=decoder.again,
    )
    listing.kept = []
    i = chosen.tok
    if chosen.mention is None:
        options = listing._turns([before], i)
    else:
        listing._expand([before], decoder.lattice.readings(i), i, [{} for _ in range(decoder.n + 20)])
        options = listing.kept
    gains = [(o, o.score - before.score + (decoder._global(o) if chosen.mention is not None else 0.0)) for o in options]
    if not gains:
        return []
    peak = max(gain for _, gain in gains)
    whole = peak + math.log(sum(math.exp(gain - peak) for _, gain in gains))
    found: dict[tuple[str, str, str], Choice] = {}
    for option, gain in sorted(gains, key=lambda pair: -pair[1]):
        m: Mention | None = option.mention
        words = _heard(decoder, m) if m else f"“{decoder.toks[i].text} …”"
        won = option.act == chosen.act and option.node is chosen.node and option.mention is chosen.mention
        choice = Choice(
            whole - gain, _SAYS.get(option.act, option.act), words, score.address(option.node.path()), won, option.feats,
            decoder._global(option) if m is not None else 0.0,
        )  # fmt: skip
        key = (choice.words, choice.says, choice.address)
        if key not in found or won:
            found[key] = choice
    return sorted(found.values(), key=lambda c: c.cost)


def _heard(decoder: Decoder, m: Mention) -> str:
    """The words of a mention, with what they are read as where that differs."""
    text = f"“{' '.join(t.text for t in decoder.toks[m.start : m.end])}”"
    if any(mended for _, _, _, mended in m.parts):
        text += f" heard for “{' '.join(part for _, _, part, _ in m.parts)}”"
    return text


def _own(at_ms: int, change: Change, score: Score, folder: str, *, locked: bool) -> list[str]:
    """A cue that a person made or ``locked``, and how it becomes the follower's again."""
    when, place = format_ms(at_ms), shlex.quote(folder)
    return [
        "",
        f"the cue at {when} shows {score.address(change.node.path())}; it is {'locked' if locked else 'your own'} and stays",
        "  to leave it to the talk again:",
        f"  plyline edit {place} cue {'unlock' if locked else 'remove'} {when}",
    ]


def _cue(
    changes: Sequence[Change],
    number: int,
    at_ms: int,
    share: Share,
    chances: tuple[float, float],
    score: Score,
    folder: str,
) -> list[str]:
    """What the cue shows, how sure it is, what came second, and what to type for that.

    ``chances``: how sure it is by itself, and by what it leads to.
    """
    chance, led = chances
    change = changes[number]
    when = format_ms(at_ms)
    here, place = score.address(change.node.path()), shlex.quote(folder)
    if " " in here and led < LEAST_SURE:
        return [
            "",
            f"{here} was read at {when}, but no more than {chance:.2f} sure: too doubtful to be shown; to have it:",
            f"  plyline edit {place} cue add {when} {shlex.quote(here)}",
        ]
    lines = ["", f"the cue at {when} shows {here}, sure {chance:.2f}"]
    if change.unnamed:
        why = "the moves before and after it are told" if number else "the first move told is played from it"
        return [
            *lines,
            f"  no words name this move; it stands here because {why}; to take it away:",
            f"  plyline edit {place} cue remove {when}",
        ]
    if share.rival is None or share.rival_share < _NO_RIVAL:
        return [*lines, "  no other reading came near; to make it yours:", f"  plyline edit {place} cue lock {when}"]
    second = score.address(share.rival.path())
    before = score.address(changes[number - 1].node.path()) if number else "start"
    margin = f"behind by {share.margin:.1f}" if share.margin else "as likely"
    if second == before:
        return [
            *lines,
            f"  second best: the board stays at {before} ({margin}); to have that, take the cue away for good:",
            f"  plyline edit {place} cue remove {when}",
        ]
    return [
        *lines,
        f"  second best: {second} ({margin}); to have that, set it here (your own cue is kept as if locked):",
        f"  plyline edit {place} cue show {when} {shlex.quote(second)}",
    ]

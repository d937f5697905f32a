"""Why the board stands as it does at one moment: readings, choices with their chances, the second best."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from timeline.follow.follow import board_changes, decode, placed
from timeline.follow.hypotheses import Hyp
from timeline.follow.mentions import Mention
from timeline.follow.posterior import evidence, shares, sure
from timeline.follow.result import FixedPoint
from timeline.follow.search import Decoder
from timeline.score import Score
from timeline.timecode import format_ms
from timeline.transcript.words import Word

_SPAN_MS = 6000
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
    "fl": "back to an earlier position that the next words will tell",
    "ign": "only spoken of: the board stays",
    "step": "not a move by itself",
    "pass": "nothing happens",
}


@dataclass(frozen=True)
class Choice:
    """One way to take the words at a moment: its chance among the ways at that place, and where it leads."""

    chance: float
    says: str
    words: str
    address: str
    won: bool


class _Listing(Decoder):
    """Lists the options of one hypothesis."""

    kept: list[Hyp]

    def _commit(self, hyp: Hyp) -> None:
        self.kept = [new for _, new in self._options]


def explain(
    words: Sequence[Word], score: Score, at_ms: int, *, fixed: Sequence[FixedPoint] = (), folder: str = "DIR"
) -> str:
    """A text for the terminal: the words near ``at_ms``, the readings weighed there, the winner, the runner-up."""
    decoded = decode(words, score, fixed=fixed)
    if decoded is None:
        return "there are no words in the transcript"
    decoder, final = decoded
    toks = decoder.toks
    near = [i for i, tok in enumerate(toks) if abs(tok.onset_ms - at_ms) <= _SPAN_MS]
    if not near:
        return f"nothing is said within {_SPAN_MS // 1000} s of {format_ms(at_ms)}"
    heard = words[toks[near[0]].word : toks[near[-1]].word + 1]
    lines = [f"around {format_ms(at_ms)} the transcript says:", "  " + " ".join(w.text for w in heard), ""]
    chain: list[Hyp] = []
    hyp: Hyp | None = final
    while hyp is not None:
        if hyp.act != "pass":
            chain.append(hyp)
        hyp = hyp.prev
    chain.reverse()
    standing = [h for h in chain if toks[min(h.tok, len(toks) - 1)].onset_ms <= at_ms]
    lines.append(f"on the board then: {score.address(standing[-1].node.path()) if standing else 'start'}")
    for before, chosen in pairwise(chain):
        if not near[0] <= chosen.tok <= near[-1] or (chosen.mention is None and chosen.node is before.node):
            continue
        choices = _choices(decoder, before, chosen, score)
        if len(choices) < 2:
            continue
        lines.append("")
        lines.append(f"{format_ms(toks[chosen.tok].onset_ms)}  board before: {score.address(before.node.path())}")
        for choice in choices[:6]:
            mark = "->" if choice.won else "  "
            lines.append(f"  {mark} {choice.chance:6.1%}  {choice.words!r}: {choice.says} -> {choice.address}")
    lines += _second(decoder, chain, score, at_ms, folder)
    return "\n".join(lines)


def _choices(decoder: Decoder, before: Hyp, chosen: Hyp, score: Score) -> list[Choice]:
    listing = _Listing(decoder.lattice, decoder.tree, decoder.weights, persons=decoder.persons)
    listing.kept = []
    i = chosen.tok
    if chosen.mention is None:
        options = listing._turns([before], i)
        gains = [(o, o.score - before.score) for o in options]
    else:
        readings = decoder.lattice.readings(i)
        if not readings:
            return []
        listing._expand([before], readings, i, [{} for _ in range(decoder.n + 20)])
        raw = [(o, o.score - before.score) for o in listing.kept]
        peak = max(g for _, g in raw)
        whole = peak + math.log(sum(math.exp(g - peak) for _, g in raw))
        gains = [(o, g - whole + decoder._global(o)) for o, g in raw]
    found = []
    total = sum(math.exp(gain) for _, gain in gains)
    for option, gain in sorted(gains, key=lambda pair: -pair[1]):
        m: Mention | None = option.mention
        text = " ".join(t.text for t in decoder.toks[m.start : m.end]) if m else decoder.toks[i].text + " …"
        won = option.act == chosen.act and option.node is chosen.node and option.mention is chosen.mention
        says = _SAYS.get(option.act, option.act)
        if m is not None and m.hear >= 0.4 and option.act not in ("ign", "step"):
            says += f" (heard otherwise, cost {m.hear:.1f})"
        found.append(Choice(math.exp(gain) / total, says, text, score.address(option.node.path()), won))
    return found


def _second(decoder: Decoder, chain: Sequence[Hyp], score: Score, at_ms: int, folder: str) -> list[str]:
    from timeline.follow.hypotheses import steps

    changes = board_changes(decoder.lattice, steps(chain[-1]))
    known = shares(decoder, placed(changes))
    proof = evidence(known, [(c.mention, c.node) for c in changes])
    best = None
    for change, share, facts in zip(changes, known, proof, strict=True):
        if decoder.toks[change.tok].onset_ms <= at_ms + 1500:
            best = (change, share, sure(facts))
    if best is None:
        return []
    change, share, chance = best
    when = format_ms(decoder.toks[change.tok].onset_ms)
    lines = ["", f"the cue at {when} shows {score.address(change.node.path())}, sure {chance:.2f}"]
    if share.rival is None or share.rival_share < 0.001:
        return [*lines, "no other reading came near"]
    rival = score.address(share.rival.path())
    quoted = f"'{rival}'" if " " in rival else rival
    return [
        *lines,
        f"second best was {rival} (margin {share.margin:.1f}); to have that instead:",
        f"  plyline edit {folder} cue show {when} {quoted}",
        f"  plyline edit {folder} cue lock {when}",
    ]

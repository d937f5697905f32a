"""The best way through a stretch of sound for words in order, with room for what the transcript lacks or has too much.

A Viterbi search over the states of all the words' pronunciations at once.
Between any two words there may be silence, or other speech: that costs, each
frame, a little more than the sounds that fit best there (so that noise, which
makes all sounds fit badly, does not favour it). Words may be passed over.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Protocol

from timeline.transcript.acoustics import QUIET, SILENCE
from timeline.transcript.mixtures import UNIT
from timeline.transcript.phrasing import leans
from timeline.transcript.pronounce import Phones, pronunciations

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

_NEVER = -1e30


class Sounds(Protocol):
    """What is asked of a phone table; ``plain``: the first so many senones are those of phones alone."""

    plain: int

    def alone(self, phone: str) -> list[int]: ...

    def word(self, phones: Sequence[str], before: str, after: str) -> list[int]: ...


@dataclass(frozen=True, slots=True)
class Costs:
    """In natural log units.

    ``stray``: a frame of speech that is not in the transcript, over its
    best-fitting sounds; ``enter``: beginning it; ``long_stray`` and
    ``long_enter``: the same where it goes on for long, or is music: so that one
    long stretch costs less than the same with a word here and there in it;
    ``skip``: a word that is not said; ``pause``: beginning a silence; ``torn``:
    how much more it is after a word that leans on the next one. Set on synthetic
    lessons.
    """

    stray: float = 4.5
    enter: float = 60.0
    long_stray: float = 2.5
    long_enter: float = 460.0
    skip: float = 50.0
    pause: float = 3.0
    torn: float = 20.0


@dataclass(frozen=True, slots=True)
class Found:
    """A word in the sound: its place in the list, frames ``start`` to ``end`` (exclusive), and its misfit.

    ``misfit``: how much worse than the sounds that fit best its own are, in
    natural log units a frame. About 2 where the word is said there, 4 and more
    where something else is. ``strays``: frames of other speech before it.
    """

    index: int
    start: int
    end: int
    misfit: float
    strays: int = 0
    lead: float = 0.0


@dataclass(frozen=True, slots=True)
class _Lanes:
    """Best log scores up to each frame: inside words, in silence, in other speech (short, long), and between words."""

    state: NDArray[np.float32]
    rest: NDArray[np.float32]
    other: NDArray[np.float32]
    long: NDArray[np.float32]
    node: NDArray[np.float32]
    fit: NDArray[np.int16]
    plain: NDArray[np.float32]
    silence: NDArray[np.float32]


class Trellis:
    """The states of some words in order, ready to be matched with sound."""

    def __init__(self, texts: Sequence[str], table: Sounds) -> None:
        self._set([pronunciations(t) for t in texts], table, [leans(t) for t in texts])

    @classmethod
    def of_phones(cls, ways: Sequence[Sequence[Phones]], table: Sounds, leaning: Sequence[bool]) -> Trellis:
        """Words given by their pronunciations, and whether each leans on the next one."""
        trellis = cls.__new__(cls)
        trellis._set(ways, table, leaning)
        return trellis

    def _set(self, ways: Sequence[Sequence[Phones]], table: Sounds, leaning: Sequence[bool]) -> None:
        import numpy as np

        joined: list[int] = []
        apart: list[int] = []
        firsts: list[int] = []
        lasts: list[int] = []
        words: list[int] = []
        self._ways_of: list[int] = []
        for k, variants in enumerate(ways):
            before = ways[k - 1][0][-1] if k else SILENCE
            after = ways[k + 1][0][0] if k + 1 < len(ways) else SILENCE
            self._ways_of.append(len(lasts))
            for phones in variants:
                firsts.append(len(joined))
                joined += table.word(phones, before, after)
                apart += table.word(phones, SILENCE, SILENCE)
                lasts.append(len(joined) - 1)
                words.append(k)
        self.count = len(ways)
        self._leaning = leaning
        self._table = table
        self._joined, self._apart = np.array(joined), np.array(apart)
        self._differs = np.flatnonzero(self._joined != self._apart)
        self._firsts, self._lasts, self._words = np.array(firsts), np.array(lasts), np.array(words)

    def best(
        self,
        scores: NDArray[np.int16],
        must_from: int,
        must_to: int,
        costs: Costs,
        noise: NDArray[np.bool_] | None = None,
    ) -> tuple[list[Found], float] | None:
        """The words that are said, and what all this costs a frame; None where there is no way through.

        ``scores``: (frames, senones). The sound may begin before any word up
        to ``must_from`` and end after any word from ``must_to`` on. ``noise``: frames
        known to hold no speech, which count as silence.
        """
        if len(scores) < 3 or not self.count:
            return None
        lanes = self._forward(scores, must_from, costs, noise)
        ends = lanes.node[-1, must_to:]
        k = must_to + int(ends.argmax())
        value = float(lanes.node[-1, k])
        return (self._back(lanes, k, costs), -value / len(scores)) if value > _NEVER / 2 else None

    def _fit(self, scores: NDArray[np.int16]) -> NDArray[np.int16]:
        """(frames, states): each state's score; a word's edge may sound joined to its neighbour or not."""
        import numpy as np

        rows = scores[:, self._joined]
        rows[:, self._differs] = np.minimum(rows[:, self._differs], scores[:, self._apart[self._differs]])
        return rows

    def _pauses(self, costs: Costs) -> NDArray[np.float32]:
        """What a silence costs before the first word and after each."""
        import numpy as np

        return np.array([costs.pause, *(costs.pause + costs.torn * leans_on for leans_on in self._leaning)], np.float32)

    def _forward(
        self, scores: NDArray[np.int16], must_from: int, costs: Costs, noise: NDArray[np.bool_] | None
    ) -> _Lanes:
        import numpy as np

        frames, count, table = len(scores), self.count, self._table
        fit = self._fit(scores)
        plain = scores[:, : table.plain].min(axis=1).astype(np.float32) * np.float32(-UNIT)
        quiet = [s for phone in QUIET for s in table.alone(phone)]
        silence = scores[:, quiet].min(axis=1).astype(np.float32) * np.float32(-UNIT)
        if noise is not None:
            silence[noise] = plain[noise]
        stray, far = plain - np.float32(costs.stray), plain - np.float32(costs.long_stray)

        states = len(self._joined)
        state = np.full((frames + 1, states), _NEVER, np.float32)
        rest, other, long, node = (np.full((frames + 1, count + 1), _NEVER, np.float32) for _ in range(4))
        skips = np.arange(count + 1, dtype=np.float32) * np.float32(costs.skip)
        node[0, : must_from + 1] = 0
        node[0, must_from + 1 :] = -skips[1 : count - must_from + 1]  # words may be passed over before any sound too
        pauses = self._pauses(costs)
        came, step, raw = np.empty(states, np.float32), np.empty(states, np.float32), np.empty(count + 1, np.float32)
        unit = np.float32(-UNIT)
        for t in range(frames):
            now, nodes, new = state[t], node[t], state[t + 1]
            came[1:] = now[:-1]
            came[self._firsts] = nodes[self._words]
            np.maximum(now, came, out=new)
            new += np.multiply(fit[t], unit, out=step)
            np.maximum(rest[t], nodes - pauses, out=rest[t + 1])
            rest[t + 1] += silence[t]
            np.maximum(other[t], nodes - np.float32(costs.enter), out=other[t + 1])
            other[t + 1] += stray[t]
            np.maximum(long[t], nodes - np.float32(costs.long_enter), out=long[t + 1])
            long[t + 1] += far[t]
            np.maximum(rest[t + 1], other[t + 1], out=raw)
            np.maximum(raw, long[t + 1], out=raw)
            np.maximum(raw[1:], np.maximum.reduceat(new[self._lasts], self._ways_of), out=raw[1:])
            # Passing over words: the best of all nodes before, each less its skips.
            raw += skips
            np.maximum.accumulate(raw, out=node[t + 1])
            node[t + 1] -= skips
        return _Lanes(state, rest, other, long, node, fit, plain, silence)

    def _back(self, lanes: _Lanes, k: int, costs: Costs) -> list[Found]:
        """The choices that led to node ``k`` at the end, found by comparing once more from the last to the first."""
        import numpy as np

        found: list[Found] = []
        bounds = [*self._ways_of, len(self._lasts)]
        state, node = lanes.state, lanes.node
        between = {
            -1: (lanes.rest, self._pauses(costs)),
            -2: (lanes.other, np.full(self.count + 1, costs.enter, np.float32)),
            -3: (lanes.long, np.full(self.count + 1, costs.long_enter, np.float32)),
        }
        t = len(state) - 1
        while t > 0:
            ways = [(float(lane[t, k]), name) for name, (lane, _) in between.items()]
            if k:
                ways += [(float(state[t, self._lasts[v]]), v) for v in range(bounds[k - 1], bounds[k])]
            value, way = max(ways)
            if k and float(node[t, k - 1]) - costs.skip > value:
                k -= 1
            elif way < 0:
                lane, cost = between[way]
                until = t
                t -= 1
                while t > 0 and lane[t, k] >= node[t, k] - cost[k]:
                    t -= 1
                if way != -1 and found:
                    found[-1] = replace(found[-1], strays=found[-1].strays + until - t)
            else:
                at, end, misfit = int(self._lasts[way]), t, 0.0
                quiet = 0.0
                first = int(self._firsts[way])
                while True:
                    t -= 1
                    misfit += float(lanes.plain[t]) + UNIT * float(lanes.fit[t, at])
                    quiet += float(lanes.plain[t] - lanes.silence[t])
                    came = node[t, k - 1] if at == first else state[t, at - 1]
                    if came > state[t, at]:
                        if at == first:
                            break
                        at -= 1
                    elif t == 0:
                        break  # before the first frame nothing is in a word: cannot be reached
                found.append(Found(k - 1, t, end, misfit / (end - t), lead=(quiet - misfit) / (end - t)))
                k -= 1
        found.reverse()
        return found

"""Word onsets from the sound: forced alignment window by window, with every window's damage kept inside it.

A window is a stretch of transcript of some 15 to 30 s, matched with the sound
from some seconds before to some seconds after where the transcript puts it,
together with its neighbours' words, so that stamps may be off. Speech that
the transcript lacks may stand between any two words and words that are not
said are passed over (anchors and gaps in the spirit of Moreno et al., ICSLP
1998): a missing sentence or a wrong word costs its own place only. Where no
time can be trusted, as in a text without stamps, the windows follow each
other through the sound instead. Where most stamps prove exact (``exactness``),
a word found far outside its own block is looked for anew inside it. Words that
are not found are placed between their neighbours by the sound's silences.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from statistics import mean, median
from typing import TYPE_CHECKING

from timeline.transcript.acoustics import FRAME_MS, PhoneTable, SoundScores, phone_table
from timeline.transcript.belief import AROUND, FAIR, Placed, believed, fits, in_order, trust
from timeline.transcript.exactness import Span, exact_spans
from timeline.transcript.phrasing import leans
from timeline.transcript.placing import place_between
from timeline.transcript.sound import RATE
from timeline.transcript.spread import word_ms
from timeline.transcript.trellis import Costs, Found, Trellis
from timeline.transcript.words import Timing, Transcript, Word

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

MARGIN_MS = 5000
"""How far a stamp may be off without harm."""
_FAR_MARGIN_MS = 20_000
_LATE_MS = 12_000
_WORD_MS = 220
_LEAST_WINDOW_MS, _MOST_WINDOW_MS = 15_000, 30_000
_ROUGH_MS = 75_000
"""Blocks longer than this do not say where their words are."""
_FULL = 0.5
"""Blocks whose words take less of their time than this do not say either: somebody pauses, or the recording goes on."""
_STEP_MS, _AHEAD_MS = 30_000, 12_000
_QUICKEST_WORDS_S = 4.5
_QUICK = 0.6
"""The share of its usual time in which a word can be said."""
_HARD = Costs(stray=9.0, enter=70.0, long_stray=5.0, long_enter=870.0, skip=90.0)
_HARD_MISFIT = 4.0
"""For sound that fits the model badly throughout (rooms, accents): words are held on to.

So held, the right ones misfit by 3.6 at most (at 0 dB of noise), those of another talk by 4.2 and more.
"""
_ENOUGH = 0.75
"""Share of a window's words that follow each other as they should: from there on nothing else is tried."""
_LEAST = 0.3
"""Where fewer of all words are believed, the transcript is another talk's, and a few lucky finds would mislead."""
_FEW = 3
"""So many words that the recording has no room for at its end may be ill heard, or said very fast."""
_MUCH = 0.25
"""Share of the words: with more of them lost, no stamp is trusted."""
_LONG = AROUND
"""So many words in a row that are not found: their stamps are off, or they are not said."""
_PAUSE_MS = 250
"""Words of one phrase are nearer to each other."""
_LEAST_LEAD = 0.2
"""Silence fits a word and its neighbours this much nearly as well as the words around: noise, or music."""
_LONGEST_MS, _LONGEST = 1200, 4
"""No word lasts so long, and so many times as long as usual."""
_TRIES = 3



@dataclass(frozen=True, slots=True)
class Window:
    """Words ``first`` to ``last`` (exclusive) and where the transcript says they are, in ms."""

    first: int
    last: int
    start_ms: int
    end_ms: int


def align_words(
    transcript: Transcript,
    samples: NDArray[np.int16],
    *,
    scores: SoundScores | None = None,
    progress: Callable[[int, int], None] | None = None,
) -> tuple[Word, ...]:
    """The transcript's words with onsets found in the sound, in the same number and order.

    ``samples``: 16 kHz mono from the recording's start. Each word says how its
    time was found and how far it can be trusted. ``scores``: those of the
    samples, where somebody has them. ``progress`` gets words done and in all.
    Last words that the recording is too short for stand at its end. Where
    hardly a word is found, all stay as the transcript has them. Same input,
    same words.
    """
    words = transcript.words
    if not words or len(samples) < RATE // 10:
        return words
    total_ms = len(samples) * 1000 // RATE
    listener = _Listener([w.text for w in words], scores or SoundScores(samples))
    placed: list[Placed | None] = [None] * len(words)
    for window in windows(words, total_ms):
        if window.end_ms - window.start_ms > _ROUGH_MS:
            found = listener.walk(window)
        else:
            found = listener.look(window)
        for hit in found:
            placed[hit.index] = hit
        if progress is not None:
            progress(window.last, len(words))
    placed = _heard_again(placed, listener, total_ms)
    held = _held(listener.texts, believed(placed), total_ms)
    kept = [*believed(placed[:held]), *[None] * (len(words) - held)]
    if sum(p is not None for p in kept) < _LEAST * held:  # another talk's recording: it says nothing of these words
        return words
    spans = exact_spans(words, transcript.blocks, [None if p is None else p.onset_ms for p in kept], total_ms)
    if spans is not None:
        kept = in_order(_at_home(kept, words, spans, listener))
    sure = trust(kept, [leans(w.text) for w in words])
    timed = [_timed(w, p, s) for w, p, s in zip(words, kept, sure, strict=True)]
    inside = place_between(timed[:held], samples, None if spans is None else [spans[w.block] for w in words[:held]])
    return (*inside, *(replace(w, onset_ms=total_ms, end_ms=total_ms) for w in words[held:]))


def windows(words: Sequence[Word], total_ms: int) -> list[Window]:
    """Whole blocks joined up to some 15 s; long blocks parted where their words are thought to be, if that is known."""
    found: list[Window] = []
    first = 0
    while first < len(words):
        last = first
        while last < len(words):
            until = last + 1
            while until < len(words) and words[until].block == words[last].block:
                until += 1
            span = words[until - 1].end_ms - words[first].onset_ms
            if last > first and span > _MOST_WINDOW_MS:
                break
            last = until
            if span >= _LEAST_WINDOW_MS:
                break
        found += _parted(words, first, last)
        first = last
    # A block's last words may come later than thought, up to the next block's start.
    later = [*(w.start_ms for w in found[1:]), total_ms]
    found = [
        replace(w, start_ms=min(w.start_ms, total_ms), end_ms=min(total_ms, max(w.end_ms, min(n, w.end_ms + _LATE_MS))))
        for w, n in zip(found, later, strict=True)
    ]
    # After the last block there is no stamp: how long somebody pauses in it, or the recording goes on, is not known.
    end = found[-1]
    found[-1] = replace(end, end_ms=max(end.end_ms, min(total_ms, end.start_ms + _ROUGH_MS)))
    return found


def _parted(words: Sequence[Word], first: int, last: int) -> list[Window]:
    span = words[last - 1].end_ms - words[first].onset_ms
    full = _FULL * span <= sum(word_ms(w.text) for w in words[first:last])
    parts = max(1, -(-span // _MOST_WINDOW_MS)) if full and 1.5 * _MOST_WINDOW_MS < span <= _ROUGH_MS else 1
    cuts = [first]
    for k in range(1, parts):
        at = words[first].onset_ms + span * k // parts
        cuts.append(next(i for i in range(cuts[-1], last) if words[i].onset_ms >= at or i == last - 1))
    cuts.append(last)
    return [Window(a, b, words[a].onset_ms, words[b - 1].end_ms) for a, b in pairwise(cuts) if b > a]


class _Listener:
    """Looks for stretches of one transcript in one recording."""

    def __init__(self, texts: Sequence[str], scores: SoundScores) -> None:
        self.texts = texts
        self._scores = scores
        self._table: PhoneTable = phone_table()
        self._total_ms = scores.frames * FRAME_MS

    def look(self, window: Window) -> list[Placed]:
        """A window's words where its stamps say, else further off, else held on to."""
        found: list[Placed] = []
        for margin_ms, costs, most in (
            (MARGIN_MS, Costs(), math.inf),
            (_FAR_MARGIN_MS, Costs(), math.inf),
            (MARGIN_MS, _HARD, _HARD_MISFIT),
        ):
            again = self._near(window, margin_ms, costs)
            if again and mean(fits(again)) <= most and _worth(again) > _worth(found):
                found = again
            if _worth(found) >= _ENOUGH * (window.last - window.first):
                break
        return found

    def _near(self, window: Window, margin_ms: int, costs: Costs) -> list[Placed]:
        start, end = max(0, window.start_ms - margin_ms), min(self._total_ms, window.end_ms + margin_ms)
        context = margin_ms // _WORD_MS
        first, last = max(0, window.first - context), min(len(self.texts), window.last + context)
        must = window.last - first
        if end == self._total_ms and _quickest(self.texts[window.first : window.last]) > end - window.start_ms:
            must = window.first - first  # the recording ends before the words do
        found = self._match(start, end, first, last, window.first - first, must, costs)
        return [p for p in found if window.first <= p.index < window.last]

    def within(self, first: int, last: int, span: Span) -> list[Placed]:
        """A block's words in its own sound, nothing before or after."""
        start, end = span.start_ms, min(self._total_ms, span.end_ms)
        return self._match(start, end, first, last, 0, last - first, Costs()) if end > start else []

    def walk(self, window: Window) -> list[Placed]:
        """Words of which nothing is known but that they lie in this stretch: from its start on, step by step."""
        found: list[Placed] = []
        first, at_ms = window.first, max(0, window.start_ms - MARGIN_MS)
        end_ms = min(self._total_ms, window.end_ms + MARGIN_MS)
        while first < window.last and at_ms < end_ms:
            until_ms = min(end_ms, at_ms + _STEP_MS + _AHEAD_MS)
            whole = until_ms == end_ms
            most = round((until_ms - at_ms) / 1000 * _QUICKEST_WORDS_S)
            last = min(window.last, first + max(most, 8))
            hits = self._match(
                at_ms, until_ms, first, last, 0, last - first if whole and last == window.last else 0, Costs()
            )
            # What stands near the end of the step may go on in the next: it is looked for again.
            sure = hits if whole else [p for p in hits if p.end_ms <= at_ms + _STEP_MS]
            found += sure
            first = sure[-1].index + 1 if sure else first
            at_ms = sure[-1].end_ms if sure and not whole else at_ms + _STEP_MS
            if whole:
                break
        return found

    def _match(
        self, start_ms: int, end_ms: int, first: int, last: int, must_from: int, must_to: int, costs: Costs
    ) -> list[Placed]:
        import numpy as np

        begin = start_ms // FRAME_MS
        if self._scores.silent(begin, end_ms // FRAME_MS):
            return []
        scores = self._scores.between(begin, max(begin, end_ms // FRAME_MS))
        trellis = Trellis(self.texts[first:last], self._table)
        noise = np.zeros(len(scores), np.bool_)
        for _ in range(_TRIES):
            best = trellis.best(scores, must_from, must_to, costs, noise)
            found = best[0] if best else []
            no_speech = self._no_speech(found, first, begin)
            for k in no_speech:  # with the silence up to the next word, where that is none either
                until = found[k + 1].start if k + 1 in no_speech and not found[k + 1].strays else found[k].end
                noise[found[k].start : until] = True
            if not no_speech:
                break
        return [
            Placed(
                first + f.index,
                (begin + f.start) * FRAME_MS,
                (begin + f.end) * FRAME_MS,
                f.misfit,
                f.strays * FRAME_MS,
            )
            for k, f in enumerate(found)
            if k not in no_speech
        ]

    def _no_speech(self, found: Sequence[Found], first: int, begin: int) -> set[int]:
        """Which of the words found are no speech: a sound as long as no word, silence, noise between the talk."""
        leads = _leads(found)
        least = max(0.0, _LEAST_LEAD * median(leads)) if leads else 0.0
        return {
            k
            for k, (f, lead) in enumerate(zip(found, leads, strict=True))
            if lead < least
            or (f.end - f.start) * FRAME_MS > max(_LONGEST_MS, _LONGEST * word_ms(self.texts[first + f.index]))
            or self._scores.silent(begin + f.start, begin + f.end)
        }


def _heard_again(placed: Sequence[Placed | None], listener: _Listener, total_ms: int) -> list[Placed | None]:
    """Long stretches that are not where their stamps say, looked for in all the sound between what was found.

    Where that is much of the talk, all of it is first looked for as if without stamps.
    """
    heard, kept = list(placed), believed(placed)
    lost = sum(p is None for p in kept)
    if lost >= _LONG and lost > _MUCH * len(kept):
        heard, kept = _walked(heard, kept, (0, len(kept)), listener, total_ms)
    for run in _lost(kept):
        heard, kept = _walked(heard, kept, run, listener, total_ms)
    return heard


def _walked(
    heard: list[Placed | None],
    kept: list[Placed | None],
    run: tuple[int, int],
    listener: _Listener,
    total_ms: int,
) -> tuple[list[Placed | None], list[Placed | None]]:
    """What was heard and what is believed of it, with a run of words walked through, where that finds more of them."""
    first, last = run
    start = next((p.end_ms for p in reversed(kept[:first]) if p is not None), 0)
    end = next((p.onset_ms for p in kept[last:] if p is not None), total_ms)
    again: list[Placed | None] = [*heard[:first], *[None] * (last - first), *heard[last:]]
    for hit in listener.walk(Window(first, last, start + MARGIN_MS, end - MARGIN_MS)):
        again[hit.index] = hit
    trial = believed(again)
    more = sum(p is not None for p in trial[first:last]) > sum(p is not None for p in kept[first:last])
    return (again, trial) if more else (heard, kept)


def _lost(placed: Sequence[Placed | None]) -> list[tuple[int, int]]:
    """First and last (exclusive) word of long runs that were not found, a few lucky finds among them."""
    runs: list[tuple[int, int]] = []
    for k, p in enumerate(placed):
        if p is None:
            if runs and k - runs[-1][1] < _LONG:
                runs[-1] = (runs[-1][0], k + 1)
            else:
                runs.append((k, k + 1))
    return [(a, b) for a, b in runs if sum(p is None for p in placed[a:b]) >= _LONG]


def _held(texts: Sequence[str], placed: Sequence[Placed | None], total_ms: int) -> int:
    """How many of the words the recording can hold: those up to the last one found, and what can follow it."""
    last = next((p for p in reversed(placed) if p is not None), None)
    if last is None:
        return len(texts)
    count, room = last.index + 1, float(total_ms - last.end_ms)
    while count < len(texts) and (room := room - _quickest(texts[count : count + 1])) >= 0:
        count += 1
    return count if len(texts) - count > _FEW else len(texts)


def _quickest(texts: Sequence[str]) -> float:
    """The least time for words, in ms."""
    return _QUICK * sum(map(word_ms, texts))


def _at_home(
    placed: Sequence[Placed | None], words: Sequence[Word], spans: Sequence[Span], listener: _Listener
) -> list[Placed | None]:
    """Words that were found far outside their block, whose stamps are exact, looked for anew inside it.

    Where words outside are spoken in one go with words inside, the stamp is the one that is off; also where most lie
    outside, unless all is found inside as well.
    """
    kept = list(placed)
    for first, last in _blocks(words):
        span = spans[words[first].block]
        found = [p for p in placed[first:last] if p is not None]
        away = [p.index for p in found if not span.holds(p.onset_ms)]
        if not away or _spoken_across(found, span):
            continue
        inside = len(found) - len(away)
        again = listener.within(first, last, span)
        if len(again) >= inside and (inside > len(away) or (_found(again, last - first) and mean(fits(again)) < FAIR)):
            kept[first:last] = [None] * (last - first)
            for hit in again:
                kept[hit.index] = hit
        elif inside > len(away):
            for k in away:
                kept[k] = None
    return kept


def _spoken_across(found: Sequence[Placed], span: Span) -> bool:
    """Whether a word outside and one inside follow each other without a pause or other speech between."""
    return any(
        span.holds(a.onset_ms) != span.holds(b.onset_ms) and b.strays_ms == 0 and b.onset_ms - a.end_ms <= _PAUSE_MS
        for a, b in pairwise(found)
    )


def _found(placed: Sequence[Placed], count: int) -> bool:
    return _worth(placed) >= _ENOUGH * count


def _blocks(words: Sequence[Word]) -> Iterator[tuple[int, int]]:
    """First and last (exclusive) word of each block."""
    first = 0
    for k in range(1, len(words) + 1):
        if k == len(words) or words[k].block != words[first].block:
            yield first, k
            first = k


def _worth(placed: Sequence[Placed]) -> int:
    """How many words are found right after the word before them, silence aside."""
    return sum(p.strays_ms == 0 for p in placed)


def _leads(found: Sequence[Found]) -> list[float]:
    """How much better than silence each word fits, taken with those that are said in one go with it."""
    leads = []
    for k, word in enumerate(found):
        near = [word]
        near += [f for f in found[max(0, k - 1) : k] if (word.start - f.end) * FRAME_MS <= _PAUSE_MS]
        near += [f for f in found[k + 1 : k + 2] if (f.start - word.end) * FRAME_MS <= _PAUSE_MS]
        leads.append(sum(f.lead * (f.end - f.start) for f in near) / sum(f.end - f.start for f in near))
    return leads


def _timed(word: Word, placed: Placed | None, sure: float) -> Word:
    if placed is None:
        return word
    return replace(word, onset_ms=placed.onset_ms, end_ms=placed.end_ms, confidence=sure, timing=Timing.ALIGNED)

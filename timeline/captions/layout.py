"""Cue borders, line breaks and times, chosen together: the least total cost over all ways to cut the words.

One dynamic program over units. ``best[j]`` is the least cost of captions for
the units before ``j``; an edge from ``i`` to ``j`` is one caption with units
``i`` to ``j - 1``. Its in-time is the onset of its first word and the next
caption's in-time that of unit ``j``, so its out-time, and with it every rule,
can be judged on the edge alone. A caption holds a bounded number of words, so
the whole is linear in the length of the lesson.

Words are never dropped and in-times are never moved to make a rule fit; among
the rest an error of time or speed costs more than any bad break. Costs are
ours; only their order matters.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

from timeline.captions.breaks import BOUND, FREE, PLAIN, begins_move
from timeline.captions.rules import Rules, visible_length
from timeline.captions.units import Unit, core, ends_sentence
from timeline.timecode import frame_to_ms, ms_to_frame

_ERROR, _STEEP = 420.0, 300.0  # a broken limit, and its size
_WARNING, _SLOPE = 50.0, 100.0  # above the comfortable speed
_STRADDLE = 45.0  # a board change inside a caption
_STRADDLE_WITHIN = 12.0  # ... where no move is told and the talk has no place for a border: a cut is no better
_BORDER = 0.62  # weight of a break between captions
_CUT = 14.0  # a border inside a sentence
_INNER_END = 9.0  # a sentence that ends inside a caption
_LINE = 0.3  # weight of a break between lines
TORN, _TORN_LINE = 120.0, 35.0  # on top, between words that are one thing: a move, a name, an article and its noun
_TORN_FAST = 500.0  # ... where nobody could read in step anyway: an error more or less then says little
_FAST_UNITS = 8  # to either side, a caption's worth: whether the talk there is faster than the limit
_TWO_LINES = 4.0
_CUE = 9.0  # each caption
_COMFORT_MS, FLICKER = 1400, 90.0  # captions that come and go faster than this tire the eye (ours)
_PAUSE_MS = 350  # a pause that a listener notices
_PAUSE_DISCOUNT = 0.5
_TIED = 74.0  # words as close as this (breaks.py) are parted only by twice the pause
_LONE_WORD = 9.0  # a line of one word above a long one
_LONG_PAUSE_MS = 1100  # a silence that a caption should not run across
_ACROSS = 120.0
_NEVER_ACROSS_MS = 2000  # whatever else it costs: words would stand there as long before they are said (BBC 5.4)
_TIED_ONSETS = 1e6  # two captions cannot begin in one frame
_NEAR_MS = 140  # a board change this near to a word's onset is at that word
_JOINING = frozenset("and but or so then und et y e en ma mais pero".split())
_JOINED_MS = 450  # a word that joins a move to the talk is begun this shortly before it
_SHIFT_LATE_FRAMES = 1


@dataclass(frozen=True, slots=True)
class Slot:
    """One caption: units ``first`` to ``last`` (exclusive), line breaks before units ``breaks``, times in frames."""

    first: int
    last: int
    breaks: tuple[int, ...]
    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Grid:
    """What the program reads of each unit, as plain lists. Times in frames."""

    onset: list[int]
    off: list[int]
    place: list[int]  # characters before the unit, each unit counted with one space
    fit: list[int]  # the same without heads, and no unit longer than a line: one that is has a line of its own
    heads: list[int]  # characters of the heads (sound labels above the words) of the units before
    words: list[int]  # words before the unit
    prefix: list[int]  # characters of the speaker's name before the unit, if a caption begins with it
    border: list[float]
    line: list[float]
    ends: list[int]  # sentence ends before the unit
    across: list[int]  # long pauses before the unit
    changes: list[float]  # what captions pay that run across the board changes at units before this one
    stop: list[int]  # the next unit after this one that must begin a caption
    whole: list[bool]  # whether the unit goes on with a person's own caption: no border before it


def lay_out(
    units: Sequence[Unit],
    breaks: Sequence[float],
    rules: Rules,
    *,
    end_ms: int,
    changes_ms: Sequence[int] = (),
    forced: frozenset[int] = frozenset(),
    prefixes: dict[int, int] | None = None,
) -> list[Slot]:
    """Captions for all units, in order.

    ``breaks[k]`` is the cost of a break before unit ``k`` (``breaks.py``).
    ``changes_ms``: when the board changes. ``forced``: units that must begin a
    caption. ``prefixes``: extra characters a caption has when it begins with
    that unit (a speaker's name). Times beyond ``end_ms`` are drawn in.
    """
    if not units:
        return []
    grid = grid_of(units, breaks, rules, end_ms, changes_ms, forced, prefixes or {})
    limit = max(grid.off[-1], ms_to_frame(end_ms, rules.rate))
    borders = _search(grid, rules, limit, [u.source == "label" for u in units])
    slots = []
    for i, j in zip(borders, borders[1:], strict=False):
        following = grid.onset[j] if j < len(units) else None
        labels = sum(u.source == "label" or bool(u.head) for u in units[i:j])
        end, _ = _out_time(grid, rules, i, j, following, limit, labels)
        slots.append(Slot(i, j, line_breaks(units, grid, rules, i, j), grid.onset[i], end))
    return _untangle(slots, rules, limit)


def grid_of(
    units: Sequence[Unit],
    breaks: Sequence[float],
    rules: Rules,
    end_ms: int,
    changes_ms: Sequence[int],
    forced: frozenset[int],
    prefixes: dict[int, int],
) -> Grid:
    rate = rules.rate
    last_frame = max(1, ms_to_frame(end_ms, rate))
    onset, off = [], []
    before = 0
    up, down = rate.numerator, 1000 * rate.denominator  # whole numbers: exact, and much faster than fractions
    for unit in units:
        frame = (2 * unit.onset_ms * up + down) // (2 * down)
        if rules.profile.early_frames == 0 and frame_to_ms(frame, rate) < unit.onset_ms:
            frame += _SHIFT_LATE_FRAMES
        before = max(before, min(frame, last_frame - 1))
        onset.append(before)
        off.append(max(before, min(last_frame, -(-unit.end_ms * up // down))))
    n = len(units)
    place, fit, heads, words, ends, across = [0], [0], [0], [0], [0], [0]
    for k, unit in enumerate(units):
        length = visible_length(unit.text)
        head = visible_length(unit.head) + 1 if unit.head else 0
        place.append(place[-1] + length + 1 + head)
        heads.append(heads[-1] + head)
        fit.append(fit[-1] + min(length, rules.profile.max_chars) + 1)
        words.append(words[-1] + len(unit.text.split()) + len(unit.head.split()))
        ends.append(ends[-1] + (breaks[k] == FREE and k > 0 and ends_sentence(units[k - 1].text)))
        across.append(across[-1] + (k > 0 and unit.onset_ms - units[k - 1].end_ms >= _LONG_PAUSE_MS))
    onsets = [u.onset_ms for u in units]
    at_unit = [0.0] * (n + 1)
    for ms in changes_ms:
        k = bisect_left(onsets, ms - _NEAR_MS)
        if 1 < k < n and core(units[k - 1].text) in _JOINING and onsets[k] - onsets[k - 1] <= _JOINED_MS:
            k -= 1  # "and rook g4": the word that joins goes with the move
        if 0 < k < n:
            at_unit[k] = _STRADDLE if breaks[k] < PLAIN or begins_move(units, k) else _STRADDLE_WITHIN
    changes = [0.0]
    for k in range(n):
        changes.append(changes[-1] + at_unit[k])
    border = []
    for k in range(n):
        cost = breaks[k] * _BORDER + (0.0 if breaks[k] == FREE else _CUT)
        silence = units[k].onset_ms - units[k - 1].end_ms if k else 0
        if silence >= (_PAUSE_MS if breaks[k] < _TIED else 2 * _PAUSE_MS):
            cost *= _PAUSE_DISCOUNT
        if breaks[k] >= BOUND:
            cost += _TORN_FAST if _outruns(place, words, onset, k, rules) else TORN
        border.append(cost)
    stop, following = [n] * n, n
    for k in range(n - 1, -1, -1):
        stop[k] = following
        own = k > 0 and units[k].fixed != units[k - 1].fixed
        apart = k > 0 and units[k].onset_ms - units[k - 1].end_ms >= _NEVER_ACROSS_MS
        silent = apart and (units[k].fixed < 0 or own)
        if k in forced or own or silent or units[k].source == "label" or (k > 0 and units[k - 1].source == "label"):
            following = k
    return Grid(
        onset,
        off,
        place,
        fit,
        heads,
        words,
        [prefixes.get(k, 0) for k in range(n)],
        border,
        [b * _LINE + _TORN_LINE * (b >= BOUND) for b in breaks],
        ends,
        across,
        changes,
        stop,
        [k > 0 and units[k].fixed >= 0 and units[k].fixed == units[k - 1].fixed for k in range(n)],
    )


def _outruns(place: Sequence[int], words: Sequence[int], onset: Sequence[int], k: int, rules: Rules) -> bool:
    """Whether the words around unit ``k`` are spoken faster than the limit, however they are cut."""
    first, last = max(0, k - _FAST_UNITS), min(len(onset) - 1, k + _FAST_UNITS)
    return onset[last] - onset[first] < rules.reading_frames(
        place[last] - place[first], words[last] - words[first], "error"
    )


def _search(grid: Grid, rules: Rules, limit: int, label: Sequence[bool]) -> list[int]:
    """The borders of the cheapest captions, from 0 to the number of units."""
    n = len(grid.onset)
    p, rate = rules.profile, float(rules.rate)
    onset, off, place, fit, words, line = grid.onset, grid.off, grid.place, grid.fit, grid.words, grid.line
    heads = grid.heads
    width, lines = p.max_chars, p.max_lines
    gap, open_gap, tail = p.gap_frames, rules.open_gap_frames, rules.tail_frames
    longest, shortest = rules.max_frames, rules.min_frames
    comfort = _COMFORT_MS * rate / 1000
    word_frames = p.word_ms * rate / 1000
    label_frames = p.label_ms * rate / 1000
    warn_chars = rate / p.warn_cps if p.warn_cps else 0.0
    warn_words = 60 * rate / p.warn_wpm if p.warn_wpm else 0.0
    error_chars = rate / p.error_cps if p.error_cps else 0.0
    error_words = 60 * rate / p.error_wpm if p.error_wpm else 0.0
    best = [float("inf")] * (n + 1)
    back = [0] * (n + 1)
    best[0] = 0.0
    for i in range(n):
        if grid.whole[i]:
            continue
        own = i + 1 < n and grid.whole[i + 1]
        base = best[i] + _CUE
        start, origin, extra = onset[i], place[i] - grid.prefix[i], grid.prefix[i] > 0
        edge = fit[i] - grid.prefix[i]
        room = edge + width + 1
        widest = edge + (width + 1) * lines
        ends, changes, across, first_word = grid.ends[i + 1], grid.changes[i + 1], grid.across[i + 1], words[i]
        for j in range(i + 1, grid.stop[i] + 1):
            total = place[j] - origin - 1
            if own and j < n and grid.whole[j]:
                continue
            if fit[j] > widest and j > i + 1 and not own:
                break
            spoken = off[j - 1]
            if spoken - start > 2 * longest and j > i + 1 and not own:
                break
            cost = base + (grid.border[j] if j < n else 0.0)
            cost += grid.changes[j] - changes + _ACROSS * (grid.across[j] - across)
            cost += _INNER_END * (grid.ends[j] - ends)
            if cost >= best[j]:
                continue
            # the out-time, as _out_time chooses it, and what it costs
            count = words[j] - first_word + extra
            least = shortest if word_frames * count < shortest else word_frames * count
            headed = heads[j] > heads[i]
            if label[i] or headed:
                least += label_frames
            want = max(least, warn_chars * total, warn_words * count)
            if j < n:
                following = onset[j]
                closed = following - gap
                if following <= start:
                    cost += _TIED_ONSETS
                end = _choose(start, spoken, closed, following - open_gap, tail, longest, want)
                hole = following - end
                if hole != gap and hole < open_gap:
                    cost += _ERROR
            else:
                end = min(limit, max(spoken, min(spoken + tail, ceil(start + want))))
            shown = max(1, end - start)
            if shown < least:
                cost += _ERROR + _STEEP * (1 - shown / least)
            if shown < comfort:
                cost += FLICKER * (1 - shown / comfort)
            if shown > longest:
                cost += _ERROR + _STEEP * (shown / longest - 1)
            need = max(error_chars * total, error_words * count)
            if shown < need:
                cost += _ERROR + _STEEP * (need / shown - 1)
            if shown < want:
                cost += _WARNING + _SLOPE * (want / shown - 1)
            if cost >= best[j]:
                continue
            if headed and not own:  # the head has one line, the words another
                if j > i + 1 and (fit[j] - edge - 1 if lines > 1 else total) > width:
                    break
                cost += _TWO_LINES
            elif total > width and j > i + 1 and not own:
                if lines == 2:
                    found = float("inf")
                    for k in range(i + 1, j):
                        if fit[k] > room:
                            break
                        lower = fit[j] - fit[k] - 1
                        if lower > width:
                            continue
                        upper = fit[k] - edge - 1
                        tilt = 0.3 * (upper - lower) if upper > lower else 0.12 * (lower - upper)
                        if k == i + 1 or k == j - 1:
                            tilt += _LONE_WORD
                        if line[k] + tilt < found:
                            found = line[k] + tilt
                    if found == float("inf"):
                        continue
                    cost += found + _TWO_LINES
                elif _fill(fit, edge, i, j, width) > lines:
                    continue
                else:
                    cost += 2 * _TWO_LINES
            if cost < best[j]:
                best[j], back[j] = cost, i
    borders = [n]
    while borders[-1]:
        borders.append(back[borders[-1]])
    return borders[::-1]


def _choose(start: int, spoken: int, closed: int, opened: int, tail: int, longest: int, want: float) -> int:
    """The frame at which a caption ends when another follows.

    ``closed`` leaves the one small gap that is allowed before the next
    caption, ``opened`` the least large one. A caption stays for its words and
    until it can be read, but not beyond its tail; a forbidden gap is closed by
    lengthening.
    """
    furthest = start + longest
    latest = spoken + tail if spoken + tail < furthest else furthest
    if latest < spoken:
        latest = spoken
    goal = start + want
    end = spoken if spoken > goal else ceil(goal)
    if end > latest:
        end = latest
    if end <= opened:
        return end
    if closed <= latest or closed <= spoken:
        return closed if closed > start else start + 1
    return opened if opened >= spoken else latest


def _out_time(
    grid: Grid, rules: Rules, i: int, j: int, following: int | None, limit: int, labels: int
) -> tuple[int, int]:
    """The out-time of one caption, and the frames it should have for comfortable reading."""
    start, spoken = grid.onset[i], grid.off[j - 1]
    count = grid.words[j] - grid.words[i] + (grid.prefix[i] > 0)
    total = grid.place[j] - grid.place[i] - 1 + grid.prefix[i]
    want = max(rules.least_frames(count, labels), rules.reading_frames(total, count, "warn"))
    tail = rules.tail_frames
    if following is None:
        return min(limit, max(spoken, min(spoken + tail, start + want))), want
    gap = rules.profile.gap_frames
    end = _choose(
        start, spoken, following - gap, following - rules.open_gap_frames, tail, rules.max_frames, float(want)
    )
    return end, want


def _fill(place: Sequence[int], origin: int, i: int, j: int, width: int) -> int:
    """How many lines units ``i`` to ``j - 1`` need when each line takes what fits."""
    count, begin = 1, origin
    for k in range(i, j):
        if place[k + 1] - begin - 1 > width and k > i:
            count, begin = count + 1, place[k]
    return count


def line_breaks(units: Sequence[Unit], grid: Grid, rules: Rules, i: int, j: int) -> tuple[int, ...]:
    """Where the lines of one caption (units ``i`` to ``j - 1``) break: the cheapest way that keeps them within the limit, if any."""
    own = tuple(k for k in range(i + 1, j) if units[k - 1].break_after)
    if own or (units[i].fixed >= 0 and any(u.break_after for u in units[i:j])):
        return own
    if any(u.head for u in units[i:j]):
        return ()
    place, width = grid.fit, rules.profile.max_chars
    origin = place[i] - grid.prefix[i]
    needed = 1 if place[j] - origin - 1 <= width else _fill(place, origin, i, j, width)
    if needed == 1:
        return ()
    # cheapest[k]: cost of lines for the units before k, with the last line's start
    cheapest: dict[tuple[int, int], tuple[float, int]] = {(i, 0): (0.0, i)}
    for count in range(1, needed + 1):
        for k in range(i + 1, j + 1):
            for m in range(i, k):
                before = cheapest.get((m, count - 1))
                if before is None:
                    continue
                length = place[k] - (origin if m == i else place[m]) - 1
                if length > width and k > m + 1:
                    continue
                ideal = (place[j] - origin) / needed
                upper = 0.3 if count < needed and length > ideal else 0.12
                cost = before[0] + upper * abs(length - ideal) + (grid.line[k] if k < j else 0.0)
                cost += _LONE_WORD * (k == m + 1)
                if (k, count) not in cheapest or cost < cheapest[k, count][0]:
                    cheapest[k, count] = (cost, m)
    if (j, needed) not in cheapest:
        return ()
    found, k = [], j
    for count in range(needed, 0, -1):
        k = cheapest[k, count][1]
        found.append(k)
    return tuple(k for k in found[::-1] if k > i)


def _untangle(slots: list[Slot], rules: Rules, limit: int) -> list[Slot]:
    """Captions in strict order: only words that share one instant need it, and then by single frames."""
    gap = rules.profile.gap_frames
    starts = [s.start for s in slots]
    for k in range(1, len(starts)):
        starts[k] = max(starts[k], starts[k - 1] + 1 + gap)
    ceiling = max(limit, len(starts) * (1 + gap))
    for k in range(len(starts) - 1, -1, -1):
        latest = ceiling - 1 if k == len(starts) - 1 else starts[k + 1] - 1 - gap
        starts[k] = min(starts[k], latest)
    result = []
    for k, slot in enumerate(slots):
        following = starts[k + 1] if k + 1 < len(starts) else None
        end = max(slot.end, starts[k] + 1)
        if following is not None:
            end = min(end, following - gap)
        result.append(Slot(slot.first, slot.last, slot.breaks, starts[k], end))
    return result

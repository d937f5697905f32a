"""Raw blocks to a transcript: order and overlaps judged, rolling captions unrolled, every word timed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from itertools import pairwise

from timeline.timecode import format_ms
from timeline.transcript.markup import words_of
from timeline.transcript.raw import RawBlock, RawWord, Source
from timeline.transcript.spread import Stretch, pace, spread, word_ms
from timeline.transcript.words import Block, Timing, Transcript, Word

BEYOND_MS = 2000
"""How far a block may start after the recording's end and still be taken for its last words."""
_MOST_LATE = 0.25
"""Share of the blocks that may lie wholly after the end (it was cut off); with more, the two do not belong together."""
_JITTER_MS = 300
"""Recognisers let a word start a little before the last one; more is disorder."""
_LONG_CAPTION_MS = 10_000
_TAIL_MS = 5000
"""So much more after the last words, and the recording goes on: room tone, music, other talk."""
_WORD_SURE = 0.9
_HALF_SECOND = 500


def settle(blocks: Sequence[RawBlock], kind: str, source: Source, end_ms: int | None) -> Transcript:
    """The transcript of what a reader found; raises TranscriptError where the times cannot be meant."""
    kept = [b for b in blocks if b.words or words_of(b.text)]  # a mark alone, such as {, is nothing said
    if not kept:
        source.fail("no-words", "the transcript has times but no words", fix="give the transcript of the talk")
    _in_order(kept, source)
    kept = _inside(kept, source, end_ms)
    kept = _unrolled(kept, source)
    kept = _apart(kept, source, end_ms)
    return _timed(kept, kind, source, end_ms)


def _in_order(blocks: list[RawBlock], source: Source) -> None:
    for before, block in zip([None, *blocks[:-1]], blocks, strict=True):
        if block.end_ms is not None and block.end_ms < block.start_ms:
            source.fail(
                "ends-before-start",
                f"it starts at {format_ms(block.start_ms)} and ends at {format_ms(block.end_ms)}",
                line=block.line or None,
                at_ms=block.start_ms,
                fix="swap or mend the two times",
            )
        if before is not None and block.start_ms < before.start_ms - (_JITTER_MS if block.words else 0):
            source.fail(
                "times-backwards",
                f"{format_ms(block.start_ms)} comes after {format_ms(before.start_ms)}",
                line=block.line or None,
                at_ms=block.start_ms,
                fix="sort the blocks by time, or mend this stamp",
            )


def _inside(blocks: list[RawBlock], source: Source, end_ms: int | None) -> list[RawBlock]:
    """The blocks that the recording reaches; those wholly after its end are left out, and told."""
    if end_ms is None:
        return blocks
    late = [b for b in blocks if b.start_ms > end_ms + BEYOND_MS]
    if late:
        what = (
            f"{len(late)} of {len(blocks)} blocks start after the recording's end at {format_ms(end_ms)}, "
            f"the last at {format_ms(late[-1].start_ms)}"
        )
        where = {"line": late[0].line or None, "at_ms": late[0].start_ms}
        fix = "check that transcript and recording belong together and that the recording is whole"
        if len(late) > _MOST_LATE * len(blocks):
            source.fail("beyond-end", what, fix=fix, **where)
        count = sum(len(b.words) or len(words_of(b.text)) for b in late)
        source.warn("beyond-end", f"{what}; their {count} words are left out", fix=fix, **where)
        blocks = [b for b in blocks if b.start_ms <= end_ms + BEYOND_MS]
    over = [b for b in blocks if b.start_ms >= end_ms or (b.end_ms is not None and b.end_ms > end_ms + BEYOND_MS)]
    if over:
        source.warn(
            "beyond-end",
            f"{len(over)} blocks reach past the recording's end at {format_ms(end_ms)} and are cut there",
            line=over[0].line or None,
            at_ms=over[0].start_ms,
        )
    return blocks


def _folded(text: str) -> list[str]:
    return [w.casefold().strip(".,;:!?…-–—\"'") for w in words_of(text)]


def _shared(before: RawBlock, block: RawBlock) -> int:
    """How many first words of a caption repeat the last of the one before (whole lines, or three words and more)."""
    old, new = _folded(before.text), _folded(block.text)
    whole = [0]
    for line in block.lines:
        whole.append(whole[-1] + len(words_of(line)))
    for count in range(min(len(old), len(new)), 0, -1):
        if old[-count:] == new[:count]:
            return count if count >= 3 or count in whole else 0
    return 0


def _unrolled(blocks: list[RawBlock], source: Source) -> list[RawBlock]:
    """Captions that repeat the line before (rolling) or grow word by word, each word kept once.

    Only where the file does so throughout: a speaker may well say "takes" twice.
    """
    if len(blocks) < 4 or any(len(b.words) and not b.line for b in blocks):
        return blocks
    shared = [0, *(_shared(a, b) if b.start_ms - (a.end_ms or b.start_ms) <= 100 else 0 for a, b in pairwise(blocks))]
    if not any(0 < count < len(words_of(block.text)) for count, block in zip(shared, blocks, strict=True)):
        return blocks  # the same said again and again, and never more: "takes", "takes", "takes"
    repeats = sum(1 for count in shared if count)
    if repeats < max(3, 0.3 * len(blocks)) or sum(shared) < 0.25 * sum(len(words_of(b.text)) for b in blocks):
        return blocks
    found = []
    for count, block in zip(shared, blocks, strict=True):
        rest = words_of(block.text)[count:]
        if rest:
            turns = tuple((max(0, at - count), name) for at, name in block.turns)
            words = block.words[count:] if block.words else ()
            found.append(replace(block, lines=(" ".join(rest),), words=words, turns=turns))
    source.warn(
        "rolling-captions", f"{repeats} of {len(blocks)} captions repeat the one before; each word is kept once"
    )
    return found


def _apart(blocks: list[RawBlock], source: Source, end_ms: int | None) -> list[RawBlock]:
    """Same-start blocks joined, overlapping ends clipped to the next start, everything inside the recording."""
    joined: list[RawBlock] = []
    for block in blocks:
        last = joined[-1] if joined else None
        if last is not None and block.start_ms == last.start_ms and not (block.words or last.words):
            ends = [e for e in (last.end_ms, block.end_ms) if e is not None]
            count = len(words_of(last.text))
            own = ((count, block.speaker),) if block.speaker else ()
            turns = (*last.turns, *own, *((count + at, name) for at, name in block.turns))
            joined[-1] = replace(last, lines=last.lines + block.lines, end_ms=max(ends, default=None), turns=turns)
        else:
            joined.append(block)
    overlaps = []
    found: list[RawBlock] = []
    for k, block in enumerate(joined):
        start = block.start_ms if end_ms is None else min(block.start_ms, end_ms)
        start = max(start, found[-1].start_ms) if found else start
        end = block.end_ms
        if k + 1 < len(joined) and end is not None and not block.words and end > joined[k + 1].start_ms:
            overlaps.append((end - joined[k + 1].start_ms, block))
            end = joined[k + 1].start_ms
        if end is not None and end_ms is not None:
            end = min(end, end_ms)
        if end is not None and end <= start:
            end = None
        found.append(replace(block, start_ms=start, end_ms=end))
    real = [pair for pair in overlaps if pair[0] > 1]
    if real:
        most, where = max(real, key=lambda pair: pair[0])
        source.warn(
            "overlap",
            f"{len(real)} blocks end after the next one starts (by {most} ms at most, here); their ends are cut there",
            line=where.line or None,
            at_ms=where.start_ms,
        )
    return found


def _timed(blocks: list[RawBlock], kind: str, source: Source, end_ms: int | None) -> Transcript:
    whole_seconds = kind == "stamped" and len(blocks) > 1 and all(b.start_ms % 1000 == 0 for b in blocks)
    stretches: list[Stretch] = []
    for k, block in enumerate(blocks):
        texts = tuple(w.text for w in block.words) if block.words else tuple(words_of(block.text))
        limit = blocks[k + 1].start_ms if k + 1 < len(blocks) else end_ms
        end = block.end_ms if block.end_ms is not None else limit
        captioned = block.end_ms is not None and kind != "plain" and block.end_ms - block.start_ms <= _LONG_CAPTION_MS
        start = block.start_ms
        if whole_seconds:
            # A clock shows the seconds that have passed: the block starts within the second after its stamp.
            start, end = (
                start + _HALF_SECOND * (k > 0),
                end if end is None or k + 1 == len(blocks) else end + _HALF_SECOND,
            )
        if end is not None and end <= start:
            end = start + 1 if limit is not None else None
        timing = Timing.CAPTION if captioned else Timing.BLOCK
        stretches.append(Stretch(texts, start, end, k, timing, block.speaker))
    speed = pace([s for s, b in zip(stretches[:-1] or stretches, blocks, strict=False) if not b.words])
    if len(blocks) > 1 and blocks[-1].end_ms is None and not blocks[-1].words:
        stretches[-1] = _ending(stretches[-1], speed)
    words: list[Word] = []
    settled: list[Block] = []
    for block, stretch in zip(blocks, stretches, strict=True):
        said = _given(block, stretch, source) if block.words else spread(stretch, speed)
        if source.rough:
            said = tuple(replace(word, timing=Timing.CAPTION) for word in said)
        for at, name in block.turns:
            said = (*said[:at], *(replace(word, speaker=name) for word in said[at:]))
        words += said
        end = stretch.end_ms if stretch.end_ms is not None else max(w.end_ms for w in said)
        settled.append(Block(block.start_ms, max(block.start_ms, end), block.text, block.line, block.speaker))
    return Transcript(_monotone(words, end_ms), tuple(settled), kind)


def _ending(stretch: Stretch, speed: float) -> Stretch:
    """The last stretch; where the recording goes on for long after its words, they end at the speaker's pace."""
    end = spread(replace(stretch, end_ms=None), speed)[-1].end_ms
    return stretch if stretch.end_ms is None or stretch.end_ms - end <= _TAIL_MS else replace(stretch, end_ms=None)


def _given(block: RawBlock, stretch: Stretch, source: Source) -> tuple[Word, ...]:
    """Words with the file's own times; those without are placed between their neighbours."""
    rows = list(block.words)
    _words_in_order(rows, block, source)
    known = [k for k, w in enumerate(rows) if w.onset_ms is not None]
    found: list[Word] = []
    edges = [*known, len(rows)]
    if known[0] > 0:
        found += _between(rows[: known[0]], stretch, stretch.start_ms, rows[known[0]].onset_ms)
    for at, upto in pairwise(edges):
        onset = rows[at].onset_ms or 0
        following = rows[upto].onset_ms if upto < len(rows) else max(stretch.end_ms or 0, rows[-1].end_ms or 0, onset)
        if upto == at + 1:
            word = rows[at]
            end = word.end_ms
            if end is None:
                end = min(following or onset, onset + round(1.5 * word_ms(word.text))) if following else onset
            found.append(
                Word(word.text, onset, max(onset, end), _sure(word), Timing.WORD, stretch.block, stretch.speaker)
            )
        else:
            end = rows[at].end_ms if rows[at].end_ms is not None and at + 1 == upto else following
            found += _between(rows[at:upto], stretch, onset, end if end and end > onset else None)
    return tuple(found)


def _between(rows: list[RawWord], stretch: Stretch, start: int, end: int | None) -> tuple[Word, ...]:
    texts = tuple(w.text for w in rows)
    said = spread(Stretch(texts, start, end, stretch.block, Timing.CAPTION, stretch.speaker))
    if rows[0].onset_ms is None:
        return said
    return (replace(said[0], confidence=_sure(rows[0]), timing=Timing.WORD), *said[1:])


def _sure(word: RawWord) -> float:
    return _WORD_SURE if word.confidence is None else round(0.6 + 0.35 * word.confidence, 2)


def _words_in_order(rows: list[RawWord], block: RawBlock, source: Source) -> None:
    last = 0
    for row in rows:
        if row.onset_ms is None:
            continue
        if row.onset_ms < last - _JITTER_MS:
            source.fail(
                "times-backwards",
                f"the word {row.text[:40]!r} at {format_ms(row.onset_ms)} comes after one at {format_ms(last)}",
                line=block.line or None,
                at_ms=row.onset_ms,
                fix="sort the words by time, or mend this one",
            )
        last = max(last, row.onset_ms)


def _monotone(words: list[Word], end_ms: int | None) -> tuple[Word, ...]:
    """Onsets that never go back, ends that reach no further than the next onset, all inside the recording."""
    top = end_ms
    found: list[Word] = []
    last = 0
    for word in words:
        onset = max(last, word.onset_ms if top is None else min(word.onset_ms, top))
        last = onset
        found.append(
            replace(word, onset_ms=onset, end_ms=max(onset, word.end_ms if top is None else min(word.end_ms, top)))
        )
    for k in range(len(found) - 1):
        if found[k].end_ms > found[k + 1].onset_ms:
            found[k] = replace(found[k], end_ms=max(found[k].onset_ms, found[k + 1].onset_ms))
    return tuple(found)

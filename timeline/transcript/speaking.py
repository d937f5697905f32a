"""Who speaks, where a transcript says so in its text: "Anna: …", "[Anna] …", each at the start of a line."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import replace

from timeline.transcript.markup import words_of
from timeline.transcript.raw import RawBlock, Source
from timeline.transcript.soundmarks import MARK, is_of_talk

NAME = r"[^\W\d_][\w.'’-]{0,40}(?:[ _](?![\w.'’-]*:\d)[\w.'’-]{1,40}){0,3}"
"""Up to four words that may be a speaker's name."""
_WHO = r"(?:speaker|spk|s)[ _]?\d+|speaker [A-Z]"
_NUMBERED = re.compile(_WHO, re.IGNORECASE)
_LABEL = re.compile(
    rf"(?P<marks>(?:\s*{MARK.pattern})*)\s*(?:>>+\s*)?"
    rf"(?:(?P<name>{NAME})\s*:|[\[(](?P<held>{NAME}):?[\])]\s*:|[\[(](?P<numbered>(?i:{_WHO}))[\])]"
    rf"|(?P<bare>[\[(]{NAME}:?[\])]))(?=\s|$)"
)
_NOT_NAMES = frozenset(
    "white black question answer example move moves note remember here now so and but then well first second third "
    "game line idea plan threat rule result position variation".split()
)


def speakers(names: Iterable[str]) -> frozenset[str]:
    """Which of the names that stand where a speaker's may are one: used at least twice, numbered, or in capitals.

    Where two in three of the names are so known, the rest with a capital are guests.
    """
    counts = Counter(names)
    fit = {n: c for n, c in counts.items() if n.casefold() not in _NOT_NAMES}
    sure = {
        name
        for name, count in fit.items()
        if _NUMBERED.fullmatch(name) or (name[0].isupper() and (count > 1 or (name.isupper() and len(name) > 2)))
    }
    if 3 * sum(counts[n] for n in sure) >= 2 * sum(counts.values()):
        sure |= {n for n in fit if n[0].isupper()}
    return frozenset(sure)


def speaker_labels(texts: Iterable[str], declared: Iterable[str] = ()) -> frozenset[str]:
    """Which "Name:" and "[Name]" at the start of texts are speakers; a bare bracket as it stands ("[Anna]").

    A lone "Remember: castle early" and the sides "White:" and "Black:" are
    words, not speakers. A bracket alone names one where it opens several
    texts, where most others do, where the name stands with a colon elsewhere,
    or where the lesson declares it.
    """
    found = [m for t in texts if (m := _LABEL.match(t))]
    known = speakers(_named(m) for m in found if not m["bare"])
    bare = Counter(m["bare"] for m in found if m["bare"])
    fit = {b: n for b, n in bare.items() if _inner(b)[0].isupper() and not is_of_talk(_inner(b))}
    fit = {b: n for b, n in fit.items() if not any(c.isdigit() for c in b) and _inner(b).casefold() not in _NOT_NAMES}
    sure = {b for b, n in fit.items() if (n > 1 and b[0] == "[") or _inner(b) in known}
    sure |= {b for b in bare if _inner(b) in declared}
    if 3 * sum(bare[b] for b in sure) >= 2 * bare.total():
        sure |= fit.keys()
    return known | sure


def part_speaker(text: str, labels: frozenset[str]) -> tuple[str | None, str]:
    """(speaker, rest of the text); the speaker is None where no known label leads."""
    match = _LABEL.match(text)
    if match and (match["bare"] or _named(match)) in labels:
        return _named(match), f"{match['marks'].lstrip()} {text[match.end() :].lstrip()}".lstrip()
    return None, text


def spoken_by(blocks: Sequence[RawBlock], source: Source, *, lasting: bool = True) -> list[RawBlock]:
    """Blocks without the names that lead their lines, and with their speakers.

    Who was named last goes on speaking; not so a block's own speaker where
    these are not ``lasting``. Blocks that time their words stay as they are.
    """
    labels = speaker_labels((line for b in blocks if not b.words for line in b.lines), source.declared)
    speaker: str | None = None
    found = []
    for block in blocks:
        if not block.words:
            own = block.speaker is not None and not lasting
            block = _parted(block, labels, speaker)
            speaker = speaker if own else block.turns[-1][1] if block.turns else block.speaker
        found.append(block)
    return found


def spoken_count(text: str) -> int:
    """How many words of a text are spoken: all but the marks of sounds."""
    return sum(not MARK.fullmatch(word) for word in words_of(text))


def _parted(block: RawBlock, labels: frozenset[str], before: str | None) -> RawBlock:
    speaker, turns = block.speaker, list(block.turns)
    lines, count = [], 0
    for line in block.lines:
        name, rest = part_speaker(line, labels)
        if name and count:
            turns.append((count, name))
        elif name and block.speaker is None:
            speaker = name
        count += spoken_count(rest)
        lines += [rest] if rest else []
    return replace(block, lines=tuple(lines), speaker=speaker or before, turns=tuple(turns))


def _inner(bare: str) -> str:
    return bare[1:-1].removesuffix(":")


def _named(match: re.Match[str]) -> str:
    return match["name"] or match["held"] or match["numbered"] or _inner(match["bare"])

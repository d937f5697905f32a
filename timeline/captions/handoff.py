"""Captions handed to a translator and taken back: XLIFF 2.0 (OASIS Standard, 5 August 2014).

One unit is one caption, its times in the unit's ``name``, which every agent
has to keep (4.3.1.24), so the file alone gives the translated captions their
times. Squares, moves in notation and names stand in annotations with
``translate="no"`` (4.7.3.1.2). Line breaks are not handed over: the
translation gets its own.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from xml.etree import ElementTree
from xml.sax.saxutils import escape, quoteattr

from timeline.captions.compose import is_notation
from timeline.captions.lines import break_lines
from timeline.captions.notation import has_letters, in_english, piece_letters
from timeline.captions.report import measure, report_findings
from timeline.captions.rules import Rules
from timeline.captions.writers import ILLEGAL, tidy
from timeline.problems import Finding, PlylineError, Severity
from timeline.timecode import format_ms, parse_ms
from timeline.tracks import Caption

NAMESPACE = "urn:oasis:names:tc:xliff:document:2.0"
_XML = "{http://www.w3.org/XML/1998/namespace}"
_MOVE = "chess:move"
_SPEAKER = "speaker: "
_LANGUAGE = re.compile(r"[A-Za-z]{2,3}(-[A-Za-z0-9]{2,8})*")
_OWNER = re.compile(r"['’]s(?=\W*$)")
_PUNCTUATION = "\"'“”‘’«»()[]{}….,;:!?–—-¿¡"
_TELL = (
    "Words marked translate=no (squares, moves, names) stay as they are; moves get the piece letters of your language."
)


class TranslationError(PlylineError):
    """The file with the translation cannot be used."""


@dataclass(frozen=True, slots=True)
class Translation:
    """Translated captions with their language, and what a person should look at."""

    captions: tuple[Caption, ...]
    language: str
    findings: tuple[Finding, ...] = ()


def check_language(tag: str) -> str:
    """A BCP 47 tag as it is; TranslationError (``bad-language``) for anything else."""
    if not _LANGUAGE.fullmatch(tag):
        raise TranslationError.of("bad-language", f"{tag!r} is not a language", fix="write a tag such as fr or pt-BR")
    return tag


# -- hand off
def write_handoff(
    captions: Iterable[Caption],
    *,
    language: str,
    into: str,
    rules: Rules,
    names: Iterable[str] = (),
    title: str = "",
) -> str:
    """The captions (film time) as an XLIFF 2.0 document to be translated from ``language`` into ``into``.

    ``names``: words and groups of words that stay as they are. A note on each
    unit says how many characters can be read in its time. Raises
    TranslationError (``bad-language``), and PlylineError (``no-piece-letters``)
    for moves in letters that the other language's are not known for.
    """
    check_language(into)
    phrases = sorted({tuple(n.split()) for n in names if n.split()}, key=lambda p: (-len(p), p))
    units = [_unit(n, caption, rules, phrases, language) for n, caption in enumerate(tidy(captions), 1)]
    if any(f'type="{_MOVE}"' in unit for unit in units):
        piece_letters(into)
    head = f"{title}: {_TELL}" if title else _TELL
    return (
        '<?xml version="1.0" encoding="UTF-8"?>\n'
        f'<xliff xmlns="{NAMESPACE}" version="2.0" srcLang={quoteattr(language)} trgLang={quoteattr(into)}>\n'
        '  <file id="captions" original="captions.srt">\n'
        f"    <notes>\n      <note>{escape(ILLEGAL.sub(' ', head))}</note>\n    </notes>\n"
        + "".join(units)
        + "  </file>\n</xliff>\n"
    )


def _unit(number: int, caption: Caption, rules: Rules, phrases: Sequence[tuple[str, ...]], language: str) -> str:
    times = f"{format_ms(caption.start_ms)} - {format_ms(caption.end_ms)}"
    notes = [f"at most {_room(caption, rules)} characters can be read in its time"]
    if caption.speaker:
        notes.append(f"{_SPEAKER}{ILLEGAL.sub(' ', caption.speaker)}")
    told = "".join(f"        <note>{escape(note)}</note>\n" for note in notes)
    return (
        f'    <unit id="c{number}" name={quoteattr(times)}>\n      <notes>\n{told}      </notes>\n'
        f'      <segment state="initial">\n        <source>{_source(caption, phrases, language)}</source>\n'
        "      </segment>\n    </unit>\n"
    )


def _room(caption: Caption, rules: Rules) -> int:
    """Characters that fit the lines and can be read in the caption's time (at 6 a word where words are counted)."""
    p, seconds = rules.profile, (caption.end_ms - caption.start_ms) / 1000
    most = p.max_chars * p.max_lines
    cps = p.error_cps or p.warn_cps
    wpm = p.error_wpm or p.warn_wpm
    if cps:
        most = min(most, int(cps * seconds))
    if wpm:
        most = min(most, int(wpm / 60 * seconds * 6))
    return max(1, most)


def _source(caption: Caption, phrases: Sequence[tuple[str, ...]], language: str) -> str:
    """The text, in a language and its piece letters, with what is not to be translated marked."""
    words = caption.text.split()
    parts: list[str] = []
    k = count = 0
    if caption.speaker and words and words[0].upper() == f"{caption.speaker.upper()}:":
        parts.append(_marked(1, words[0], ""))
        k = count = 1
    while k < len(words):
        length = next((len(p) for p in phrases if _is_phrase(words[k : k + len(p)], p)), 0)
        if length or _is_move(words[k], language):
            count += 1
            lettered = not length and has_letters(language)
            parts.append(_held(count, " ".join(words[k : k + (length or 1)]), language if lettered else None))
            k += length or 1
        else:
            parts.append(escape(words[k]))
            k += 1
    return " ".join(parts)


def _is_move(word: str, language: str) -> bool:
    """Whether a word is a square or a move in the letters of a language."""
    return is_notation(in_english(_OWNER.sub("", word), language))


def _is_phrase(words: Sequence[str], phrase: tuple[str, ...]) -> bool:
    if len(words) < len(phrase):
        return False
    plain = [word.strip(_PUNCTUATION) for word in words]
    inside = all(word == bare for word, bare in zip(words[1:], plain[1:-1], strict=False))
    return inside and (*plain[:-1], plain[-1].removesuffix("'s").removesuffix("’s")) == phrase


def _held(number: int, text: str, letters: str | None) -> str:
    """A stretch in its annotation, the punctuation around it outside; ``letters``: the language of a move's piece letters."""
    head = text[: len(text) - len(text.lstrip(_PUNCTUATION))]
    tail = text[len(text.rstrip(_PUNCTUATION)) :]
    inner = text[len(head) : len(text) - len(tail)]
    for owner in ("'s", "’s"):
        if inner.endswith(owner):
            inner, tail = inner[: -len(owner)], owner + tail
    kind = f' type="{_MOVE}"' if letters and any(c in "KQRBN" for c in in_english(inner, letters)) else ""
    return escape(head) + _marked(number, inner, kind) + escape(tail)


def _marked(number: int, text: str, kind: str) -> str:
    return f'<mrk id="m{number}" translate="no"{kind}>{escape(text)}</mrk>'


# -- take back
class _NoDoctype(ElementTree.TreeBuilder):
    """Builds a tree of documents that declare nothing: no entities, no outside files."""

    def doctype(self, name: str, pubid: str | None, system: str | None) -> None:
        raise TranslationError.of("bad-xliff", "the file declares a document type; XLIFF has none")


@dataclass(frozen=True, slots=True)
class _Unit:
    id: str
    start_ms: int
    end_ms: int
    source: str
    target: str | None
    held: tuple[str, ...]
    speaker: str | None


def read_handoff(data: bytes, *, rules: Rules, current: Sequence[Caption] = (), name: str = "") -> Translation:
    """Translated captions from an XLIFF 2 document that ``write_handoff`` began.

    ``current`` captions, where given, tell whether the talk's captions changed
    since. Times are those of the document. Raises TranslationError: no XML, no
    XLIFF 2, no target language, captions without times, lost, twice, or not
    translated.
    """
    root = _parse(data, name)
    language = root.get("trgLang")
    if not language:
        raise TranslationError.of(
            "no-language", "the file does not say into which language it is translated", file=name,
            fix='add trgLang="fr" to its first element',
        )  # fmt: skip
    check_language(language)
    letters = (root.get("srcLang") or "en", language)
    units = [_read_unit(unit, name, letters) for unit in root.iter(f"{{{NAMESPACE}}}unit")]
    if not units:
        raise TranslationError.of("no-captions", "the file holds no captions", file=name)
    _whole(units, tidy(current), name)
    missing = [u for u in units if u.target is None]
    if missing:
        raise TranslationError.of(
            "not-translated",
            f"{len(missing)} of {len(units)} captions have no translation; the first is {missing[0].source!r}",
            file=name, at_ms=missing[0].start_ms, fix="translate them all, then take the file back",
        )  # fmt: skip
    captions = tidy(
        Caption(u.start_ms, u.end_ms, break_lines(u.target or "", language, rules), u.speaker) for u in units
    )
    findings = [*_lost(units, letters), *_changed(units, tidy(current))]
    told = {(u.start_ms, u.end_ms): u.source for u in units}
    report = measure(captions, rules, translated=[told.get((c.start_ms, c.end_ms)) for c in captions])
    findings += [f for f in report_findings(report) if f.severity is not Severity.NOTE]
    return Translation(tuple(captions), language, tuple(findings))


def _whole(units: Sequence[_Unit], current: Sequence[Caption], name: str) -> None:
    """Raise where a caption is no longer in the file, or is there twice."""
    ids = Counter(u.id for u in units)
    double = next((u for u in units if ids[u.id] > 1), None)
    if double:
        raise TranslationError.of(
            "caption-twice", f"the caption {double.id!r} stands in the file twice", file=name, at_ms=double.start_ms,
            fix="take one of the two units out",
        )  # fmt: skip
    numbers = [int(i[1:]) for i in ids if re.fullmatch(r"c[1-9]\d*", i)]
    most = max(numbers, default=0)
    now, then = [_row(c) for c in current], {_row(u) for u in units}
    if then < set(now):  # nothing else has changed since the hand-off
        most = max(most, len(now))
    lost = sorted(set(range(1, most + 1)) - set(numbers)) if len(numbers) == len(units) else []
    if lost:
        raise TranslationError.of(
            "captions-lost",
            f"{len(lost)} of {most} captions are no longer in the file; the first is 'c{lost[0]}'",
            file=name, at_ms=now[lost[0] - 1][0] if then < set(now) else None,
            fix="take the file back with all its units; what is not to be shown may have a dash for a translation",
        )  # fmt: skip


def _row(one: _Unit | Caption) -> tuple[int, int, str]:
    return one.start_ms, one.end_ms, one.source if isinstance(one, _Unit) else " ".join(one.text.split())


def _parse(data: bytes, name: str) -> ElementTree.Element:
    try:
        root = ElementTree.fromstring(data, ElementTree.XMLParser(target=_NoDoctype()))
    except ElementTree.ParseError as fault:
        line, column = fault.position
        raise TranslationError.of(
            "bad-xliff", "the file is not XML", file=name, line=line, column=column + 1,
            fix="export it again from the translator's program, as XLIFF 2",
        ) from None  # fmt: skip
    except TranslationError as fault:
        raise TranslationError.of(
            "bad-xliff", fault.findings[0].message, file=name, fix="take the declaration out"
        ) from None
    if root.tag != f"{{{NAMESPACE}}}xliff":
        raise TranslationError.of(
            "bad-xliff", "the file is not XLIFF 2", file=name,
            fix="use a file made by plyline captions --hand-off, saved as XLIFF 2",
        )  # fmt: skip
    return root


def _read_unit(unit: ElementTree.Element, name: str, letters: tuple[str, str]) -> _Unit:
    begin, _, end = (unit.get("name") or "").partition(" - ")
    try:
        start_ms, end_ms = parse_ms(begin), parse_ms(end)
    except PlylineError:
        start_ms = end_ms = 0
    if end_ms <= start_ms:
        raise TranslationError.of(
            "no-times", f"the caption {unit.get('id')!r} has lost its times", file=name,
            fix=f'its unit wants name="0:01.000 - 0:02.500"; it is {unit.get("name")!r}',
        )  # fmt: skip
    notes = [note.text or "" for note in unit.iter(f"{{{NAMESPACE}}}note")]
    speaker = next((note.removeprefix(_SPEAKER) for note in notes if note.startswith(_SPEAKER)), None)
    source, whole = "", True
    targets: list[tuple[int, str]] = []
    held: list[str] = []
    parts = [p for p in unit if p.tag in (f"{{{NAMESPACE}}}segment", f"{{{NAMESPACE}}}ignorable")]
    for place, part in enumerate(parts, 1):
        said, told = part.find(f"{{{NAMESPACE}}}source"), part.find(f"{{{NAMESPACE}}}target")
        source += _text(said, None)
        held += (
            [_text(m, None) for m in said.iter(f"{{{NAMESPACE}}}mrk") if m.get("translate") == "no"]
            if said is not None
            else []
        )
        written = _text(told, letters)
        if part.tag.endswith("}segment"):
            whole = whole and bool(written.strip())
        elif told is None:
            written = _text(said, letters)
        order = "" if told is None else told.get("order", "")
        targets.append((int(order) if order.isdecimal() else place, written))
    target = "".join(written for _, written in sorted(targets, key=lambda row: row[0]))
    return _Unit(
        unit.get("id") or "", start_ms, end_ms, " ".join(source.split()), " ".join(target.split()) if whole and target.strip() else None,
        tuple(held), speaker,
    )  # fmt: skip


def _text(element: ElementTree.Element | None, letters: tuple[str, str] | None) -> str:
    """The text of a source or target; its protected moves change their letters from one language's to the other's."""
    if element is None:
        return ""
    text = element.text or ""
    for child in element:
        inner = _text(child, letters)
        if child.tag == f"{{{NAMESPACE}}}cp":  # a character that XML cannot hold
            inner = " "
        elif letters and child.get("type") == _MOVE:
            inner = in_letters(inner, *letters)
        text += inner + (child.tail or "")
    return text


def in_letters(move: str, source: str, language: str) -> str:
    """A move in the piece letters of one language with those of another.

    >>> in_letters("Nxe5+", "en", "de"), in_letters("O-O", "en", "fr"), in_letters("Rf1", "fr", "de")
    ('Sxe5+', 'O-O', 'Kf1')
    """
    english = in_english(move, source)
    if english.startswith("O-O") or not any(c in "KQRBN" for c in english):
        return move
    table = piece_letters(language)
    return "".join(table[c] if c in "KQRBN" else c for c in english)


def _lost(units: Sequence[_Unit], letters: tuple[str, str]) -> list[Finding]:
    """Protected words that a translation does not have."""
    found = []
    for unit in units:
        target = unit.target or ""
        wanted = Counter(unit.held)
        gone = [
            word
            for word, count in wanted.items()
            if target.count(word) < count
            and not (_is_move(word, letters[0]) and target.count(in_letters(word, *letters)) >= count)
        ]
        if gone:
            found.append(
                Finding(
                    "chess-word-lost",
                    f"the translation {target!r} has lost {', '.join(gone)}",
                    Severity.WARNING, at_ms=unit.start_ms, said=unit.source, fix="put it back as it was",
                )
            )  # fmt: skip
    return found


def _changed(units: Sequence[_Unit], current: Sequence[Caption]) -> list[Finding]:
    """Whether the captions are no longer those that were handed off."""
    if not current:
        return []
    now, then = Counter(map(_row, current)), Counter(map(_row, units))
    other = sum((then - now).values())
    missing = sum((now - then).values())
    if not other and not missing:
        return []
    return [
        Finding(
            "captions-changed",
            f"since the hand-off the captions have changed: {other} of its {len(units)} captions are different now, "
            f"{missing} are new; the translation has the times and words of the hand-off",
            Severity.WARNING, fix="hand off again, or check these places",
        )
    ]  # fmt: skip

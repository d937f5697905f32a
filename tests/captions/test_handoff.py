"""Captions to a translator and back: times and chess words kept, faults told."""

from __future__ import annotations

import copy
import re
from xml.etree import ElementTree

import pytest
from hypothesis import given
from hypothesis import strategies as st

from timeline.captions.handoff import NAMESPACE, TranslationError, in_letters, read_handoff, write_handoff
from timeline.captions.rules import rules_for
from timeline.captions.writers import tidy
from timeline.problems import PlylineError
from timeline.tracks import Caption

RULES = rules_for("online")
CAPTIONS = [
    Caption(500, 2600, "Ilse Marrow & Ebbe Tolm,\nplease: <listen>.", None),
    Caption(3000, 5900, "Knight takes e5, and then Nf3's square\nis e5 again.", None),
    Caption(6000, 8000, "ANNA: Bxc6+ or O-O?", "Anna"),
]
NS = {"x": NAMESPACE}


def handed(captions=CAPTIONS, **options) -> str:
    return write_handoff(
        captions, **{"language": "en", "into": "de", "rules": RULES, "names": ["Ilse Marrow"], **options}
    )


def translated(document: str, change=lambda text: text) -> bytes:
    """What a translator's program does: a target beside each source, inline elements kept."""
    root = ElementTree.fromstring(document)
    for segment in root.iter(f"{{{NAMESPACE}}}segment"):
        source = segment.find("x:source", NS)
        target = ElementTree.SubElement(segment, f"{{{NAMESPACE}}}target")
        target.text = change(source.text or "")
        for mark in source:
            same = ElementTree.SubElement(target, mark.tag, mark.attrib)
            same.text, same.tail = mark.text, change(mark.tail or "")
        segment.set("state", "translated")
    return ElementTree.tostring(root, encoding="utf-8", xml_declaration=True)


def units_of(document: bytes) -> tuple[ElementTree.Element, ElementTree.Element, list[ElementTree.Element]]:
    root = ElementTree.fromstring(document)
    file = root.find("x:file", NS)
    return root, file, file.findall("x:unit", NS)


def without(document: bytes, number: int) -> bytes:
    root, file, units = units_of(document)
    file.remove(units[number - 1])
    return ElementTree.tostring(root, encoding="utf-8")


def twice(document: bytes, number: int) -> bytes:
    """Not as XLIFF allows it (4.3.1.1: ids are unique), but as files are pasted together."""
    root, file, units = units_of(document)
    file.append(copy.deepcopy(units[number - 1]))
    return ElementTree.tostring(root, encoding="utf-8")


def held(document: str) -> list[list[str]]:
    root = ElementTree.fromstring(document)
    return [
        [m.text for m in unit.iter(f"{{{NAMESPACE}}}mrk") if m.get("translate") == "no"]
        for unit in root.iter(f"{{{NAMESPACE}}}unit")
    ]


def test_one_unit_a_caption_with_its_times():
    """XLIFF 2.0: version, languages, unique ids, one source a segment; the times in the unit's name."""
    root = ElementTree.fromstring(handed())
    assert (root.tag, root.get("version"), root.get("srcLang"), root.get("trgLang")) == (
        f"{{{NAMESPACE}}}xliff", "2.0", "en", "de",
    )  # fmt: skip
    units = list(root.iter(f"{{{NAMESPACE}}}unit"))
    assert [u.get("id") for u in units] == ["c1", "c2", "c3"]
    assert [u.get("name") for u in units] == ["0:00.500 - 0:02.600", "0:03.000 - 0:05.900", "0:06.000 - 0:08.000"]
    assert "".join(units[0].find(".//x:source", NS).itertext()) == "Ilse Marrow & Ebbe Tolm, please: <listen>."
    notes = [n.text for n in units[2].iter(f"{{{NAMESPACE}}}note")]
    assert notes == ["at most 40 characters can be read in its time", "speaker: Anna"]


def test_squares_moves_and_names_are_not_to_be_translated():
    """XLIFF 2.0, 4.7.3.1.2: the translate annotation."""
    assert held(handed()) == [["Ilse Marrow"], ["e5", "Nf3", "e5"], ["ANNA:", "Bxc6+", "O-O"]]


def test_there_and_back_is_the_same_with_the_languages_letters():
    back = read_handoff(translated(handed()), rules=RULES, current=CAPTIONS)
    assert back.language == "de"
    assert [(c.start_ms, c.end_ms, c.speaker) for c in back.captions] == [
        (c.start_ms, c.end_ms, c.speaker) for c in CAPTIONS
    ]
    assert back.captions[1].text.replace("\n", " ") == "Knight takes e5, and then Sf3's square is e5 again."
    assert back.captions[2].text == "ANNA: Lxc6+ or O-O?"
    assert back.findings == ()


def test_the_translation_gets_its_own_line_breaks():
    longer = translated(handed(), lambda text: text.replace("Knight takes", "Der Springer schlägt sofort auf"))
    back = read_handoff(longer, rules=RULES)
    assert all(len(line) <= 42 for c in back.captions for line in c.text.split("\n"))
    assert len(back.captions[1].text.split("\n")) == 2


def test_a_translation_that_is_too_long_is_a_finding():
    back = read_handoff(translated(handed(), lambda text: text * 4), rules=RULES)
    assert {"caption-lines", "caption-too-fast"} <= {f.code for f in back.findings}
    long = next(f for f in back.findings if f.code == "caption-lines")
    assert re.search(r"the translation has \d+ characters, what it translates \d+$", long.message), long.message
    assert not any("own line breaks" in f.message or "no more time" in f.message for f in back.findings)


def test_a_lost_chess_word_is_a_finding_with_its_time():
    gone = translated(handed()).decode()
    at = gone.rindex("e5", 0, gone.index("c3"))
    back = read_handoff((gone[:at] + "e7" + gone[at + 2 :]).encode(), rules=RULES)
    (finding,) = [f for f in back.findings if f.code == "chess-word-lost"]
    assert (finding.at_ms, "e5" in finding.message) == (3000, True)


def test_captions_that_changed_since_are_told():
    now = [CAPTIONS[0], Caption(3000, 5900, "Knight takes e5."), CAPTIONS[2]]
    back = read_handoff(translated(handed()), rules=RULES, current=now)
    (finding,) = [f for f in back.findings if f.code == "captions-changed"]
    assert "1 of its 3 captions are different now" in finding.message


@pytest.mark.parametrize(
    ("damage", "code", "says"),
    [
        (lambda d: b"", "bad-xliff", "not XML"),
        (lambda d: d[:200], "bad-xliff", "not XML"),
        (lambda d: b"<xliff/>", "bad-xliff", "not XLIFF 2"),
        (lambda d: d.replace(b"document:2.0", b"document:1.2"), "bad-xliff", "not XLIFF 2"),
        (lambda d: d.replace(b' trgLang="de"', b""), "no-language", "into which language"),
        (lambda d: d.replace(b'"de"', b'"../de"'), "bad-language", "is not a language"),
        (lambda d: d.replace(b"0:03.000 - 0:05.900", b"chapter 2"), "no-times", "'c2' has lost its times"),
        (lambda d: d.replace(b"0:03.000 - 0:05.900", b"0:05.900 - 0:03.000"), "no-times", "'c2' has lost its times"),
        (lambda d: handed().encode(), "not-translated", "3 of 3 captions have no translation"),
        (lambda d: handed([]).encode(), "no-captions", "holds no captions"),
        (lambda d: without(d, 2), "captions-lost", "1 of 3 captions are no longer in the file; the first is 'c2'"),
        (lambda d: twice(d, 2), "caption-twice", "'c2' stands in the file twice"),
        (lambda d: b'<!DOCTYPE x [<!ENTITY a "b">]>' + d.split(b"?>", 1)[1], "bad-xliff", "document type"),
    ],
)  # fmt: skip
def test_faults_are_told(damage, code: str, says: str):
    with pytest.raises(TranslationError) as caught:
        read_handoff(damage(translated(handed())), rules=RULES, name="talk.de.xlf")
    (finding,) = caught.value.findings
    assert (finding.code, says in finding.message) == (code, True)
    assert code == "bad-language" or finding.file == "talk.de.xlf"


def test_segments_that_a_program_split_are_joined():
    """XLIFF 2.0, 4.2.2: a unit may be segmented anew; what stands between stays."""
    one = translated(handed([Caption(0, 3000, "One. Two.")])).decode()
    parts = one.split("<ns0:segment", 1)
    tail = parts[1].split("</ns0:segment>", 1)[1]
    split = (
        parts[0]
        + "<ns0:segment><ns0:source>One.</ns0:source><ns0:target>Eins.</ns0:target></ns0:segment>"
        + "<ns0:ignorable><ns0:source> </ns0:source></ns0:ignorable>"
        + "<ns0:segment><ns0:source>Two.</ns0:source><ns0:target>Zwei.</ns0:target></ns0:segment>"
        + tail
    )
    back = read_handoff(split.encode(), rules=RULES)
    assert [c.text for c in back.captions] == ["Eins. Zwei."]


def test_targets_stand_in_the_order_they_ask_for():
    """XLIFF 2.0, 4.3.1.19: order, the place of a target among the segments and ignorables of its unit."""
    root, _, units = units_of(translated(handed([Caption(0, 3000, "One. Two.")])))
    units[0].remove(units[0].find("x:segment", NS))
    for part in (
        f'<segment xmlns="{NAMESPACE}"><source>He won.</source><target order="3">gewann er.</target></segment>',
        f'<ignorable xmlns="{NAMESPACE}"><source> </source></ignorable>',
        f'<segment xmlns="{NAMESPACE}"><source>Late.</source><target order="1">Spät</target></segment>',
    ):
        units[0].append(ElementTree.fromstring(part))
    back = read_handoff(ElementTree.tostring(root, encoding="utf-8"), rules=RULES)
    assert [c.text for c in back.captions] == ["Spät gewann er."]


def test_units_in_any_order_make_the_same_captions():
    root, file, units = units_of(translated(handed()))
    for unit in units[::-1]:
        file.remove(unit)
        file.append(unit)
    back = read_handoff(ElementTree.tostring(root, encoding="utf-8"), rules=RULES, current=CAPTIONS)
    assert back == read_handoff(translated(handed()), rules=RULES, current=CAPTIONS)


def test_protected_words_may_stand_elsewhere_in_the_sentence():
    root, _, units = units_of(translated(handed()))
    target = units[1].find(".//x:target", NS)
    marks = list(target)
    for mark in marks:
        target.remove(mark)
    target.text = "Das Feld von "
    for mark, tail in zip((marks[1], marks[0], marks[2]), (" ist auch ", ", also ", "."), strict=True):
        mark.tail = tail
        target.append(mark)
    back = read_handoff(ElementTree.tostring(root, encoding="utf-8"), rules=RULES, current=CAPTIONS)
    assert back.captions[1].text.replace("\n", " ") == "Das Feld von Sf3 ist auch e5, also e5."
    assert back.findings == ()


def test_the_last_caption_lost_is_told_by_those_of_now():
    with pytest.raises(TranslationError, match="1 of 3 captions are no longer in the file"):
        read_handoff(without(translated(handed()), 3), rules=RULES, current=CAPTIONS)


def test_a_language_is_checked_before_anything_is_written():
    with pytest.raises(TranslationError, match="is not a language"):
        handed(into="french, please")


@pytest.mark.parametrize(
    ("move", "languages", "written"),
    [
        ("Nf3", ("en", "fr"), "Cf3"), ("exd8=Q+", ("en", "de"), "exd8=D+"), ("O-O-O", ("en", "hu"), "O-O-O"),
        ("Rf1", ("fr", "en"), "Kf1"), ("Sxe5", ("de", "es"), "Cxe5"), ("e5", ("en", "ru"), "e5"),
    ],
)  # fmt: skip
def test_letters_of_moves(move: str, languages: tuple[str, str], written: str):
    """PGN standard, section 17: R is the French king, S the German knight."""
    assert in_letters(move, *languages) == written


def test_moves_in_another_language_than_english_are_kept_and_get_the_translations_letters():
    german = [Caption(500, 3600, "Springer schlägt, Sxe5, und dann Dh5+.")]
    document = handed(german, language="de", into="fr")
    assert held(document) == [["Sxe5", "Dh5+"]]
    back = read_handoff(translated(document), rules=RULES, current=german)
    assert back.captions[0].text.replace("\n", " ") == "Springer schlägt, Cxe5, und dann Dh5+."
    assert back.findings == ()


def test_moves_are_not_handed_to_a_language_whose_letters_nobody_knows():
    """Never English letters in silence; squares alone need none."""
    with pytest.raises(PlylineError, match="piece letters of the language 'ru' are not known here"):
        handed(into="ru")
    squares = [Caption(500, 3600, "The knight takes e5, and it is over.")]
    back = read_handoff(translated(handed(squares, into="ru")), rules=RULES, current=squares)
    assert back.captions[0].text.replace("\n", " ") == squares[0].text


TEXTS = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cs"], exclude_characters="KQRBN"), min_size=1, max_size=40
)
ANY = st.builds(Caption, st.integers(0, 9_000_000), st.integers(0, 9_000_000), TEXTS, st.none() | TEXTS)


@given(st.lists(ANY, min_size=1, max_size=6))
def test_whatever_the_captions_they_come_back(captions: list[Caption]):
    """Without piece letters, which change with the language."""
    kept = tidy(captions)
    if not kept:
        return
    back = read_handoff(translated(handed(captions, names=["a b"])), rules=RULES)
    assert [(c.start_ms, c.end_ms) for c in back.captions] == [(c.start_ms, c.end_ms) for c in kept]
    assert [c.text.split() for c in back.captions] == [c.text.split() for c in kept]

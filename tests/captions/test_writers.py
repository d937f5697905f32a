"""Caption files read back by other libraries, whatever the text; line ends, encoding, escaping."""

from __future__ import annotations

import re
from datetime import timedelta
from html.parser import HTMLParser
from io import StringIO
from itertools import pairwise
from xml.etree import ElementTree

import pysubs2
import pytest
import srt
import ttconv.imsc.reader
import ttconv.srt.writer
import webvtt
from hypothesis import given
from hypothesis import strategies as st

from timeline.captions import WRITERS, About, Place, writer_for
from timeline.captions.webvtt import cue_settings
from timeline.captions.writers import tidy
from timeline.problems import OutputError
from timeline.tracks import BoardSpan, BoardTrack, Caption, Chapter

ODD = "Knight & bishop <3\ne4 --> e5 </v> {\\an8} ü ♘ שחמט 👩‍🏫"
TWO = [Caption(1000, 2500, "The first one."), Caption(2567, 3_725_004, ODD)]

TEXTS = st.text(st.characters(codec="utf-8", exclude_categories=["Cs"]), max_size=60)
CAPTIONS = st.lists(
    st.builds(Caption, st.integers(-500, 9_000_000), st.integers(-500, 9_000_000), TEXTS, st.none() | TEXTS), max_size=8
)


def test_every_promised_format_has_a_writer():
    assert sorted(WRITERS) == [".html", ".srt", ".ttml", ".txt", ".vtt"]
    with pytest.raises(OutputError, match=r"use one of \.html, \.srt, \.ttml, \.txt, \.vtt"):
        writer_for(".ass")


def test_subrip_as_every_reader_takes_it():
    """Common practice: numbers from 1, HH:MM:SS,mmm, LF, one blank line between, nothing that looks like markup."""
    text = writer_for(".srt")(TWO)
    assert text == (
        "1\n00:00:01,000 --> 00:00:02,500\nThe first one.\n\n"
        "2\n00:00:02,567 --> 01:02:05,004\nKnight & bishop <3\ne4 → e5 ‹/v> (\\an8} ü ♘ שחמט 👩‍🏫\n\n"
    )


def test_webvtt_escapes_and_numbers():
    """WebVTT 4.2.2: & and < are escaped; > is, so that no arrow can stand in a text."""
    text = writer_for(".vtt")(TWO)
    assert text.startswith("WEBVTT\n\n1\n00:00:01.000 --> 00:00:02.500\nThe first one.\n\n2\n")
    assert "Knight &amp; bishop &lt;3\ne4 --&gt; e5 &lt;/v&gt;" in text
    assert text.count("-->") == 2


def test_ttml_is_imsc_1_1_text():
    """W3C IMSC 1.1: content profile named, media time base, a region inside the root, begin and end on each p."""
    root = ElementTree.fromstring(writer_for(".ttml")(TWO, About("A & B", "en-GB")))
    ns = {"t": "http://www.w3.org/ns/ttml"}
    assert root.get("{http://www.w3.org/XML/1998/namespace}lang") == "en-GB"
    assert root.get("{http://www.w3.org/ns/ttml#parameter}contentProfiles").endswith("/imsc1.1/text")
    assert root.get("{http://www.w3.org/ns/ttml#parameter}timeBase") == "media"
    region = root.find(".//t:region", ns)
    styling = "{http://www.w3.org/ns/ttml#styling}"
    (left, top), (width, height) = (
        [float(v) for v in region.get(styling + k).replace("%", "").split()] for k in ("origin", "extent")
    )
    assert left + width <= 100
    assert top + height <= 100
    assert [(p.get("begin"), p.get("end")) for p in root.iterfind(".//t:p", ns)] == [
        ("00:00:01.000", "00:00:02.500"), ("00:00:02.567", "01:02:05.004"),
    ]  # fmt: skip


def read_times(text: str) -> list[tuple[int, int]]:
    ms = timedelta(milliseconds=1)
    return [(s.start // ms, s.end // ms) for s in srt.parse(text)]


@given(CAPTIONS)
def test_whatever_the_captions_subrip_is_read_alike(captions: list[Caption]):
    """srt and pysubs2 (both strict about nothing): as many captions, the same times, sorted, without overlap."""
    text = writer_for(".srt")(captions)
    kept = tidy(captions)
    times = [(c.start_ms, c.end_ms) for c in kept]
    assert read_times(text) == times
    assert [(e.start, e.end) for e in pysubs2.SSAFile.from_string(text, format_="srt")] == times if kept else True
    assert [s.content for s in srt.parse(text)] == [s.content.strip("\n") for s in srt.parse(text)]
    assert all(a.end_ms <= b.start_ms for a, b in pairwise(kept))


@given(CAPTIONS)
def test_whatever_the_captions_webvtt_is_read_alike(captions: list[Caption]):
    text = writer_for(".vtt")(captions, About(place=Place(10, 80, 80, 15)))
    kept = tidy(captions)
    assert text.count("-->") == len(kept)
    read = list(webvtt.from_buffer(StringIO(text)))
    assert [(c.start_in_seconds, c.end_in_seconds) for c in read] == [
        (c.start_ms // 1000, c.end_ms // 1000) for c in kept
    ]
    assert all(a.start_ms < b.start_ms for a, b in pairwise(kept))


@given(CAPTIONS)
def test_whatever_the_captions_ttml_is_well_formed_and_says_the_same(captions: list[Caption]):
    root = ElementTree.fromstring(writer_for(".ttml")(captions, About("ü & <", "de")))
    read = ["\n".join(p.itertext()) for p in root.iter("{http://www.w3.org/ns/ttml}p")]
    assert [r.replace("\n", "") for r in read] == [c.text.replace("\n", "") for c in tidy(captions)]


def test_ttconv_reads_our_ttml():
    document = ttconv.imsc.reader.to_model(ElementTree.ElementTree(ElementTree.fromstring(writer_for(".ttml")(TWO))))
    theirs = list(srt.parse(ttconv.srt.writer.from_model(document)))
    assert read_times(srt.compose(theirs)) == [(1000, 2500), (2567, 3_725_004)]
    assert theirs[1].content.split()[:4] == ["Knight", "&", "bishop", "<3"]


class Page(HTMLParser):
    """Collects what a browser would show and what a page may not have."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.text = ""
        self.outside: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        self.outside += [
            v or "" for k, v in attrs if k in ("src", "href", "xlink:href") and not (v or "").startswith("#")
        ]

    def handle_data(self, data: str) -> None:
        self.text += data


SPANS = (
    BoardSpan(0, 1500, "rnbqkbnr/pppppppp/8/8/8/8/PPPPPPPP/RNBQKBNR w KQkq - 0 1", (), 0, "start", "score"),
    BoardSpan(1500, 9000, "rnbqkbnr/pppppppp/8/8/4P3/8/PPPP1PPP/RNBQKBNR b KQkq - 0 1", ("e2e4",), 1, "1w", "score"),
)


def test_the_page_stands_alone_with_times_chapters_and_diagrams():
    track = BoardTrack(SPANS[0].fen, ("e2e4",), SPANS)
    captions = [Caption(0, 1400, "Welcome."), Caption(1500, 4000, "White plays e4 </p><script>alert(1)</script>")]
    about = About("A <b>title</b>", "en", "Anna", board=track, chapters=(Chapter(0, "Start & go"),))
    text = writer_for(".html")(captions, about)
    page = Page()
    page.feed(text)
    assert "script" not in page.tags
    assert "b" not in page.tags
    assert page.outside == []
    assert page.tags.count("figure") >= 1
    assert "after 1. e4" in page.text
    assert "Start & go" in page.text
    assert 'datetime="PT0S">0:00<' in text
    assert 'aria-label="White: king e1' in text or "All pieces at home" in text


def test_the_transcript_has_paragraphs_with_their_time():
    captions = [Caption(0, 2000, "One two\nthree."), Caption(65_000, 66_000, "Four."), Caption(70_000, 71_000, "Five.")]
    about = About("The title", chapters=(Chapter(0, "a"), Chapter(65_000, "b")))
    assert writer_for(".txt")(captions, about) == "The title\n\n[0:00] One two three.\n\n[1:05] Four. Five.\n"


# -- bytes
@pytest.mark.parametrize("suffix", sorted(WRITERS))
def test_lf_and_no_mark_unless_asked_for(suffix: str):
    text = writer_for(suffix)(TWO)
    assert "\r" not in text
    assert not text.startswith("\ufeff")
    assert text.endswith("\n")
    asked = writer_for(suffix)(TWO, About(bom=True, crlf=True))
    assert asked.startswith("\ufeff")
    assert "\n" not in asked.replace("\r\n", "")
    assert asked.removeprefix("\ufeff").replace("\r\n", "\n") == text


@pytest.mark.parametrize("suffix", [".srt", ".vtt"])
def test_other_readers_take_mark_and_crlf(suffix: str):
    data = writer_for(suffix)(TWO, About(bom=True, crlf=True))
    assert [e.start for e in pysubs2.SSAFile.from_string(data.replace("\r\n", "\n"), format_=suffix[1:])] == [
        1000,
        2567,
    ]


# -- places
@given(st.floats(-20, 140), st.floats(-20, 140), st.floats(-5, 200), st.floats(0, 200))
def test_a_cue_box_never_leaves_the_picture(left: float, top: float, width: float, height: float):
    """WebVTT 7.2: percentages of 0 to 100; a box that reaches beyond the edge is cut by players."""
    settings = cue_settings(Place(left, top, width, height))
    numbers = dict(re.findall(r"(line|position|size):([\d.]+)%", settings))
    line, position, size = (float(numbers[k]) for k in ("line", "position", "size"))
    assert 0 <= line <= 100
    begin = position - size / 2  # centred, as is the default (WebVTT 6.1)
    assert begin >= -0.01
    assert begin + size <= 100.01

"""Chapter files, read back by outside readers."""

from __future__ import annotations

import json
import re
import subprocess
import wave
from io import StringIO
from pathlib import Path
from xml.etree import ElementTree

import av
import pytest
import webvtt
from hypothesis import given
from hypothesis import strategies as st

from timeline.chapters import WRITERS, ChapterList, writer_for
from timeline.chapters.rules import clean_title, whole
from timeline.problems import OutputError
from timeline.tracks import Chapter

ODD = r"Setup = fight; move #1 \ done <b>&amp; --> ]]> ü 🐴 שח"
LIST = ChapterList(
    (Chapter(0, "Introduction"), Chapter(59_900, ODD), Chapter(3_725_000, "The end")), 4_000_000, "T = 1 <x>", "en-GB"
)

titles = st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), min_size=1, max_size=40)


def chapter_list(found: dict[int, str]) -> ChapterList:
    chapters = [Chapter(at, title) for at, title in found.items()]
    return ChapterList(whole(chapters, 9_000_000, opening_title="A"), 9_000_000)


lists = st.builds(chapter_list, st.dictionaries(st.integers(0, 8_999_999), titles, max_size=6))


def test_every_promised_format_has_a_writer():
    assert sorted(WRITERS) == [".ffmeta", ".json", ".txt", ".vtt", ".xml"]
    with pytest.raises(OutputError, match=r"use one of \.ffmeta, \.json, \.txt, \.vtt, \.xml"):
        writer_for(".doc")


def test_the_plain_list_rounds_down():
    """Common practice at video hosts: M:SS or H:MM:SS and the title, a line each."""
    assert writer_for(".txt")(LIST) == f"0:00 Introduction\n0:59 {ODD}\n1:02:05 The end\n"


@pytest.mark.parametrize(
    ("ms", "clock"),
    [
        (0, "0:00"),
        (59_900, "0:59"),
        (60_000, "1:00"),
        (3_599_000, "59:59"),
        (3_600_000, "1:00:00"),
        (3_725_000, "1:02:05"),
    ],
)
def test_times_of_the_plain_list(ms: int, clock: str):
    found = ChapterList((Chapter(0, "A"), Chapter(ms, "B")) if ms else (Chapter(0, "B"),), 9_000_000)
    assert writer_for(".txt")(found).splitlines()[-1] == f"{clock} B"


# -- WebVTT
def test_webvtt_is_read_by_webvtt_py():
    captions = webvtt.from_buffer(StringIO(writer_for(".vtt")(LIST)))
    assert [(c.identifier, c.start, c.end) for c in captions] == [
        ("1", "00:00:00.000", "00:00:59.900"),
        ("2", "00:00:59.900", "01:02:05.000"),
        ("3", "01:02:05.000", "01:06:40.000"),
    ]


@given(lists)
def test_webvtt_chapters_keep_the_standard(found: ChapterList):
    """W3C WebVTT, sections 4.1 and 4.4: no '-->' or tag in a title, ends after starts, cues one after another."""
    text = writer_for(".vtt")(found)
    assert text.startswith("WEBVTT\n\n")
    blocks = text.removeprefix("WEBVTT\n\n").removesuffix("\n").split("\n\n")
    assert len(blocks) == len(found.chapters)
    previous = -1
    for block in blocks:
        _, times, title = block.split("\n")
        match = re.fullmatch(r"(\d\d+):([0-5]\d):([0-5]\d)\.(\d{3}) --> (\d\d+):([0-5]\d):([0-5]\d)\.(\d{3})", times)
        assert match
        h, m, s, ms, h2, m2, s2, ms2 = map(int, match.groups())
        start, end = ((h * 60 + m) * 60 + s) * 1000 + ms, ((h2 * 60 + m2) * 60 + s2) * 1000 + ms2
        assert previous <= start < end
        previous = end
        assert "-->" not in title
        assert "<" not in title
        assert re.sub(r"&(amp|lt|gt);", "", title).count("&") == 0


# -- ffmetadata
def read_ffmetadata(text: str, folder: Path) -> tuple[dict[str, str], list[tuple[int, int, str]]]:
    """libavformat's own reader, through PyAV."""
    path = folder / "c.ffmeta"
    path.write_text(text, encoding="utf-8", newline="\n")
    with av.open(str(path), format="ffmetadata") as container:
        chapters = [(c["start"], c["end"], c["metadata"].get("title", "")) for c in container.chapters()]
        return dict(container.metadata), chapters


def test_ffmetadata_is_read_by_libavformat(tmp_path: Path):
    metadata, chapters = read_ffmetadata(writer_for(".ffmeta")(LIST), tmp_path)
    assert metadata == {"title": "T = 1 <x>"}
    assert chapters == [(0, 59_900, "Introduction"), (59_900, 3_725_000, ODD), (3_725_000, 4_000_000, "The end")]


@given(found=lists)
def test_ffmetadata_survives_libavformat(found: ChapterList, tmp_path_factory: pytest.TempPathFactory):
    text = writer_for(".ffmeta")(found)
    _, chapters = read_ffmetadata(text, tmp_path_factory.getbasetemp())
    assert chapters == [
        (c.start_ms, end, c.title + (" " if c.title.endswith("\\") else "")) for c, end in found.ends()
    ]
    assert "TIMEBASE=1/1000" in text


# -- Matroska
@given(lists)
def test_matroska_xml_is_well_formed_and_whole(found: ChapterList):
    """RFC 9559, section 5.1.7: UIDs are not 0, an end is not before its start."""
    root = ElementTree.fromstring(writer_for(".xml")(found))
    assert [e.findtext("ChapterDisplay/ChapterString") for e in root.iter("ChapterAtom")] == [
        c.title for c in found.chapters
    ]
    uids = [int(e.text or 0) for e in [*root.iter("ChapterUID"), *root.iter("EditionUID")]]
    assert all(0 < uid < 1 << 63 for uid in uids)
    assert len(set(uids)) == len(uids)


@pytest.mark.referee("mkvmerge", "mkvextract")
def test_matroska_xml_is_muxed_and_extracted_again(tmp_path: Path, referee_path):
    """mkvmerge takes the file as it is; mkvextract gives the same times and titles."""
    with wave.open(str(tmp_path / "a.wav"), "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(1)
        sound.setframerate(8000)
        sound.writeframes(b"\x80" * 8000)
    (tmp_path / "c.xml").write_text(writer_for(".xml")(LIST), encoding="utf-8")
    film = tmp_path / "a.mka"
    subprocess.run(
        [referee_path("mkvmerge"), "-q", "-o", film, "--chapters", tmp_path / "c.xml", tmp_path / "a.wav"], check=True
    )
    back = tmp_path / "back.xml"
    subprocess.run([referee_path("mkvextract"), film, "chapters", back], check=True, capture_output=True)
    atoms = list(ElementTree.parse(back).getroot().iter("ChapterAtom"))
    assert [a.findtext("ChapterTimeStart") for a in atoms] == [
        "00:00:00.000000000",
        "00:00:59.900000000",
        "01:02:05.000000000",
    ]
    assert [a.findtext("ChapterDisplay/ChapterString") for a in atoms] == ["Introduction", ODD, "The end"]
    assert atoms[0].findtext("ChapterDisplay/ChapLanguageIETF") == "en-GB"


# -- JSON
@given(lists)
def test_json_keeps_version_1_2(found: ChapterList):
    """Podcast namespace, JSON Chapters 1.2: version and chapters required; startTime a number, ascending."""
    data = json.loads(writer_for(".json")(found))
    assert data["version"] == "1.2.0"
    starts = [c["startTime"] for c in data["chapters"]]
    assert starts == sorted(starts)
    assert [round(s * 1000) for s in starts] == [c.start_ms for c in found.chapters]
    assert all(isinstance(c["title"], str) and c["endTime"] > c["startTime"] for c in data["chapters"])


# -- titles
@pytest.mark.parametrize(
    ("title", "clean"),
    [
        ("  a\n b\u2028c\x00 ", "a b c"),
        ("x" * 300, "x" * 255),
        ("ü" * 200, "ü" * 127),
        ("🐴" * 100, "🐴" * 63),
        ("", ""),
    ],
)
def test_titles_are_one_line_and_fit_an_mp4(title: str, clean: str):
    """MP4's chapter list counts a title's bytes in one byte; a cut never goes through a character."""
    assert clean_title(title) == clean

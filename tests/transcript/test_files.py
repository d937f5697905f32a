"""Tables, encodings, and what is no transcript."""

from __future__ import annotations

import codecs
from pathlib import Path

import pytest
from reading import read, refused, texts

from timeline.problems import TranscriptError
from timeline.transcript.read import load_transcript
from timeline.transcript.words import Timing


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("start,end,text\n5.0,8.0,hello there\n9.0,12.0,and more\n", "t.csv"),
        ('Start;End;Speaker;Text\n0:05;0:08;Anna;"hello there"\n0:09;0:12;Anna;and more\n', "t.csv"),
        ("start\tend\ttext\n5000\t8000\thello there\n9000\t12000\tand more\n", "t.tsv"),
        ("5.000000\t8.000000\thello there\n9.000000\t12.000000\tand more\n", "labels.txt"),
        ("5.0\t8.0\thello there\n\\\t100.0\t2000.0\n9.0\t12.0\tand more\n", "labels.txt"),
    ],
)
def test_tables(text: str, name: str):
    talk = read(text, name)
    assert talk.kind == "table"
    assert texts(talk) == ["hello", "there", "and", "more"]
    assert [(b.start_ms, b.end_ms) for b in talk.blocks] == [(5000, 8000), (9000, 12_000)]


def test_a_table_of_words_gives_their_own_times():
    talk = read("word,start,end\nhello,5.0,5.4\nthere,5.4,6.0\nagain.,6.1,6.5\n", "t.csv")
    assert [(w.onset_ms, w.timing) for w in talk.words] == [
        (5000, Timing.WORD),
        (5400, Timing.WORD),
        (6100, Timing.WORD),
    ]


def test_a_bad_cell_has_its_line():
    finding = refused("start,end,text\n5.0,8.0,hello\nlater,12.0,more\n", "t.csv")
    assert (finding.code, finding.line) == ("bad-time", 3)


# -- files
@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "cp1252"])
def test_encodings(tmp_path: Path, encoding: str):
    path = tmp_path / "talk.txt"
    path.write_bytes("[0:05] Grünfeld’s idea – café\n[0:09] and more\n".encode(encoding))
    assert texts(load_transcript(path)[0])[:3] == ["Grünfeld’s", "idea–", "café"]


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "empty-file"),
        (b" \n\n", "empty-file"),
        (codecs.BOM_UTF8, "empty-file"),
        (b"PK\x03\x04" + bytes(200), "not-a-transcript"),
        (b"%PDF-1.7\n" + bytes(range(256)), "not-a-transcript"),
        (b"RIFF\x00\x00\x00\x00WAVEfmt " + bytes(100), "not-a-transcript"),
        (bytes(4) + b"ftypM4A " + bytes(100), "not-a-transcript"),
        (b"<html><body>[0:05] hi</body></html>", "not-a-transcript"),
        (b"[Script Info]\nTitle: x\n", "not-a-transcript"),
        (b'[Event "x"]\r\n[Site "?"]\r\n\r\n1. e4 e5 *\r\n', "not-a-transcript"),
        (bytes(range(1, 32)) * 40, "not-text"),
    ],
)
def test_what_is_no_transcript_is_named(tmp_path: Path, data: bytes, code: str):
    path = tmp_path / "talk.txt"
    path.write_bytes(data)
    with pytest.raises(TranscriptError) as caught:
        load_transcript(path)
    assert caught.value.findings[0].code == code


def test_a_missing_file_and_a_folder(tmp_path: Path):
    for path, code in ((tmp_path / "none.txt", "no-file"), (tmp_path, "not-a-file")):
        with pytest.raises(TranscriptError) as caught:
            load_transcript(path)
        assert caught.value.findings[0].code == code


@pytest.mark.parametrize(
    ("given", "read_as"),
    [
        ("Watch \U0001f469\u200d\U0001f3eb move", ["Watch\U0001f469\u200d\U0001f3eb", "move"]),
        ("\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645 e4", ["\u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645", "e4"]),
        ("zero\u200d wid\u200cth \u200bnothing", ["zero", "width", "nothing"]),
    ],
    ids=["emoji of two", "persian", "stray"],
)  # fmt: skip
def test_joiners_stay_where_they_join(given: str, read_as: list[str]):
    """Unicode 15, 23.2: U+200D joins emoji to one sign, U+200C and U+200D shape letters; in plain Latin text they are stray."""
    assert texts(read(f"[0:01] {given}\n[0:09] the end\n", end_ms=20_000))[: len(read_as)] == read_as

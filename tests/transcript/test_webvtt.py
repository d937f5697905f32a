"""WebVTT: the standard's forms, and others that occur."""

from __future__ import annotations

import pytest
from reading import read, refused, texts, warnings

from timeline.transcript.words import Timing

VTT = """WEBVTT - a talk
Kind: captions
Language: en

STYLE
::cue { color: white }

REGION
id:below
lines:2

NOTE
This is a comment
of two lines.

first
00:05.000 --> 00:08.000 align:start position:10%
<v.loud Anna Lee>rook &amp; pawn</v>

NOTE a comment with an --> in it

00:01:09.000 --> 00:01:12.500
- <b>and</b> more &lrm;moves
"""


def test_webvtt_of_the_standard():
    """W3C WebVTT: header text, STYLE, REGION, NOTE, cue names and settings, voice tags, character references."""
    talk = read(VTT, "talk.vtt")
    assert talk.kind == "webvtt"
    assert texts(talk) == ["rook", "&", "pawn", "and", "more", "moves"]
    assert [(b.start_ms, b.end_ms, b.speaker) for b in talk.blocks] == [
        (5000, 8000, "Anna Lee"), (69_000, 72_500, None),
    ]  # fmt: skip


def test_webvtt_time_tags_time_the_words():
    """W3C WebVTT, cue timestamp object: what follows is said from that time on."""
    talk = read("WEBVTT\n\n00:05.000 --> 00:08.000\nhello <00:05.600><c>there</c> <00:06.500>friend\n", "t.vtt")
    assert [(w.text, w.onset_ms, w.timing) for w in talk.words] == [
        ("hello", 5000, Timing.WORD), ("there", 5600, Timing.WORD), ("friend", 6500, Timing.WORD),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        ("WEBVTT\n\n", "no-words", None),
        ("WEBVTT\n\n00:05.000 --> 00:0x.000\nhello\n", "bad-time", 3),
        ("WEBVTT\n\n00:05.000 --> 00:75.000\nhello\n", "bad-time", 3),
        ("WEBVTT\n\n00:05.000 --> 00:04.000\nhello\n", "ends-before-start", 3),
    ],
)
def test_bad_webvtt_has_a_place(text: str, code: str, line: int | None):
    finding = refused(text, "talk.vtt")
    assert (finding.code, finding.line) == (code, line)


def test_webvtt_with_commas_and_without_signature_is_read_with_a_word():
    assert warnings("WEBVTT\n\n00:05,000 --> 00:08,000\nhello there\n", "t.vtt") == ["comma-times"]
    text = "00:00:05.000 --> 00:00:08.000\nhello there\n\n00:00:09.000 --> 00:00:10.000\nand more\n"
    assert texts(read(text, "t.vtt")) == ["hello", "there", "and", "more"]

"""Transcripts of every form that people have: what is read, what is mended, what is refused with a place."""

from __future__ import annotations

import codecs
import json
from datetime import timedelta
from pathlib import Path

import pysubs2
import pytest
import srt
import webvtt
from hypothesis import given
from hypothesis import strategies as st

from timeline.problems import PlylineError, Severity, TranscriptError
from timeline.transcript.read import load_transcript, read_transcript
from timeline.transcript.words import Timing, Transcript


def read(text: str, name: str = "talk.txt", end_ms: int | None = None) -> Transcript:
    return read_transcript(text, name=name, suffix=Path(name).suffix, end_ms=end_ms)[0]


def warnings(text: str, name: str = "talk.txt", end_ms: int | None = None) -> list[str]:
    found = read_transcript(text, name=name, suffix=Path(name).suffix, end_ms=end_ms)[1]
    assert all(f.severity is Severity.WARNING and f.file == name for f in found)
    return [f.code for f in found]


def refused(text: str, name: str = "talk.txt", end_ms: int | None = None):
    with pytest.raises(TranscriptError) as caught:
        read(text, name, end_ms)
    finding = caught.value.findings[0]
    assert finding.file == name
    assert finding.fix
    return finding


def texts(transcript: Transcript) -> list[str]:
    return [w.text for w in transcript.words]


def starts(transcript: Transcript) -> list[int]:
    return [b.start_ms for b in transcript.blocks]


# -- stamped text
STAMPED = [
    "[0:05] hello there\n[0:09] and more\n",
    "[00:05] hello there\n[00:09] and more\n",
    "[0:00:05] hello there\n[0:00:09] and more\n",
    "[00:00:05.000] hello there\n[00:00:09.000] and more\n",
    "[00:00:05,000 --> 00:00:08,000] hello there\n[00:00:09,000 --> 00:00:12,000] and more\n",
    "[0:05 - 0:08] hello there\n[0:09 - 0:12] and more\n",
    "[0:05]\nhello there\n\n[0:09]\nand more\n",
    "hello: [0:05] hello there [0:09] and more\n".removeprefix("hello: "),
    "(0:05) hello there\n(0:09) and more\n",
    "0:05 hello there\n0:09 and more\n",
    "0:05\nhello there\n0:09\nand more\n",
    "0:05\thello there\n0:09\tand more\n",
    "0:05 - hello there\n0:09 - and more\n",
    "0:05: hello there\n0:09: and more\n",
    "00:00:05,000 hello there\n00:00:09,000 and more\n",
    "0:05 - 0:08\nhello there\n0:09 - 0:12\nand more\n",
    "0:00:05.000,0:00:08.000\nhello there\n\n0:00:09.000,0:00:12.000\nand more\n",
    "[5s] hello there\n[9s] and more\n",
    "<0:05> hello there\n<0:09> and more\n",
    "{0:05} hello there\n{0:09} and more\n",
    "0m05s hello there\n0m09s and more\n",
    "- 0:05 hello there\n- 0:09 and more\n",
    "* (0:05) hello there\n* (0:09) and more\n",
    "**[0:05]** hello there\n**[0:09]** and more\n",
    "**0:05** hello there\n**0:09** and more\n",
    "## 0:05\nhello there\n## 0:09\nand more\n",
    "[ti:My talk]\n[ar:Me]\n[00:05.00]hello there\n[00:09.00]and more\n",
]


@pytest.mark.parametrize("text", STAMPED)
def test_stamps_of_every_style(text: str):
    talk = read(text)
    assert talk.kind == "stamped"
    assert texts(talk) == ["hello", "there", "and", "more"]
    assert starts(talk) == [5000, 9000]
    assert [w.block for w in talk.words] == [0, 0, 1, 1]
    assert not warnings(text)


@pytest.mark.parametrize("text", STAMPED)
def test_stamps_survive_line_ends_and_marks_of_encoding(text: str):
    for other in (
        text.replace("\n", "\r\n"),
        text.replace("\n", "\r"),
        "\ufeff" + text,
        text + "\n\n\n",
        text.rstrip(),
    ):
        assert read(other).words == read(text).words


def test_hours_and_decimals():
    talk = read("[59:59.5] one\n[1:00:00] two\n[1:02:03.25] three\n")
    assert starts(talk) == [3_599_500, 3_600_000, 3_723_250]


def test_minutes_may_go_beyond_the_hour():
    assert starts(read("[75:10] one\n[76:00] two\n")) == [4_510_000, 4_560_000]


@pytest.mark.parametrize(
    "text",
    [
        "[0:05] Anna: hello there\n[0:09] Ben: and more\n[0:12] Anna: yes\n",
        "Anna (0:05): hello there\nBen (0:09): and more\nAnna (0:12): yes\n",
        "Anna [0:05] hello there\nBen [0:09] and more\nAnna [0:12] yes\n",
        "Anna 0:05\nhello there\n\nBen 0:09\nand more\n\nAnna 0:12\nyes\n",
        "Anna | 00:05\nhello there\nBen | 00:09\nand more\nAnna | 00:12\nyes\n",
        "**Anna** (0:05) hello there\n**Ben** (0:09) and more\n**Anna** (0:12) yes\n".replace("**", ""),
    ],
)
def test_names_beside_stamps_are_speakers_not_words(text: str):
    talk = read(text)
    assert texts(talk) == ["hello", "there", "and", "more", "yes"]
    assert [b.speaker for b in talk.blocks] == ["Anna", "Ben", "Anna"]


def test_numbered_speakers():
    talk = read("Speaker 1  00:05\nhello\n\nSpeaker 2  00:09\nmore\n")
    assert [w.speaker for w in talk.words] == ["Speaker 1", "Speaker 2"]


@pytest.mark.parametrize("word", ["White", "Black", "Remember", "Answer"])
def test_words_before_a_colon_stay_words(word: str):
    talk = read(f"[0:05] {word}: castle early.\n[0:20] {word}: castle late.\n")
    assert texts(talk)[0] == f"{word}:"
    assert talk.words[0].speaker is None


def test_times_that_are_said_stay_words():
    talk = read("[0:05] At 2:30 he resigned, with\n2:10 on the clock.\n[0:20] So it ended.\n")
    assert starts(talk) == [5000, 20_000]
    assert "2:30" in texts(talk)
    assert "2:10" in texts(talk)


def test_a_heading_is_left_out_and_said_so():
    text = "A patient rook\nby a teacher\n\n[0:00] Hello and welcome.\n[0:09] Now e4.\n"
    assert texts(read(text))[0] == "Hello"
    assert warnings(text) == ["text-before-stamps"]


def test_words_before_a_late_first_stamp_are_spoken():
    talk = read("Hello and welcome to this talk.\n[0:20] Now e4.\n")
    assert texts(talk)[0] == "Hello"
    assert talk.words[0].onset_ms == 0


def test_stamps_at_the_ends_of_lines_belong_to_their_lines():
    text = "Here we begin. [0:05]\nNow the knight moves. [0:09]\n"
    talk = read(text)
    assert [(b.start_ms, b.text) for b in talk.blocks] == [(5000, "Here we begin."), (9000, "Now the knight moves.")]
    assert warnings(text) == ["stamps-after-words"]


def test_stamps_with_frames_are_read_to_the_second():
    text = "[00:00:05:12] hello there\n[00:00:09:00] and more\n"
    assert starts(read(text)) == [5000, 9000]
    assert warnings(text) == ["frames-left-out"]


def test_whole_second_stamps_are_taken_as_the_second_that_has_passed():
    """A block stamped 0:09 begins anywhere in the tenth second: its middle is the best guess."""
    talk = read("[0:05] hello there\n[0:09] and more\n")
    assert talk.words[2].onset_ms == 9500
    exact = read("[0:05.000] hello there\n[0:09.250] and more\n")
    assert exact.words[2].onset_ms == 9250


def test_a_text_without_times_needs_a_recording():
    assert refused("hello there and more").code == "no-times"
    assert warnings("hello there and more", end_ms=10_000) == ["no-times"]
    assert read("hello there and more", end_ms=10_000).end_ms <= 10_000


@pytest.mark.parametrize(
    ("text", "code", "line", "part"),
    [
        ("[0:05] a b\n[0:75] hello there\n", "bad-time", 2, "0:75"),
        ("[0:05] a b\n\n[1:75:10] hello there\n", "bad-time", 3, "1:75:10"),
        ("[0:09] hello there\n[0:05] and more\n", "times-backwards", 2, "0:05.000 comes after 0:09.000"),
        ("[0:09 - 0:05] hello there\n", "ends-before-start", 1, "ends at 0:05.000"),
        ("[0:05]\n[0:07]\n", "no-words", None, "no words"),
        ("[Music]\n[0:05] [Applause]\n", "no-words", None, "no words"),
    ],
)
def test_bad_stamps_have_a_place(text: str, code: str, line: int | None, part: str):
    finding = refused(text)
    assert (finding.code, finding.line) == (code, line)
    assert part in finding.message
    if line:
        assert finding.source == text.split("\n")[line - 1]


def test_a_transcript_of_another_recording_is_refused():
    finding = refused("[0:05] hello there\n[5:05] and more\n", end_ms=10_000)
    assert finding.code == "beyond-end"
    assert finding.line == 2


# -- SRT
def caption(start: str, end: str, body: str, number: object = 1) -> str:
    return f"{number}\n{start} --> {end}\n{body}\n\n"


TWO = caption("00:00:05,000", "00:00:08,000", "hello there") + caption("00:00:09,500", "00:00:12,000", "and more", 2)


@pytest.mark.parametrize(
    "text",
    [
        TWO,
        TWO.replace("\n", "\r\n"),
        "\ufeff" + TWO,
        TWO.replace(",", "."),
        TWO.replace("00:00:0", "00:0").replace("00:00:1", "00:1"),
        TWO.replace("1\n00:", "00:", 1).replace("2\n00:", "00:", 1),
        TWO.replace("\n\n", "\n", 1),
        TWO.replace("\n\n", "\n\n\n\n"),
        TWO.replace("2\n00", "17\n00"),
        TWO + "3\n\n",
        TWO.replace("hello there", "<i>hello</i> {\\an8}there"),
        TWO.replace("hello there", "<font color='#fff'>hello there</font>"),
        TWO.replace("hello there", "- hello there"),
        TWO.replace("hello there", "hello\nthere"),
        TWO.replace("hello there", "[Music] hello there ♪"),
        TWO.replace("08,000", "08,000 X1:40 X2:600 Y1:20 Y2:50"),
        TWO.replace(" --> ", "-->"),
        TWO + caption("00:00:13,000", "00:00:14,000", "", 3),
    ],
)
def test_captions_as_files_have_them(text: str):
    talk = read(text, "talk.srt")
    assert talk.kind == "srt"
    assert texts(talk) == ["hello", "there", "and", "more"]
    assert [(b.start_ms, b.end_ms) for b in talk.blocks[:2]] == [(5000, 8000), (9500, 12_000)]
    assert all(w.timing is Timing.CAPTION for w in talk.words)


def test_short_fractions_are_fractions():
    """``,5`` is half a second: as in every other notation of decimals; the srt library alone reads 5 ms."""
    assert starts(read(caption("00:00:01,5", "00:00:03,25", "hello there"), "t.srt")) == [1500]


def test_caption_entities_are_characters():
    assert texts(read(caption("00:00:05,000", "00:00:08,000", "rook &amp; pawn &lt;3&gt;"), "t.srt")) == [
        "rook",
        "&",
        "pawn",
        "<3>",
    ]


def test_caption_names_are_speakers():
    text = "".join(
        caption(f"00:00:{t:02d},000", f"00:00:{t + 2:02d},000", body, t)
        for t, body in ((1, "ANNA: hello"), (4, "there"), (7, "BEN: more"), (10, "ANNA: yes"))
    )
    talk = read(text, "t.srt")
    assert texts(talk) == ["hello", "there", "more", "yes"]
    assert [b.speaker for b in talk.blocks] == ["ANNA", "ANNA", "BEN", "ANNA"]


def test_rolling_captions_keep_each_word_once():
    """Each caption repeats the line before it, as live captions do."""
    lines = ["we begin with e4", "and black replies c5", "the sicilian defence", "which is sharp", "and popular"]
    text = "".join(
        caption(f"00:00:{2 * k:02d},000", f"00:00:{2 * k + 2:02d},000", f"{lines[k - 1]}\n{line}" if k else line, k + 1)
        for k, line in enumerate(lines)
    )
    assert texts(read(text, "t.srt")) == " ".join(lines).split()
    assert warnings(text, "t.srt") == ["rolling-captions"]


def test_the_same_caption_again_and_again_is_said_so_often():
    text = "".join(caption(f"00:00:{2 * k:02d},000", f"00:00:{2 * k + 2:02d},000", "takes", k + 1) for k in range(5))
    assert texts(read(text, "t.srt")) == ["takes"] * 5


def test_a_chain_of_takes_is_not_a_rolling_caption():
    text = "".join(
        caption(f"00:00:{2 * k:02d},000", f"00:00:{2 * k + 2:02d},000", body, k + 1)
        for k, body in enumerate(["rook takes", "takes", "takes", "and it is over now", "he resigned"])
    )
    assert texts(read(text, "t.srt")).count("takes") == 3


@pytest.mark.parametrize(
    ("text", "code", "line"),
    [
        (caption("00:00:05,000", "soon", "hello"), "bad-time", 2),
        (caption("00:00:05,000", "00:00", "hello"), "ends-before-start", 2),
        (caption("00:00:05,000", "00:0x:08,000", "hello"), "bad-time", 2),
        (TWO + caption("00:00:13,000", "00:75:14,000", "hello", 3), "bad-time", 10),
        (caption("00:00:09,000", "00:00:08,000", "hello"), "ends-before-start", 2),
        (
            caption("00:00:09,000", "00:00:10,000", "b") + caption("00:00:05,000", "00:00:06,000", "a"),
            "times-backwards",
            6,
        ),
        ("1\n\n2\n\n", "no-times", None),
    ],
)
def test_bad_captions_have_a_place(text: str, code: str, line: int | None):
    finding = refused(text, "talk.srt")
    assert (finding.code, finding.line) == (code, line)


def test_overlaps_are_cut_and_said():
    text = caption("00:00:05,000", "00:00:10,000", "hello there") + caption(
        "00:00:08,000", "00:00:12,000", "and more", 2
    )
    talk = read(text, "t.srt")
    assert [(b.start_ms, b.end_ms) for b in talk.blocks] == [(5000, 8000), (8000, 12_000)]
    assert warnings(text, "t.srt") == ["overlap"]


# -- WebVTT
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


# -- JSON
WORDS = [("hello", 5.0, 5.4), ("there", 5.4, 6.0), ("again.", 6.1, 6.5)]


def entries(word: str, start: str, end: str, unit: float = 1) -> list[dict[str, object]]:
    return [{word: w, start: a * unit, end: b * unit} for w, a, b in WORDS]


@pytest.mark.parametrize(
    "value",
    [
        {"words": entries("w", "start", "end")},
        entries("word", "start", "end"),
        entries("text", "start_time", "end_time"),
        {
            "segments": [
                {
                    "id": 0,
                    "start": 4.9,
                    "end": 7.0,
                    "text": " hello there again.",
                    "words": entries("word", "start", "end"),
                }
            ]
        },
        {"result": {"segments": [{"words": entries("word", "start", "end")}]}},
        {"monologue": {"deep": {"words": entries("punctuated_word", "start", "end")}}},
        entries("word", "start_ms", "end_ms", 1000),
        [{"word": w, "start": f"{a}s", "end": f"{b}s"} for w, a, b in WORDS],
        [
            {"word": w, "start": f"00:00:0{a},000"[:8] + f",{round(a % 1 * 1000):03d}", "end": f"0:0{b}"}
            for w, a, b in WORDS
        ],
        [{"word": w, "timestamp": [a, b]} for w, a, b in WORDS],
        [{"text": w, "offsets": {"from": round(1000 * a), "to": round(1000 * b)}} for w, a, b in WORDS],
        [{"word": w, "start": a, "duration": round(b - a, 3)} for w, a, b in WORDS],
        {"results": [{"alternatives": [{"transcript": "x", "words": entries("word", "startTime", "endTime")}]}]},
        {
            "items": [
                {"type": "word", "start_time": str(a), "end_time": str(b), "alternatives": [{"content": w}]}
                for w, a, b in WORDS
            ]
        },
    ],
    ids=range(14),
)
def test_word_lists_as_recognisers_write_them(value: object):
    talk = read(json.dumps(value), "talk.json")
    assert talk.kind == "json"
    assert [(w.text, w.onset_ms, w.end_ms) for w in talk.words] == [
        ("hello", 5000, 5400), ("there", 5400, 6000), ("again.", 6100, 6500),
    ]  # fmt: skip
    assert all(w.timing is Timing.WORD for w in talk.words)


def test_one_value_a_line():
    text = "\n".join(json.dumps(e) for e in entries("word", "start", "end")) + "\n"
    assert texts(read(text, "talk.jsonl")) == ["hello", "there", "again."]


def test_punctuation_as_an_entry_joins_the_word_before():
    items = [
        {
            "type": "word",
            "start_time": "5.0",
            "end_time": "5.4",
            "alternatives": [{"content": "hello", "confidence": "0.5"}],
        },
        {"type": "punctuation", "alternatives": [{"content": ","}]},
        {"type": "word", "start_time": "5.5", "end_time": "5.9", "alternatives": [{"content": "you"}]},
    ]
    talk = read(json.dumps({"results": {"items": items}}), "talk.json")
    assert texts(talk) == ["hello,", "you"]
    assert talk.words[0].confidence < talk.words[1].confidence


def test_segments_of_text_alone_are_spread():
    value = {
        "segments": [{"start": 5.0, "end": 8.0, "text": " Hello there."}, {"start": 9.0, "end": 12.0, "text": "More."}]
    }
    talk = read(json.dumps(value), "talk.json")
    assert texts(talk) == ["Hello", "there.", "More."]
    assert all(w.timing is Timing.CAPTION for w in talk.words)
    assert starts(talk) == [5000, 9000]


def test_words_without_times_stand_between_their_neighbours():
    value = {
        "segments": [
            {
                "start": 5.0,
                "end": 8.0,
                "text": "one two three",
                "words": [
                    {"word": "one", "start": 5.0, "end": 5.3},
                    {"word": "two"},
                    {"word": "three", "start": 7.0, "end": 7.5},
                ],
            }
        ]
    }
    words = read(json.dumps(value), "talk.json").words
    assert words[0].onset_ms < words[1].onset_ms < words[2].onset_ms == 7000
    assert words[1].timing is Timing.CAPTION


def test_recognisers_confidence_is_kept_in_proportion():
    value = [{"word": "a", "start": 1, "probability": 0.1}, {"word": "b", "start": 2, "probability": 0.99}]
    low, high = read(json.dumps(value), "talk.json").words
    assert 0 < low.confidence < high.confidence <= 1


def test_milliseconds_that_are_not_named_are_told_by_their_pace():
    value = [{"word": w, "start": round(1000 * a), "end": round(1000 * b)} for w, a, b in WORDS]
    text = json.dumps(value)
    assert [w.onset_ms for w in read(text, "t.json").words] == [5000, 5400, 6100]
    assert warnings(text, "t.json") == ["milliseconds"]
    seconds = json.dumps([{"word": "so", "start": 5}, {"word": "now", "start": 9}, {"word": "then", "start": 30}])
    assert [w.onset_ms for w in read(seconds, "t.json").words] == [5000, 9000, 30_000]


@pytest.mark.parametrize(
    ("text", "code", "part"),
    [
        ('{"segments":[{"start":5.0,]}', "bad-json", "Expecting"),
        ('{"text": "hello there"}', "no-times", "no list of words"),
        ("[]", "no-times", "no list of words"),
        ('[{"word": "a", "start": -1, "end": 2}]', "bad-time", "entry 1"),
        ('[{"word": "a", "start": "soon"}]', "bad-time", "'soon'"),
        ('[{"word": "a", "start": 1}, {"word": "b", "start": 3, "end": 2}]', "ends-before-start", "entry 2"),
        ('[{"word": "a", "start": 5}, {"word": "b", "start": 1}]', "times-backwards", "'b'"),
        ('{"segments": [{"text": "one two three"}, {"start": 2, "text": "more words"}]}', "no-times", "segment 1"),
        ("[" * 100_000, "bad-json", "nested"),
    ],
)
def test_bad_json_is_refused_with_a_place(text: str, code: str, part: str):
    finding = refused(text, "talk.json")
    assert finding.code == code
    assert part in finding.message


# -- tables
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


# -- outside readers and round trips
word = st.text("abcdefghiklmnoprstuvwyzABCDEFGH12345678éü'", min_size=1, max_size=9).filter(
    lambda w: w.strip("'0123456789")
)
blocks = st.lists(
    st.tuples(st.integers(1, 4000), st.integers(100, 9000), st.lists(word, min_size=1, max_size=8)),
    min_size=1,
    max_size=12,
)


def timed(found: list[tuple[int, int, list[str]]]) -> list[tuple[int, int, str]]:
    """Blocks in order and apart: (start, end, text)."""
    at, rows = 0, []
    for k, (gap, length, words) in enumerate(found):
        # A first word of its own: captions that begin as the last one ended are taken for rolling ones.
        rows.append((at + gap, at + gap + length, " ".join([f"c{k}", *words])))
        at += gap + length
    return rows


def same(talk: Transcript, rows: list[tuple[int, int, str]]) -> None:
    assert [(b.start_ms, b.end_ms) for b in talk.blocks] == [(a, b) for a, b, _ in rows]
    assert texts(talk) == " ".join(text for *_, text in rows).split()
    for k, (a, b, _) in enumerate(rows):
        assert all(a <= w.onset_ms <= w.end_ms <= b for w in talk.words if w.block == k)


@given(blocks)
def test_srt_round_trip_and_outside_readers(found):
    """The srt library writes, we and pysubs2 read: the same times and words."""
    rows = timed(found)
    text = srt.compose(
        [
            srt.Subtitle(k, timedelta(milliseconds=a), timedelta(milliseconds=b), t)
            for k, (a, b, t) in enumerate(rows, 1)
        ]
    )
    same(read(text, "t.srt"), rows)
    assert [(e.start, e.end, e.plaintext) for e in pysubs2.SSAFile.from_string(text, format_="srt")] == rows


@given(blocks)
def test_webvtt_round_trip_and_outside_readers(found):
    """webvtt-py writes, we and webvtt-py read: the same times and words."""
    rows = timed(found)

    def clock(ms: int) -> str:
        return f"{ms // 3_600_000:02d}:{ms // 60_000 % 60:02d}:{ms // 1000 % 60:02d}.{ms % 1000:03d}"

    document = webvtt.WebVTT()
    document.captions.extend(webvtt.Caption(clock(a), clock(b), t) for a, b, t in rows)
    same(read(document.content, "t.vtt"), rows)
    parsed = webvtt.from_string(document.content)
    assert [(c.start, c.end, c.text) for c in parsed] == [(clock(a), clock(b), t) for a, b, t in rows]


@given(blocks)
def test_outside_libraries_agree_on_what_we_mend(found):
    """CRLF, a BOM and settings after the times: pysubs2 finds the same captions as we do."""
    rows = timed(found)
    clocks = [[srt.timedelta_to_srt_timestamp(timedelta(milliseconds=ms)) for ms in (a, b)] for a, b, _ in rows]
    captions = [caption(*clock, t, k) for k, (clock, (*_, t)) in enumerate(zip(clocks, rows, strict=True), 1)]
    text = "\ufeff" + "".join(captions).replace("\n", "\r\n")
    same(read(text, "t.srt"), rows)
    judged = pysubs2.SSAFile.from_string(text.removeprefix("\ufeff"), format_="srt")
    assert [(e.start, e.end) for e in judged] == [(a, b) for a, b, _ in rows]


@given(blocks)
def test_stamped_round_trip(found):
    rows = timed(found)
    text = "".join(f"[{a // 60000}:{a // 1000 % 60:02d}.{a % 1000:03d}] {t}\n" for a, _, t in rows)
    talk = read(text, end_ms=rows[-1][1] + 1000)
    assert starts(talk) == [a for a, *_ in rows]
    assert texts(talk) == " ".join(t for *_, t in rows).split()


@given(blocks)
def test_json_round_trip(found):
    rows = timed(found)
    value = {"segments": [{"start": a / 1000, "end": b / 1000, "text": t} for a, b, t in rows]}
    talk = read(json.dumps(value), "t.json")
    assert texts(talk) == " ".join(t for *_, t in rows).split()
    assert talk.words[0].onset_ms == rows[0][0]
    listed = {"words": [{"w": t, "start": a / 1000, "end": b / 1000} for a, b, t in rows]}
    assert read(json.dumps(listed), "t.json").words[0].onset_ms == rows[0][0]


def has_place(error: PlylineError, name: str) -> None:
    assert all(f.file == name and f.message for f in error.findings)


_PIECES = st.sampled_from(
    [
        "[0:05]",
        "[0:99]",
        "0:07",
        "(1:02:03)",
        "00:00:05,000 --> 00:00:06,000",
        "-->",
        "WEBVTT",
        "NOTE",
        "1",
        "\n",
        "\n\n",
        "\r\n",
        "\ufeff",
        "\x00",
        "{",
        "}",
        '{"words": [',
        '"start": 1',
        "start\tend\ttext",
        "1.0\t2.0\tx",
        "<v A>",
        "<00:01.000>",
        "&amp;",
        "Anna:",
        "hello there",
        "e4",
        "♪",
        "\u202e",
        "5s",
        "[ti:x]",
        ",",
        '"',
    ]
)


@given(
    st.lists(_PIECES, max_size=25).map(" ".join),
    st.sampled_from([".txt", ".srt", ".vtt", ".json", ".csv"]),
    st.sampled_from([None, 0, 6000]),
)
def test_whatever_is_in_the_file_there_is_a_transcript_or_an_error_with_a_place(
    text: str, suffix: str, end_ms: int | None
):
    try:
        talk, findings = read_transcript(text, name="t" + suffix, suffix=suffix, end_ms=end_ms)
    except PlylineError as error:
        has_place(error, "t" + suffix)
        return
    assert all(f.message for f in findings)
    onsets = [w.onset_ms for w in talk.words]
    assert onsets == sorted(onsets)
    assert all(
        w.text and not w.text.isspace() and w.onset_ms <= w.end_ms and 0 <= w.confidence <= 1 for w in talk.words
    )
    if end_ms is not None:
        assert all(w.end_ms <= end_ms for w in talk.words)


@given(st.binary(max_size=300))
def test_any_bytes(tmp_path_factory, data: bytes):
    path = tmp_path_factory.mktemp("any") / "talk.txt"
    path.write_bytes(data)
    try:
        load_transcript(path, end_ms=60_000)
    except PlylineError as error:
        has_place(error, "talk.txt")

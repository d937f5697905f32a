"""Stamped text of every style: what is read, what is mended, what is refused with a place."""

from __future__ import annotations

import pytest
from reading import read, refused, starts, texts, warnings

from timeline.transcript.read import read_transcript

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
        ("[0:05] {", "no-words", None, "no words"),
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


def test_the_last_words_of_a_cut_recording_are_left_out_with_a_finding():
    """The end was trimmed off the recording: the lesson goes on, and what is nowhere to be heard is told."""
    text = "".join(f"[0:{s:02}] words said here\n" for s in range(0, 50, 10)) + "[1:05] and good bye\n"
    transcript, findings = read_transcript(text, name="talk.txt", end_ms=52_000)
    (finding,) = [f for f in findings if f.code == "beyond-end"]
    assert (finding.line, finding.at_ms) == (6, 65_000)
    assert "1 of 6 blocks" in finding.message and "3 words" in finding.message
    assert len(transcript.words) == 15
    assert transcript.words[-1].end_ms <= 52_000


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("[11:59:50 AM] hello there\n[12:00:05 PM] more\n", [0, 15_000]),
        ("11:59:50 pm hello there\n12:00:05 am more\n1:00 am again\n", [0, 15_000, 3_610_000]),
        ("[9:05 a.m. - 9:06 a.m.] hello there\n[9:07 a.m.] more\n", [0, 120_000]),
    ],
)
def test_times_of_day_count_from_the_first(text: str, expected: list[int]):
    talk, findings = read_transcript(text, name="talk.txt", end_ms=4_000_000)
    assert [b.start_ms for b in talk.blocks] == expected
    assert talk.words[0].text == "hello"
    assert "times-of-day" in [f.code for f in findings]


def test_a_time_of_day_that_is_none():
    assert refused("[9:05:10 AM] hello\n[13:05:20 PM] more\n").code == "bad-time"

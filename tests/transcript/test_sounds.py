"""Sounds and other things that are marked in transcripts and are not spoken words."""

from __future__ import annotations

import json

import pytest
from reading import caption, read, texts, warnings

from timeline.problems import Severity
from timeline.transcript.read import read_transcript

END = 40_000


def marked(text: str, name: str = "t.srt") -> list[tuple[str, str, int]]:
    """(label, as it stands in the file, index of the word after it) of each mark."""
    return [(s.text, s.heard, s.before) for s in read(text, name, END).sounds]


def notes(text: str, name: str = "t.srt"):
    return [f for f in read_transcript(text, name=name, suffix=name[-4:], end_ms=END)[1] if f.severity is Severity.NOTE]


def one(body: str) -> str:
    return caption("00:00:05,000", "00:00:08,000", body)


@pytest.mark.parametrize(
    ("body", "label"),
    [
        ("hello [applause] there", "applause"),
        ("hello (laughs) there", "laughs"),
        ("hello [MUSIC] there", "music"),
        ("hello (audience laughing) there", "audience laughing"),
        ("hello [door slams] there", "door slams"),
        ("hello [clears throat] there", "clears throat"),
        ("hello [upbeat\nmusic playing] there", "upbeat music playing"),
        ("hello *sighs* there", "sighs"),
        ("hello <laughter> there", "laughter"),
        ("hello [Applaus] there", "applaus"),
        ("hello ♪ la la la ♪ there", "♪ la la la ♪"),
        ("hello ♪ <i>soft music</i>\nplays ♪ there", "♪ soft music plays ♪"),
        ("hello ♪ there", "♪"),
        ("hello[applause]there", "applause"),
        ("hello [ __ ] there", "inaudible"),
        ("hello [&nbsp;__&nbsp;] there", "inaudible"),
        ("hello (&nbsp;laughs&nbsp;) there", "laughs"),
        ("hello (unintelligible) there", "inaudible"),
    ],
)
def test_a_marked_sound_is_no_word_and_is_kept(body: str, label: str):
    talk = read(one(body), "t.srt")
    assert texts(talk) == ["hello", "there"]
    assert [(s.text, s.before, s.line) for s in talk.sounds] == [(label, 1, 2)]
    assert all(b.text == "hello there" for b in talk.blocks)


@pytest.mark.parametrize(
    "body",
    [
        "the rook (which is strong) stays",
        "he [the knight] stays",
        "play [Nf3] now",
        "it (strictly speaking) stays (static)",
        "a [ ] box",
        "it (rings a bell, I think) goes on",
        "[he laughs it off with knight takes f3]",
        "take * star * it",
        "♪ knight takes f3 ♪",
    ],
)
def test_what_is_said_in_brackets_stays_spoken(body: str):
    talk = read(one(body), "t.srt")
    plain = [w.strip("[]()*♪").replace(",", "") for w in body.split()]
    assert [w.strip("[]()*").replace(",", "") for w in texts(talk)] == [w for w in plain if w]
    assert [s.text for s in talk.sounds] in ([], ["♪"])


def test_a_sound_within_an_aside_is_found():
    talk = read(one("he (and I saw it [laughs] twice) took"), "t.srt")
    assert " ".join(texts(talk)) == "he (and I saw it twice) took"
    assert [(s.text, s.before) for s in talk.sounds] == [("laughs", 5)]


def test_a_block_that_is_only_a_sound_keeps_its_times():
    text = one("hello") + caption("00:00:10,000", "00:00:14,000", "[applause]", 2) + caption(
        "00:00:15,000", "00:00:17,000", "there", 3
    )
    talk = read(text, "t.srt")
    assert texts(talk) == ["hello", "there"]
    (sound,) = talk.sounds
    assert (sound.at_ms, sound.end_ms, sound.before, sound.line) == (10_000, 14_000, 1, 6)


@pytest.mark.parametrize(
    ("text", "name", "label"),
    [
        ("WEBVTT\n\n00:05.000 --> 00:08.000\nhello [applause] there\n", "t.vtt", "applause"),
        ("WEBVTT\n\n00:05.000 --> 00:08.000\nhello ♪ la\nla ♪ there\n", "t.vtt", "♪ la la ♪"),
        ("WEBVTT\n\n00:05.000 --> 00:08.000\nhello <00:06.000>(laughs) <00:07.000>there\n", "t.vtt", "laughs"),
        ("[0:05] hello [applause] there\n", "t.txt", "applause"),
        ("start\tend\ttext\n5\t8\thello (laughs) there\n", "t.tsv", "laughs"),
        (json.dumps([{"start": 5, "end": 8, "text": "hello [laughs] there"}]), "t.json", "laughs"),
        (
            json.dumps({"words": [{"w": w, "start": n + 5, "end": n + 6} for n, w in enumerate(["hello", "[laughs]", "there"])]}),
            "t.json",
            "laughs",
        ),
        (
            json.dumps({"words": [{"w": w, "start": n + 5, "end": n + 6} for n, w in enumerate(["hello", "[door", "slams]", "there"])]}),
            "t.json",
            "door slams",
        ),
    ],
)  # fmt: skip
def test_every_reader_keeps_them(text: str, name: str, label: str):
    talk = read(text, name, END)
    assert texts(talk) == ["hello", "there"]
    assert [(s.text, s.before) for s in talk.sounds] == [(label, 1)]


def test_a_word_list_times_its_sounds():
    rows = [{"w": "hello", "start": 5, "end": 6}, {"w": "(laughs)", "start": 7, "end": 9}, {"w": "there", "start": 11}]
    (sound,) = read(json.dumps({"words": rows}), "t.json", END).sounds
    assert (sound.at_ms, sound.end_ms) == (7000, 9000)


def test_times_and_names_in_brackets_are_no_sounds():
    text = "[0:05] [Anna]: hello\n[0:08] [Ben]: there\n[0:12] [Anna]: more\n"
    talk = read(text, "t.txt", END)
    assert texts(talk) == ["hello", "there", "more"]
    assert [b.speaker for b in talk.blocks] == ["Anna", "Ben", "Anna"]
    assert talk.sounds == ()
    numbered = one("[Speaker 1] hello") + caption("00:00:10,000", "00:00:14,000", "[Speaker 2] there", 2)
    assert [b.speaker for b in read(numbered, "t.srt").blocks] == ["Speaker 1", "Speaker 2"]


def test_a_name_after_a_sound_is_a_name():
    text = one("[laughs] ANNA: hello") + caption("00:00:10,000", "00:00:14,000", "- (sighs) there", 2)
    talk = read(text, "t.srt")
    assert texts(talk) == ["hello", "there"]
    assert talk.blocks[0].speaker == "ANNA"
    assert [s.text for s in talk.sounds] == ["laughs", "sighs"]


@pytest.mark.parametrize("mark", ["[BLANK_AUDIO]", "[silence]", "(pause)", "[noise]"])
def test_where_nothing_was_heard_is_told(mark: str):
    text = one("hello") + caption("00:00:10,000", "00:00:14,000", mark, 2)
    assert read(text, "t.srt").sounds == ()
    (note,) = notes(text)
    assert (note.code, note.line, note.at_ms) == ("marks-left-out", 6, 10_000)
    assert mark in note.message


@pytest.mark.parametrize("body", ["🙂", "--", "🎉 …", "…"])
def test_a_block_without_words_is_told(body: str):
    text = one("hello") + caption("00:00:10,000", "00:00:14,000", body, 2)
    assert texts(read(text, "t.srt")) == ["hello"]
    (note,) = notes(text)
    assert (note.code, note.line, note.at_ms) == ("block-without-words", 6, 10_000)
    assert body in note.message


def test_empty_captions_and_plain_talk_are_not_told():
    assert notes(one("hello") + caption("00:00:10,000", "00:00:14,000", "", 2) + caption("00:00:20,000", "00:00:22,000", "there", 3)) == []


@pytest.mark.parametrize("body", ["white --> black", "e4 --> e5", "hello\nand so --> there", "-->"])
def test_an_arrow_in_the_text_is_text(body: str):
    text = one(body) + caption("00:00:10,000", "00:00:14,000", "more", 2)
    talk = read(text, "t.srt")
    assert [b.start_ms for b in talk.blocks][-1] == 10_000
    assert " ".join(texts(talk)).startswith(body.split()[0] if body != "-->" else "more")
    assert warnings(text.replace(one("-->"), one("hello")), "t.srt") == []


def test_a_transcript_of_sounds_alone_is_read_and_told():
    text = one("[music]") + caption("00:00:10,000", "00:00:14,000", "(applause)", 2)
    talk, findings = read_transcript(text, name="t.srt", suffix=".srt", end_ms=END)
    assert talk.words == ()
    assert [(s.text, s.at_ms, s.before) for s in talk.sounds] == [("music", 5000, 0), ("applause", 10_000, 0)]
    assert [f.code for f in findings] == ["no-words"]


def test_an_arrow_in_the_text_is_an_arrow():
    assert texts(read(one("from a1 --> h8 -> h1"), "t.srt")) == ["from", "a1→", "h8→", "h1"]

"""Sounds that the transcript marks, as labels in the captions."""

from __future__ import annotations

from typing import Any

import pytest
from talking import words_of

from timeline.captions.build import CaptionResult, build_captions
from timeline.captions.plain import paragraphs
from timeline.captions.settings import CaptionSettings
from timeline.transcript.read import read_transcript
from timeline.transcript.words import Sound, Word

FRAME_MS = 34
TALK = "The rook goes to e8. / / And that is mate."


def captioned(sounds: list[Sound], talk: str | list[Word] = TALK, **settings: Any) -> CaptionResult:
    words = words_of(talk) if isinstance(talk, str) else talk
    return build_captions(
        words, None, None, settings=CaptionSettings.model_validate(settings), end_ms=words[-1].end_ms + 4000, sounds=sounds
    )  # fmt: skip


def texts(result: CaptionResult) -> list[str]:
    return [c.text for c in result.captions]


def sound(text: str = "applause", before: int = 5, **more: Any) -> Sound:
    return Sound(**{"text": text, "heard": f"[{text}]", "at_ms": None, "end_ms": None, "before": before, "line": 7} | more)


def test_a_sound_between_words_is_a_label_between_their_times():
    words = words_of(TALK)
    result = captioned([sound()])
    assert texts(result) == ["The rook goes to e8.", "[applause]", "And that is mate."]
    label = result.captions[1]
    assert words[4].end_ms - FRAME_MS <= label.start_ms < label.end_ms <= words[5].onset_ms


def test_the_last_sound_of_a_recording_that_ends_with_its_words_stands_above_them():
    words = words_of(TALK)
    settings = CaptionSettings()
    result = build_captions(words, None, None, settings=settings, end_ms=words[-1].end_ms, sounds=[sound(before=9)])
    assert texts(result)[-1] == "[applause]\nAnd that is mate."


def test_a_sound_with_times_of_its_own_keeps_them_within_its_neighbours():
    words = words_of(TALK)
    begin = words[4].end_ms + 700
    assert abs(captioned([sound(at_ms=begin, end_ms=begin + 1200)]).captions[1].start_ms - begin) <= 17
    early = captioned([sound(at_ms=0, end_ms=100_000)]).captions[1]
    assert words[4].end_ms - FRAME_MS <= early.start_ms < early.end_ms <= words[5].onset_ms


def test_a_sound_at_either_end():
    late = words_of(TALK, start_ms=6000)
    assert texts(captioned([sound("music", 0, at_ms=500, end_ms=3000)], late))[0] == "[music]"
    assert texts(captioned([sound(before=9)]))[-1] == "[applause]"


def test_a_sound_under_the_talk_stands_above_its_words():
    result = captioned([sound("laughs", 2)])
    assert texts(result)[0] == "[laughs]\nThe rook goes to e8."


def test_what_could_not_be_understood_stands_in_its_place():
    """Common captioning practice: [inaudible] where the words are missing."""
    result = captioned([sound("inaudible", 2, unclear=True)])
    assert texts(result)[0].replace("\n", " ") == "The rook [inaudible] goes to e8."
    assert texts(captioned([sound("inaudible", 0, unclear=True)]))[0].replace("\n", " ") == "[inaudible] The rook goes to e8."
    own = {"at": "0:00.500", "until": "0:02.000", "text": "Mine."}
    assert texts(captioned([sound("inaudible", 2, unclear=True)], edits=[own]))[0] == "Mine."


def test_each_is_listed_with_its_origin():
    (note,) = [f for f in captioned([sound(), sound(before=9, line=12)]).findings if f.code == "sound-label"]
    assert "[applause]" in note.message
    assert "lines 7 and 12" in note.message
    assert "heard: applause" in (note.fix or "")
    assert note.severity == "note"


@pytest.mark.parametrize("refusal", [{"heard": "[applause]"}, {"heard": "applause"}, {"at": "0:02.900"}])
def test_a_sound_can_be_refused(refusal: dict[str, str]):
    result = captioned([sound()], refuse=[refusal])
    assert texts(result) == ["The rook goes to e8.", "And that is mate."]
    assert not [f for f in result.findings if f.code in ("refusal-unused", "sound-label")]


def test_a_refusal_elsewhere_refuses_no_sound():
    result = captioned([sound()], refuse=[{"heard": "applause", "at": "0:20.000"}])
    assert "[applause]" in texts(result)
    assert [f.code for f in result.findings if f.code == "refusal-unused"] == ["refusal-unused"]


def test_a_teachers_own_label_is_not_doubled_nor_a_sound_marked_twice():
    own = {"at": "0:03.000", "text": "Applause"}
    assert sum("pplause" in t for t in texts(captioned([sound()], labels=[own]))) == 1
    assert sum("pplause" in t for t in texts(captioned([sound(), sound()]))) == 1
    assert [t for t in texts(captioned([sound("music"), sound("♪")])) if "[" in t] == ["[music]"]


def test_a_label_is_never_cut_whatever_its_length():
    name = "[applause, whistling, laughter-and-laughter-and-laughter, a-very-long-sound]"
    (label,) = [t for t in texts(captioned([sound(name.strip("[]"))])) if "applause" in t]
    assert label.replace("\n", " ") == name


def test_a_song_about_the_board_is_sung_too():
    talk, _ = read_transcript(
        "1\n00:00:01,000 --> 00:00:03,000\nMate.\n\n2\n00:00:04,000 --> 00:00:09,000\n♪ The pieces sleep inside their box ♪\n",
        name="talk.srt",
        suffix=".srt",
    )
    assert texts(captioned(list(talk.sounds), list(talk.words))) == ["Mate.", "♪ The pieces sleep inside their box ♪"]


def test_a_sound_right_before_a_song_is_kept():
    talk, _ = read_transcript(
        "1\n00:00:01,000 --> 00:00:05,000\nMate indeed. [applause]\n\n2\n00:00:05,200 --> 00:00:09,000\n♪ The pieces are asleep ♪\n",
        name="talk.srt",
        suffix=".srt",
    )
    assert "[applause]" in " ".join(texts(captioned(list(talk.sounds), list(talk.words))))


def test_a_long_song_is_captioned_word_by_word_with_notes_in_each_caption():
    """BBC subtitle guidelines, music: each subtitle of a song begins with a sign, the last one ends with one."""
    song = "the moon came down to the harbour late and nobody rowed it home again but the fisherman's youngest daughter"
    talk, _ = read_transcript(
        f"1\n00:00:01,000 --> 00:00:04,000\nThe rook goes to e8.\n\n2\n00:00:05,000 --> 00:00:13,000\n♪ {song} ♪\n\n"
        "3\n00:00:13,500 --> 00:00:15,000\nAnd that is mate.\n",
        name="talk.srt",
        suffix=".srt",
    )
    result = captioned(list(talk.sounds), list(talk.words))
    said = texts(result)
    assert said[0] == "The rook goes to e8."
    assert said[-1] == "And that is mate."
    sung = said[1:-1]
    assert len(sung) > 1
    assert all(t.startswith("♪ ") for t in sung)
    assert [t.endswith(" ♪") for t in sung] == [False] * (len(sung) - 1) + [True]
    assert " ".join(t.strip("♪ ").replace("\n", " ") for t in sung).lower() == song
    assert all(len(line) <= 42 for t in sung for line in t.split("\n"))
    assert f"♪ {song} ♪" in " ".join(p.text for p in paragraphs(result.captions))

"""Who speaks: names in the transcript's text, and a change of speaker inside a caption."""

from __future__ import annotations

import pytest
from reading import caption, read, texts

from timeline.transcript.read import read_transcript
from timeline.transcript.words import Transcript


def captions(*bodies: str) -> str:
    rows = enumerate(bodies)
    return "".join(caption(f"00:00:{4 * k:02d},000", f"00:00:{4 * k + 3:02d},500", body, k + 1) for k, body in rows)


def said(talk: Transcript) -> list[tuple[str | None, str]]:
    """Each turn's speaker with the words."""
    found: list[tuple[str | None, str]] = []
    for word in talk.words:
        if found and found[-1][0] == word.speaker:
            found[-1] = (word.speaker, f"{found[-1][1]} {word.text}")
        else:
            found.append((word.speaker, word.text))
    return found


def test_a_bracketed_name_that_opens_several_blocks_is_a_speaker():
    talk = read(captions("[Anna] hello", "and welcome", "[Ben] thank you", "[Anna] so", "[Ben] e4 it is"), "t.srt")
    assert said(talk) == [
        ("Anna", "hello and welcome"), ("Ben", "thank you"), ("Anna", "so"), ("Ben", "e4 it is"),
    ]  # fmt: skip
    stamped = "[0:01] [Anna] hello\n[0:05] [Ben] thank you\n[0:09] [Anna] so\n[0:12] [Ben] e4 it is\n"
    assert [b.speaker for b in read(stamped, "t.txt", 20_000).blocks] == ["Anna", "Ben", "Anna", "Ben"]


@pytest.mark.parametrize("opening", ["[Nf3]", "[Knight]", "[White]", "[here]", "[so he said]"])
def test_a_bracket_that_names_nobody_stays_spoken(opening: str):
    talk = read(captions(f"{opening} hello", "there", f"{opening} again", f"{opening} more"), "t.srt")
    assert {w.speaker for w in talk.words} == {None}
    assert len(texts(talk)) == 4 + 3 * len(opening.split())


def test_a_bracketed_name_once_is_a_speaker_where_the_lesson_says_so():
    text = captions("[Anna] hello", "there", "(Ben) hm")
    assert {w.speaker for w in read(text, "t.srt").words} == {None}
    talk, _ = read_transcript(text, name="t.srt", suffix=".srt", declared=("Anna", "Ben"))
    assert said(talk) == [("Anna", "hello there"), ("Ben", "hm")]


def test_each_line_of_a_caption_may_have_its_own_speaker():
    talk = read(captions("ANNA: takes on d4\nBEN: and check", "we go on", "ANNA: yes"), "t.srt")
    assert said(talk) == [("ANNA", "takes on d4"), ("BEN", "and check we go on"), ("ANNA", "yes")]


def test_captions_that_begin_together_keep_their_speakers():
    together = "".join(
        caption("00:00:01,000", "00:00:03,000", body, k) for k, body in enumerate(("ANNA: takes", "BEN: no wait"), 1)
    )
    talk = read(together + caption("00:00:05,000", "00:00:07,000", "ANNA: well", 3), "t.srt")
    assert said(talk) == [("ANNA", "takes"), ("BEN", "no wait"), ("ANNA", "well")]


def test_two_voices_in_one_caption():
    """W3C WebVTT, 6.4: a cue may hold several voice spans."""
    text = "WEBVTT\n\n00:01.000 --> 00:04.000\n<v Anna>takes on d4</v> <v Ben>and check</v>\n\n00:05.000 --> 00:06.000\n<v Anna>yes</v>\n"
    assert said(read(text, "t.vtt")) == [("Anna", "takes on d4"), ("Ben", "and check"), ("Anna", "yes")]
    timed = text.replace("on d4", "<00:02.000>on <00:02.500>d4")
    assert said(read(timed, "t.vtt")) == [("Anna", "takes on d4"), ("Ben", "and check"), ("Anna", "yes")]

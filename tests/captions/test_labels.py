"""Sounds that matter, think-pauses and speakers' names."""

from __future__ import annotations

import pytest
from talking import caption, plain, words_of

from timeline.captions import About, writer_for
from timeline.captions.language import PAUSE_LABELS
from timeline.captions.lines import break_lines
from timeline.captions.rules import rules_for
from timeline.captions.settings import CaptionSettings
from timeline.timemap import TimeMap
from timeline.tracks import ThinkPause

TALK = "What would you play here? / / The rook goes to e8, and that is mate."


def texts(result) -> list[str]:
    return [c.text for c in result.captions]


def hold_at(word: str, hold_ms: int = 6000) -> TimeMap:
    at = next(w.end_ms for w in words_of(TALK) if w.text == word)
    return TimeMap.of([ThinkPause(at + 300, hold_ms)])


def test_a_think_pause_has_a_label_of_its_own():
    """BBC 13.5: a long silence may need a label."""
    result = caption(TALK, timemap=hold_at("here?"))
    assert texts(result)[:2] == ["What would you play here?", "[pause to think]"]
    label = result.captions[1]
    question, answer = result.captions[0], result.captions[2]
    assert question.end_ms <= label.start_ms
    assert label.end_ms <= answer.start_ms


@pytest.mark.parametrize("language", ["de", "fr", "es", "it", "nl", "pt", "sv", "pl", "cs", "fi"])
def test_the_label_in_the_lessons_language(language: str):
    assert f"[{PAUSE_LABELS[language]}]" in texts(caption(TALK, timemap=hold_at("here?"), language=language))


def test_the_label_can_be_changed_or_left_out():
    assert "[your turn]" in texts(caption(TALK, timemap=hold_at("here?"), pause_label="[your turn]"))
    assert not any("[" in t for t in texts(caption(TALK, timemap=hold_at("here?"), pause_label="")))


@pytest.mark.parametrize("profile", ["broadcast", "online", "learner"])
@pytest.mark.parametrize("hold_ms", [1500, 1700, 1900, 2100, 2300, 2600])
def test_a_label_stands_only_where_it_can_be_read(profile: str, hold_ms: int):
    """BBC 4.3.3: a second more than a caption; a pause too short for that has none."""
    result = caption(TALK.replace(" / /", ""), timemap=hold_at("here?", hold_ms), profile=profile)
    assert not [f for f in result.findings if "pause to think" in f.said]


def test_a_short_hold_has_no_label():
    assert not any("[" in t for t in texts(caption(TALK, timemap=hold_at("here?", 700))))


@pytest.mark.parametrize(("into_ms", "before"), [(299, True), (1, False)])
def test_a_word_that_a_hold_falls_into_stands_on_one_side_of_it(into_ms: int, before: bool):
    """A pause just before the answer's board may cut into the question's last word: it is no word of six seconds."""
    words = words_of(TALK.replace(" / /", ""))
    pause = ThinkPause(next(w.onset_ms for w in words if w.text == "here?") + into_ms, 6000)
    result = caption(words, timemap=TimeMap.of([pause]))
    assert "[pause to think]" in texts(result)
    (asked,) = [c for c in result.captions if "here?" in c.text]
    assert (asked.start_ms < pause.at_ms) is before
    assert asked.end_ms < pause.at_ms + 1500 or not before


def test_no_caption_runs_across_a_hold():
    result = caption(TALK.replace(" / /", ""), timemap=hold_at("here?"))
    hold = hold_at("here?").pauses[0]
    for one in result.captions:
        assert not (one.start_ms < hold.at_ms and one.end_ms > hold.at_ms + hold.hold_ms)


def test_the_teachers_own_sounds():
    label = {"at": "0:00.200", "text": "clock ticking", "for": "0:02"}
    result = caption(words_of(TALK, start_ms=3000), labels=[label])
    assert texts(result)[0] == "[clock ticking]"
    assert (result.captions[0].start_ms, result.captions[0].end_ms) == (200, 2200)


RUNNING = (
    "the rook comes to the open file and black has to defend the seventh rank with everything he has got because white "
    "never stops pushing there. And then it ends."
)


@pytest.mark.parametrize("at", ["0:03.000", "0:04.100", "0:00.100", "0:09.500"])
@pytest.mark.parametrize("profile", ["broadcast", "online", "learner"])
def test_a_sound_under_the_talk_stands_above_its_words(at: str, profile: str):
    """BBC 17: a label on its own line; where nobody pauses it has no time of its own, and would flash by."""
    result = caption(RUNNING, labels=[{"at": at, "text": "♪ soft music"}], profile=profile)
    (one,) = [c for c in result.captions if "soft music" in c.text]
    head, words = one.text.split("\n")
    assert head == "[♪ soft music]"
    assert 0 < len(words) <= result.report.rules.profile.max_chars
    ms = int(at[3]) * 1000 + int(at[5:])
    assert one.start_ms - 500 <= ms <= one.end_ms
    assert one.end_ms - one.start_ms >= 833
    assert not {"caption-lines", "caption-line-long", "caption-out-of-step"} & {f.code for f in result.findings}
    short = [f.message for f in result.findings if f.code == "caption-too-short"]
    # the label's extra second, which a running talk does not leave
    assert all("speaker at" in message or "the next words begin" in message for message in short)


def test_a_sound_in_a_caption_of_one_line_shares_it_and_a_persons_own_caption_stays_as_it_is():
    one_line = caption(RUNNING, labels=[{"at": "0:03.000", "text": "music"}], rules={"max_lines": 1})
    assert any(t.startswith("[music] ") and len(t) <= 42 for t in texts(one_line))
    own = {"at": "0:02.000", "until": "0:05.000", "text": "Mine."}
    edited = texts(caption(RUNNING, labels=[{"at": "0:03.000", "text": "music"}], edits=[own]))
    assert "Mine." in edited
    assert "[music]" in edited


def test_two_sounds_at_one_moment_share_the_line():
    at = [{"at": "0:03.000", "text": "door slams"}, {"at": "0:03.000", "text": "phone"}]
    assert any(t.startswith("[door slams] [phone]\n") for t in texts(caption(RUNNING, labels=at)))


def test_two_sounds_in_one_silence_are_read_together():
    near = [{"at": "0:00.200", "text": "door slams"}, {"at": "0:00.500", "text": "phone"}]
    result = caption(words_of(TALK, start_ms=6000), labels=near)
    assert texts(result)[0] == "[door slams] [phone]"
    assert result.captions[0].end_ms - result.captions[0].start_ms >= 2000


@pytest.mark.parametrize("profile", ["broadcast", "online", "learner"])
def test_a_long_label_is_broken_into_lines(profile: str):
    long = {"at": "0:00.200", "text": "the crowd in the hall claps for a very long time", "for": "0:05"}
    result = caption(words_of(TALK, start_ms=6000), labels=[long], profile=profile)
    assert texts(result)[0].split("\n")[0].startswith("[the crowd")
    assert not any(f.code == "caption-line-long" for f in result.findings)


def test_a_label_line_stays_a_line_where_the_place_is_narrow():
    assert break_lines("[♪ music] the rook comes", "en", rules_for("online"), width=20).split("\n")[0] == "[♪ music]"


def test_a_label_that_says_nothing_is_refused():
    with pytest.raises(ValueError, match="this label says nothing"):
        CaptionSettings.model_validate({"labels": [{"at": "0:01", "text": " [ ] "}]})


def test_a_sound_after_the_recordings_end_is_told():
    result = caption(TALK, labels=[{"at": "9:00", "text": "clock ticking"}], end_ms=20_000)
    (finding,) = [f for f in result.findings if f.code == "label-after-end"]
    assert finding.at_ms == 540_000
    assert "clock ticking" in finding.message
    assert not any(f.code == "label-after-end" for f in caption(TALK, labels=[{"at": "0:01", "text": "x"}]).findings)


def test_two_speakers_are_named_one_is_not():
    """BBC 7.8: the name in capitals and a colon, where it is not obvious who speaks."""
    two = caption("ANNA: What do you see? BEN: I see the rook. It is strong. ANNA: Good.")
    assert texts(two)[0] == "ANNA: What do you see?"
    assert any(t.startswith("BEN: I see the rook.") for t in texts(two))
    assert texts(two)[-1] == "ANNA: Good."
    assert not any(t.startswith("BEN: It is strong") for t in texts(two))
    assert {c.speaker for c in two.captions} == {"Anna", "Ben"}
    assert "ANNA" not in plain(caption("ANNA: What do you see? It is strong."))


def test_a_caption_holds_one_speaker_only_and_the_name_counts_in_its_line():
    talk = "ANNASTASIA: Yes. BEN: No. ANNASTASIA: The rook takes the bishop and the game. BEN: Fine."
    for one in caption(talk).captions:
        assert sum(name in one.text for name in ("ANNASTASIA:", "BEN:")) == 1
        assert all(len(line) <= 42 for line in one.text.split("\n"))


def test_names_to_show():
    result = caption("ANNA: What do you see? BEN: The rook.", speakers={"Anna": "Teacher"})
    assert texts(result)[0].startswith("TEACHER: ")


def test_webvtt_has_voices():
    """WebVTT 4.2.2: a voice span with the speaker's name."""
    text = writer_for(".vtt")(caption("ANNA: What do you see? BEN: The rook.").captions, About())
    assert "<v Anna>ANNA: What do you see?</v>" in text
    assert "<v " not in writer_for(".vtt")(caption("ANNA: What do you see?").captions, About())

"""Every number of the profiles against its published source, and the arithmetic of speeds, frames and gaps.

Sources: BBC Subtitle Guidelines 1.2.5 (March 2026), by section; a streaming
service's public timed text style guide, current and older editions (NFX);
Described and Captioned Media Program, Captioning Key (DCMP).
"""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from timeline.captions.report import Speech, histogram, measure, report_findings, report_text
from timeline.captions.rules import PROFILES, ContradictionError, Rules, rules_for, visible_length
from timeline.captions.settings import CaptionSettings
from timeline.problems import Severity
from timeline.timecode import RATES, frame_to_ms
from timeline.tracks import Caption


@pytest.mark.parametrize(
    ("profile", "name", "value"),
    [
        ("broadcast", "max_chars", 37),  # BBC 3.1
        ("broadcast", "max_lines", 2),  # BBC 3.3
        ("broadcast", "warn_wpm", 180),  # BBC 4
        ("broadcast", "error_wpm", 200),  # BBC 4.1: 0.3 s a word
        ("broadcast", "word_ms", 300),  # BBC 4.1
        ("broadcast", "min_ms", 833),  # NFX 5/6 s
        ("broadcast", "max_ms", 7000),  # NFX
        ("broadcast", "gap_frames", 0),  # BBC 4.5
        ("broadcast", "open_gap_ms", 1000),  # BBC 4.5
        ("broadcast", "early_frames", 0),  # BBC 5.1
        ("broadcast", "tail_ms", 1500),  # BBC 5.2
        ("broadcast", "label_ms", 1000),  # BBC 4.3.3
        ("online", "max_chars", 42),  # NFX
        ("online", "max_lines", 2),  # NFX
        ("online", "warn_cps", 17),  # NFX, older edition
        ("online", "error_cps", 20),  # NFX, adult programmes
        ("online", "min_ms", 833),  # NFX 5/6 s
        ("online", "max_ms", 7000),  # NFX
        ("online", "gap_frames", 2),  # NFX
        ("online", "open_gap_ms", 500),  # NFX
        ("online", "early_frames", 2),  # NFX
        ("online", "late_frames", 2),  # NFX
        ("online", "tail_ms", 500),  # NFX
        ("learner", "max_chars", 32),  # older DCMP vendor guideline
        ("learner", "max_lines", 2),  # DCMP
        ("learner", "warn_wpm", 160),  # DCMP, upper level
        ("learner", "error_cps", 17),  # NFX, children
        ("learner", "min_ms", 1333),  # DCMP: 40 frames at 30
        ("learner", "max_ms", 6000),  # DCMP
        ("learner", "open_gap_ms", 1000),  # BBC 4.5
        ("learner", "tail_ms", 1500),  # BBC 5.2
    ],
)
def test_the_numbers_are_the_published_ones(profile: str, name: str, value: float):
    assert getattr(PROFILES[profile], name) == value


@pytest.mark.parametrize(
    ("rate", "frames"), [("24", 20), ("25", 21), ("29.97", 25), ("30", 25), ("50", 42), ("60", 50)]
)
def test_five_sixths_of_a_second_in_frames(rate: str, frames: int):
    """NFX names 20 frames at 24 and 25 at 30; the others are rounded up."""
    assert rules_for("online", rate=RATES[rate]).min_frames == frames


@pytest.mark.parametrize(("rate", "frames"), [("24", 12), ("25", 13), ("30", 15), ("60", 30)])
def test_half_a_second_in_frames(rate: str, frames: int):
    """NFX: 12 frames at 24; at 25 half a second is 12.5, rounded up."""
    assert rules_for("online", rate=RATES[rate]).open_gap_frames == frames


def report(captions: list[Caption], profile: str = "online", rate: str = "30", speech: list[Speech] | None = None):
    return measure(captions, rules_for(profile, rate=RATES[rate]), speech or [])


def broken(captions: list[Caption], profile: str = "online", rate: str = "30") -> list[set[str]]:
    return [{b.rule for b in cue.broken} for cue in report(captions, profile, rate).cues]


def test_words_a_minute():
    """BBC 4, box: two words in a second are 120 words a minute."""
    (cue,) = report([Caption(0, 1000, "Two words")]).cues
    assert cue.wpm == 120


def test_four_words_want_1200_ms():
    """BBC 4.1."""
    assert rules_for("broadcast", rate=Fraction(1000)).least_frames(4) == 1200


@pytest.mark.parametrize(
    ("text", "duration_ms", "chars", "words", "cps", "wpm"),
    [
        ("Knight takes e5.", 1000, 16, 3, 16.0, 180.0),
        ("The bishop on c4 takes f7 with check,", 2000, 37, 8, 18.5, 240.0),
        ("Look at the knight on f3:\nit eyes e5 and g5 at once.", 3000, 52, 13, 52 / 3, 260.0),
    ],
)
def test_counting(text: str, duration_ms: int, chars: int, words: int, cps: float, wpm: float):
    """Spaces and punctuation count, a line break is one space (BBC 4 counts words by white space). Worked by hand."""
    (cue,) = report([Caption(0, duration_ms, text)]).cues
    assert (cue.chars, cue.words) == (chars, words)
    assert (cue.cps, cue.wpm) == (pytest.approx(cps), pytest.approx(wpm))


def test_one_caption_under_three_profiles():
    """16 characters and 3 words in one second: fine for broadcast and online, too short and fast for learners."""
    caption = [Caption(0, 1000, "Knight takes e5.")]
    assert broken(caption, "broadcast") == [set()]
    assert broken(caption, "online") == [set()]
    assert broken(caption, "learner") == [{"too short", "speed, warning"}]


@pytest.mark.parametrize(
    ("unit", "speed", "chars", "words", "seconds"),
    [("cps", 20, 37, 8, 1.85), ("cps", 17, 37, 8, 2.176), ("wpm", 200, 37, 8, 2.4), ("wpm", 160, 37, 8, 3.0),
     ("cps", 20, 84, 1, 4.2), ("cps", 17, 64, 1, 3.765)],
)  # fmt: skip
def test_reading_time(unit: str, speed: float, chars: int, words: int, seconds: float):
    """chars / speed and 60 words / speed, rounded up to a millisecond."""
    rules = rules_for("online", {f"error_{unit}": speed, f"warn_{unit}": None}, Fraction(1000))
    assert rules.reading_frames(chars, words, "error") == pytest.approx(seconds * 1000, abs=1)


def gaps(frames: list[int], profile: str, rate: str) -> list[bool]:
    """Whether a gap of so many frames is broken."""
    found = []
    for gap in frames:
        start = frame_to_ms(200 + gap, RATES[rate])
        first = Caption(frame_to_ms(100, RATES[rate]), frame_to_ms(200, RATES[rate]), "One two")
        captions = [first, Caption(start, start + 3000, "Three")]
        found.append("gap" in broken(captions, profile, rate)[0])
    return found


def test_gaps_online():
    """NFX: at 24 frames a second 2 frames or half a second (12) and more; 3 to 11 are closed."""
    assert gaps([1, 2, 3, 11, 12, 40], "online", "24") == [True, False, True, True, False, False]


def test_gaps_broadcast():
    """BBC 4.5: none, or a second and more."""
    assert gaps([0, 10, 24, 25, 40], "broadcast", "25") == [False, True, True, False, False]


def test_a_rule_broken_says_why():
    speech = [Speech(0, 1000, 6)]
    (cue,) = report([Caption(0, 1000, "six words that are said fast")], speech=speech).cues
    (too_fast,) = [b for b in cue.broken if b.rule.startswith("speed")]
    assert too_fast.rule == "speed, error"
    assert "28.0 characters a second, 360 words a minute" in too_fast.message
    assert too_fast.why == "speaker at 360 words a minute, 28.0 characters a second"
    (finding,) = report_findings(report([Caption(0, 1000, "six words that are said fast")], speech=speech))
    assert (finding.code, finding.severity, finding.at_ms) == ("caption-too-fast", Severity.WARNING, 0)
    assert "speaker at 360 words a minute" in finding.message


def test_the_report_for_the_terminal_has_a_table_and_histograms():
    captions = [Caption(0, 2000, "A caption of eight words for the test."), Caption(4000, 4400, "Too short")]
    text = report_text(report(captions))
    assert text.startswith("2 captions\n")
    assert "too short          50.0%       1" in text
    for title in ("characters a second", "seconds on screen", "seconds to the next caption", "not kept"):
        assert f"\n{title}\n" in text
    assert report_text(report([])) == "0 captions\n"


@given(st.lists(st.floats(0, 100), min_size=1, max_size=40), st.sampled_from([0.5, 1.0, 20.0]))
def test_a_histogram_counts_every_value_once(values: list[float], step: float):
    bars = histogram(values, step, 20)
    assert sum(int(line.split()[-1]) for line in bars if line.strip() != "…") == len(values)


def test_a_histogram_passes_over_what_is_empty():
    assert [line.split()[0] for line in histogram([1.0, 4.0, 130.0], 1, 10)] == ["1", "2", "3", "4", "…", "130"]


# -- own numbers
def test_own_numbers_replace_the_profiles():
    rules = rules_for("online", {"max_chars": 30, "error_wpm": 220})
    assert (rules.profile.max_chars, rules.profile.error_wpm, rules.profile.error_cps) == (30, 220, None)
    assert rules.profile.warn_cps == 17
    with pytest.raises(ValueError, match="no such caption rule: max_charz"):
        rules_for("online", {"max_charz": 30})


@pytest.mark.parametrize(
    ("own", "says"),
    [
        ({"min_ms": 8000}, "at least 8 s but at most 7 s"),
        ({"max_ms": 500}, "raise max_s or lower min_s"),
        ({"warn_cps": 25}, "higher than the one that is an error"),
        ({"error_cps": 2, "warn_cps": 1}, "one full line of 42 characters takes 21.0 s"),
        ({"error_wpm": 5}, "one word takes 12.0 s"),
        ({"word_ms": 8000}, "each word must stay at least 8 s, a caption at most 7 s; raise max_s or lower word_s"),
    ],
)
def test_contradictions_say_how_to_mend(own: dict[str, float], says: str):
    with pytest.raises(ContradictionError, match=says):
        rules_for("online", own)
    as_written = {k.replace("_ms", "_s"): v / 1000 if k.endswith("_ms") else v for k, v in own.items()}
    with pytest.raises(ValueError, match="with the online profile"):
        CaptionSettings.model_validate({"rules": as_written})


def test_a_label_needs_room_for_its_extra_second():
    """BBC 4.3.3: a label adds a second; with 0.833 s at least and 1.5 s at most it never has it."""
    with pytest.raises(ContradictionError, match="a caption with a label must stay at least 1.833 s but at most 1.5 s"):
        rules_for("broadcast", {"max_ms": 1500})


@given(
    st.sampled_from(sorted(PROFILES)),
    st.sampled_from(sorted(RATES)),
    st.integers(1, 90),
    st.integers(1, 20),
)
def test_a_caption_of_the_wanted_time_keeps_the_speeds(profile: str, rate: str, chars: int, words: int):
    """Frames from ``reading_frames`` are enough, one fewer is not."""
    rules = rules_for(profile, rate=RATES[rate])
    for level in ("warn", "error"):
        frames = rules.reading_frames(chars, words, level)  # type: ignore[arg-type]
        cps, wpm = getattr(rules.profile, f"{level}_cps"), getattr(rules.profile, f"{level}_wpm")

        def keeps(count: int, cps: float | None = cps, wpm: float | None = wpm, rules: Rules = rules) -> bool:
            seconds = count / rules.rate
            return (not cps or chars <= cps * seconds) and (not wpm or words * 60 <= wpm * seconds)

        if frames:
            assert keeps(frames)
            assert not keeps(frames - 1)


@pytest.mark.parametrize(
    ("text", "length"),
    [
        ("e4", 2),
        ("a\u0301", 1),
        ("♘f3", 3),
        ("שלום", 4),
        ("👨‍👧", 1),
        ("👍🏽", 1),
        ("\u202bx\u202c", 1),
        ("two\nlines", 9),
    ],
)
def test_visible_length(text: str, length: int):
    """What a reader sees: combining marks, joiners and direction signs take no room (Unicode general categories)."""
    assert visible_length(text) == length


def test_there_are_three_profiles_and_online_is_the_usual_one():
    assert set(PROFILES) == {"broadcast", "online", "learner"}
    assert CaptionSettings().profile == "online"


def test_each_broken_rule_says_what_stands_in_its_way():
    """Speed is given as the reason only where the speaker is fast; a caption that is long or short says why."""
    rules = rules_for("broadcast")
    long = measure([Caption(0, 9000, "Now wait for it"), Caption(9000, 12000, "and there")], rules,
                   [Speech(0, 9000, 4), Speech(9000, 9600, 2)])  # fmt: skip
    (broken,) = [b for b in long.cues[0].broken if b.rule == "too long"]
    assert broken.why == "its words are said over 9.0 s"
    short = measure([Caption(0, 500, "Yes."), Caption(500, 3500, "And there he goes.")], rules,
                    [Speech(0, 400, 1), Speech(500, 3000, 4)])  # fmt: skip
    (broken,) = [b for b in short.cues[0].broken if b.rule == "too short"]
    assert broken.why == "the next words begin 0.50 s after its own"
    fast = measure([Caption(0, 1200, "one two three four five six"), Caption(1200, 4000, "and done")], rules,
                   [Speech(0, 1200, 6), Speech(1200, 3000, 2)])  # fmt: skip
    assert {b.why for b in fast.cues[0].broken} == {"speaker at 300 words a minute"}
    cut = measure([Caption(0, 500, "Yes.")], rules, [Speech(0, 400, 1)])
    (broken,) = [b for b in cut.cues[0].broken if b.rule == "too short"]
    assert broken.why == "the recording ends"

"""Word lists in JSON, ours and those of recognisers."""

from __future__ import annotations

import json

import pytest
from reading import read, refused, starts, texts, warnings

from timeline.transcript.words import Timing

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

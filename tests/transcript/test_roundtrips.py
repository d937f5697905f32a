"""Round trips, outside readers, and any bytes at all."""

from __future__ import annotations

import json
from datetime import timedelta

import pysubs2
import srt
import webvtt
from hypothesis import given
from hypothesis import strategies as st
from reading import caption, read, starts, texts

from timeline.problems import PlylineError
from timeline.transcript.read import load_transcript, read_transcript
from timeline.transcript.words import Transcript

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

"""SubRip files as people have them."""

from __future__ import annotations

import pytest
from reading import caption, read, refused, starts, texts, warnings

from timeline.transcript.words import Timing

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

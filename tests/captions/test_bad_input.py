"""Faulty and unusual input: one clear word about it, and files that every reader takes."""

from __future__ import annotations

import re
from io import StringIO
from pathlib import Path
from xml.etree import ElementTree

import pysubs2
import pytest
import srt
import webvtt
from hypothesis import given
from hypothesis import strategies as st
from smalllesson import run
from talking import caption, plain, words_of

from timeline.captions import WRITERS, About, writer_for
from timeline.tracks import Caption
from timeline.transcript.markup import words_of as spoken_words
from timeline.transcript.words import Timing, Word


def valid(captions) -> None:
    """Every format, read by another library."""
    about = About("ü & <", "en")
    files = {suffix: writer_for(suffix)(captions, about) for suffix in WRITERS}
    count = len(captions)
    assert len(list(srt.parse(files[".srt"]))) == count
    assert len(pysubs2.SSAFile.from_string(files[".srt"], format_="srt")) == count if count else files[".srt"] == ""
    assert len(list(webvtt.from_buffer(StringIO(files[".vtt"])))) == count
    assert len(list(ElementTree.fromstring(files[".ttml"]).iter("{http://www.w3.org/ns/ttml}p"))) == count


# -- talks
def test_an_empty_talk_gives_empty_files():
    result = caption("")
    assert result.captions == ()
    assert result.findings == ()
    valid(result.captions)


def test_an_empty_transcript_is_an_error_with_the_file(folder: Path):
    (folder / "talk.txt").write_text("")
    done = run("captions", folder)
    assert done.exit_code == 2
    assert "talk.txt: error[empty-file]: the file is empty" in done.stderr


def test_a_word_longer_than_a_line_stands_alone_and_is_told():
    word = "Donaudampfschiffahrtselektrizitätenhauptbetriebswerk"
    result = caption(f"So we come to the {word} of this game.")
    assert any(line == word for c in result.captions for line in c.text.split("\n"))
    (finding,) = [f for f in result.findings if f.code == "caption-line-long"]
    assert "a line of 52 characters, at most 42 are wanted: the word Donaudampf" in finding.message
    assert "alone is longer than a line" in finding.message
    valid(result.captions)


def test_a_word_longer_than_a_line_does_not_drive_others_away():
    """The words before it share its caption, the long one on a line of its own; none flashes by."""
    word = "donaudampfschifffahrtselektrizitätenhauptbetriebswerkbauunterbeamtengesellschaft"
    result = caption([Word("what", 0, 100), Word("a", 100, 150), Word(word, 150, 4000), Word("indeed", 5000, 5400)])
    assert result.captions[0].text.split("\n")[:2] == ["What a", word + "."]
    assert {f.code for f in result.findings} <= {"caption-line-long", "caption-fast", "caption-too-fast"}
    fast = [f for f in result.findings if f.code in ("caption-fast", "caption-too-fast")]
    assert all(re.search(r"speaker at \d+ words a minute, \d+\.\d characters a second", f.message) for f in fast)


def test_words_after_the_end_are_told_and_stay_inside():
    result = caption("One two three four five six seven eight. Nine ten eleven twelve.", end_ms=2500)
    (finding,) = [f for f in result.findings if f.code == "words-after-end"]
    assert "5 words are said after the recording's end at 0:02.500" in finding.message
    assert plain(result).split()[-1] == "twelve."
    valid(result.captions)


@pytest.mark.parametrize(
    "text",
    ["הצריח עולה לשורה השביעית. ואז מט בשלושה.",
      "الرخ إلى العمود المفتوح. ثم كش مات.", "♘f3 👍 👩‍🏫 great 🏁 move. So 🐴 e5!",
     "So --> e5 &amp; <b>bold</b> {\\an8}word. </v><script> --> end.",
     "E\u0301te\u0301 \u200bzero\u200d width. \u202ebackwards\u202c!"],
    ids=["hebrew", "arabic", "emoji", "markup", "combining"],
)  # fmt: skip
def test_odd_letters_are_kept_and_files_stay_valid(text: str):
    result = caption(text)
    assert sorted(plain(result).split()) == sorted(text.split())
    valid(result.captions)


@pytest.mark.parametrize(
    ("spoken", "written"),
    [("well played 🙂 now the rook", "Well played 🙂 now the rook."), ("🎉 now the rook goes", "🎉 Now the rook goes."),
      ("Well played! 👩‍🏫👍🏽 Now ♘f3.", "Well played! 👩‍🏫👍🏽 Now ♘f3."),
      ("It turns 20° ❤️. Good.", "It turns 20° ❤️. Good.")],
)  # fmt: skip
def test_an_emoji_keeps_the_space_around_it(spoken: str, written: str):
    """Readers of transcripts give a sign without letters as one with a word beside it; a caption shows it apart."""
    words = words_of(" ".join(spoken_words(spoken)))
    assert plain(caption(words)) == written


def test_an_emoji_begins_no_caption_and_no_line():
    words = words_of(" ".join(["Nobody saw it coming that evening! 🙂 🙂"] * 6))
    for one in caption(words, rules={"max_chars": 32}).captions:
        assert not any(line.startswith("🙂") for line in one.text.split("\n")), one.text


def test_signs_between_words_are_no_hearing_and_stay():
    pgn = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 *"
    said = "rook & king< queen--> mate. Pawn+ pawn = queen! e4/ e5* and = is two."
    assert plain(caption(said, pgn)) == said
    notation = plain(caption("We have pawn to see four* & e5/ now, and so on.", pgn, style="algebraic"))
    assert "* & e5/ now" in notation


def test_one_foreign_word_does_not_turn_a_caption_round():
    text = writer_for(".ttml")([Caption(0, 1000, "the word \u05e9\u05dc\u05d5\u05dd means peace")])
    assert "rtl" not in text
    assert "rtl" in writer_for(".ttml")([Caption(0, 1000, "e4 \u05e9\u05dc\u05d5\u05dd")])


def test_right_to_left_text_is_declared():
    """TTML2 tts:direction with tts:unicodeBidi (W3C); WebVTT and the page find it themselves (dir=auto)."""
    captions = caption("הצריח עולה לשורה השביעית.").captions
    assert 'tts:direction="rtl"' in writer_for(".ttml")(captions)
    assert '<p dir="auto">' in writer_for(".html")(captions)


def test_words_at_one_instant_keep_their_order():
    words = [Word(f"W{n}", 1000, 1000, timing=Timing.BLOCK) for n in range(40)]
    result = caption(words)
    assert [t.strip(".,?") for t in plain(result).split()] == [w.text for w in words]
    assert all(a.end_ms <= b.start_ms for a, b in zip(result.captions, result.captions[1:], strict=False))
    valid(result.captions)


TOKENS = st.lists(
    st.text(st.characters(codec="utf-8", exclude_categories=["Cs", "Zs", "Cc", "Zl", "Zp"]), min_size=1, max_size=50),
    max_size=25,
)


@given(
    TOKENS,
    st.sampled_from(["broadcast", "online", "learner"]),
    st.sampled_from(["en", "de", "he", "xx"]),
    st.integers(1, 9000),
)
def test_any_words_give_valid_files(tokens: list[str], profile: str, language: str, end_ms: int):
    words = words_of(" ".join(tokens))
    result = caption(words, language=language, profile=profile, end_ms=end_ms)
    for one in result.captions:
        assert one.end_ms > one.start_ms >= 0
    for suffix in WRITERS:
        writer_for(suffix)(result.captions, About())


def test_a_fast_speaker_is_told_with_his_speed():
    """240 words a minute cannot be read at 20 characters a second; the words stay, the finding says why."""
    result = caption(words_of("everything considered attacking " * 12, word_ms=180))
    fast = [f for f in result.findings if f.code == "caption-too-fast"]
    assert fast
    assert all("speaker at" in f.message for f in fast)
    assert len(plain(result).split()) == 36


# -- lesson files
@pytest.mark.parametrize(
    ("settings", "says"),
    [
        ("{rules: {min_s: 8}}", "at least 8 s but at most 7 s"),
        ("{rules: {warn_cps: 30}}", "warn above (30 cps)"),
        ("{rules: {error_cps: 2, warn_cps: 1}}", "one full line of 42 characters"),
        ("{rules: {max_chars: 3}}", "max_chars"),
        ("{profile: cinema}", "profile"),
        ("{style: san}", "style"),
        ("{refuse: [{}]}", "names no correction"),
        ('{edits: [{at: "0:05", until: "0:04", text: x}]}', "ends before it begins"),
        ("{restore: no-thanks}", "restore"),
    ],
)
def test_contradictory_settings_are_refused_with_the_line(folder: Path, settings: str, says: str):
    (folder / "lesson.yaml").write_text((folder / "lesson.yaml").read_text() + f"captions: {settings}\n")
    done = run("captions", folder)
    assert done.exit_code == 2
    assert "lesson.yaml:5:" in done.stderr
    assert says in done.stderr
    assert "Traceback" not in done.output
    assert not (folder / "out").exists()

"""lesson.yaml as text: bounds, places, plain words."""

from __future__ import annotations

import time
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from timeline.lessontext import MAX_CHARS, parse_lesson_text
from timeline.problems import LessonFileError, PlylineError
from timeline.schema import lesson_schema
from timeline.store import read_lesson


def fault(text: str):
    with pytest.raises(LessonFileError) as caught:
        read_lesson(text)
    return caught.value.findings


@pytest.mark.parametrize(
    ("text", "code", "line", "column", "message", "fix"),
    [
        ("", "empty-file", None, None, "the file is empty", "title:"),
        ("# only a comment\n", "empty-file", None, None, "the file is empty", "title:"),
        ("just words\n", "bad-yaml", 1, None, "not a lesson", None),
        ("title: x\nscore: a.pgn\ntilte: y\n", "unknown-key", 3, 1, "unknown key 'tilte'", "did you mean 'title'?"),
        ("title: x\nscore: a\nzzz: y\n", "unknown-key", 3, 1, "unknown key 'zzz'", "known here: accept, captions"),
        ("title: x\n", "bad-value", 1, 1, "neither a score nor a transcript", "add `score: …`, or"),
        ("score: a.pgn\n", "missing-key", 1, 1, "title: is missing", "add `title: …`"),
        ("title: x\ntranscript: a\nreconstruct: {start: 8/8}\n", "bad-value", 3, 22, "'8/8' is not a legal", "FEN"),
        ("title: x\ntranscript: a\nreconstruct: {played: [{at: 1, moves: Zz9}]}\n", "bad-value", 3, 39, "'Zz9' is not how", "O-O"),
        ("title: x\nscore: a\nscore: b\n", "bad-yaml", 3, 1, "'score' stands here a second time", "keep one"),
        ("title: 12\nscore: a\n", "bad-value", 1, 8, "title: text is needed here, not 12", '"12"'),
        ("title: 2024-01-05\nscore: a\n", "bad-value", 1, 8, "title: text is needed", None),
        ("title: x\nscore: a\ncues: soon\n", "bad-value", 3, 7, "cues: a list is needed here, not 'soon'", "each item"),
        ("title: x\nscore: a\norientation: blue\n", "bad-value", 3, 14, "not one of the choices", "'white' or 'black'"),
        ("title: x\nscore: a\nfilm: {rate: 31}\n", "bad-value", 3, 14, "film.rate", "'29.97'"),
        ("title: x\nscore: a\nfilm: fast\n", "bad-value", 3, 7, "film: keys are needed here", None),
        ("title: x\nscore: a\ngame: 0\n", "bad-value", 3, 7, "game: 0 is out of range: it must be at least 1", None),
        ("title: x\nscore: a\noutside: maybe\n", "bad-value", 3, 10, "true or false is needed", None),
        ("title: x\nscore: a\nlength: 9:99\n", "bad-value", 3, 9, "'9:99' is not a time", "m:ss.mmm"),
        ("title: x\nscore: a\nlength: .nan\n", "bad-value", 3, 9, "not a time", "m:ss.mmm"),
        ("title: x\nscore: a\ncues:\n - {at: 1, shw: 1w}\n", "unknown-key", 4, 12, "'shw' in cues[1]", "'show'"),
        ("title: x\nscore: a\ncues:\n - {at: 1, for_ms: 3}\n", "unknown-key", 4, 12, "'for_ms'", None),
        ("title: x\nscore: a\ncues:\n - {at: 1}\n", "bad-value", 4, 4, "this cue does nothing", "show:"),
        (
            "title: x\nscore: a\ncues:\n - {at: 1, marks: [{arrow: e1, role: attack}]}\n",
            "bad-value", 4, 28, "cues[1].marks[1].arrow: 'e1'", "as in e1-e8",
        ),
        (
            "title: x\nscore: a\ncues:\n - {at: 0:05, show: 1w}\n - {at: 0:04, show: 1b}\n",
            "bad-value", 5, 4, "cue 2: times go backwards, from 0:05.000 to 0:04.000", "in order of time",
        ),
        ("title: x: y\nscore: a\n", "bad-yaml", 1, 9, "a colon is in the way", "quotes"),
        ("score: a\ntitle: 'x\ncues:\n", "bad-yaml", 2, 8, "never closed", "closing quote"),
        ("title: x\nscore: a\ncues: [1, 2\n", "bad-yaml", 3, 7, "closing bracket is missing", "close the ["),
        ("title: x\nscore: a\ncues: [\n\n", "bad-yaml", 3, None, "a value is missing", "close each ["),
        ("title: x\n score: a\n", "bad-yaml", 2, 7, "the line does not fit", "like its neighbours"),
        ("title: x\nscore: a\nteacher: @home\n", "bad-yaml", 3, 10, "no text begins with this", "quotes"),
        ("title: x\nscore: a\ncolour: y\n", "unknown-key", 3, 1, "unknown key 'colour'", "known here: accept"),
        ("title: x\nscore: a\nfilm:\n\trate: 30\n", "bad-yaml", 4, None, "a tab", "spaces"),
        ("title: x\x00y\nscore: a\n", "bad-yaml", 1, None, "unacceptable character", "take this character away"),
        ("title: x\nscore: a\n---\ntitle: y\n", "bad-yaml", 3, 1, "a second document", "---"),
        ("title: !!python/object:os.system x\nscore: a\n", "bad-yaml", 1, None, "tags such as", "take the tag away"),
        ("title: x\n5: b\n", "bad-key", 2, 1, "the key 5 is not text", "quotes"),
        ("plyline: 2\ntitle: x\nscore: a\n", "format", 1, 10, "2 is not a format", "upgrade plyline"),
        ("plyline: yes\ntitle: x\nscore: a\n", "format", 1, 10, "is not a format", "plyline: 1"),
        ("title: x\nscore: a\nchapters: {list: [{at: 9, title: B}, {at: 4, title: A}]}\n", "bad-value", 3, 38,
         "chapter 2: it starts at 0:04.000, not after", "in order"),
    ],
)  # fmt: skip
def test_faults_say_where_and_how_to_mend(text, code, line, column, message, fix):
    finding = fault(text)[-1 if code == "unknown-key" else 0]
    assert finding.code == code
    assert message in finding.message
    if line is not None:
        assert finding.line == line
    if column is not None:
        assert finding.column == column
    if fix is not None:
        assert finding.fix is not None
        assert fix in finding.fix
    assert "pydantic" not in str(finding)
    assert "Input should" not in str(finding)


def test_all_faults_are_told_at_once():
    assert len(fault("titel: x\nfilm: {rate: 31}\ncues: 5\n")) == 4  # no title, titel, rate, cues


def test_yaml_bomb_is_refused_at_once():
    """Each line stands for ten of the line before: written out, some 10^9 items."""
    lines = ["a0: &a0 [x, x, x, x, x, x, x, x, x, x]"]
    lines += [f"a{i}: &a{i} [{', '.join([f'*a{i - 1}'] * 10)}]" for i in range(1, 10)]
    began = time.process_time()  # of this process alone: a busy machine makes no difference
    (finding,) = fault("\n".join(lines))
    assert time.process_time() - began < 2
    assert finding.code == "bad-yaml"
    assert "anchors and aliases" in finding.message
    assert (finding.line, finding.fix) == (1, "write the value out")


@pytest.mark.parametrize("bracket", ["[", "{a: "])
def test_deep_nesting_is_refused(bracket):
    (finding,) = fault("title: " + bracket * 5000)
    assert finding.code == "bad-yaml"
    assert "nested too deep" in finding.message


def test_a_huge_lesson_file_is_refused():
    (finding,) = fault("# " + "x" * MAX_CHARS)
    assert finding.code == "too-large"


def test_keys_without_a_value_count_as_not_given():
    lesson, _ = read_lesson("title: x\nscore: a.pgn\ncues:\nrecording:\nfilm:\n")
    assert lesson.cues == ()
    assert lesson.recording is None


@given(st.text(max_size=200))
def test_any_text_is_read_or_refused_in_our_words(text):
    with suppress(PlylineError):
        parse_lesson_text(text)


PIECES = [*"{}[]#|>?1é,\t\n \"'", "a:", "- ", "&a", "*a", "!x"]


@given(st.lists(st.sampled_from(PIECES), max_size=30))
def test_any_yaml_like_text_is_read_or_refused(pieces):
    with suppress(PlylineError):
        read_lesson("".join(pieces))


def test_forms_are_shown_by_an_example_never_by_a_pattern():
    """Every text with a form in the schema has one; so has a frame rate that is written as a number."""
    schema = lesson_schema()
    owners = [schema, *schema["$defs"].values()]
    patterned = {key for o in owners for key, value in o.get("properties", {}).items() if "'pattern'" in repr(value)}
    assert patterned == {"size", "arrow", "square", "route", "language"}
    for text, like in (
        ("film: {size: big}", "720p"),
        ("language: klingonisch", "pt-BR"),
        ("cues: [{at: 1, marks: [{square: z9}]}]", "d6 e5"),
        ("cues: [{at: 1, marks: [{route: g1}]}]", "g1-f3-e5"),
    ):
        (found,) = fault(f"title: x\nscore: a\n{text}\n")
        assert found.fix is not None
        assert like in found.fix
    for rate, name in ((25, "25"), (29.97, "29.97"), ("'50'", "50")):
        lesson, _ = read_lesson(f"title: x\nscore: a\nfilm: {{rate: {rate}}}\n")
        assert lesson.film.rate == name

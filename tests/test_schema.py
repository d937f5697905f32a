"""The printed JSON Schema, judged by an outside validator (the ``jsonschema`` package, draft 2020-12)."""

from __future__ import annotations

import jsonschema
import pytest

from timeline.lessontext import parse_lesson_text
from timeline.problems import LessonFileError
from timeline.schema import lesson_schema
from timeline.store import read_lesson

GOOD = [
    "title: x\nscore: game.pgn\n",
    'plyline: 1\ntitle: x\nscore: g\nlength: 90.5\ncues:\n  - {at: "0:18.250", show: 1w}\n'
    '  - {at: 63, marks: [{arrow: e1-e8, role: attack, for: "0:02.000"}]}\n'
    '  - {at: "4:10", think: 8.0, show: 14b, lock: true, else: 15w}\n',
    'title: x\nscore: g\nchapters: {list: [{at: "0:00", title: A}]}\nfilm: {rate: "25"}\n'
    "names: [Ada]\nglossary: {a: b}\n",
]
BAD = [
    "title: x\n",
    "title: x\nscore: g\ntilte: y\n",
    "title: x\nscore: g\nfilm: {rate: 31}\n",
    "title: x\nscore: g\ncues: [{at: true, show: 1w}]\n",
    "title: x\nscore: g\ncues: [{at: 1, marks: [{square: i9}]}]\n",
    "title: 5\nscore: g\n",
]


def valid(text: str) -> bool:
    return not list(jsonschema.Draft202012Validator(lesson_schema()).iter_errors(parse_lesson_text(text).plain))


def test_the_schema_is_a_schema():
    jsonschema.Draft202012Validator.check_schema(lesson_schema())


@pytest.mark.parametrize("text", GOOD)
def test_what_is_read_is_valid(text: str):
    assert read_lesson(text)
    assert valid(text)


@pytest.mark.parametrize("text", BAD)
def test_what_is_refused_is_not(text: str):
    with pytest.raises(LessonFileError):
        read_lesson(text)
    assert not valid(text)

"""Odd but legal layouts of lesson.yaml: a change means what it should, and keeps every comment."""
# ruff: noqa: E501  (each layout on one line, so that they can be compared)

from __future__ import annotations

import re
from pathlib import Path

import pytest

from timeline import edit
from timeline.lesson import CueSpec, Lesson
from timeline.store import LoadedLesson, changed_text, read_lesson

LAYOUTS = {
    "list not indented": "title: x\nscore: g\ncues:\n- {at: 0:01, show: 1w}  # one\n# two follows\n- {at: 0:02, show: 1b}\n",
    "list in brackets": "title: x\nscore: g\ncues: [{at: 0:01, show: 1w}, {at: 0:02, show: 1b}]  # both\nteacher: y\n",
    "brackets over lines": "title: x\nscore: g\ncues: [\n  {at: 0:01, show: 1w},  # one\n  {at: 0:02, show: 1b}\n]\nteacher: y\n",
    "cue over lines": "title: x\nscore: g\ncues:\n  - at: 0:01  # a\n    show: 1w  # b\n  # c\n  - {at: 0:02,\n     show: 1b}  # d\n",
    "dash on its own": "title: x\nscore: g\ncues:\n  -\n    at: 0:01\n    show: 1w\n  -\n    # deep\n    at: 0:02\n    show: 1b\n",
    "document marks": "%YAML 1.2\n---\n# head\ntitle: x\nscore: g\ncues:\n  - {at: 0:01, show: 1w}\n  - {at: 0:02, show: 1b}\n# tail\n",
    "no last line end": "title: x\nscore: g\ncues:\n  - {at: 0:01, show: 1w}\n  - {at: 0:02, show: 1b} # end",
    "quotes with hashes": "title: 'x # no comment'  # a comment\nscore: \"g\"\ncues:\n  - {at: '0:01', show: 1w, said: \"a # b, 'c'\"}\n  - {at: 0:02, show: 1b}\n",
    "folded title": "title: >-\n  a long\n  title\nscore: g\ncues:\n  - {at: 0:01, show: 1w}\n  - {at: 0:02, show: 1b}\n",
    "plain title over lines": "title: a long\n  title\nscore: g\ncues:\n  - {at: 0:01, show: 1w}\n  - {at: 0:02, show: 1b}\n",
    "quoted keys": "\"title\": x\n'score': g\n\"cues\":\n  - {\"at\": 0:01, \"show\": 1w}\n  - {at: 0:02, show: 1b}\n",
    "blank lines": "\n\ntitle: x\n\n\nscore: g\n\ncues:\n\n  - {at: 0:01, show: 1w}\n\n\n  - {at: 0:02, show: 1b}\n\n\n# end\n\n",
    "empty values": "title: x\nscore: g\nteacher:   # who?\nfilm:\n  # nothing yet\ncues:\n  - {at: 0:01, show: 1w}\n  - {at: 0:02, show: 1b}\n",
    "cues first": "cues:\n  - {at: 0:01, show: 1w}\n  - {at: 0:02, show: 1b}\n# then\ntitle: x\nscore: g\n",
    "deep indent": "title: x\nscore: g\ncues:\n        - {at: 0:01, show: 1w}\n        - {at: 0:02, show: 1b}\nfilm:\n    # rate\n    rate: '25'\n",
    "braces": "{title: x, score: g, cues: [{at: 0:01, show: 1w}, {at: 0:02, show: 1b}]}\n",
    "empty list": "title: x\nscore: g\ncues: []  # none yet\n",
}  # fmt: skip


def film(lesson: Lesson, **changes) -> Lesson:
    return lesson.model_copy(update={"film": lesson.film.model_copy(update=changes)})


CHANGES = {
    "add": lambda lesson: edit.add_cue(lesson, CueSpec(at=1500, show="2w")),
    "add last": lambda lesson: edit.add_cue(lesson, CueSpec(at=9000, think=2)),
    "lock all": lambda lesson: lesson.model_copy(
        update={"cues": tuple(c.model_copy(update={"lock": True}) for c in lesson.cues)}
    ),
    "drop first": lambda lesson: lesson.model_copy(update={"cues": lesson.cues[1:]}),
    "drop all": lambda lesson: lesson.model_copy(update={"cues": ()}),
    "title": lambda lesson: edit.set_title(lesson, "new: title"),
    "teacher": lambda lesson: lesson.model_copy(update={"teacher": "Ada"}),
    "chapter": lambda lesson: edit.add_chapter(lesson, 0, "Begin"),
    "film": lambda lesson: film(lesson, rate="24", captions=True),
    "names": lambda lesson: lesson.model_copy(update={"names": ("Ada", "Bo: b")}),
}


@pytest.mark.parametrize("layout", LAYOUTS)
@pytest.mark.parametrize("change", CHANGES)
def test_odd_layouts(layout: str, change: str):
    text = LAYOUTS[layout]
    lesson, source = read_lesson(text)
    wanted = CHANGES[change](lesson)
    new = changed_text(LoadedLesson(Path(), lesson, source), wanted)
    assert read_lesson(new)[0] == wanted
    for comment in re.findall(r"(?:^|\s)(#(?! no comment| b,)[^\n]*)", text):
        assert comment.strip() in new
    if wanted == lesson:
        assert new == text
    # and back again
    back = changed_text(LoadedLesson(Path(), *read_lesson(new)), lesson)
    assert read_lesson(back)[0] == lesson


@pytest.mark.parametrize("layout", sorted(set(LAYOUTS) - {"braces"}))
def test_lines_that_need_not_change_do_not(layout: str):
    """Only lines of the changed key may differ."""
    text = LAYOUTS[layout]
    lesson, source = read_lesson(text)
    new = changed_text(LoadedLesson(Path(), lesson, source), edit.add_cue(lesson, CueSpec(at=9000, think=2)))
    if layout not in ("list in brackets", "brackets over lines", "empty list"):
        kept = [line for line in text.splitlines() if line in new.splitlines()]
        assert kept == text.splitlines()

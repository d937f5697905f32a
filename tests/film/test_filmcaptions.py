"""The film's captions, burnt in and soft, are those of captions.srt: none tells the answer in a think-pause."""

from __future__ import annotations

from pathlib import Path

import av
import pysubs2
import pytest

from overlays.screenplay import Screenplay
from timeline.build import build
from timeline.publish.filmstep import render
from timeline.publish.lessonshow import film_settings, show_of
from timeline.steps import STEPS
from timeline.store import load_lesson
from timeline.work import Work

LESSON = """plyline: 1
title: A pause
score: game.pgn
transcript: talk.txt
length: "0:14"
film: {size: 320x180, rate: "25", captions: true}
follow: {cues: false, marks: false}
cues:
  - {at: "0:01.000", show: 1w}
  - {at: "0:05.500", think: 6.0}
"""
TALK = """[0:01] White plays e4. What would you play?
[0:05.6] I took it.
[0:10] Thank you.
"""


@pytest.fixture
def paused(tmp_path: Path) -> Work:
    (tmp_path / "game.pgn").write_text("1. e4 e5 *\n", encoding="utf-8")
    (tmp_path / "talk.txt").write_text(TALK, encoding="utf-8")
    (tmp_path / "lesson.yaml").write_text(LESSON, encoding="utf-8")
    return Work(load_lesson(tmp_path))


def test_burnt_captions_know_the_holds(paused: Work):
    play = Screenplay(show_of(paused, text=False), film_settings(paused))
    shown = [play.at(ms).caption or "" for ms in range(5500, 11_500, 250)]
    assert "[pause to think]" in shown
    assert not any("took" in text for text in shown)
    assert "took" in (play.at(12_000).caption or "")


def test_soft_captions_are_those_of_the_file(paused: Work):
    build(paused.folder, STEPS, only={"captions"})
    film = paused.folder / "film.mp4"
    render(paused, film)
    written = pysubs2.load(str(paused.folder / "out" / "captions.srt"))
    with av.open(str(film)) as container:
        packets = [(p, int.from_bytes(bytes(p)[:2], "big")) for p in container.demux(container.streams.subtitles[0])]
        inside = [(round(p.pts * p.time_base * 1000), bytes(p)[2 : 2 + n].decode()) for p, n in packets if n]
    assert inside == [(event.start, event.plaintext) for event in written]

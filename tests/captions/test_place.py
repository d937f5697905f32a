"""Captions of a player keep off the board, in every layout; their lines go into the place."""

from __future__ import annotations

from pathlib import Path

import pytest

from overlays.stage import layout_names, load_stage
from timeline.captions import About, Place, writer_for
from timeline.publish.captionplace import caption_place
from timeline.store import load_lesson
from timeline.tracks import Caption
from timeline.work import Work

LONG = Caption(0, 6000, "d takes e5, and Black has to give up the\nbishop, because if d takes e5 it is lost.", None)


def place_of(tmp_path: Path, film: str) -> Place | None:
    (tmp_path / "game.pgn").write_text("1. e4 *\n")
    (tmp_path / "lesson.yaml").write_text(f'title: x\nscore: game.pgn\nlength: "0:09"\nfilm: {{{film}}}\n')
    return caption_place(Work(load_lesson(tmp_path)))


@pytest.mark.parametrize("burnt_in", [True, False])
@pytest.mark.parametrize("layout", layout_names())
def test_off_the_board_and_inside_the_picture(layout: str, burnt_in: bool, tmp_path: Path):
    """EBU R 95: 5 % from the edges. Marks never leave the board."""
    place = place_of(tmp_path, f"layout: {layout}, captions: {str(burnt_in).lower()}")
    if place is None:
        assert layout in ("board", "square")  # the board fills the height
        assert not burnt_in
        return
    assert place.left >= 4.9
    assert place.top >= 4.9
    assert place.left + place.width <= 95.1
    assert place.top + place.height <= 95.1
    stage = load_stage(layout, "1080p", captions=burnt_in)
    left, right = place.left * stage.width / 100, (place.left + place.width) * stage.width / 100
    top, bottom = place.top * stage.height / 100, (place.top + place.height) * stage.height / 100
    board = stage.board
    assert right <= board.x + 1 or left >= board.right - 1 or bottom <= board.y + 1 or top >= board.bottom - 1


@pytest.mark.parametrize("letters", [18, 27, 36, 60])
def test_lines_go_into_the_place(letters: int):
    """A browser cuts off what is wider than the cue's box (seen in Chromium 156)."""
    text = writer_for(".vtt")([LONG], About(place=Place(60, 70, 35, 20, letters))).split("\n", 4)[4].strip()
    assert text.split() == LONG.text.split()
    assert all(len(line) <= letters for line in text.split("\n"))
    if letters >= 42:
        assert text == LONG.text


def test_the_language_of_the_lesson_breaks_the_lines():
    german = Caption(0, 4000, "Der Turm steht auf der offenen Linie.")
    text = writer_for(".vtt")([german], About(language="de", place=Place(60, 70, 35, 20, 24)))
    assert "der\n" not in text
    assert "auf\n" not in text

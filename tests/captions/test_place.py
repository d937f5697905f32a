"""Captions of a player keep off the board, in every layout; their lines go into the place."""

from __future__ import annotations

from itertools import pairwise
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from overlays.stage import layout_names, load_stage
from timeline.captions import About, Place, writer_for
from timeline.captions.webvtt import time_shares
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


def cues(captions: list[Caption], letters: int, language: str = "en") -> list[tuple[str, list[str]]]:
    """Times and lines of each cue in a place so many letters wide."""
    text = writer_for(".vtt")(captions, About(language=language, place=Place(60, 70, 35, 20, letters)))
    blocks = [block.split("\n") for block in text.strip().split("\n\n")[1:]]
    assert [block[0] for block in blocks] == [str(n) for n in range(1, len(blocks) + 1)]
    return [(" ".join(block[1].split()[:3]), block[2:]) for block in blocks]


@pytest.mark.parametrize("letters", [18, 27, 36, 60])
def test_lines_go_into_the_place(letters: int):
    """A browser cuts off what is wider than the cue's box (seen in Chromium 156)."""
    lines = [line for _, some in cues([LONG], letters) for line in some]
    assert " ".join(lines).split() == LONG.text.split()
    assert all(len(line) <= letters for line in lines)
    if letters >= 42:
        assert "\n".join(lines) == LONG.text


@pytest.mark.parametrize("letters", [18, 22, 27, 36])
def test_a_narrow_place_shows_two_lines_at_most_one_after_the_other(letters: int):
    """BBC 3.3: two lines. The caption's time is shared by characters; its parts follow each other without a hole."""
    parts = cues([LONG, Caption(7000, 8000, "Short one.")], letters)
    assert all(len(lines) <= 2 for _, lines in parts)
    assert parts[-1] == ("00:00:07.000 --> 00:00:08.000", ["Short one."])
    times = [time.split(" --> ") for time, _ in parts[:-1]]
    assert times[0][0] == "00:00:00.000"
    assert times[-1][1] == "00:00:06.000"
    assert all(a[1] == b[0] for a, b in pairwise(times))
    shares = [len(" ".join(lines)) for _, lines in parts[:-1]]
    for (begin, end), share in zip(times, shares, strict=True):
        assert abs(float(end[6:]) - float(begin[6:]) - 6 * share / sum(shares)) < 0.6  # a short part stays 4/3 s


def test_a_caption_is_parted_where_a_sentence_ends():
    said = ["The rook is gone for good.", "Now look at what Black plays here instead."]
    parts = cues([Caption(0, 4000, "\n".join(said))], 27)
    assert [" ".join(lines) for _, lines in parts] == said


def test_no_part_flashes_by():
    """At least 5/6 s, as for a caption (rules.py), where the whole has as much for each part."""
    said = "And here Black had about two minutes\nleft. She looked"
    times = [time.split(" --> ") for time, _ in cues([Caption(0, 3000, said)], 27)]
    assert len(times) == 2
    assert all(float(end[6:]) - float(begin[6:]) >= 0.833 for begin, end in times)


@pytest.mark.parametrize(
    ("sizes", "length", "least"),
    [
        ([50, 17], 5000, 1333),
        ([50, 12], 3300, 833),
        ([52, 10, 30], 4600, 833),
        ([40, 40, 9], 2000, 666),
        ([1, 1], 3, 1),
        ([7], 900, 900),
    ],
)
def test_parts_stay_as_long_as_captions_do_where_there_is_time(sizes: list[int], length: int, least: int):
    """The profiles' least times (rules.py): 4/3 s where it does not make the others unreadable, else 5/6 s."""
    shares = time_shares(sizes, length)
    assert sum(shares) == length
    assert min(shares) >= least


@given(st.lists(st.integers(1, 90), min_size=1, max_size=5), st.integers(5, 9000))
def test_times_of_parts_are_whole_and_none_is_lost(sizes: list[int], length: int):
    shares = time_shares(sizes, length)
    assert (len(shares), sum(shares)) == (len(sizes), length)
    assert min(shares) >= min(833, length // len(sizes), length)


def test_every_part_names_its_speaker():
    two = [Caption(0, 6000, LONG.text, "Anna"), Caption(6000, 7000, "Yes.", "Ben")]
    parts = cues(two, 27)
    assert all(lines[0].startswith("<v Anna>") for _, lines in parts[:-1])
    assert all(lines[-1].endswith("</v>") for _, lines in parts)


def test_the_language_of_the_lesson_breaks_the_lines():
    german = Caption(0, 4000, "Der Turm steht auf der offenen Linie.")
    text = writer_for(".vtt")([german], About(language="de", place=Place(60, 70, 35, 20, 24)))
    assert "der\n" not in text
    assert "auf\n" not in text

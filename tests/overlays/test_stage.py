"""Layouts: safe areas, nothing over the board, clear errors."""

from __future__ import annotations

from itertools import combinations
from pathlib import Path

import pytest

from overlays.panel import LEAST_TITLE
from overlays.stage import SLOTS, LayoutError, Stage, film_size, layout_names, load_stage

SAFE = 0.05
ACTION = 0.035
"""EBU R 95: graphics safe area 5 %, action safe area 3.5 % from each edge."""


def slots(stage: Stage) -> dict[str, object]:
    return {name: getattr(stage, name) for name in (*SLOTS, "board") if getattr(stage, name)}


@pytest.mark.parametrize("size", ["720p", "1080p", "2160p"])
@pytest.mark.parametrize("captions", [False, True])
@pytest.mark.parametrize("name", layout_names())
def test_everything_keeps_inside_the_safe_areas(name: str, captions: bool, size: str) -> None:
    """EBU R 95. What is to be read: graphics safe; the board's frame: action safe at least."""
    stage = load_stage(name, size, captions=captions)
    for slot, box in slots(stage).items():
        share = ACTION if slot in ("board", "think") else SAFE
        dx, dy = int(share * stage.width) - 1, int(share * stage.height) - 1
        assert box.x >= dx, slot
        assert box.right <= stage.width - dx, slot
        assert box.y >= dy, slot
        assert box.bottom <= stage.height - dy, slot


@pytest.mark.parametrize("captions", [False, True])
@pytest.mark.parametrize("name", layout_names())
def test_nothing_covers_anything(name: str, captions: bool) -> None:
    places = slots(load_stage(name, "1080p", captions=captions))
    for (one, a), (other, b) in combinations(places.items(), 2):
        if {one, other} != {"think", "logo"}:
            assert not a.meets(b), (one, other)


@pytest.mark.parametrize("name", layout_names())
def test_captions_have_the_size_that_broadcasters_ask(name: str) -> None:
    """BBC Subtitle Guidelines 1.2.5, 9.2.1: line height 7 to 8 % of the height (16:9), 3.9 to 4.5 % (9:16)."""
    stage = load_stage(name, "1080p", captions=True)
    assert stage.caption is not None
    line = stage.caption.height / 2 / stage.height
    if stage.height > stage.width:
        assert line >= 0.039
    else:
        assert 0.068 <= line <= 0.08


@pytest.mark.parametrize("captions", [False, True])
@pytest.mark.parametrize("name", layout_names())
def test_every_title_has_room_for_two_lines(name: str, captions: bool) -> None:
    """At the smallest letters a title is set in; 2.38 lines of them, as ``title_rows`` reckons."""
    title = load_stage(name, "1080p", captions=captions).title
    assert title is None or title.height >= 2.38 * LEAST_TITLE


@pytest.mark.parametrize("size", ["360p", "720p", "1080p", "1440p", "2160p", "1280x960", "640x1136"])
@pytest.mark.parametrize("name", layout_names())
def test_boards_are_whole_pixels_at_any_size(name: str, size: str) -> None:
    stage = load_stage(name, size)
    assert stage.width % 2 == stage.height % 2 == 0
    inner = stage.squares
    assert inner.width == 8 * stage.square
    assert stage.board.x + stage.frame == inner.x
    assert stage.board.width == inner.width + 2 * stage.frame


@pytest.mark.parametrize(
    ("size", "canvas", "expected"),
    [
        ("1080p", (1920, 1080), (1920, 1080)),
        ("1080p", (1080, 1920), (1080, 1920)),
        ("720p", (1920, 1080), (1280, 720)),
        ("2160p", (1920, 1080), (3840, 2160)),
        ("480p", (1920, 1080), (854, 480)),
        ("1000x600", (1920, 1080), (1000, 600)),
    ],
)
def test_film_sizes_are_even(size: str, canvas: tuple[int, int], expected: tuple[int, int]) -> None:
    assert film_size(size, canvas) == expected


@pytest.mark.parametrize(
    ("text", "words", "line"),
    [
        ("canvas = [100, 100]\n", "board is missing", None),
        ("canvas = [100, 100]\nboard = [0, 0, 90]\nclock = [0, 0, 1, 1]\n", "clock is no place", 3),
        ("canvas = [100, 100]\nboard = [0, 0, 190]\n", "board reaches beyond the canvas", 2),
        ("canvas = [200, 100]\nboard = [0, 0, 90]\ncamera = [50, 0, 90, 90]\n", "camera covers the board", 3),
        ("canvas = [200, 100]\nboard = [0, 0]\n", "board is not a list of 3 numbers", 2),
        ("canvas = [200, 100]\nboard = [true, 0, 90]\n", "board is not a list of 3 numbers", 2),
        ("canvas = [0, 100]\nboard = [0, 0, 9]\n", "the canvas has no size", 1),
        ("canvas = [\n", "not TOML", None),
    ],
)
def test_what_a_layout_file_gets_wrong_is_said(tmp_path: Path, text: str, words: str, line: int | None) -> None:
    path = tmp_path / "mine.toml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(LayoutError) as caught:
        load_stage(str(path), "1080p")
    assert words in str(caught.value)
    assert caught.value.findings[0].file == str(path)
    assert line is None or caught.value.findings[0].line == line


def test_faults_of_the_places_for_captions_are_placed_there(tmp_path: Path) -> None:
    path = tmp_path / "mine.toml"
    text = "canvas = [200, 100]\nboard = [0, 0, 90]\n[captions]\nboard = [0, 0, 80]\ncaption = [0, 0, 90, 90]\n"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(LayoutError) as caught:
        load_stage(str(path), "1080p", captions=True)
    assert caught.value.findings[0].line == 5
    path.write_text('captions = "yes"\ncanvas = [200, 100]\nboard = [0, 0, 90]\n', encoding="utf-8")
    with pytest.raises(LayoutError, match="captions is no table"):
        load_stage(str(path), "1080p", captions=True)


def test_no_such_layout_and_no_such_size() -> None:
    with pytest.raises(LayoutError, match="choose board-panel"):
        load_stage("side-by-side", "1080p")
    with pytest.raises(LayoutError, match="even"):
        load_stage("board", "1081x1080")
    for size in ("9999p", "100p"):
        with pytest.raises(LayoutError, match="160 to 7680"):
            load_stage("board-panel", size)
    with pytest.raises(LayoutError, match="cannot be read"):
        load_stage("gone.toml", "1080p")

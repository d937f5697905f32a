"""Themes: what a viewer must be able to tell apart, and clear errors for files that fail."""

from __future__ import annotations

from pathlib import Path

import pytest

from overlays import palette
from overlays.theme import ThemeError, check_theme, load_theme, theme_names
from timeline.tracks import ROLES

THEMES = theme_names()

# Hue sectors (CIE LCh, degrees) of dark squares that boards in wide use have: browns and tans, greens,
# blues and blue-greys, violets. Common practice, sectors drawn by us.
WORN_OUT = ((35, 100), (100, 175), (225, 320))


@pytest.mark.parametrize("name", THEMES)
def test_our_themes_pass_their_own_check(name: str) -> None:
    assert check_theme(load_theme(name)) == []


@pytest.mark.parametrize("name", THEMES)
def test_every_piece_stands_out_from_every_square(name: str) -> None:
    """WCAG 2.2, 1.4.11: 3:1, by fill or by outline."""
    theme = load_theme(name)
    for square in (*theme.board.squares(False), *theme.board.squares(True)):
        for side in (theme.pieces.white, theme.pieces.black):
            best = max(
                palette.contrast(side.fill, square),
                palette.contrast(side.line, square),
                palette.contrast(side.rim, square),
            )
            assert best >= 3


@pytest.mark.parametrize("name", THEMES)
def test_squares_are_of_hues_that_no_common_board_has(name: str) -> None:
    board = load_theme(name).board
    hue = palette.hue_of(board.dark)
    assert palette.chroma_of(board.dark) > 12
    assert not any(low <= hue <= high for low, high in WORN_OUT), hue
    apart = abs((hue - palette.hue_of(board.light) + 180) % 360 - 180)
    assert apart > 90, "the light squares are no paler version of the dark ones"


@pytest.mark.parametrize("name", THEMES)
@pytest.mark.parametrize("vision", list(palette.VISIONS))
def test_marks_differ_for_every_eye(name: str, vision: str) -> None:
    """CIEDE2000 under Machado 2009's simulations. Themes need 10 (limit ours); these were chosen to have more."""
    theme = load_theme(name)
    marks = [theme.marks.of(role) for role in ROLES]
    assert palette.least_difference(marks, vision) >= 19
    for square in theme.board.squares(False):
        assert min(palette.difference(mark, square, vision) for mark in marks) >= 13


@pytest.mark.parametrize("name", THEMES)
def test_edges_of_marks_stand_out_from_every_square(name: str) -> None:
    """WCAG 2.2, 1.4.11: one of the two edges has 3:1 on every square."""
    theme = load_theme(name)
    for square in (*theme.board.squares(False), *theme.board.squares(True)):
        edges = (theme.marks.edge_dark, theme.marks.edge_light)
        assert max(palette.contrast(edge, square) for edge in edges) >= 3


@pytest.mark.parametrize("name", THEMES)
def test_the_change_to_a_sideline_is_no_flash(name: str) -> None:
    """WCAG 2.2, general flash: opposing changes of 0.10 or more in relative luminance."""
    board = load_theme(name).board
    for one, other in zip(board.squares(False), board.squares(True), strict=True):
        assert abs(palette.luminance(one) - palette.luminance(other)) < 0.10


def write(folder: Path, text: str, name: str = "mine.toml") -> str:
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return str(path)


def test_a_theme_of_ones_own_inherits(tmp_path: Path) -> None:
    first = write(tmp_path, '[words]\nsideline = "pas joué"\n', "first.toml")
    second = write(tmp_path, 'inherits = "first.toml"\nlogo = "club.svg"\n[stage]\nbackground = "#000000"\n')
    theme = load_theme(second)
    assert theme.words.sideline == "pas joué"
    assert theme.stage.background == "#000000"
    assert theme.board == load_theme("lagoon").board
    assert theme.logo == str(tmp_path / "club.svg")
    assert load_theme(first).logo is None


LINE = {'inherits = "nothing"\n': 1, "[board\n": 1, 'inherits = "mine.toml"\n': 1, 'inherits = "gone.toml"\n': 1}
"""Lines of faults that do not stand in the second line."""


@pytest.mark.parametrize(
    ("text", "code", "words"),
    [
        ('[board]\nlight = "#30888e"\n', "theme-contrast", "board.light to board.dark: contrast 1.00, needs 1.8"),
        ('[stage]\ntext = "#333333"\n', "theme-contrast", "(#333333 on #10292f)"),
        ('[marks]\nattack = "#9774f8"\n', "theme-marks-alike", "attack and marks.defence look alike (normal vision)"),
        ('[pieces.black]\nfill = "#fdf8ee"\n', "theme-contrast", "pieces.white.fill to pieces.black.fill"),
        ('[board]\nsideline_light = "#404040"\n', "theme-contrast", "luminance changes by"),
        ('[board]\nligth = "#ffffff"\n', "theme-key", "board.ligth is no key"),
        ('[board]\nlight = "white"\n', "theme-value", "board.light = 'white'"),
        ('inherits = "nothing"\n', "no-theme", "there is no theme 'nothing'"),
        ("[board\n", "bad-toml", "not TOML"),
        ('inherits = "mine.toml"\n', "theme-circle", "circle"),
        ('inherits = "gone.toml"\n', "no-theme", "cannot be read"),
    ],
)
def test_what_a_theme_file_gets_wrong_is_said(tmp_path: Path, text: str, code: str, words: str) -> None:
    with pytest.raises(ThemeError) as caught:
        load_theme(write(tmp_path, text))
    hits = [f for f in caught.value.findings if f.code == code and words in f.message]
    assert hits, str(caught.value)
    assert hits[0].file
    assert hits[0].line == LINE.get(text, 2), "the line that is to be mended"
    assert hits[0].source == text.split("\n")[hits[0].line - 1]


def test_a_fault_is_placed_in_the_file_that_holds_the_key(tmp_path: Path) -> None:
    write(tmp_path, '# the club\'s\n[board]\n# pale\nlight = "#30888e"\n', "first.toml")
    with pytest.raises(ThemeError) as caught:
        load_theme(write(tmp_path, 'inherits = "first.toml"\n[words]\nback = "zurück"\n'))
    found = caught.value.findings[0]
    assert (found.file, found.line, found.column) == (str(tmp_path / "first.toml"), 4, 1)


def test_no_such_theme() -> None:
    with pytest.raises(ThemeError, match="choose lagoon, mulberry"):
        load_theme("slate-and-sand")

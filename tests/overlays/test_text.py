"""Shaping with the bundled fonts, and what happens when a glyph is missing."""

from __future__ import annotations

import signal
import sys
import time
from dataclasses import replace
from importlib.resources import files
from pathlib import Path

import chess
import pytest
from fontTools.fontBuilder import FontBuilder
from fontTools.pens.ttGlyphPen import TTGlyphPen
from hypothesis import given
from hypothesis import strategies as st

from overlays import samples, text
from overlays.painter import BoardPainter
from overlays.pieces import figure_paths
from overlays.text import BOLD, REGULAR, FontError, Typesetter
from timeline.filmsettings import FilmSettings
from timeline.problems import Severity

LETTERS = Typesetter()
WORDS = st.lists(st.text("abcdefghiABCéß", min_size=1, max_size=9), min_size=1, max_size=12).map(" ".join)


@pytest.mark.parametrize(
    "text",
    [
        "Ångström Đặng Čapek",
        "Владимир",
        "Ελένη",
        "ישראל",
        "محمد",
        "Հայաստան",
        "გიორგი",
        "♔♕♖♗♘♙ ♚♛♜♝♞♟",
        "½ – — … “”",
        "±∓∞⩾",
    ],
)
def test_names_and_signs_have_glyphs(text: str) -> None:
    assert LETTERS.lacking(text) == []


def test_a_missing_glyph_is_reported_not_hidden() -> None:
    assert LETTERS.lacking("Go 囲碁 club") == ["囲", "碁"]
    show = replace(samples.game_show(), white="囲碁 Club")
    findings = BoardPainter(show, FilmSettings(size="360p")).findings()
    assert [(f.code, f.severity) for f in findings] == [("missing-glyph", Severity.WARNING)] * 2
    assert "囲 (U+56F2) of '囲碁 Club'" in str(findings[0])
    assert LETTERS.shape("囲").glyphs


def test_a_font_of_ones_own_fills_the_gap(tmp_path: Path) -> None:
    """The font is made here with fontTools: one box for U+56F2."""
    path = tmp_path / "box.ttf"
    builder = FontBuilder(1000, isTTF=True)
    builder.setupGlyphOrder([".notdef", "box"])
    builder.setupCharacterMap({0x56F2: "box"})
    pen = TTGlyphPen(None)
    for point in ((0, 0), (0, 700), (700, 700)):
        (pen.lineTo if pen.points else pen.moveTo)(point)
    pen.closePath()
    builder.setupGlyf({".notdef": TTGlyphPen(None).glyph(), "box": pen.glyph()})
    builder.setupHorizontalMetrics({".notdef": (500, 0), "box": (800, 0)})
    builder.setupHorizontalHeader(ascent=800, descent=-200)
    builder.setupPost()
    builder.save(path)
    letters = Typesetter([str(path)])
    assert letters.lacking("囲") == []
    assert letters.width("囲", 100) == 80


@pytest.mark.parametrize(("data", "words"), [(b"no font", "no font that can be read"), (None, "cannot be read")])
def test_a_font_that_is_none(tmp_path: Path, data: bytes | None, words: str) -> None:
    path = tmp_path / "mine.ttf"
    if data is not None:
        path.write_bytes(data)
    with pytest.raises(FontError, match=words):
        Typesetter([str(path)])


def test_figurines_are_our_own_pieces() -> None:
    """U+2658 is drawn with the board's knight."""
    assert tuple(g.path for g in LETTERS.shape("♘").glyphs) == figure_paths(chess.KNIGHT)


def test_accents_sit_on_their_letters() -> None:
    """Unicode UAX #15: composed and decomposed text is the same text."""
    assert LETTERS.shape("e\u0301") == LETTERS.shape("\u00e9")
    stacked = LETTERS.shape("a\u0330\u0301")
    assert stacked.width == pytest.approx(LETTERS.shape("a").width, abs=0.01)


def test_arabic_letters_join() -> None:
    """Unicode 9.2: a letter's form depends on its neighbours, so the word is no row of single letters."""
    word = LETTERS.shape("محمد")
    alone = [LETTERS.shape(c).glyphs[0].path for c in "محمد"]
    assert [g.path for g in word.glyphs][::-1] != alone
    assert word.right_to_left


def test_hebrew_runs_from_right_to_left() -> None:
    first, last = LETTERS.shape("א").glyphs[0].path, LETTERS.shape("ת").glyphs[0].path
    line = LETTERS.shape("אבת").glyphs
    assert line[-1].path == first
    assert line[0].path == last


def test_kerning_is_on() -> None:
    """OpenType ``kern``: the pair is narrower than its letters."""
    assert LETTERS.shape("AV").width < LETTERS.shape("A").width + LETTERS.shape("V").width


def test_bold_is_wider() -> None:
    assert LETTERS.width("Bishop", 40, BOLD) > LETTERS.width("Bishop", 40, REGULAR)


@given(WORDS, st.integers(40, 600))
def test_fitted_text_fits(text: str, room: int) -> None:
    cut = LETTERS.fitted(text, 30, room)
    assert LETTERS.width(cut, 30) <= max(room, LETTERS.width("…", 30))
    assert cut == text or cut.endswith("…")


@given(WORDS, st.integers(60, 600), st.integers(1, 3))
def test_wrapped_lines_fit_and_keep_the_words(text: str, room: int, lines: int) -> None:
    rows = LETTERS.wrapped(text, 30, room, lines=lines)
    assert len(rows) <= lines
    assert all(LETTERS.width(row, 30) <= max(room, LETTERS.width("…", 30)) for row in rows)
    if not any(row.endswith("…") for row in rows):
        assert " ".join(rows) == text


def test_a_sprite_holds_accents_and_tails() -> None:
    sprite = LETTERS.sprite("Ǻgy", 40, "#ffffff")
    assert sprite[0, :, 3].max() == 0
    assert sprite[-1, :, 3].max() == 0
    assert sprite[..., 3].max() == 255


@pytest.mark.skipif(not hasattr(signal, "setitimer"), reason="POSIX timers")
def test_ctrl_c_is_heard_while_letters_are_drawn(monkeypatch):
    """The font library calls back into Python and would lose what is raised there, with the part of the letter."""
    lost: list[object] = []
    monkeypatch.setattr(sys, "unraisablehook", lost.append)
    data = files("overlays").joinpath("fonts", "DejaVuSans.ttf").read_bytes()
    whole = text._Face(data, 400)
    paths = {glyph: whole.path(glyph) for glyph in range(36, 90)}

    def ring(number, frame):
        raise KeyboardInterrupt

    before = signal.signal(signal.SIGALRM, ring)
    heard = 0
    try:
        for round_ in range(300):
            face = text._Face(data, 400)
            try:
                signal.setitimer(signal.ITIMER_REAL, 0.0005 + round_ * 0.00001)
                for glyph in paths:
                    face.path(glyph)
                for _ in range(100):
                    time.sleep(0.001)
            except KeyboardInterrupt:
                heard += 1
            assert all(paths[glyph] == path for glyph, path in face._paths.items())
    finally:
        signal.signal(signal.SIGALRM, before)
    assert heard == 300
    assert lost == []

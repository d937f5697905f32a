"""Line order of mixed directions (Unicode UAX #9). Capital letters stand for right-to-left ones, as in the annex."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from overlays import bidi

HEBREW = {chr(ord("A") + i): chr(0x5D0 + i) for i in range(26)}
MIRRORED = str.maketrans("()", ")(")  # L4: brackets are mirrored; in the picture HarfBuzz does it
BACK = {v: k for k, v in HEBREW.items()}


def shown(text: str) -> str:
    """The line as it stands on screen, right-to-left letters as capitals."""
    real = "".join(HEBREW.get(c, c) for c in text)
    out = ""
    for start, end, leftward in bidi.visual_runs(bidi.levels(real, bidi.base_level(real))):
        piece = real[start:end]
        out += piece[::-1].translate(MIRRORED) if leftward else piece
    return "".join(BACK.get(c, c) for c in out)


@pytest.mark.parametrize(
    ("text", "screen"),
    [
        ("car means CAR", "car means RAC"),  # UAX #9, 3.4, L2, first example
        ("CAR MEANS car.", ".car SNAEM RAC"),  # UAX #9, 3.4, L2, second example without embeddings
        ("abc", "abc"),
        ("ABC", "CBA"),
        ("ABC 123", "123 CBA"),
        ("ABC 12.5", "12.5 CBA"),
        ("x ABC 3-2 DEF", "x FED 3-2 CBA"),
        ("AB (cd) EF", "FE (cd) BA"),
        ("ab (CD) ef", "ab (DC) ef"),
        ("AB 50% CD", "DC 50% BA"),
        ("1. e4 AB", "1. e4 BA"),
    ],
)
def test_order_on_screen(text: str, screen: str) -> None:
    assert shown(text) == screen


@given(st.text(alphabet="abAB 12.,()-%\u0627\u0301", max_size=14))
def test_every_character_is_shown_once(text: str) -> None:
    runs = bidi.visual_runs(bidi.levels(text, bidi.base_level(text)))
    places = [i for start, end, _ in runs for i in range(start, end)]
    assert sorted(places) == list(range(len(text)))


def test_controls_and_breaks_are_taken_out() -> None:
    assert bidi.without_controls("a\u202eb\nc\u2067d") == "ab cd"

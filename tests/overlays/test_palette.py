"""Colour arithmetic against published values."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from overlays import palette
from overlays.vision import simulated

HEX = st.tuples(*[st.integers(0, 255)] * 3).map(palette.hex_of)


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ("#000000", "#ffffff", 21.00),
        ("#767676", "#ffffff", 4.54),
        ("#777777", "#ffffff", 4.48),
        ("#949494", "#ffffff", 3.03),
        ("#757575", "#000000", 4.56),
        ("#ff0000", "#ffffff", 4.00),
        ("#00ff00", "#ffffff", 1.37),
        ("#0000ff", "#ffffff", 8.59),
        ("#ffff00", "#000000", 19.56),
        ("#00ffff", "#000000", 16.75),
    ],
)
def test_contrast_of_known_pairs(one: str, other: str, ratio: float) -> None:
    """WCAG 2.2, definitions of relative luminance and contrast ratio, computed by an independent script."""
    assert palette.contrast(one, other) == pytest.approx(ratio, abs=0.006)


@given(HEX, HEX)
def test_contrast_is_symmetric_and_bounded(one: str, other: str) -> None:
    """WCAG 2.2: the ratio goes from 1 to 21."""
    assert palette.contrast(one, other) == palette.contrast(other, one)
    assert 1 <= palette.contrast(one, other) <= 21.0001


@pytest.mark.parametrize(
    ("colour", "seen"),
    [
        ("#ff0000", ("#6d5f00", "#a39000", "#ff000f")),
        ("#00ff00", ("#ffe500", "#efd63a", "#00f7d9")),
        ("#d55e00", ("#817100", "#9e8c00", "#eb4050")),
        ("#009e73", ("#9a9271", "#8a8676", "#009e92")),
        ("#808080", ("#808080", "#808080", "#808080")),
    ],
)
def test_colour_vision_deficiency(colour: str, seen: tuple[str, str, str]) -> None:
    """Machado, Oliveira and Fernandes 2009, severity 1.0, as the colour-science library computes it (+-1)."""
    for vision, expected in zip(("protan", "deutan", "tritan"), seen, strict=True):
        ours = palette.seen_by(colour, vision)
        assert all(abs(a - b) <= 1 for a, b in zip(ours, palette.rgb_of(expected), strict=True)), vision
        pixels = simulated(np.array([[palette.rgb_of(colour)]], np.uint8), vision)[0, 0]
        assert all(abs(int(a) - b) <= 1 for a, b in zip(pixels, ours, strict=True)), vision


@pytest.mark.parametrize(
    ("one", "other", "difference"),
    [
        ((50, 2.6772, -79.7751), (50, 0, -82.7485), 2.0425),
        ((50, 3.1571, -77.2803), (50, 0, -82.7485), 2.8615),
        ((50, 2.8361, -74.0200), (50, 0, -82.7485), 3.4412),
        ((50, -1.3802, -84.2814), (50, 0, -82.7485), 1.0000),
        ((50, 0, 0), (50, -1, 2), 2.3669),
        ((50, 2.49, -0.001), (50, -2.49, 0.0009), 7.1792),
        ((60.2574, -34.0099, 36.2677), (60.4626, -34.1751, 39.4387), 1.2644),
        ((2.0776, 0.0795, -1.1350), (0.9033, -0.0636, -0.5514), 0.9082),
    ],
)
def test_ciede2000(one: tuple[float, ...], other: tuple[float, ...], difference: float) -> None:
    """Sharma, Wu and Dalal 2005, rows of the table of test data (values from memory)."""
    assert palette.difference_lab(one, other) == pytest.approx(difference, abs=1e-4)
    assert palette.difference_lab(other, one) == pytest.approx(difference, abs=1e-4)


PALETTES = {
    "Okabe and Ito 2008": "000000 E69F00 56B4E9 009E73 F0E442 0072B2 D55E00 CC79A7",
    "Tol bright": "4477AA 66CCEE 228833 CCBB44 EE6677 AA3377 BBBBBB",
    "Tol vibrant": "EE7733 0077BB 33BBEE EE3377 CC3311 009988 BBBBBB",
    "Tol high-contrast": "DDAA33 BB5566 004488",
}


@pytest.mark.parametrize(
    ("name", "least"),
    [
        ("Okabe and Ito 2008", (21.7, 12.3, 11.5, 11.1)),
        ("Tol bright", (20.7, 14.0, 14.7, 8.7)),
        ("Tol vibrant", (18.3, 13.8, 14.5, 8.6)),
        ("Tol high-contrast", (38.9, 26.1, 25.5, 21.4)),
    ],
)
def test_smallest_difference_in_known_palettes(name: str, least: tuple[float, ...]) -> None:
    """The same minima as the colour-science library 0.4.7 gives for these published palettes.

    Tolerance 0.2: a grey's hue is noise of the last digit, and CIEDE2000 looks at it.
    """
    colours = [f"#{c}" for c in PALETTES[name].split()]
    for vision, expected in zip(palette.VISIONS, least, strict=True):
        assert palette.least_difference(colours, vision) == pytest.approx(expected, abs=0.2)


def test_a_red_and_green_that_many_charts_use_look_alike() -> None:
    """D62728 and 2CA02C under deutan vision: 4.8, far below our limit of 10."""
    assert palette.difference("#d62728", "#2ca02c", "deutan") == pytest.approx(4.8, abs=0.1)


@given(HEX)
def test_lch_leads_back(colour: str) -> None:
    """CIE LCh(ab) is L*a*b* in polar coordinates."""
    lightness = palette.lab_of(colour)[0]
    back = palette.rgb_from_lch(lightness, palette.chroma_of(colour), palette.hue_of(colour))
    assert back is not None
    assert all(abs(a - b) <= 1 for a, b in zip(back, palette.rgb_of(colour), strict=True))


@pytest.mark.parametrize("text", ["red", "#fff", "#12345g", "123456"])
def test_what_is_no_colour(text: str) -> None:
    with pytest.raises(ValueError, match="not a colour"):
        palette.rgb_of(text)

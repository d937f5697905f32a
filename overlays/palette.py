"""Colour arithmetic: contrast, lightness, difference, and how colours look to the colour-blind.

Colours are ``#rrggbb`` text or sRGB triples of 0..255. Sources: relative
luminance and contrast, WCAG 2.2; sRGB transfer function, IEC 61966-2-1;
CIE L*a*b* (D65); CIEDE2000, Sharma, Wu and Dalal 2005; colour-vision
deficiency, Machado, Oliveira and Fernandes 2009, severity 1.0.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import combinations

Rgb = tuple[int, int, int]

VISIONS: dict[str, tuple[tuple[float, float, float], ...]] = {
    "normal": ((1, 0, 0), (0, 1, 0), (0, 0, 1)),
    "protan": ((0.152286, 1.052583, -0.204868), (0.114503, 0.786281, 0.099216), (-0.003882, -0.048116, 1.051998)),
    "deutan": ((0.367322, 0.860646, -0.227968), (0.280085, 0.672501, 0.047413), (-0.011820, 0.042940, 0.968881)),
    "tritan": ((1.255528, -0.076749, -0.178779), (-0.078411, 0.930809, 0.147602), (0.004733, 0.691367, 0.303900)),
}
"""Machado et al. 2009, table of severity 1.0, applied to linear RGB."""


def rgb_of(colour: str | Sequence[int]) -> Rgb:
    """The triple of ``#rrggbb``; ValueError for anything else."""
    if isinstance(colour, str):
        if len(colour) != 7 or colour[0] != "#":
            raise ValueError(f"{colour!r} is not a colour such as #1f6f78")
        try:
            return int(colour[1:3], 16), int(colour[3:5], 16), int(colour[5:7], 16)
        except ValueError:
            raise ValueError(f"{colour!r} is not a colour such as #1f6f78") from None
    r, g, b = colour
    return int(r), int(g), int(b)


def hex_of(rgb: Sequence[float]) -> str:
    return "#" + "".join(f"{min(255, max(0, round(c))):02x}" for c in rgb)


def decode(channel: float) -> float:
    """sRGB 0..255 to linear light 0..1."""
    c = channel / 255
    return c / 12.92 if c <= 0.04045 else float(((c + 0.055) / 1.055) ** 2.4)


def encode(linear: float) -> float:
    """Linear light to sRGB 0..255, clipped."""
    x = min(1.0, max(0.0, linear))
    return 255 * (12.92 * x if x <= 0.0031308 else 1.055 * x ** (1 / 2.4) - 0.055)


def luminance(colour: str | Sequence[int]) -> float:
    """Relative luminance, 0..1 (WCAG 2.2)."""
    r, g, b = (decode(c) for c in rgb_of(colour))
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str | Sequence[int], other: str | Sequence[int]) -> float:
    """Contrast ratio, 1..21 (WCAG 2.2)."""
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def mix(under: str, over: str, share: float) -> str:
    """``over`` laid on ``under`` with opacity ``share`` in 0..1, in sRGB values as films are mixed."""
    return hex_of([a + (b - a) * share for a, b in zip(rgb_of(under), rgb_of(over), strict=True)])


def seen_by(colour: str | Sequence[int], vision: str) -> Rgb:
    """The colour as someone with ``vision`` (a key of VISIONS) sees it."""
    linear = [decode(c) for c in rgb_of(colour)]
    if vision == "normal":
        return rgb_of(colour)
    r, g, b = (round(encode(sum(m * c for m, c in zip(row, linear, strict=True)))) for row in VISIONS[vision])
    return r, g, b


def lab_of(colour: str | Sequence[int]) -> tuple[float, float, float]:
    """CIE L*a*b* under D65 (white point 0.95047, 1, 1.08883)."""
    r, g, b = (decode(c) for c in rgb_of(colour))
    x = (0.4124564 * r + 0.3575761 * g + 0.1804375 * b) / 0.95047
    y = 0.2126729 * r + 0.7151522 * g + 0.0721750 * b
    z = (0.0193339 * r + 0.1191920 * g + 0.9503041 * b) / 1.08883

    def f(t: float) -> float:
        return t ** (1 / 3) if t > 216 / 24389 else (24389 / 27 * t + 16) / 116

    return 116 * f(y) - 16, 500 * (f(x) - f(y)), 200 * (f(y) - f(z))


def rgb_from_lch(lightness: float, chroma: float, hue: float) -> Rgb | None:
    """The sRGB colour of CIE LCh(ab); None when a screen cannot show it."""
    a, b = chroma * math.cos(math.radians(hue)), chroma * math.sin(math.radians(hue))
    fy = (lightness + 16) / 116

    def g(t: float) -> float:
        return t**3 if t**3 > 216 / 24389 else (116 * t - 16) * 27 / 24389

    x, y, z = 0.95047 * g(fy + a / 500), g(fy), 1.08883 * g(fy - b / 200)
    linear = (
        3.2404542 * x - 1.5371385 * y - 0.4985314 * z,
        -0.9692660 * x + 1.8760108 * y + 0.0415560 * z,
        0.0556434 * x - 0.2040259 * y + 1.0572252 * z,
    )
    if any(c < -0.001 or c > 1.001 for c in linear):
        return None
    r, gr, bl = (round(encode(c)) for c in linear)
    return r, gr, bl


def hue_of(colour: str | Sequence[int]) -> float:
    """Hue angle in CIE L*a*b*, degrees 0..360."""
    _, a, b = lab_of(colour)
    return math.degrees(math.atan2(b, a)) % 360


def chroma_of(colour: str | Sequence[int]) -> float:
    _, a, b = lab_of(colour)
    return math.hypot(a, b)


def difference_lab(one: Sequence[float], other: Sequence[float]) -> float:
    """CIEDE2000 of two L*a*b* values (Sharma, Wu and Dalal 2005, equations 2 to 22)."""
    (l1, a1, b1), (l2, a2, b2) = one, other
    mean_c = (math.hypot(a1, b1) + math.hypot(a2, b2)) / 2
    g = 0.5 * (1 - math.sqrt(mean_c**7 / (mean_c**7 + 25**7)))
    a1p, a2p = (1 + g) * a1, (1 + g) * a2
    c1, c2 = math.hypot(a1p, b1), math.hypot(a2p, b2)
    h1 = math.degrees(math.atan2(b1, a1p)) % 360 if c1 else 0.0
    h2 = math.degrees(math.atan2(b2, a2p)) % 360 if c2 else 0.0
    dl, dc = l2 - l1, c2 - c1
    dh = h2 - h1
    if not c1 * c2:
        dh = 0.0
    elif dh > 180:
        dh -= 360
    elif dh < -180:
        dh += 360
    dh_big = 2 * math.sqrt(c1 * c2) * math.sin(math.radians(dh / 2))
    lm, cm = (l1 + l2) / 2, (c1 + c2) / 2
    if not c1 * c2:
        hm = h1 + h2
    elif abs(h1 - h2) <= 180:
        hm = (h1 + h2) / 2
    elif h1 + h2 < 360:
        hm = (h1 + h2 + 360) / 2
    else:
        hm = (h1 + h2 - 360) / 2
    t = (
        1
        - 0.17 * math.cos(math.radians(hm - 30))
        + 0.24 * math.cos(math.radians(2 * hm))
        + 0.32 * math.cos(math.radians(3 * hm + 6))
        - 0.20 * math.cos(math.radians(4 * hm - 63))
    )
    turn = 30 * math.exp(-(((hm - 275) / 25) ** 2))
    rc = 2 * math.sqrt(cm**7 / (cm**7 + 25**7))
    sl = 1 + 0.015 * (lm - 50) ** 2 / math.sqrt(20 + (lm - 50) ** 2)
    sc, sh = 1 + 0.045 * cm, 1 + 0.015 * cm * t
    rt = -math.sin(math.radians(2 * turn)) * rc
    return math.sqrt((dl / sl) ** 2 + (dc / sc) ** 2 + (dh_big / sh) ** 2 + rt * (dc / sc) * (dh_big / sh))


def difference(one: str | Sequence[int], other: str | Sequence[int], vision: str = "normal") -> float:
    """CIEDE2000 of two colours as someone with ``vision`` sees them."""
    return difference_lab(lab_of(seen_by(one, vision)), lab_of(seen_by(other, vision)))


def least_difference(colours: Sequence[str], vision: str = "normal") -> float:
    """The smallest CIEDE2000 between any two of the colours."""
    return min(difference(a, b, vision) for a, b in combinations(colours, 2))

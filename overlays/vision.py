"""Pictures as people with another colour vision see them (Machado, Oliveira and Fernandes 2009, severity 1.0)."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

from overlays.palette import VISIONS, decode

if TYPE_CHECKING:
    from numpy.typing import NDArray

_ROWS = 128


def simulated(rgb: NDArray[np.uint8], vision: str) -> NDArray[np.uint8]:
    """Pixels, shape (height, width, 3), as someone with ``vision`` (a key of ``palette.VISIONS``) sees them."""
    if vision == "normal":
        return rgb
    linear = np.array([decode(c) for c in range(256)])
    matrix = np.array(VISIONS[vision]).T
    result = np.empty_like(rgb)
    for top in range(0, len(rgb), _ROWS):  # a sheet is large, and this arithmetic takes eight times its memory
        seen = np.clip(linear[rgb[top : top + _ROWS]] @ matrix, 0, 1)
        encoded = np.where(seen <= 0.0031308, 12.92 * seen, 1.055 * seen ** (1 / 2.4) - 0.055)
        result[top : top + _ROWS] = np.rint(encoded * 255)
    return result

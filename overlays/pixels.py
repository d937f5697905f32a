"""Laying pictures over pictures: plain arrays, 8 bits, straight alpha."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray


class Canvas:
    """A picture being put together. ``alpha`` is None as long as all of it is opaque."""

    def __init__(self, rgb: NDArray[np.uint8], alpha: NDArray[np.uint8] | None) -> None:
        self.rgb = rgb
        self.alpha = alpha

    def copy(self) -> Canvas:
        return Canvas(self.rgb.copy(), None if self.alpha is None else self.alpha.copy())

    def fill(self, x: int, y: int, width: int, height: int, colour: tuple[int, int, int]) -> None:
        """An opaque rectangle."""
        self.rgb[y : y + height, x : x + width] = colour
        if self.alpha is not None:
            self.alpha[y : y + height, x : x + width] = 255

    def hole(self, x: int, y: int, width: int, height: int) -> None:
        """A see-through rectangle."""
        if self.alpha is None:
            self.alpha = np.full(self.rgb.shape[:2], 255, np.uint8)
        self.alpha[y : y + height, x : x + width] = 0

    def paste(self, sprite: NDArray[np.uint8], x: int, y: int, strength: float = 1.0) -> None:
        """Lay straight-alpha ``sprite`` over, its top left at (x, y); what reaches outside is cut off."""
        height, width = self.rgb.shape[:2]
        x0, y0 = max(0, x), max(0, y)
        x1, y1 = min(width, x + sprite.shape[1]), min(height, y + sprite.shape[0])
        if x0 >= x1 or y0 >= y1:
            return
        part = sprite[y0 - y : y1 - y, x0 - x : x1 - x]
        under = self.rgb[y0:y1, x0:x1]
        cover = part[..., 3].astype(np.uint16)
        if strength < 1:
            cover = ((cover * np.uint16(round(256 * strength))) >> 8).astype(np.uint16)
        if self.alpha is not None and not (self.alpha[y0:y1, x0:x1] == 255).all():
            self._paste_see_through(part, cover, x0, y0)
            return
        a = cover[..., None]
        mixed = under * (255 - a) + part[..., :3].astype(np.uint16) * a
        under[...] = (mixed + 128 + (mixed >> 8)) >> 8

    def _paste_see_through(self, part: NDArray[np.uint8], cover: NDArray[np.uint16], x: int, y: int) -> None:
        assert self.alpha is not None
        h, w = cover.shape
        under, alpha = self.rgb[y : y + h, x : x + w], self.alpha[y : y + h, x : x + w]
        a = cover.astype(np.float32) / 255
        b = alpha.astype(np.float32) / 255 * (1 - a)
        out = a + b
        safe = np.where(out > 0, out, 1)[..., None]
        under[...] = np.rint((part[..., :3] * a[..., None] + under * b[..., None]) / safe)
        alpha[...] = np.rint(out * 255)

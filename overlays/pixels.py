"""Laying pictures over pictures: plain arrays, 8 bits, straight alpha."""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from numpy.typing import NDArray


class Layer:
    """A picture that is laid over others many times: cut to what shows, the arithmetic half done.

    From straight-alpha pixels of shape (h, w, 4). ``x`` and ``y`` say where the
    cut begins in them. Alpha runs to 256 inside, so that full cover is exact.
    """

    def __init__(self, rgba: NDArray[np.uint8]) -> None:
        rows, columns = rgba[..., 3].nonzero()
        self.empty = not len(rows)
        self.y, self.x = (int(rows.min()), int(columns.min())) if len(rows) else (0, 0)
        bottom, right = (int(rows.max()) + 1, int(columns.max()) + 1) if len(rows) else (0, 0)
        self.rgba = rgba[self.y : bottom, self.x : right].copy()
        cover = _cover(self.rgba[..., 3])[..., None]
        self._keep = np.repeat(np.uint16(256) - cover, 3, axis=2)
        self._add = self.rgba[..., :3] * cover

    def onto(self, under: NDArray[np.uint8]) -> None:
        """Mix into opaque pixels of the layer's size."""
        mixed = under * self._keep
        mixed += self._add
        mixed >>= 8
        under[...] = mixed


class Canvas:
    """A picture being put together. ``alpha`` is None as long as all of it is opaque."""

    def __init__(self, rgb: NDArray[np.uint8], alpha: NDArray[np.uint8] | None) -> None:
        self.rgb = rgb
        self.alpha = alpha

    def copy(self) -> Canvas:
        return Canvas(self.rgb.copy(), None if self.alpha is None else self.alpha.copy())

    def restore(self, source: Canvas, x: int, y: int, width: int, height: int) -> None:
        """Copy a rectangle from another canvas of the same size and kind."""
        self.rgb[y : y + height, x : x + width] = source.rgb[y : y + height, x : x + width]
        if self.alpha is not None and source.alpha is not None:
            self.alpha[y : y + height, x : x + width] = source.alpha[y : y + height, x : x + width]

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

    def put(self, pixels: NDArray[np.uint8], x: int, y: int) -> None:
        """Opaque pixels (RGB) replace what is there; RGBA ones are laid over."""
        if pixels.shape[2] == 4:
            self.paste(pixels, x, y)
            return
        height, width = pixels.shape[:2]
        self.rgb[y : y + height, x : x + width] = pixels
        if self.alpha is not None:
            self.alpha[y : y + height, x : x + width] = 255

    def lay(self, layer: Layer, x: int, y: int, strength: float = 1.0) -> None:
        """Lay a layer over; its whole picture's top left is at (x, y), inside the canvas, on opaque ground."""
        if layer.empty:
            return
        x, y = x + layer.x, y + layer.y
        if strength < 1:
            self.paste(layer.rgba, x, y, strength)
            return
        height, width = layer.rgba.shape[:2]
        layer.onto(self.rgb[y : y + height, x : x + width])

    def paste(self, sprite: NDArray[np.uint8], x: int, y: int, strength: float = 1.0) -> None:
        """Lay straight-alpha ``sprite`` over, its top left at (x, y); what reaches outside is cut off."""
        height, width = self.rgb.shape[:2]
        x0, y0 = max(0, x), max(0, y)
        x1, y1 = min(width, x + sprite.shape[1]), min(height, y + sprite.shape[0])
        if x0 >= x1 or y0 >= y1:
            return
        part = sprite[y0 - y : y1 - y, x0 - x : x1 - x]
        under = self.rgb[y0:y1, x0:x1]
        cover = _cover(part[..., 3])
        if strength < 1:
            cover = (cover * np.uint32(round(256 * strength)) >> 8).astype(np.uint16)
        if self.alpha is not None and not (self.alpha[y0:y1, x0:x1] == 255).all():
            _mix_see_through(under, self.alpha[y0:y1, x0:x1], part, cover)
            return
        a = cover[..., None]
        mixed = under * (np.uint16(256) - a)
        mixed += part[..., :3] * a
        mixed >>= 8
        under[...] = mixed


def _cover(alpha: NDArray[np.uint8]) -> NDArray[np.uint16]:
    """Alpha 0..255 as 0..256."""
    wide = alpha.astype(np.uint16)
    wide += wide >> 7
    return wide


def _mix_see_through(
    under: NDArray[np.uint8], alpha: NDArray[np.uint8], part: NDArray[np.uint8], cover: NDArray[np.uint16]
) -> None:
    a = cover.astype(np.float32) / 256
    b = alpha.astype(np.float32) / 255 * (1 - a)
    out = a + b
    safe = np.where(out > 0, out, 1)[..., None]
    under[...] = np.rint((part[..., :3] * a[..., None] + under * b[..., None]) / safe)
    alpha[...] = np.rint(out * 255)


def opaque(rgb: NDArray[np.uint8]) -> NDArray[np.uint8]:
    """The picture with full alpha, shape (h, w, 4)."""
    return np.dstack([rgb, np.full(rgb.shape[:2], 255, np.uint8)])

"""What every part of the panel needs to put words on pixels."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from overlays.palette import rgb_of
from overlays.pixels import Canvas
from overlays.stage import Box
from overlays.text import ASCENT, REGULAR, Typesetter
from overlays.theme import Theme


@dataclass(frozen=True)
class Lettering:
    """Theme, fonts, and the length of one design pixel in pixels of the film."""

    theme: Theme
    type: Typesetter
    unit: float

    def blank(self, box: Box) -> Canvas:
        """An opaque canvas of the box's size in the stage's background."""
        rgb = np.empty((box.height, box.width, 3), np.uint8)
        rgb[:] = rgb_of(self.theme.stage.background)
        return Canvas(rgb, None)

    def write(
        self, canvas: Canvas, text: str, x: float, baseline: float, size: float, colour: str, weight: int = REGULAR
    ) -> None:
        """One line of text, its left end at ``x``."""
        canvas.paste(self.type.sprite(text, size, colour, weight), round(x) - 1, round(baseline) - round(ASCENT * size))

"""From SVG text to pixels. The one place that calls the SVG renderer."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


def document(body: str, box: tuple[float, float, float, float], width: int, height: int) -> str:
    """An SVG of ``width`` x ``height`` px showing ``box`` (x, y, width, height) of the drawing."""
    view = " ".join(number(v) for v in box)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="{view}" '
        f'preserveAspectRatio="none">{body}</svg>'
    )


def draw(body: str, box: tuple[float, float, float, float], width: int, height: int) -> NDArray[np.uint8]:
    """The drawing as straight-alpha pixels, shape (height, width, 4)."""
    import numpy as np
    import resvg_py
    from PIL import Image

    png = resvg_py.svg_to_bytes(svg_string=document(body, box, width, height), skip_system_fonts=True)
    with Image.open(io.BytesIO(png)) as picture:
        return np.asarray(picture.convert("RGBA"))


def number(value: float) -> str:
    """A coordinate with at most two decimals."""
    return f"{value:.2f}".rstrip("0").rstrip(".")

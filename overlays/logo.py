"""The teacher's own logo: an SVG or a PNG, fitted into its place."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from overlays.stage import Box
from timeline.problems import PlylineError

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


class LogoError(PlylineError):
    """A logo cannot be used."""


def load_logo(name: str, box: Box) -> NDArray[np.uint8]:
    """The logo as straight-alpha pixels, as large as fits into the box, its shape kept. Raises LogoError."""
    import io

    import numpy as np
    import resvg_py
    from PIL import Image, UnidentifiedImageError

    try:
        data = Path(name).read_bytes()
    except OSError as error:
        raise LogoError.of("no-logo", f"the logo cannot be read: {error.strerror}", file=name) from None
    try:
        if b"<svg" in data[:4096]:
            data = resvg_py.svg_to_bytes(
                svg_string=data.decode("utf-8-sig"), skip_system_fonts=True, height=2 * box.height
            )
        with Image.open(io.BytesIO(data)) as picture:
            whole = picture.convert("RGBA")
    except (ValueError, UnidentifiedImageError, UnicodeDecodeError, OSError) as error:
        raise LogoError.of(
            "bad-logo", f"the logo is no picture that can be read ({error})", file=name, fix="give an SVG or PNG file"
        ) from None
    scale = min(box.width / whole.width, box.height / whole.height)
    size = max(1, round(whole.width * scale)), max(1, round(whole.height * scale))
    return np.asarray(whole.resize(size, Image.Resampling.LANCZOS))

"""One picture of the film as a PNG file."""

from __future__ import annotations

import io

from overlays.show import Show
from timeline.filmsettings import FilmSettings


def draw_still(show: Show, settings: FilmSettings, film_ms: int) -> bytes:
    """The film's picture at ``film_ms`` (film time; kept inside the film) as PNG."""
    from PIL import Image

    from overlays.painter import BoardPainter

    painter = BoardPainter(show, settings)
    state = painter.screenplay.at(min(max(0, film_ms), max(0, show.film_ms - 1)))
    out = io.BytesIO()
    picture = painter.rgba(state) if painter.stage.over else painter.rgb(state)
    Image.fromarray(picture).save(out, "PNG")
    return out.getvalue()

"""What a lesson file may say about its film: plain data, drawn by ``overlays``."""

from __future__ import annotations

from fractions import Fraction
from typing import Annotated, Literal

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field

from timeline.timecode import RATES


def _as_text(value: object) -> object:
    """``rate: 25`` without quotes is a number in YAML."""
    return f"{value:g}" if isinstance(value, int | float) and not isinstance(value, bool) else value


class FilmSettings(BaseModel):
    """Size in pixels, rate in frames a second (by name: 29.97 is 30000/1001), look.

    ``size`` is ``1080p`` (the layout's own shape, its shorter side that many
    pixels) or ``1920x1080``. ``theme`` and ``layout`` are names of ours or
    ``.toml`` files; ``logo`` is an SVG or PNG file. ``motion_ms`` is how long
    one move takes on the board, 0 to 1000. ``opening_s`` and ``closing_s`` lay
    a title card over the first and last seconds; the recording goes on.
    ``think``: at a think-pause the film holds, or runs on under a countdown.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    size: Annotated[str, Field(pattern=r"^(\d{3,4}x\d{3,4}|\d{3,4}p)$")] = "1080p"
    rate: Annotated[Literal["23.976", "24", "25", "29.97", "30", "50", "59.94", "60"], BeforeValidator(_as_text)] = "30"
    layout: str = "board-panel"
    theme: str = "lagoon"
    captions: bool = False
    figurines: bool = False
    reduced_motion: bool = False
    motion_ms: Annotated[int, Field(ge=0, le=1000)] = 280
    opening_s: Annotated[float, Field(ge=0, le=30)] = 0
    closing_s: Annotated[float, Field(ge=0, le=30)] = 0
    think: Literal["hold", "card"] = "hold"
    logo: str | None = None
    encoder: Literal["plain", "skip"] = "skip"

    @property
    def frame_rate(self) -> Fraction:
        """Frames a second, exactly."""
        return RATES[self.rate]

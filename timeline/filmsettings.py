"""What a lesson file may say about its film: plain data, drawn by ``overlays``."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import BaseModel, ConfigDict, Field


class FilmSettings(BaseModel):
    """Size in pixels, rate in frames a second (by name: 29.97 is 30000/1001), look."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    size: Annotated[str, Field(pattern=r"^\d{3,4}x\d{3,4}$")] = "1920x1080"
    rate: Literal["23.976", "24", "25", "29.97", "30", "50", "59.94", "60"] = "30"
    layout: str = "board-panel"
    theme: str = "slate"
    captions: bool = False
    reduced_motion: bool = False
    encoder: Literal["plain", "skip"] = "plain"

"""What a lesson file may say about its captions."""

from __future__ import annotations

from typing import Literal

from pydantic import BaseModel, ConfigDict


class CaptionSettings(BaseModel):
    """Rule profile and written style of the captions."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    profile: Literal["broadcast", "online", "learner"] = "online"
    style: Literal["spoken", "algebraic", "figurine"] = "spoken"

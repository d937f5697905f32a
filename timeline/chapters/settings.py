"""What a lesson file may say about its chapters."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class ChapterSettings(BaseModel):
    """How chapters are suggested. Least length in seconds: 10 is what video hosts ask (common practice)."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    suggest: bool = True
    least_s: float = 10.0

"""What a lesson file may say about its checks."""

from __future__ import annotations

from pydantic import BaseModel, ConfigDict


class CheckSettings(BaseModel):
    """Which engine to ask, and for how long."""

    model_config = ConfigDict(frozen=True, extra="forbid")

    engine: str | None = None

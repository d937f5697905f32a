"""What a lesson file may say about its checks."""

from __future__ import annotations

from typing import Annotated

from pydantic import BaseModel, ConfigDict, Field


class CheckSettings(BaseModel):
    """Limits of the checks, and the engine to ask.

    ``engine``: a UCI program by path, or by a name on $PATH; None asks none.
    ``engine_nodes`` and ``engine_seconds`` bound one question, whichever comes
    first. ``fast_ms``: a position that stays shorter is too fast. ``early_ms``:
    how long before its words a position may be shown. ``silence_s``: a longer
    silence in the recording is noted.
    """

    model_config = ConfigDict(frozen=True, extra="forbid")

    engine: str | None = None
    engine_nodes: Annotated[int, Field(ge=1_000, le=1_000_000_000)] = 400_000
    engine_seconds: Annotated[float, Field(gt=0, le=600)] = 3.0
    fast_ms: Annotated[int, Field(ge=0, le=5000)] = 250
    early_ms: Annotated[int, Field(ge=0, le=60_000)] = 4000
    silence_s: Annotated[float, Field(ge=1, le=600)] = 8.0

"""What the models of ``lesson.yaml`` are made of: times, strict parts, and errors that say what to type."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import BaseModel, BeforeValidator, ConfigDict, Field, PlainSerializer, ValidationInfo, WithJsonSchema
from pydantic_core import PydanticCustomError

from timeline.problems import PlylineError
from timeline.timecode import format_ms, parse_ms

_TIME_FIX = 'write m:ss.mmm or h:mm:ss.mmm, for instance "2:03.700"'


def fault(message: str, fix: str, where: tuple[int | str, ...] = ()) -> PydanticCustomError:
    """An error that tells the store what to type, and which part below is at fault."""
    return PydanticCustomError("lesson", "{message}", {"message": message, "fix": fix, "where": where})


FROM_FILE = {"numbers": "seconds"}
"""Validation context for what a person wrote: there, a bare number is seconds. In code it is milliseconds."""


def _to_ms(value: Any, info: ValidationInfo) -> Any:
    if isinstance(value, bool):
        raise fault("true and false are not times", _TIME_FIX)
    if isinstance(value, int | float) and info.context == FROM_FILE:
        if not 0 <= value < 360_000:
            raise fault(f"{value} seconds is not a time between 0 and 100 hours", _TIME_FIX)
        return round(value * 1000)
    if isinstance(value, str):
        try:
            return parse_ms(value)
        except PlylineError as error:
            raise fault(error.findings[0].message, _TIME_FIX) from None
    return value


Time = Annotated[
    int,
    Field(ge=0),
    BeforeValidator(_to_ms),
    PlainSerializer(format_ms, return_type=str, when_used="json"),
    WithJsonSchema(
        {
            "type": ["string", "number"],
            "description": "m:ss.mmm, h:mm:ss.mmm, or seconds",
            "examples": ["2:03.700"],
        }
    ),
]
"""A time: ``m:ss.mmm`` text or seconds in the file, whole milliseconds in the model and in code."""


class Part(BaseModel):
    """Base of everything in the lesson file: frozen, and strict about keys."""

    model_config = ConfigDict(frozen=True, extra="forbid")

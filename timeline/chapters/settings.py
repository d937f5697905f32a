"""What a lesson file may say about its chapters."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated, Self

from pydantic import ConfigDict, Field, field_validator, model_validator

from timeline.fields import Part, Time, fault
from timeline.timecode import format_ms


class ChapterSpec(Part):
    """A chapter that a person set: where it starts (recording time) and its title of at most 100 characters."""

    at: Time
    title: Annotated[str, Field(min_length=1, max_length=100)]

    @field_validator("title")
    @classmethod
    def _one_line(cls, title: str) -> str:
        if any(ord(c) < 32 or c in "\x7f\x85\u2028\u2029" for c in title) or not title.strip():
            raise fault("a chapter's title is one line of text", "take the line break or control character away")
        return title.strip()


class ChapterSettings(Part):
    """A person's own chapters (file key ``list``), else how they are suggested.

    ``suggest``: whether chapters are found in the talk when the list is empty.
    ``least_s``: the least length in seconds; video hosts ask for 10 (common
    practice). ``typical_s``: about how long a suggested chapter is; without
    it 45 to 120 s, longer in longer lessons.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    suggest: bool = True
    least_s: Annotated[float, Field(ge=1, le=600)] = 10.0
    typical_s: Annotated[float, Field(ge=10, le=1800)] | None = None
    listed: tuple[ChapterSpec, ...] = Field(default=(), alias="list")

    @model_validator(mode="after")
    def _in_order(self) -> Self:
        for index, (before, after) in enumerate(pairwise(self.listed), 1):
            if after.at <= before.at:
                raise fault(
                    f"chapter {index + 1}: it starts at {format_ms(after.at)}, "
                    f"not after the one before it at {format_ms(before.at)}",
                    "put the chapters in order of time",
                    ("list", index),
                )
        return self

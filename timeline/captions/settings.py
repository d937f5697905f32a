"""What a lesson file may say about its captions."""

from __future__ import annotations

from typing import Annotated, Any, Literal, Self

from pydantic import ConfigDict, Field, model_validator

from timeline.captions.rules import ContradictionError, ProfileName, rules_for
from timeline.fields import Part, Time, fault

Style = Literal["spoken", "algebraic", "figurine"]
Seconds = Annotated[float, Field(ge=0, le=60)]


class RuleOverrides(Part):
    """Own numbers in place of the profile's; what is left out stays the profile's.

    ``gap_frames``: the one small gap that is allowed; ``open_gap_s``: any gap
    from here on is. ``word_s``: least time for each word. ``tail_s``: how long
    a caption may stay after its last word. Speeds are words a minute (wpm) or
    characters a second (cps).
    """

    max_chars: Annotated[int, Field(ge=10, le=100)] | None = None
    max_lines: Annotated[int, Field(ge=1, le=3)] | None = None
    warn_wpm: Annotated[float, Field(gt=0, le=600)] | None = None
    error_wpm: Annotated[float, Field(gt=0, le=600)] | None = None
    warn_cps: Annotated[float, Field(gt=0, le=100)] | None = None
    error_cps: Annotated[float, Field(gt=0, le=100)] | None = None
    min_s: Seconds | None = None
    word_s: Seconds | None = None
    max_s: Annotated[float, Field(gt=0, le=60)] | None = None
    gap_frames: Annotated[int, Field(ge=0, le=10)] | None = None
    open_gap_s: Seconds | None = None
    tail_s: Seconds | None = None

    def as_profile(self) -> dict[str, Any]:
        """The numbers under the names that ``rules.Profile`` has, times in ms."""
        given = self.model_dump(exclude_none=True)
        return {
            (name[:-2] + "_ms" if name.endswith("_s") else name): (round(v * 1000) if name.endswith("_s") else v)
            for name, v in given.items()
        }


class CaptionEdit(Part):
    """A person's own text for the words spoken from ``at`` (to ``until``, where given).

    It becomes one caption with these words and no others; a line feed in it
    is the line break. Without ``until`` it stands for as many spoken words as
    resemble it. It stays through every new follow.
    """

    at: Time
    until: Time | None = None
    text: Annotated[str, Field(max_length=500)]

    @model_validator(mode="after")
    def _forward(self) -> Self:
        if self.until is not None and self.until <= self.at:
            raise fault("a caption edit ends before it begins", "make until: later than at:")
        return self


class Refusal(Part):
    """A correction that is not wanted: by its time, by the words as heard, or both."""

    at: Time | None = None
    heard: Annotated[str, Field(min_length=1, max_length=200)] | None = None

    @model_validator(mode="after")
    def _says_which(self) -> Self:
        if self.at is None and self.heard is None:
            raise fault("this refusal names no correction", 'give it at: "0:12.300" or heard: night f three')
        return self


class LabelSpec(Part):
    """A sound that matters, in words: shown in square brackets on a line of its own.

    ``for_ms`` (file key ``for``) is how long it stays, at most until the next
    caption. Where somebody speaks it stands above the words of that caption.
    """

    model_config = ConfigDict(frozen=True, extra="forbid", populate_by_name=True)

    at: Time
    text: Annotated[str, Field(min_length=1, max_length=60)]
    for_ms: Time | None = Field(default=None, alias="for")

    @model_validator(mode="after")
    def _says_something(self) -> Self:
        if not self.text.strip(" []\t\r\n"):
            raise fault("this label says nothing", "write what is heard: text: clock ticking")
        return self


class CaptionSettings(Part):
    """Rule profile, written style, and a person's own word on single captions.

    ``restore``: put in capitals and punctuation where the transcript has none.
    ``pause_label``: text of the label at a think-pause; empty for none,
    None for the usual one in the lesson's language. ``speakers``: the name to
    show for each speaker the transcript names. ``bom`` and ``crlf``: how files
    begin and lines end, for programs that ask for it.
    """

    profile: ProfileName = "online"
    style: Style = "spoken"
    rules: RuleOverrides = RuleOverrides()
    restore: Literal["auto", "off"] = "auto"
    correct: bool = True
    pause_label: Annotated[str, Field(max_length=60)] | None = None
    speakers: dict[str, str] = Field(default_factory=dict)
    labels: tuple[LabelSpec, ...] = ()
    edits: tuple[CaptionEdit, ...] = ()
    refuse: tuple[Refusal, ...] = ()
    bom: bool = False
    crlf: bool = False

    @model_validator(mode="after")
    def _rules_agree(self) -> Self:
        try:
            rules_for(self.profile, self.rules.as_profile())
        except ContradictionError as error:
            what, _, how = str(error).rpartition("; ")
            raise fault(f"with the {self.profile} profile {what}", how, ("rules",)) from None
        return self

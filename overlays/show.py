"""What is to be shown, as plain data, and what the film encoder asks of a painter."""

from __future__ import annotations

from collections.abc import Hashable, Iterator
from dataclasses import dataclass
from fractions import Fraction
from typing import TYPE_CHECKING, Literal, Protocol

from timeline.timemap import TimeMap
from timeline.tracks import BoardTrack, Caption, Chapter, MarkSpan, ThinkPause

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray


@dataclass(frozen=True)
class Show:
    """One lesson's tracks, in ms of recording time; ``timemap`` leads to film time.

    Captions alone are in film time: one may stand in a hold, which is a single instant of the recording.
    """

    board: BoardTrack
    title: str
    marks: tuple[MarkSpan, ...] = ()
    captions: tuple[Caption, ...] = ()
    chapters: tuple[Chapter, ...] = ()
    pauses: tuple[ThinkPause, ...] = ()
    white: str | None = None
    black: str | None = None
    teacher: str | None = None
    orientation: Literal["white", "black"] = "white"

    @property
    def timemap(self) -> TimeMap:
        return TimeMap.of(self.pauses)

    @property
    def film_ms(self) -> int:
        """Length of the film: the recording's length plus the inserted holds."""
        return self.timemap.end(self.board.end_ms)


@dataclass(frozen=True, slots=True)
class Run:
    """``count`` equal frames in a row; ``key`` names their picture."""

    count: int
    key: Hashable


class Painter(Protocol):
    """Gives each distinct picture once. Equal keys mean equal pixels."""

    width: int
    height: int

    def runs(self, rate: Fraction) -> Iterator[Run]:
        """The film as runs of equal frames, from frame 0 to its last frame."""

    def rgb(self, key: Hashable) -> NDArray[np.uint8]:
        """The opaque picture, shape (height, width, 3)."""

    def rgba(self, key: Hashable) -> NDArray[np.uint8]:
        """The picture for laying over a film, straight alpha, shape (height, width, 4)."""

"""Recording time to film time: think-pauses insert holds. Every output uses this one map.

At a hold the film stands still: film time ``[film_start, film_start + hold)``
is the recording's instant ``at_ms``. What starts at or after the hold's
instant moves later by the hold; what ends at it stays.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from timeline.tracks import ThinkPause


@dataclass(frozen=True)
class TimeMap:
    """A monotone map built from pauses; with none it is the identity. All times in ms."""

    pauses: tuple[ThinkPause, ...] = ()

    @classmethod
    def of(cls, pauses: Iterable[ThinkPause]) -> TimeMap:
        merged: dict[int, int] = {}
        for pause in (p for p in pauses if p.inserts):
            merged[pause.at_ms] = merged.get(pause.at_ms, 0) + pause.hold_ms
        return cls(tuple(ThinkPause(at, hold) for at, hold in sorted(merged.items())))

    @property
    def inserted_ms(self) -> int:
        return sum(p.hold_ms for p in self.pauses)

    def start(self, ms: int) -> int:
        """Film time of something that starts at ``ms`` of the recording."""
        return ms + sum(p.hold_ms for p in self.pauses if p.at_ms <= ms)

    def end(self, ms: int) -> int:
        """Film time of something that ends at ``ms`` of the recording."""
        return ms + sum(p.hold_ms for p in self.pauses if p.at_ms < ms)

    def recording(self, film_ms: int) -> int:
        """The recording's instant shown at a film time (inside a hold: the hold's instant)."""
        shift = 0
        for pause in self.pauses:
            begins = pause.at_ms + shift
            if film_ms < begins:
                break
            if film_ms < begins + pause.hold_ms:
                return pause.at_ms
            shift += pause.hold_ms
        return film_ms - shift

    def held(self, film_ms: int) -> tuple[ThinkPause, int] | None:
        """The pause running at a film time and how many ms of it have gone; None outside pauses."""
        shift = 0
        for pause in self.pauses:
            begins = pause.at_ms + shift
            if begins <= film_ms < begins + pause.hold_ms:
                return pause, film_ms - begins
            shift += pause.hold_ms
        return None

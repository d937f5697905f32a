"""Where in the recording the film is: it runs along, and stands still in think-pauses. Exact, in seconds."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from timeline.timemap import TimeMap


@dataclass(frozen=True, slots=True)
class Piece:
    """Film seconds ``[start, end)`` that begin at ``recording`` seconds; there the film runs, or holds."""

    start: Fraction
    end: Fraction
    recording: Fraction
    moves: bool

    def at(self, film: Fraction) -> Fraction:
        """The recording's second that is shown at a film second of this piece."""
        return self.recording + (film - self.start if self.moves else 0)


def pieces(timemap: TimeMap, start: Fraction, end: Fraction) -> list[Piece]:
    """Film seconds ``[start, end)`` in order, without holes."""
    found: list[Piece] = []
    film = recording = Fraction(0)

    def add(until: Fraction, moves: bool) -> None:
        first, last = max(film, start), min(until, end)
        if first < last:
            found.append(Piece(first, last, recording + (first - film if moves else 0), moves))

    for pause in timemap.pauses:
        at, hold = Fraction(pause.at_ms, 1000), Fraction(pause.hold_ms, 1000)
        begins = film + at - recording
        add(begins, True)
        film, recording = begins, at
        add(film + hold, False)
        film += hold
    add(max(film, end), True)
    return found

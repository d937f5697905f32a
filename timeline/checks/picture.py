"""Findings about the picture: flashes of the film, size of its text, and the safe area.

Text: captions need a line height of 7 to 8 % of the picture's height (BBC
Subtitle Guidelines 1.2.5, 9.2.1; half a point is let pass); no letters at all
below 1.8 % (ours: 19 px at 1080, some 1.2 mm on a telephone). Safe area: 5 % from every edge
for what is to be read (EBU R 95 v1.1, graphics safe area; quoted second-hand).
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from timeline.checks.codes import CODES
from timeline.checks.context import CheckContext, Help
from timeline.problems import Finding
from timeline.timecode import format_ms

LEAST_TEXT = 0.018
CAPTION_LINE = 0.065
SAFE = 0.05
SLACK_PX = 2
CAUTION = "photosensitive viewers can be harmed; broadcasters' own rules and tools decide"


@dataclass(frozen=True, slots=True)
class Placed:
    """Something drawn: a box in pixels of the film, the height of a line of its text (None without text).

    ``read``: it has to be read or understood, so it belongs inside the safe area.
    """

    name: str
    x: int
    y: int
    width: int
    height: int
    line_px: float | None = None
    read: bool = True


def check_placed(width: int, height: int, placed: Iterable[Placed], *, file: str | None = None) -> Iterator[Finding]:
    """Text size and safe area of a film's stage; pure."""
    short = min(width, height)
    for item in placed:
        least = CAPTION_LINE * height if item.name == "caption" and width >= height else LEAST_TEXT * short
        if item.line_px is not None and item.line_px + 0.5 < least:
            row = CODES["small-text"]
            yield Finding(
                row.code, f"{item.name}: lines of {item.line_px:.0f} px; {least:.0f} are needed at {width}x{height}",
                row.severity, file=file, fix=row.mend,
            )  # fmt: skip
        edges = (item.x, item.y, width - item.x - item.width, height - item.y - item.height)
        needs = (width * SAFE, height * SAFE, width * SAFE, height * SAFE)
        sides = [
            f"{side} {edge} px of {need:.0f}"
            for side, edge, need in zip(("left", "top", "right", "bottom"), edges, needs, strict=True)
            if edge + SLACK_PX < need
        ]
        if item.read and sides:
            row = CODES["outside-safe-area"]
            yield Finding(
                row.code, f"{item.name} is nearer to the edge than the safe area: {', '.join(sides)}",
                row.severity, file=file, fix=row.mend,
            )  # fmt: skip


def check_flashes(context: CheckContext, help_: Help) -> Iterator[Finding]:
    """Measures the film really rendered, when one is given."""
    if context.film is None:
        return
    from timeline.checks.flashes import measure_flashes

    name = context.film.name
    found = measure_flashes(
        context.film, name=name, progress=lambda done, whole: help_.progress("flashes", done, whole)
    )
    for flashing in found:
        code = CODES[{"general": "flashing", "red": "red-flashing", "long": "long-flashing"}[flashing.kind]]
        what = {
            "general": "more than three flashes in a second",
            "red": "more than three red flashes in a second",
            "long": "flashing for more than five seconds",
        }[flashing.kind]
        yield Finding(
            code.code,
            f"{what} from {format_ms(flashing.start_ms)} to {format_ms(flashing.end_ms)} of the film, "
            f"over {flashing.share:.0%} of the field of view; {CAUTION}",
            code.severity,
            file=name,
            fix=code.mend,
            extra={"film_ms": [flashing.start_ms, flashing.end_ms], "share": round(flashing.share, 3)},
        )

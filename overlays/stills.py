"""Overlay C as single pictures: PNG files, and a table that says when each stands."""

from __future__ import annotations

import contextlib
import csv
import hashlib
import io
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from overlays.wholefile import make_folder
from timeline.files import write_atomic
from timeline.timecode import frame_to_ms

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

    from overlays.show import Painter, Run

TABLE = "stills.csv"
_REST_S = Fraction(1, 4)
"""A picture that stands shorter than this belongs to a movement and gets no still."""


@dataclass(frozen=True, slots=True)
class Still:
    """A picture that stands at frames ``[first, last)``."""

    first: int
    last: int
    run: Run


def resting(runs: list[Run], rate: Fraction) -> list[Still]:
    """The pictures that stand, joined without holes: while something moves, the picture before stays."""
    found: list[Still] = []
    at = 0
    for run in runs:
        if run.count >= _REST_S * rate or not found:
            if found:
                before = found[-1]
                found[-1] = Still(before.first, at, before.run)
            found.append(Still(at, at, run))
        at += run.count
    if found:
        found[-1] = Still(found[-1].first, at, found[-1].run)
    return [still for still in found if still.last > still.first]


def write_stills(
    painter: Painter, folder: Path, *, rate: Fraction, progress: Callable[[int, int], None] | None = None
) -> list[Path]:
    """Write ``still_NNNN.png`` files with alpha and ``stills.csv`` into a folder; gives the files.

    The table's header is ``file,start,end``, times in seconds of film with
    three decimals; rows join without holes. A picture that comes again is
    written once. Stills of an earlier run that are no longer named go away.
    Raises OutputError.
    """
    stills = resting(list(painter.runs(rate)), rate)
    make_folder(folder)
    names: dict[bytes, str] = {}
    rows: list[tuple[str, str, str]] = []
    for number, still in enumerate(stills, 1):
        rgba = painter.rgba(still.run.key)
        digest = hashlib.blake2b(rgba.tobytes(), digest_size=16).digest()
        if digest not in names:
            names[digest] = f"still_{len(names) + 1:04d}.png"
            write_atomic(folder / names[digest], _png(rgba))
        rows.append((names[digest], _seconds(still.first, rate), _seconds(still.last, rate)))
        if progress is not None:
            progress(number, len(stills))
    table = io.StringIO()
    writer = csv.writer(table, lineterminator="\n")
    writer.writerow(("file", "start", "end"))
    writer.writerows(rows)
    write_atomic(folder / TABLE, table.getvalue())
    for path in folder.glob("still_[0-9][0-9][0-9][0-9].png"):
        if path.name not in names.values():
            with contextlib.suppress(OSError):
                path.unlink()
    return [*(folder / name for name in names.values()), folder / TABLE]


def _seconds(frame: int, rate: Fraction) -> str:
    ms = frame_to_ms(frame, rate)
    return f"{ms // 1000}.{ms % 1000:03d}"


def _png(rgba: NDArray[np.uint8]) -> bytes:
    from PIL import Image

    out = io.BytesIO()
    Image.fromarray(rgba).save(out, "PNG")
    return out.getvalue()

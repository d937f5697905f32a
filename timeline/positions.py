"""``positions.csv``: which position stands when, for other programs.

Header ``start,end,fen,address,origin``; seconds of the recording with three
decimals; the rows join without holes from 0 to the lesson's end. ``origin``
is ``score``, ``sideline`` or ``hand``; a position of the teacher's own has an
empty address. Quoting follows RFC 4180, with line feeds.
"""

from __future__ import annotations

import csv
import io

from timeline.tracks import BoardTrack

HEADER = ("start", "end", "fen", "address", "origin")


def write_positions(board: BoardTrack) -> str:
    """The table as text."""
    stream = io.StringIO()
    writer = csv.writer(stream, lineterminator="\n")
    writer.writerow(HEADER)
    for span in board.spans:
        writer.writerow((seconds(span.start_ms), seconds(span.end_ms), span.fen, span.address, span.origin))
    return stream.getvalue()


def seconds(ms: int) -> str:
    """Whole milliseconds as seconds with three decimals, exactly.

    >>> seconds(63_250)
    '63.250'
    """
    return f"{ms // 1000}.{ms % 1000:03d}"

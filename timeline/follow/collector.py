"""No hunting for reference cycles while a search runs."""

from __future__ import annotations

import gc
from collections.abc import Iterator
from contextlib import contextmanager


@contextmanager
def collector_paused() -> Iterator[None]:
    """Pauses Python's cycle collector and puts it back as it was.

    A search makes hundreds of thousands of small objects that all stay in use
    until its end; looking through them for cycles took a third of its time
    (tests/benchmarks/follow.py) and found nothing. What is alive at the end then
    counts as old, or else the next object made would have it all looked through.
    """
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            if not gc.get_freeze_count():  # nothing that others have set aside comes back
                gc.freeze()
                gc.unfreeze()
            gc.enable()

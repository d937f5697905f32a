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
    (tests/benchmarks/follow.py) and found nothing.
    """
    running = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if running:
            gc.enable()

"""Pictures of the lesson: boards, marks, stages and films. No speech, no lesson files."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from overlays.bridge import clip
    from overlays.clipfile import write_clip
    from overlays.film import render_film

__all__ = ["clip", "render_film", "write_clip"]

_HOME = {"clip": "overlays.bridge", "render_film": "overlays.film", "write_clip": "overlays.clipfile"}


def __getattr__(name: str) -> Any:
    """The public functions, imported when first asked for: PyAV, numpy and moviepy take their time."""
    if name not in _HOME:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    from importlib import import_module

    return getattr(import_module(_HOME[name]), name)

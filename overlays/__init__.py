"""Pictures of the lesson: boards, marks, stages and films. No speech, no lesson files.

For scripts with moviepy: a lesson's folder as a clip with a mask, to be
composed with anything, and a writer that keeps rates exact:

    from fractions import Fraction
    from pathlib import Path

    from moviepy import ColorClip, CompositeVideoClip, vfx

    import overlays

    lesson = overlays.clip("my-lesson", layout="board", size="540p")
    ground = ColorClip((960, 540), color=(70, 30, 50), duration=lesson.duration)
    film = CompositeVideoClip([ground, lesson.with_position("center")]).with_effects([vfx.FadeIn(0.5)])
    overlays.write_clip(film, Path("composed.mp4"), rate=Fraction(30000, 1001))
"""

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

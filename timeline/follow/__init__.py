"""Following the talk over the score: words in, cues and marks out."""

from __future__ import annotations

import importlib
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from timeline.follow.follow import follow_words
    from timeline.follow.result import Ask, FixedPoint, Follow, FollowedCue, Reading, Token

__all__ = ["Ask", "FixedPoint", "Follow", "FollowedCue", "Reading", "Token", "follow_words"]


def __getattr__(name: str) -> Any:
    """The names above, read when first asked for: half of plyline uses the follower's vocabulary and never follows."""
    if name not in __all__:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(importlib.import_module("timeline.follow.follow" if name == "follow_words" else "timeline.follow.result"), name)

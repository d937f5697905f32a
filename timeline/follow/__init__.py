"""Following the talk over the score: words in, cues and marks out."""

from timeline.follow.follow import follow_words
from timeline.follow.result import Ask, FixedPoint, Follow, FollowedCue, Reading, Token

__all__ = ["Ask", "FixedPoint", "Follow", "FollowedCue", "Reading", "Token", "follow_words"]

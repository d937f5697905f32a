"""Following the talk over the score: words in, cues and marks out."""

"""Captions: words split, timed and corrected, written in several formats."""

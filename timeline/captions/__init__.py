"""Captions: words split, timed and corrected, written in several formats."""

from timeline.captions import page, plain, subrip, ttml, webvtt  # noqa: F401  (fill the table)
from timeline.captions.writers import WRITERS, About, CaptionWriter, Place, writer_for

__all__ = ["WRITERS", "About", "CaptionWriter", "Place", "writer_for"]

"""Chapters: suggested from the talk and the board, held to the rules, written in several formats."""

from timeline.chapters import ffmetadata, json12, matroska, plainlist, webvtt  # noqa: F401  (fill the table)
from timeline.chapters.writers import WRITERS, ChapterList, writer_for

__all__ = ["WRITERS", "ChapterList", "writer_for"]

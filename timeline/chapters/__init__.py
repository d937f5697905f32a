"""Chapters: titled starts, suggested from the talk and the score, written in several formats."""

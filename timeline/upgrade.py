"""Lesson files of older formats, brought up to date: one pure, registered step for each format number."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from timeline.lesson import SCHEMA_VERSION

Document = dict[str, Any]
UPGRADES: dict[int, Callable[[Document], Document]] = {}
"""``UPGRADES[n]`` turns a document of format n into one of format n + 1: pure, registered by ``upgrade_step``."""


def upgrade_step(version: int) -> Callable[[Callable[[Document], Document]], Callable[[Document], Document]]:
    """Register the step from ``version`` to the next one."""

    def register(step: Callable[[Document], Document]) -> Callable[[Document], Document]:
        if version in UPGRADES:
            raise ValueError(f"two upgrade steps from format {version}")
        UPGRADES[version] = step
        return step

    return register


@upgrade_step(0)
def _from_drafts(document: Document) -> Document:
    """Format 0, of the first drafts: ``audio`` for the recording, ``time`` in cues and in accepted findings."""
    renamed = {"audio": "recording", "version": "plyline"}
    result = {renamed.get(key, key): value for key, value in document.items()}
    result["plyline"] = 1
    for key in ("cues", "accept"):
        if isinstance(result.get(key), list):
            result[key] = [
                {("at" if k == "time" else k): v for k, v in item.items()} if isinstance(item, dict) else item
                for item in result[key]
            ]
    return result


def format_of(document: Document) -> Any:
    """The format number a document states; the current one when it states none."""
    return document.get("plyline", document.get("version", SCHEMA_VERSION))


def upgrade(document: Document) -> Document:
    """A plain document in the current format; the same object if it is already."""
    version = format_of(document)
    while isinstance(version, int) and version in UPGRADES:
        document = UPGRADES[version](document)
        version += 1
    return document

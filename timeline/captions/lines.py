"""Texts of single captions: their line breaks, and their parts where the place is narrow."""

from __future__ import annotations

import re
from dataclasses import replace
from math import ceil

from timeline.captions.breaks import BOUND, break_costs
from timeline.captions.layout import FLICKER, TORN, grid_of, line_breaks
from timeline.captions.rules import Rules, visible_length
from timeline.captions.units import Unit

_PART, _EVEN = 60.0, 1.5  # each part of a caption in a narrow place, and each character off an even share
_HEAD = re.compile(r"((?:\[[^\[\]]*\]\s*)+)(.+)", re.DOTALL)


def _units(text: str, width: int) -> list[Unit]:
    """The words of a text; a sound's label above them stays one and on a line of its own, where a line holds it."""
    match = _HEAD.fullmatch(text)
    head = " ".join(match[1].split()) if match else ""
    if not match or visible_length(head) > width:
        return [Unit(word, k, k, 0, 0) for k, word in enumerate(text.split())]
    words = [Unit(word, k, k, 0, 0) for k, word in enumerate(match[2].split(), 1)]
    return [Unit(head, 0, 0, 0, 0, source="label"), *words]


def break_lines(text: str, language: str, rules: Rules, *, width: int | None = None) -> str:
    """A text of one caption with its line breaks, whatever breaks it had. More lines than allowed if it needs them.

    ``width``: characters in a line, where it is not the rules' own.
    """
    if width is not None:
        rules = replace(rules, profile=replace(rules.profile, max_chars=width))
    units = _units(text, rules.profile.max_chars)
    if not units:
        return ""
    grid = grid_of(units, break_costs(units, language), rules, 1, (), frozenset(), {})
    edges = [0, *line_breaks(units, grid, rules, 0, len(units)), len(units)]
    return "\n".join(" ".join(u.text for u in units[a:b]) for a, b in zip(edges, edges[1:], strict=False))


def part_text(text: str, language: str, rules: Rules, *, width: int, length_ms: int) -> list[str]:
    """A text of one caption in parts of at most two lines of ``width`` characters, each with its line breaks.

    Parted where a break costs least, and evenly, so that none flashes by when the
    caption's ``length_ms`` is shared out; a word longer than a line has a line of its own.
    """
    units = _units(text, width)
    words, costs = [u.text for u in units], break_costs(units, language)
    lengths = [visible_length(word) for word in words]
    ideal = sum(lengths) / max(1, ceil((sum(lengths) + len(words)) / (2 * width)))
    least = sum(lengths) * rules.profile.min_ms / max(1, length_ms)
    # cheapest[k]: cost of parts for the words before k, where the last begins, and its text
    cheapest: list[tuple[float, int, str]] = [(0.0, 0, "")]
    for k in range(1, len(words) + 1):
        found: tuple[float, int, str] | None = None
        for m in range(k - 1, -1, -1):
            size = sum(lengths[m:k]) + k - m - 1
            if size > 2 * width + 1 and m < k - 1:
                break
            cost = cheapest[m][0] + _PART + _EVEN * abs(size - ideal) + FLICKER * (size < least)
            cost += costs[m] + TORN * (costs[m] >= BOUND) if m else 0.0
            if found is None or cost < found[0]:
                lines = break_lines(" ".join(words[m:k]), language, rules, width=width)
                if found is None or lines.count("\n") < 2:
                    found = (cost, m, lines)
        if found:
            cheapest.append(found)
    parts, k = [], len(words)
    while k:
        parts.append(cheapest[k][2])
        k = cheapest[k][1]
    return parts[::-1]

"""Where a key of a TOML text stands: the reader in the standard library tells no places.

Enough of TOML 1.0 for theme and layout files: tables, dotted keys, keys in inline
tables. What it does not find is reported without a line, never with a wrong one.
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any

_PART = r"""(?:[A-Za-z0-9_-]+|"[^"\n]*"|'[^'\n]*')"""
_KEY = rf"{_PART}(?:[ \t]*\.[ \t]*{_PART})*"
_TABLE = re.compile(rf"\s*\[[ \t]*({_KEY})[ \t]*\]")
_SETTING = re.compile(rf"\s*({_KEY})[ \t]*=")
_INNER = re.compile(rf"[{{,][ \t]*({_KEY})[ \t]*=")
_AT = re.compile(r" \(at line (\d+), column (\d+)\)| \(at end of document\)")


def place_of(text: str, key: Sequence[str]) -> dict[str, Any]:
    """``line``, ``column`` (from 1) and ``source`` of a key, for a Finding; else of the nearest table above it.

    >>> place_of('[board]\\nlight = "#ffffff"', ("board", "light"))
    {'line': 2, 'column': 1, 'source': 'light = "#ffffff"'}
    >>> place_of("", ("board",))
    {}
    """
    wanted = tuple(key)
    best: tuple[int, int, int] = (0, 0, 0)
    table: tuple[str, ...] = ()
    lines = text.removeprefix("\ufeff").split("\n")
    for number, line in enumerate(lines, 1):
        if head := _TABLE.match(line):
            table = _parts(head[1])
            best = max(best, (_shared(table, wanted), -number, -head.start(1) - 1))
        elif found := _SETTING.match(line):
            outer = (*table, *_parts(found[1]))
            best = max(best, (_shared(outer, wanted), -number, -found.start(1) - 1))
            for inner in _INNER.finditer(line, found.end()):
                best = max(best, (_shared((*outer, *_parts(inner[1])), wanted), -number, -inner.start(1) - 1))
    depth, line_number, column = best[0], -best[1], -best[2]
    if not depth:
        return {}
    return {"line": line_number, "column": column, "source": lines[line_number - 1].rstrip("\r")}


def holds(text: str, key: Sequence[str]) -> bool:
    """Whether the text itself gives the key a value (not only a table above it)."""
    import tomllib

    node: Any = tomllib.loads(text.removeprefix("\ufeff"))
    for part in key:
        if not isinstance(node, dict) or part not in node:
            return False
        node = node[part]
    return True


def fault_of(error: Exception, text: str) -> tuple[str, dict[str, Any]]:
    """A TOML reader's complaint in words, and where: its message names the place in the text."""
    message = str(error)
    match = _AT.search(message)
    if match is None:
        return message, {}
    lines = text.removeprefix("\ufeff").split("\n")
    line, column = (int(match[1]), int(match[2])) if match[1] else (len(lines), None)
    shown = lines[line - 1].rstrip("\r") if line <= len(lines) else None
    return message[: match.start()], {"line": line, "column": column, "source": shown}


def _parts(key: str) -> tuple[str, ...]:
    return tuple(part.strip("\"'") for part in re.findall(_PART, key))


def _shared(found: Sequence[str], wanted: Sequence[str]) -> int:
    """How long ``found`` is where ``wanted`` begins with it, else 0."""
    return len(found) if tuple(wanted[: len(found)]) == tuple(found) else 0

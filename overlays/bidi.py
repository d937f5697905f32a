"""Order of right-to-left and left-to-right text in one line (Unicode UAX #9 without explicit embeddings).

Names and titles hold no embedding controls in practice; those characters are
taken out. Rules are named as in the annex.
"""

from __future__ import annotations

import unicodedata
from collections.abc import Sequence

_CONTROLS = set("\u200e\u200f\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069")
_BRACKETS = {"(": ")", "[": "]", "{": "}"}


def without_controls(text: str) -> str:
    """The text without directional controls and line breaks."""
    return "".join(" " if c in "\n\r\t\u2028\u2029" else c for c in text if c not in _CONTROLS)


def base_level(text: str) -> int:
    """0 for a left-to-right line, 1 for a right-to-left one: its first strong letter decides (P2, P3)."""
    for char in text:
        kind = unicodedata.bidirectional(char)
        if kind == "L":
            return 0
        if kind in ("R", "AL"):
            return 1
    return 0


def levels(text: str, base: int) -> list[int]:
    """The embedding level of every character (W1 to W7, N0 to N2, I1, I2)."""
    kinds = [unicodedata.bidirectional(c) or "L" for c in text]
    strong = "R" if base else "L"
    _weak(kinds, strong)
    _brackets(text, kinds, strong)
    _neutral(kinds, strong)
    result = []
    for kind in kinds:
        if base % 2 == 0:
            result.append(base + {"R": 1, "AN": 2, "EN": 2}.get(kind, 0))
        else:
            result.append(base + {"L": 1, "AN": 1, "EN": 1}.get(kind, 0))
    for i in range(len(text) - 1, -1, -1):  # L1: trailing white space takes the line's own level
        if not text[i].isspace():
            break
        result[i] = base
    return result


def _weak(kinds: list[str], strong: str) -> None:
    before = strong
    for i, kind in enumerate(kinds):  # W1
        if kind == "NSM":
            kinds[i] = before
        before = kinds[i]
    last = strong
    for i, kind in enumerate(kinds):  # W2
        if kind in ("L", "R", "AL"):
            last = kind
        elif kind == "EN" and last == "AL":
            kinds[i] = "AN"
    for i, kind in enumerate(kinds):  # W3
        if kind == "AL":
            kinds[i] = "R"
    for i in range(1, len(kinds) - 1):  # W4
        around = {kinds[i - 1], kinds[i + 1]}
        if kinds[i] == "ES" and around == {"EN"}:
            kinds[i] = "EN"
        elif kinds[i] == "CS" and len(around) == 1 and around <= {"EN", "AN"}:
            kinds[i] = around.pop()
    for i, kind in enumerate(kinds):  # W5
        if kind == "ET":
            end = i
            while end < len(kinds) and kinds[end] == "ET":
                end += 1
            if (i and kinds[i - 1] == "EN") or (end < len(kinds) and kinds[end] == "EN"):
                kinds[i:end] = ["EN"] * (end - i)
    for i, kind in enumerate(kinds):  # W6
        if kind in ("ES", "ET", "CS"):
            kinds[i] = "ON"
    last = strong
    for i, kind in enumerate(kinds):  # W7
        if kind in ("L", "R"):
            last = kind
        elif kind == "EN" and last == "L":
            kinds[i] = "L"


def _side(kind: str) -> str | None:
    return "L" if kind == "L" else "R" if kind in ("R", "EN", "AN") else None


def _brackets(text: str, kinds: list[str], strong: str) -> None:
    open_at: list[tuple[str, int]] = []
    pairs = []
    for i, char in enumerate(text):
        if kinds[i] != "ON":
            continue
        if char in _BRACKETS:
            open_at.append((_BRACKETS[char], i))
        else:
            for depth in range(len(open_at) - 1, -1, -1):
                if open_at[depth][0] == char:
                    pairs.append((open_at[depth][1], i))
                    del open_at[depth:]
                    break
    for first, last in sorted(pairs):  # N0
        inside = {_side(k) for k in kinds[first + 1 : last]} - {None}
        if strong in inside:
            kinds[first] = kinds[last] = strong
        elif inside:
            before = next((s for k in reversed(kinds[:first]) if (s := _side(k))), strong)
            kinds[first] = kinds[last] = before if before in inside else strong


def _neutral(kinds: list[str], strong: str) -> None:
    i = 0
    while i < len(kinds):  # N1, N2
        if _side(kinds[i]) is not None:
            i += 1
            continue
        end = i
        while end < len(kinds) and _side(kinds[end]) is None:
            end += 1
        left = _side(kinds[i - 1]) if i else strong
        right = _side(kinds[end]) if end < len(kinds) else strong
        kinds[i:end] = [(left if left == right and left else strong)] * (end - i)
        i = end


def visual_runs(levels_: Sequence[int]) -> list[tuple[int, int, bool]]:
    """Runs of one level from left to right on screen: (start, end, right to left) (L2)."""
    runs: list[tuple[int, int, int]] = []
    for i, level in enumerate(levels_):
        if runs and runs[-1][2] == level:
            runs[-1] = (runs[-1][0], i + 1, level)
        else:
            runs.append((i, i + 1, level))
    for level in range(max(levels_, default=0), 0, -1):
        i = 0
        while i < len(runs):
            end = i
            while end < len(runs) and runs[end][2] >= level:
                end += 1
            if end > i:
                runs[i:end] = reversed(runs[i:end])
            i = max(end, i + 1)
    return [(start, end, bool(level % 2)) for start, end, level in runs]

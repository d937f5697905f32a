"""Changing a lesson text where its values changed, and nowhere else.

The rest of the text stays byte for byte: comments, order, indentation, quotes.
Items of lists are compared one by one, so a changed cue is one changed line;
comments of lines that go are kept.
"""

from __future__ import annotations

import json
import re
from difflib import SequenceMatcher
from typing import Any

from ruamel.yaml.comments import CommentedMap, CommentedSeq

Plain = dict[str, Any]

_PLAIN = re.compile(r"[A-Za-z0-9](?:[A-Za-z0-9 _./+=-]|(?<! )#)*(?<! )")
# What YAML 1.1 or 1.2 readers may take for something else than text.
_NOT_TEXT = re.compile(
    r"""(?ix: true|false|null|yes|no|on|off|y|n
    | [-+]?[\d_.]+(?:e[-+]?\d+)? | 0[xob][\da-f_]+ | \d{4}-\d\d?-\d\d?.* )"""
)


def scalar(value: Any) -> str:
    """A value as one YAML word: plain where that is safe, else in double quotes."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, int | float):
        return repr(value)
    if _PLAIN.fullmatch(value) and not _NOT_TEXT.fullmatch(value):
        return str(value)
    quoted = json.dumps(value, ensure_ascii=False)
    return "".join(c if c.isprintable() else f"\\U{ord(c):08X}" for c in quoted)


def flow(value: Any) -> str:
    """A value on one line."""
    if isinstance(value, dict):
        return "{" + ", ".join(f"{scalar(k)}: {flow(v)}" for k, v in value.items()) + "}"
    if isinstance(value, list):
        return "[" + ", ".join(flow(v) for v in value) + "]"
    return scalar(value)


def block(key: str, value: Any, indent: int = 0) -> list[str]:
    """A key with its value as lines: maps and lists of maps spread out, each item of a list on one line."""
    pad = " " * indent
    if isinstance(value, dict) and value:
        return [f"{pad}{scalar(key)}:"] + [line for k, v in value.items() for line in block(k, v, indent + 2)]
    if isinstance(value, list) and any(isinstance(item, dict) for item in value):
        return [f"{pad}{scalar(key)}:"] + [f"{pad}  - {flow(item)}" for item in value]
    return [f"{pad}{scalar(key)}: {flow(value)}"]


def new_text(plain: Plain, *, heading: str = "") -> str:
    """A whole lesson text from nothing."""
    return "\n".join([*heading.splitlines(), *(line for k, v in plain.items() for line in block(k, v))]) + "\n"


def rewrite(text: str, document: CommentedMap, old: Plain, new: Plain) -> str:
    """``text`` with the keys of ``old`` that differ in ``new`` changed, added or taken away.

    ``document`` is the text as ruamel read it; ``old`` is what it means. Keys
    that are equal in both are left alone, whether they stand in the text or not.
    """
    lines = text.split("\n")
    if _is_flow(lines, document):
        return new_text(new)
    return "\n".join(_map(lines, document, 0, len(lines), old, new, 0))


def _is_flow(lines: list[str], node: Any) -> bool:
    line, column = node.lc.line, node.lc.col
    return line < len(lines) and lines[line][column : column + 1] in ("{", "[")


def _map(lines: list[str], node: CommentedMap, first: int, end: int, old: Plain, new: Plain, indent: int) -> list[str]:
    """The lines ``first`` to ``end`` (not included) of a block map, changed."""
    keys = sorted((key for key in node if node.lc.key(key)[0] >= first), key=lambda k: node.lc.key(k)[0])
    starts = [node.lc.key(key)[0] for key in keys]
    result = lines[first : starts[0]] if starts else []
    pieces: list[tuple[str, list[str]]] = []
    for index, key in enumerate(keys):
        start, stop = starts[index], starts[index + 1] if index + 1 < len(keys) else end
        count = _trailing(lines[start:stop], indent)
        body, tail = lines[start : stop - count], lines[stop - count : stop]
        if key in old and key not in new:
            body = _comments(body, indent)
        elif key in new and old.get(key) != new[key]:
            body = _value(lines, node[key], key, start, stop - count, old.get(key), new[key], indent)
        pieces.append((key, [*body, *tail]))
    order = list(new)
    for key in order:
        if key in keys or old.get(key) == new[key]:
            continue
        before = [k for k in order[: order.index(key)] if any(k == p for p, _ in pieces)]
        place = max((i for i, (k, _) in enumerate(pieces) if before and k == before[-1]), default=-1) + 1
        added = block(key, new[key], indent)
        # A new key goes directly behind its neighbour's lines, before the comments that introduce the next key.
        if place:
            name, body = pieces[place - 1]
            cut = len(body) - _trailing(body, indent)
            pieces[place - 1 : place] = [(name, body[:cut]), (key, [*added, *body[cut:]])]
        else:
            pieces.insert(0, (key, added))
    return result + [line for _, piece in pieces for line in piece]


def _trailing(body: list[str], indent: int) -> int:
    """How many last lines are blank or comments that stand no deeper than the keys."""
    count = 0
    for line in reversed(body[1:]):
        stripped = line.strip()
        if stripped and not (stripped.startswith("#") and len(line) - len(line.lstrip()) <= indent):
            break
        count += 1
    return count


def _value(lines: list[str], node: Any, key: str, start: int, stop: int, old: Any, new: Any, indent: int) -> list[str]:
    head = lines[start:stop]
    if isinstance(node, CommentedMap) and node and isinstance(new, dict) and not _is_flow(lines, node):
        inside = node.lc.col
        return [head[0], *_map(lines, node, start + 1, stop, old if isinstance(old, dict) else {}, new, inside)]
    if isinstance(node, CommentedSeq) and node and isinstance(new, list) and new and not _is_flow(lines, node):
        return [head[0], *_items(lines, node, start + 1, stop, old if isinstance(old, list) else [], new)]
    fresh = block(key, new, indent)
    if isinstance(node, CommentedMap) and node and isinstance(new, dict):  # a map in one line stays so
        fresh = [f"{' ' * indent}{scalar(key)}: {flow(new)}"]
    comment = _end_comment(head[0])
    if comment and len(head) == 1:
        fresh[0] += comment
    return [*fresh, *_comments(head[1:] if len(head) == 1 or not comment else head, indent + 2)]


def _items(lines: list[str], node: CommentedSeq, first: int, stop: int, old: list[Any], new: list[Any]) -> list[str]:
    """A block list, item by item: equal items keep their lines."""
    starts = []
    for index in range(len(node)):
        line = node.lc.item(index)[0]
        while not lines[line].lstrip().startswith("-"):
            line -= 1
        starts.append(line)
    column = len(lines[starts[0]]) - len(lines[starts[0]].lstrip())
    pad = " " * column
    # An item owns the comment lines directly above it.
    begins: list[tuple[int, int]] = []
    for line in starts:
        floor = begins[-1][1] if begins else first
        top = line
        while top > floor and (not lines[top - 1].strip() or lines[top - 1].lstrip().startswith("#")):
            top -= 1
        begins.append((top, line + 1))
    chunks = []
    for index, (top, _) in enumerate(begins):
        bottom = begins[index + 1][0] if index + 1 < len(begins) else stop
        chunks.append(lines[top:bottom])
    result = lines[first : begins[0][0]]
    keyed_old = [json.dumps(item, sort_keys=True) for item in old] if len(old) == len(chunks) else [""] * len(chunks)
    keyed_new = [json.dumps(item, sort_keys=True) for item in new]
    matcher = SequenceMatcher(None, keyed_old, keyed_new, autojunk=False)
    for what, a, b, c, d in matcher.get_opcodes():
        if what == "equal":
            result += [line for chunk in chunks[a:b] for line in chunk]
            continue
        gone, fresh = chunks[a:b], [f"{pad}- {flow(item)}" for item in new[c:d]]
        if len(gone) == len(fresh):
            for chunk, line in zip(gone, fresh, strict=True):
                result += _replaced(chunk, line, column)
        else:
            result += [line for chunk in gone for line in _comments(chunk, column)]
            result += fresh
    return result


def _replaced(chunk: list[str], line: str, column: int) -> list[str]:
    """One item's lines with the item rewritten on one line; its comments stay where they can."""
    at = next(i for i, text in enumerate(chunk) if text.lstrip().startswith("-"))
    own = chunk[at:]
    if len(own) == 1:
        return [*chunk[:at], line + _end_comment(own[0])]
    return [*chunk[:at], *_comments(own, column), line]


def _comments(chunk: list[str], column: int) -> list[str]:
    """The comments of lines that go, each as a line of its own."""
    kept = []
    for line in chunk:
        if line.lstrip().startswith("#"):
            kept.append(line)
        elif comment := _end_comment(line).strip():
            kept.append(" " * column + comment)
    return kept


def _end_comment(line: str) -> str:
    """The comment at a line's end with the spaces before it; empty if there is none."""
    quote = ""
    index = 0
    while index < len(line):
        char = line[index]
        if quote == '"' and char == "\\":
            index += 1
        elif quote:
            quote = "" if char == quote else quote
        elif char in "\"'" and (index == 0 or line[index - 1] in " [{,:"):
            quote = char
        elif char == "#" and (index == 0 or line[index - 1] in " \t"):
            return line[len(line[:index].rstrip()) :]
        index += 1
    return ""

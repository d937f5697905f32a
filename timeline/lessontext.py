"""The text of ``lesson.yaml``: read with bounds, every part with its place, faults told in plain words.

Nothing here knows what a lesson is; ``store`` does. Anchors, aliases and
explicit tags are refused (a few lines of them can stand for gigabytes), depth
and size are bounded.
"""

from __future__ import annotations

import difflib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from pydantic import BaseModel, ValidationError
from ruamel.yaml import YAML
from ruamel.yaml.comments import CommentedMap, CommentedSeq
from ruamel.yaml.composer import Composer
from ruamel.yaml.error import MarkedYAMLError, YAMLError, YAMLStreamError
from ruamel.yaml.events import AliasEvent, MappingStartEvent, ScalarEvent, SequenceStartEvent

from timeline.problems import Finding, LessonFileError

MAX_CHARS = 2_000_000
"""A two-hour lesson with a cue each two seconds has some 400 kB."""
MAX_DEPTH = 12
"""``cues`` -> cue -> ``marks`` -> mark is five deep."""

Location = tuple[int | str, ...]


class _BoundedComposer(Composer):
    """Refuses what a lesson never needs and an attacker likes."""

    level = 0

    def compose_node(self, parent: Any, index: Any) -> Any:
        event = self.parser.peek_event()
        if isinstance(event, AliasEvent) or getattr(event, "anchor", None) is not None:
            raise _Refused("anchors and aliases (& and *) are not read here", "write the value out", event.start_mark)
        tag = getattr(event, "tag", None)
        if isinstance(event, ScalarEvent | MappingStartEvent | SequenceStartEvent) and tag not in (None, "!"):
            raise _Refused(f"tags such as {tag} are not read here", "take the tag away", event.start_mark)
        self.level += 1
        if self.level > MAX_DEPTH:
            raise _Refused("lists and maps are nested too deep", "a lesson needs five levels", event.start_mark)
        node = super().compose_node(parent, index)
        self.level -= 1
        return node


class _Refused(Exception):
    def __init__(self, message: str, fix: str, mark: Any) -> None:
        super().__init__(message)
        self.message, self.fix, self.mark = message, fix, mark


@dataclass(frozen=True)
class LessonText:
    """A parsed text: ``document`` is ruamel's round-trip map (its ``lc`` knows places), ``plain`` its bare values."""

    name: str
    text: str
    document: CommentedMap
    plain: dict[str, Any]

    @property
    def lines(self) -> list[str]:
        return self.text.split("\n")

    def place(self, location: Location, *, key: bool = False) -> dict[str, Any]:
        """``file``, ``line``, ``column``, ``source`` of a value (or of its key), or of its nearest parent there."""
        node: Any = self.document
        line, column = 0, 0
        for depth, step in enumerate(location):
            if isinstance(node, CommentedMap) and step in node:
                last = depth == len(location) - 1
                line, column = node.lc.key(step) if key and last else node.lc.value(step)
                if line >= len(self.lines):  # a key without a value at the end of the text
                    line, column = node.lc.key(step)
            elif isinstance(node, CommentedSeq) and isinstance(step, int) and step < len(node):
                line, column = node.lc.item(step)
            else:
                break
            node = node[step]
        source = self.lines[line] if line < len(self.lines) else None
        return {"file": self.name, "line": line + 1, "column": column + 1, "source": source}


def parse_lesson_text(text: str, *, name: str = "lesson.yaml") -> LessonText:
    """The text as a map. Raises LessonFileError with line and column."""
    if len(text) > MAX_CHARS:
        raise LessonFileError.of(
            "too-large",
            f"{len(text) // 1000} kB is too large for a lesson file (limit {MAX_CHARS // 1000} kB)",
            file=name,
        )
    lines = text.split("\n")

    def fault(message: str, fix: str | None, mark: Any) -> LessonFileError:
        line, column = min(mark.line, len(lines) - 1), mark.column + 1
        while line and not lines[line].strip():  # what is missing at the end is told at the last line
            line, column = line - 1, None
        return LessonFileError.of(
            "bad-yaml", message, file=name, line=line + 1, column=column, source=lines[line], fix=fix
        )

    yaml = YAML(typ="rt", pure=True)
    yaml.Composer = _BoundedComposer
    try:
        document = yaml.load(text)
    except _Refused as error:
        raise fault(error.message, error.fix, error.mark) from None
    except MarkedYAMLError as error:
        mark = error.problem_mark or error.context_mark
        if mark is not None and error.context_mark is not None and not text[mark.index :].strip():
            mark = error.context_mark  # what is missing at the end of the text began there
        row = lines[mark.line] if mark is not None and mark.line < len(lines) else ""
        message, fix = _plain_words(str(error.problem or error.context or "cannot be read"), row)
        if mark is None:
            raise LessonFileError.of("bad-yaml", message, file=name, fix=fix) from None
        raise fault(message, fix, mark) from None
    except (YAMLError, YAMLStreamError, ValueError, RecursionError) as error:
        position = getattr(error, "position", 0) or 0
        line = text.count("\n", 0, position)
        raise LessonFileError.of(
            "bad-yaml",
            str(error).split("\n")[0],
            file=name,
            line=line + 1,
            fix="take this character away" if "character" in str(error) else None,
        ) from None
    if document is None:
        raise LessonFileError.of("empty-file", "the file is empty", file=name, fix="write title: and score:")
    if not isinstance(document, CommentedMap):
        raise LessonFileError.of(
            "bad-yaml",
            "this is not a lesson: it needs keys such as title: and score:",
            file=name,
            line=1,
            source=lines[0],
        )
    parsed = LessonText(name, text, document, {})
    return LessonText(name, text, document, _bare(document, parsed, ()))


def _plain_words(problem: str, row: str) -> tuple[str, str | None]:
    """A YAML reader's complaint about a row as a teacher would say it, and what to type."""
    unfit = (
        "the line does not fit: its indentation or its colon is wrong",
        "indent it like its neighbours: `key: value`",
    )
    if problem.startswith("found duplicate key"):
        return f"the key {problem.split(chr(34))[1]!r} stands here a second time", "keep one of the two"
    if "tab" in problem or "'\\t'" in problem:
        return "a tab stands where spaces belong", "indent with spaces"
    if problem == "mapping values are not allowed here":
        if row.startswith(" ") and row.count(": ") + row.endswith(":") == 1:
            return unfit
        return "a colon is in the way", 'put the text in quotes: "…: …"'
    if problem.startswith("expected the node content"):
        if "'<stream end>'" in problem:
            return "a value is missing after this", "close each [ and { that is open"
        return "a value is missing before this place", "write it, or take the key or the comma away"
    if "cannot start any token" in problem:
        return "no text begins with this character", 'put the text in quotes: "…"'
    if "expected ',' or" in problem:
        return "a comma or a closing bracket is missing here", "close the [ or { of the line"
    if "unexpected end of stream" in problem:
        return "a quote is opened here and never closed", "add the closing quote"
    if "another document" in problem:
        return "a second document begins here", "keep one lesson in a file; take the --- away"
    if "expected <block end>" in problem or "could not find expected ':'" in problem:
        return unfit
    return problem, None


def _bare(value: Any, text: LessonText, location: Location) -> Any:
    """Plain dicts, lists and scalars; empty values (``cues:`` with nothing behind it) count as not given."""
    if isinstance(value, Mapping):
        plain = {}
        for key, item in value.items():
            if not isinstance(key, str):
                raise LessonFileError.of(
                    "bad-key",
                    f"the key {key!r} is not text",
                    **text.place((*location, key), key=True),
                    fix="put it in quotes",
                )
            if item is not None:
                plain[str(key)] = _bare(item, text, (*location, key))
        return plain
    if isinstance(value, list):
        return [_bare(item, text, (*location, i)) for i, item in enumerate(value)]
    if isinstance(value, str):
        return str(value)
    if isinstance(value, bool):
        return value
    if isinstance(value, int):
        return int(value)
    if isinstance(value, float):
        return float(value)
    return value


def explain(error: ValidationError, text: LessonText, model: type[BaseModel]) -> tuple[Finding, ...]:
    """pydantic's complaints as findings with places and what to type."""
    schema = model.model_json_schema(by_alias=True)
    findings = []
    for item in error.errors(include_url=False):
        kind = item["type"]
        location = (*item["loc"], *item.get("ctx", {}).get("where", ()))
        place = text.place(location, key=kind == "extra_forbidden")
        code = "bad-value"
        if kind == "extra_forbidden":
            code, known = "unknown-key", _known_keys(schema, location[:-1])
            message = f"unknown key {str(location[-1])!r}" + (f" in {dotted(location[:-1])}" if location[1:] else "")
            near = difflib.get_close_matches(str(location[-1]), known, n=1, cutoff=0.6)
            fix: str | None = f"did you mean {near[0]!r}?" if near else f"known here: {', '.join(known)}"
        elif kind == "missing":
            code, message = "missing-key", f"{dotted(location)}: is missing"
            fix = f"add `{location[-1]}: …`" + (f" to {dotted(location[:-1])}" if location[1:] else "")
        else:
            message, fix = complaint(item)
        findings.append(Finding(code, message, fix=fix, **place))
    return tuple(findings)


def dotted(location: Sequence[int | str]) -> str:
    """``cues[3].marks[1].role``."""
    text = ""
    for step in location:
        text += f"[{step + 1}]" if isinstance(step, int) else f".{step}" if text else step
    return text


_LIKE = {
    "size": "write the shorter side, as in 720p, or width and height, as in 1920x1080",
    "arrow": "write from and to, as in e1-e8",
    "square": "write one or more squares, as in d6 e5",
    "route": "write a piece's squares in order, as in g1-f3-e5",
    "language": "write a language tag, as in en or pt-BR",
}
"""How values that have a form are written, by their key."""
_LIMITS = {
    "greater_than_equal": ("at least", "ge"),
    "greater_than": ("more than", "gt"),
    "less_than_equal": ("at most", "le"),
    "less_than": ("less than", "lt"),
}


def complaint(item: Mapping[str, Any]) -> tuple[str, str | None]:
    """One entry of ``ValidationError.errors()``: what is wrong with which value, and what to type."""
    kind, context, value = item["type"], item.get("ctx", {}), item["input"]
    name = dotted(item["loc"])
    if kind == "lesson":
        return item["msg"] if context["where"] or not name else f"{name}: {item['msg']}", context["fix"]
    shown = repr(value) if isinstance(value, str | int | float) else "this"
    if kind in _LIMITS:
        word, key = _LIMITS[kind]
        return f"{name}: {shown} is out of range: it must be {word} {context[key]}", None
    if kind == "literal_error":
        return f"{name}: {shown} is not one of the choices", f"write {context['expected']}"
    if kind == "string_type":
        return f"{name}: text is needed here, not {shown}", f'put it in quotes: "{value}"' if shown != "this" else None
    if kind == "string_pattern_mismatch":
        like = _LIKE.get(str(item["loc"][-1]) if item["loc"] else "", "see `plyline schema`")
        return f"{name}: {shown} is not written as it should be", like
    if kind in ("string_too_short", "too_short"):
        return f"{name}: this is empty or too short", None
    if kind in ("string_too_long", "too_long"):
        return f"{name}: this is too long (at most {context.get('max_length')})", None
    if kind.startswith(("int", "float", "decimal")):
        return f"{name}: a number is needed here, not {shown}", None
    if kind.startswith("bool"):
        return f"{name}: true or false is needed here, not {shown}", None
    if kind in ("tuple_type", "list_type"):
        return f"{name}: a list is needed here, not {shown}", f"write each item on a line of its own after `{name}:`"
    if kind in ("dict_type", "model_type", "model_attributes_type"):
        return f"{name}: keys are needed here, such as {{key: value}}, not {shown}", None
    return f"{name}: {item['msg']}", None


def _known_keys(schema: dict[str, Any], location: Location) -> list[str]:
    """The keys that may stand at a place, from the JSON Schema."""
    definitions = schema.get("$defs", {})

    def options(node: Any) -> list[dict[str, Any]]:
        if "$ref" in node:
            return options(definitions[node["$ref"].rsplit("/", 1)[-1]])
        found = [node]
        for key in ("anyOf", "oneOf", "allOf"):
            for option in node.get(key, ()):
                found += options(option)
        return found

    nodes = options(schema)
    for step in location:
        below: list[dict[str, Any]] = []
        for node in nodes:
            if isinstance(step, int) and isinstance(node.get("items"), dict):
                below += options(node["items"])
            elif step in node.get("properties", {}):
                below += options(node["properties"][step])
            elif isinstance(step, str) and isinstance(node.get("additionalProperties"), dict):
                below += options(node["additionalProperties"])
        nodes = below
    return sorted({key for node in nodes for key in node.get("properties", {})})

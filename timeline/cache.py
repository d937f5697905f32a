"""What one run found out and the next may use again: plain data in ``.plyline``, each with the key it is true for."""

from __future__ import annotations

import hashlib
import importlib.util
import json
from functools import lru_cache
from pathlib import Path
from typing import Any, TypeVar

from pydantic import TypeAdapter, ValidationError

from timeline.files import write_atomic

T = TypeVar("T")


def fingerprint(value: Any) -> str:
    """A short hash of plain data (dicts, lists, text, numbers); equal data, equal hash."""
    text = json.dumps(value, sort_keys=True, ensure_ascii=False, default=str)
    return hashlib.blake2b(text.encode("utf-8", "surrogatepass"), digest_size=16).hexdigest()


def file_fingerprint(path: Path) -> str:
    """A hash of a file's content."""
    digest = hashlib.blake2b(digest_size=16)
    with path.open("rb") as file:
        while chunk := file.read(1 << 20):
            digest.update(chunk)
    return digest.hexdigest()


_COUNTING = frozenset((".py", ".json", ".npz"))
"""Endings of the files of a package that decide its results: source and learned models."""


@lru_cache
def code_fingerprint(*modules: str) -> str:
    """A hash of the source and learned models of modules and whole packages: results of older ones are made anew."""
    digest = hashlib.blake2b(digest_size=16)
    for name in modules:
        spec = importlib.util.find_spec(name)
        if spec is None or spec.origin is None:
            raise ValueError(f"there is no module {name}")
        origin = Path(spec.origin)
        folder = origin.parent
        whole = bool(spec.submodule_search_locations)
        sources = sorted(p for p in folder.rglob("*") if p.suffix in _COUNTING) if whole else [origin]
        for source in sources:
            digest.update(source.name.encode() + b"\0" + source.read_bytes() + b"\0")
    return digest.hexdigest()


def save_cached(path: Path, key: str, value: Any, kind: Any) -> None:
    """Write ``value`` (of the type ``kind``: dataclasses, tuples, plain data) with its key."""
    data = TypeAdapter(kind).dump_python(value, mode="json")
    write_atomic(path, json.dumps({"key": key, "value": data}, ensure_ascii=False) + "\n")


def load_cached(path: Path, key: str, kind: type[T]) -> T | None:
    """The value stored for ``key``; None when there is none, another key's, or the file is damaged."""
    try:
        stored = json.loads(path.read_text(encoding="utf-8"))
        if not isinstance(stored, dict) or stored.get("key") != key:
            return None
        return TypeAdapter(kind).validate_python(stored["value"])
    except (OSError, ValueError, KeyError, RecursionError, ValidationError):
        return None

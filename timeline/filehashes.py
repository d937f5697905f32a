"""Hashes of what a lesson's files hold, remembered in ``.plyline`` while their size and time of change stay."""

from __future__ import annotations

import json
from functools import cached_property
from pathlib import Path
from typing import Any

from timeline.cache import file_fingerprint
from timeline.files import write_atomic


class FileHashes:
    """Hashes by the file's key in lesson.yaml, kept in ``store`` (JSON); a store that is damaged is begun anew."""

    def __init__(self, store: Path) -> None:
        self.store = store

    def of(self, key: str, path: Path) -> str:
        """The hash of ``path``. A file whose size and time of change are as before is not read again."""
        stat = path.stat()
        stamp = [str(path), stat.st_size, stat.st_mtime_ns]
        known = self._known.get(key)
        if isinstance(known, dict) and known.get("stamp") == stamp:
            return str(known["hash"])
        value = file_fingerprint(path)
        self._known[key] = {"stamp": stamp, "hash": value}
        write_atomic(self.store, json.dumps(self._known, ensure_ascii=False, indent=1) + "\n")
        return value

    @cached_property
    def _known(self) -> dict[str, Any]:
        try:
            stored = json.loads(self.store.read_text(encoding="utf-8"))
        except (OSError, ValueError):
            return {}
        return stored if isinstance(stored, dict) else {}

"""What makes a stored result out of date."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from timeline.cache import code_fingerprint


@pytest.mark.parametrize("name", ["__init__.py", "weights.json", "network.npz"])
def test_results_of_older_code_or_an_older_model_are_made_anew(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, name: str
) -> None:
    package = tmp_path / "somepackage"
    package.mkdir()
    for each in ("__init__.py", "weights.json", "network.npz"):
        (package / each).write_bytes(b"#1")
    monkeypatch.syspath_prepend(str(tmp_path))
    monkeypatch.delitem(sys.modules, "somepackage", raising=False)
    code_fingerprint.cache_clear()  # a process reads its code once
    before = code_fingerprint("somepackage")
    (package / name).write_bytes(b"#2")
    code_fingerprint.cache_clear()
    assert code_fingerprint("somepackage") != before

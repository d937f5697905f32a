"""Lets the tests of this folder import the modules that stand beside them."""

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from smalllesson import small_lesson


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A small lesson without recording, its title full of markup."""
    return small_lesson(tmp_path / "a lesson")

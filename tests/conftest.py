"""Referees: outside programs that judge our files. Skipped where absent, required by .ci/run."""

from __future__ import annotations

import os
import shutil
from pathlib import Path

import pytest
from hypothesis import HealthCheck, settings

settings.register_profile("dev", max_examples=50, deadline=None, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile(
    "ci", max_examples=120, deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow]
)
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "dev"))

# Debian keeps chess programs in its games folder, which is not on root's PATH.
SEARCH = os.environ.get("PATH", "") + os.pathsep + "/usr/games"


def pytest_addoption(parser: pytest.Parser) -> None:
    parser.addoption("--update-golden", action="store_true", help="write golden pictures and texts anew; look at them")


def find_referee(name: str) -> str | None:
    """The referee's path: a program, or ``npm:NAME`` for a package in $PLYLINE_NODE_MODULES."""
    if name.startswith("npm:"):
        folder = os.environ.get("PLYLINE_NODE_MODULES")
        package = Path(folder, name[4:]) if folder else None
        return str(package) if package and package.is_dir() and shutil.which("node") else None
    return shutil.which(name, path=SEARCH)


@pytest.fixture
def referee_path():
    """``referee_path("stockfish")`` gives the program's path."""

    def find(name: str) -> str:
        path = find_referee(name)
        assert path is not None, f"{name} is not installed"
        return path

    return find


def pytest_runtest_setup(item: pytest.Item) -> None:
    for marker in item.iter_markers("referee"):
        for name in marker.args:
            if find_referee(name) is None:
                message = f"referee {name} is not installed"
                if os.environ.get("PLYLINE_REFEREES") == "required":
                    pytest.fail(message + ", and $PLYLINE_REFEREES says it must be", pytrace=False)
                pytest.skip(message)

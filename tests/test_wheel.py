"""The built wheel holds our two packages and nothing else: their import names are common words."""

from __future__ import annotations

import subprocess
import sys
import zipfile
from pathlib import Path

ROOT = Path(__file__).parents[1]


def test_the_wheel_holds_our_packages_their_data_and_nothing_else(tmp_path: Path) -> None:
    done = subprocess.run(
        [sys.executable, "-m", "pip", "wheel", "-q", "--no-deps", "-w", str(tmp_path), str(ROOT)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    (wheel,) = tmp_path.glob("plyline-*.whl")
    names = zipfile.ZipFile(wheel).namelist()
    assert {n.split("/")[0].split("-")[0] for n in names} == {"timeline", "overlays", "plyline"}
    for needed in (
        "timeline/py.typed", "overlays/py.typed", "timeline/follow/weights.json", "timeline/follow/leadin.npz",
        "overlays/layouts.toml", "overlays/themes/lagoon.toml",
    ):  # fmt: skip
        assert needed in names
    assert any(n.startswith("overlays/fonts/") and n.endswith((".ttf", ".otf")) for n in names)

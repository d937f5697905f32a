"""Golden pictures: small PNGs that a person can open. ``pytest tests/overlays --update-golden`` writes them anew."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from PIL import Image

GOLDEN = Path(__file__).parent / "golden"
TOLERANCE = 6
"""Largest allowed difference of one channel (0..255), for other versions of the SVG renderer's edges."""


@pytest.fixture
def golden(request: pytest.FixtureRequest, tmp_path: Path):
    """``golden(rgb, "name")`` compares with ``golden/name.png``; a failure leaves actual.png and diff.png."""

    def compare(rgb: np.ndarray, name: str) -> None:
        path = GOLDEN / f"{name}.png"
        if request.config.getoption("--update-golden"):
            Image.fromarray(rgb).save(path, optimize=True)
            return
        assert path.exists(), f"there is no {path}; run pytest tests/overlays --update-golden and look at it"
        expected = np.asarray(Image.open(path).convert("RGB"))
        assert expected.shape == rgb.shape, f"{name}: {rgb.shape} instead of {expected.shape}"
        diff = np.abs(expected.astype(int) - rgb)
        if diff.max() > TOLERANCE:
            Image.fromarray(rgb).save(tmp_path / "actual.png")
            Image.fromarray((255 - np.minimum(255, diff * 8)).astype(np.uint8)).save(tmp_path / "diff.png")
            pytest.fail(f"{name}: a channel differs by {diff.max()} (allowed {TOLERANCE}); see {tmp_path}")

    return compare

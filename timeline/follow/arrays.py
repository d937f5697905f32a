"""One .npz file for what is learned: the features' names as UTF-8 lines, arrays in half precision."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:  # numpy is imported where it computes, so that the command line starts at once
    import numpy as np
    from numpy.typing import NDArray

    Array = NDArray[np.float32]


def read_arrays(path: Path, names: Sequence[str]) -> tuple[dict[str, int], list[Array]]:
    """Each feature's row, and the arrays of these names in order, as ``write_arrays`` wrote them."""
    import numpy as np

    with np.load(path) as raw:
        features = bytes(raw["names"]).decode("utf-8").split("\n")
        return {name: row for row, name in enumerate(features)}, [raw[name].astype(np.float32) for name in names]


def write_arrays(path: Path, index: Mapping[str, int], arrays: Mapping[str, Array]) -> None:
    """``index``: each feature's row in the arrays that have one for it."""
    import numpy as np

    names = "\n".join(sorted(index, key=lambda name: index[name]))
    parts: dict[str, Any] = {name: array.astype(np.float16) for name, array in arrays.items()}
    np.savez_compressed(path, names=np.frombuffer(names.encode("utf-8"), np.uint8), **parts)

"""Makes one model of several that were fitted apart (other lessons, other code): it says the mean of what they say.

    python tests/benchmarks/train_mean.py FOLDER FOLDER... -o OUT

Each FOLDER and OUT holds weights.json, network.npz and tenor.npz (timeline/follow
does). Weights that are set by hand (``BY_HAND``; reasons in DEVELOPERS.md) are
the first folder's; ``tenor`` is the last's.
"""

from __future__ import annotations

import argparse
import json
from pathlib import Path

from train_follow import read_model, write_model
from train_network import mean_of

BY_HAND = (
    "HABIT>open", "WAYS>ign", "back:bad", "denied", "follows:bad", "follows:ok", "goto:there", "idle", "instead:bad", "instead:ok",
    "instead:take", "listed", "mates", "next>far", "other:ok", "passed", "passing:bad", "passing:ok", "q:WAYS>ign", "refused:alt", "refused:cont",
    "said again", "stalemate:bad", "stalemate:ok", "supposed:bad", "supposed:ok", "undo:counted", "undo:said", "verdict", "wished",
)  # fmt: skip


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", nargs="+", type=Path)
    parser.add_argument("-o", dest="out", type=Path, required=True)
    options = parser.parse_args()
    models = [read_model(folder) for folder in options.folders]
    groups = json.loads((options.folders[0] / "weights.json").read_text(encoding="utf-8"))["groups"]
    kept = {name: models[0].weights[name] for name in BY_HAND}
    mean = mean_of(models)
    options.out.mkdir(parents=True, exist_ok=True)
    write_model(options.out, mean._replace(weights={**mean.weights, **kept}, tenor=models[-1].tenor), groups)


if __name__ == "__main__":
    main()

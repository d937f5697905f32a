"""The same words and score give the same cues in every process: no order of a set decides."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

LESSON = Path(__file__).parents[1] / "data/lessons/packed/clubhouse_colle.json"
RUN = """
import json, sys
from timeline.follow import follow_words
from timeline.score import read_score
from timeline.transcript.words import Word
raw = json.load(open(sys.argv[1], encoding="utf-8"))
print(repr(follow_words([Word(*word) for word in raw["words"]], read_score(raw["pgn"]))))
"""


def followed(seed: int) -> str:
    command = [sys.executable, "-c", RUN, str(LESSON)]
    env = {**os.environ, "PYTHONHASHSEED": str(seed)}
    return subprocess.run(command, env=env, capture_output=True, text=True, check=True).stdout


def test_following_does_not_hang_on_the_order_of_sets() -> None:
    assert followed(1) == followed(2)

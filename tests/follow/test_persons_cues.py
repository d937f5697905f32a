"""A person's cue puts one place right and leaves the rest of the lesson as it was."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from timeline.follow import FixedPoint, follow_words
from timeline.follow.follow import decode
from timeline.follow.hypotheses import steps
from timeline.score import read_score
from timeline.transcript.words import Word

DEMO = Path(__file__).parents[1] / "data/demo/lantern_quay.json"


def said(text: str) -> list[Word]:
    return [Word(word, 400 * k, 400 * k + 300) for k, word in enumerate(text.split())]


@pytest.mark.parametrize("share", [0.3, 0.8])
def test_confirming_one_cue_makes_no_other_doubtful(share: float) -> None:
    raw = json.loads(DEMO.read_text(encoding="utf-8"))
    talk, score = [Word(*word) for word in raw["words"]], read_score(raw["pgn"])
    plain = follow_words(talk, score, marks=False).cues
    own = plain[int(share * len(plain))]
    fixed = follow_words(talk, score, marks=False, fixed=[FixedPoint(own.at_ms, own.path)]).cues
    assert [(c.at_ms, c.path) for c in fixed] == [(c.at_ms, c.path) for c in plain]
    others = [(a.sure, b.sure) for a, b in zip(plain, fixed, strict=True) if a.at_ms != own.at_ms]
    assert all(after > before - 0.1 for before, after in others)


@pytest.mark.parametrize("meant", ["b1d2", "f3d2"])
def test_the_words_of_a_persons_cue_do_not_overrule_it(meant: str) -> None:
    score = read_score("1. d4 d5 2. Nf3 Nf6 3. e3 e6 4. Bd3 c5 5. c3 Nc6 *")
    talk = said(
        "d4, d5, knight f3, knight f6, e3, e6, bishop d3, c5. And if knight d2 here, c takes d4, e takes d4. "
        "In the game c3, knight c6."
    )
    at = next(word for word in talk if word.text == "if")
    before = ("d2d4", "d7d5", "g1f3", "g8f6", "e2e3", "e7e6", "f1d3", "c7c5")
    cues = follow_words(talk, score, fixed=[FixedPoint(at.onset_ms, (*before, meant))]).cues
    asides = [c.path[8:] for c in cues if c.path[:8] == before and len(c.path) > 8 and c.path[8] in ("b1d2", "f3d2")]
    assert asides == [(meant,), (meant, "c5d4"), (meant, "c5d4", "e3d4")]
    assert [c.address for c in cues][-2:] == ["5w", "5b"]


SHORT = "1. d4 d5 2. c4 e6 3. Nc3 Nf6 4. cxd5 exd5 5. Bg5 Be7 6. Bxf6 Bxf6 7. e3 O-O *"


@pytest.mark.parametrize("talk", [
    "D4, d5, c4, e6. Knight c3 knight f6 takes takes bishop g5 bishop e7. And he grabs the knight, takes back. E3 castles.",
    "D four d five c four e six knight c three knight f six takes takes. Now the bishop comes to g five, bishop e seven, takes, takes. "
    "E three, and so he castles.",
])  # fmt: skip
def test_confirming_any_cue_moves_no_other(talk: str) -> None:
    score = read_score(SHORT)
    plain = follow_words(said(talk), score, marks=False).cues
    assert len(plain) > 12
    for own in plain:
        fixed = follow_words(said(talk), score, marks=False, fixed=[FixedPoint(own.at_ms, own.path)]).cues
        assert [(c.at_ms, c.path) for c in fixed] == [(c.at_ms, c.path) for c in plain], own


def test_no_way_leads_past_a_persons_cue() -> None:
    """Not even one that stands in the middle of a move's name."""
    talk = said("D4, d5, c4, e6, knight to the square c3, knight f6.")
    at = next(word.onset_ms for word in talk if word.text == "the")
    fixed = [FixedPoint(at, ("d2d4", "d7d5", "c2c4", "e7e6"))]
    decoded = decode(talk, read_score(SHORT), fixed=fixed)
    assert decoded is not None
    assert [step.act for step in steps(decoded[1])].count("fix") == 1

"""What heard words sound like, weighed with the board: the sound, the evidence, and what is left alone."""

from __future__ import annotations

from typing import get_args

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from talking import caption, plain, words_of

from timeline.captions import boardhearing, hearingscore
from timeline.captions.boardfacts import Boards
from timeline.captions.corrections import Pad
from timeline.captions.english import BEGIN, END, border_gains, chance, chances
from timeline.captions.followhearing import from_follow
from timeline.captions.hearingscore import Reading, What, features, odds
from timeline.captions.soundgrid import SQUARES, SoundGrid
from timeline.follow import follow_words
from timeline.follow.phonetics import SQUARE_PHONES, digit_phones, distance, letter_phones, phones
from timeline.score import read_score

ITALIAN = "1. e4 e5 2. Nf3 Nc6 3. Bc4 Bc5 4. c3 Nf6 5. d4 exd4 6. cxd4 Bb4+ 7. Bd2 Bxd2+ 8. Nbxd2 d5 *"
OPENING = "White begins with e4, and Black answers e5. Knight f3, knight c6. Bishop c4, bishop c5."
HEARD = st.sampled_from("see rookie won default before each hive the night bishopric clean seven fix a date".split())


# -- sound
@given(st.lists(HEARD, min_size=1, max_size=3), st.sampled_from([s for s in SQUARES if s[1] != "3"]))
def test_all_at_once_is_the_distance_of_the_phonetics(words: list[str], square: str):
    """The same weighted edit distance near a square, its digit heard at least ("three" has a "th" of its own)."""
    sound = tuple(p for w in words for p in phones(w))
    grid = SoundGrid(["king", *words, "queen"], [False, *([True] * len(words)), False])
    start, stop = int(grid.starts[1]), int(grid.starts[1 + len(words)])
    found = float(
        grid.squares(np.array([start], np.int32), np.array([stop - start], np.int32))[0, SQUARES.index(square)]
    )
    letter, digit = letter_phones(square[0]) if square[0] != "a" else ("EY",), digit_phones(square[1])
    known = min(distance(sound[:k], letter) + distance(sound[k:], digit) for k in range(len(sound)))
    assert known >= distance(sound, SQUARE_PHONES[square]) - 1e-6
    if {"the", "a"} & set(words):
        assert known > 1.0 or found <= known + 1e-4  # little words have two sounds
    elif found < 50:
        assert found >= known - 1e-4
        if known <= 1.0:
            assert found == pytest.approx(known, abs=1e-4)


def test_words_that_nobody_asks_about_cost_nothing():
    grid = SoundGrid(["king", "see", "tree"], [False, True, True])
    at = np.array([int(grid.starts[1])], np.int32)
    far = grid.squares(at, np.array([int(grid.starts[3]) - int(grid.starts[1])], np.int32))[0]
    assert SQUARES[int(far.argmin())] == "c3"


# -- plain English
def test_plain_english_knows_talk_from_mishearings():
    usual, odd = chances("he wants to take it".split()), chances("he want night defy".split())
    assert min(usual) > min(odd)
    assert chance("zzxqy") == -20.0
    assert chance(END, "thank", "you") > chance(END, "of", "the")
    assert chance("the", BEGIN) > chance("mate", BEGIN)


def test_sentences_part_where_plain_english_parts_them():
    words = "that is a good move so what does he want".split()
    gains = border_gains(words)
    assert gains[0] == 0.0
    assert max(range(1, len(words)), key=lambda k: gains[k]) == words.index("so")


# -- evidence
def test_the_board_knows_what_is_shown_what_comes_and_what_can_be_played():
    score = read_score(ITALIAN)
    words = words_of(OPENING)
    follow = follow_words(words, score)
    facts = Boards(follow, score).facts(words[-1].end_ms)
    assert facts.level(3, SQUARES_AT["c5"]) == 4
    assert facts.level(1, SQUARES_AT["c3"]) == 3
    assert facts.level(1, SQUARES_AT["b4"]) == 2
    assert facts.level(4, SQUARES_AT["a1"]) == 1
    assert facts.level(5, SQUARES_AT["h8"]) == 0


@pytest.mark.parametrize(
    ("pgn", "talk", "checks", "mates"),
    [
        ("1. f3 e5 2. g4 Qh4# *", "f3 e5 g4 queen h4", True, True),
        ("1. e4 e5 2. Qh5 Nc6 3. Qxf7+ *", "e4 e5 queen h5 knight c6 queen takes f7", True, False),
        ("1. e4 e5 2. Nf3 *", "e4 e5 knight f3", False, False),
    ],
)
def test_the_board_knows_whether_a_move_shown_checks_or_mates(pgn: str, talk: str, checks: bool, mates: bool):
    score, words = read_score(pgn), words_of(talk)
    facts = Boards(follow_words(words, score), score).facts(words[-1].end_ms)
    assert (facts.checks, facts.mates) == (checks, mates)


SQUARES_AT = {name: (ord(name[0]) - 97) + 8 * (int(name[1]) - 1) for name in SQUARES}


def reading(**changes: object) -> Reading:
    usual = {
        "first": 1, "last": 2, "written": "c3", "what": "square", "alike": 0.1, "level": 16, "told": "", "plain": True,
        "rare": (-7.0, -9.0), "next_rare": -3.0,
    }  # fmt: skip
    return Reading(**{**usual, **changes})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("better", "worse"),
    [
        ({"alike": 0.05}, {"alike": 0.5}),
        ({"level": 18}, {"level": 10}),
        ({"rare": (-11.0, -13.0)}, {"rare": (-3.0, -4.0)}),
        ({"lead": 0.3}, {"lead": -0.3}),
        ({"level": 2, "what": "move"}, {"level": 2, "what": "move", "outshown": True}),
        ({"what": "word", "written": "mate", "level": 8}, {"what": "word", "written": "mate", "level": 7}),
    ],
    ids=["sound", "board", "plain English", "rivals", "a shown rival", "mate"],
)
def test_better_evidence_makes_a_reading_surer(better, worse):
    cores, ends = ["takes", "see", "tree", "and"], [False] * 4
    weights = hearingscore.shipped()
    assert odds(reading(**better), cores, ends, weights) > odds(reading(**worse), cores, ends, weights)


def test_every_weight_belongs_to_a_feature_that_can_arise():
    kinds = [features(reading(what=what), ["takes", "see", "tree", "and"], [False] * 4) for what in get_args(What)]
    told = {name.split("=")[0] for found in kinds for name, _ in found if "=" in name}
    assert {name.split("=")[0] for name in hearingscore.shipped() if "=" in name} == told


# -- whole talks
@pytest.mark.parametrize(
    ("heard", "written"),
    [
        ("Now he goes sea tree, and knight f6.", "c3"),
        ("The pawn on sea tree supports it.", "c3"),
        ("Now look at my bish up on c4.", "my bishop on c4"),
    ],
)
def test_words_that_sound_like_what_the_board_has_are_mended(heard: str, written: str):
    assert written in plain(caption(f"{OPENING} {heard}", ITALIAN))


@pytest.mark.parametrize(
    "said",
    [
        "He wants to take it before I can see what he is up to.",
        "The night before, we had a drink at the bar, and it was fine.",
        "If he takes, I take, and that is a piece up for me.",
        "Look at it again, and see the whole board for a minute.",
        "Keep one eye on the h-file, the e-pawn and the back-rank mate.",
        "It is played on the seventh, and after twenty moves we are there.",
    ],
)
def test_plain_talk_is_left_alone(said: str):
    assert said in plain(caption(f"{OPENING} {said}", ITALIAN))


def test_a_talk_that_was_heard_well_is_doubted_less():
    """The same odd words are left alone where all else is right, and mended among other mis-hearings."""
    bad = OPENING.replace("Knight f3, knight c6.", "Night f three, night see six.").replace(
        "Bishop c4", "Fish-up see for"
    )
    pads = []
    for talk in (OPENING, bad):
        pad = Pad(words_of(talk))
        from_follow(pad, follow_words(words_of(talk), read_score(ITALIAN)))
        pads.append(boardhearing.doubt_of(pad))
    assert pads[0] > pads[1] + 1

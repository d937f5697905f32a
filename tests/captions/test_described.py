"""The described track: what the picture alone shows, in pauses or marked as extended."""

from __future__ import annotations

from itertools import pairwise

import chess
import pytest
from hypothesis import given
from hypothesis import strategies as st
from talking import words_of

from timeline.buildtracks import build_tracks
from timeline.captions.described import Description, describe, describe_move, need_ms, write_descriptions
from timeline.lesson import CueSpec, MarkSpec
from timeline.score import read_score
from timeline.transcript.words import Word

SCORE = read_score("1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 5. O-O Be7 *\n")
END = 60_000


def described(text: str, *cues: CueSpec, score=SCORE, words: list[Word] | None = None) -> list[Description]:
    tracks = build_tracks(score, cues, END)
    spoken = words_of(text) if words is None else words
    return describe(
        tracks.board, tracks.marks, spoken, [w.text.lower() for w in spoken], end_ms=END, timemap=tracks.timemap
    )


def texts(found: list[Description]) -> list[str]:
    return [d.text for d in found]


def test_a_move_that_is_spoken_is_not_described():
    assert described("White begins with e4", CueSpec(at=1500, show="1w")) == []
    assert described("and knight to f3", CueSpec(at=900, show="1w"), CueSpec(at=1000, show="2w"))[0].text == (
        "White: pawn e4."
    )


def test_a_move_that_is_shown_and_not_spoken_is():
    (one,) = described("Now look at this.", CueSpec(at=1500, show="1w"))
    assert (one.text, one.extended) == ("White: pawn e4.", False)


def test_a_square_without_its_piece_is_not_the_move():
    assert texts(described("What about f3 today", CueSpec(at=1500, show="2w"))) == [
        "White: pawn e4. Black: pawn e5. White: knight f3."
    ]


def test_it_is_said_in_the_pause_after_it():
    words = words_of("Now look at this. / / / And so on it goes.")
    cue = words[3].onset_ms
    (one,) = described("", CueSpec(at=cue, show="1w"), words=words)
    assert words[3].end_ms < one.start_ms
    assert one.end_ms < words[4].onset_ms
    assert not one.extended


def test_without_a_pause_it_is_extended_at_the_change():
    words = words_of(" ".join(["talk"] * 120))
    (one,) = described("", CueSpec(at=9000, show="1w"), words=words)
    assert (one.start_ms, one.extended) == (9000, True)


def test_a_hold_of_the_film_is_a_pause():
    words = words_of(" ".join(["talk"] * 120))
    cues = (CueSpec(at=9000, show="1w"), CueSpec(at=10_000, think=6))
    (one,) = described("", *cues, words=words)
    assert not one.extended
    assert 10_000 <= one.start_ms <= one.end_ms <= 16_000


def test_a_position_is_described_when_it_is_set_up():
    fen = "8/8/8/4k3/8/8/4P3/4K3 w - - 0 1"
    score = read_score(f'[SetUp "1"]\n[FEN "{fen}"]\n\n1. e4 *\n')
    assert texts(described("", score=score, words=[])) == [
        "On the board: White: king e1, pawn e2. Black: king e5. White to move."
    ]
    found = described("", CueSpec(at=5000, fen=fen), CueSpec(at=9000, show="1w"), words=words_of("so e4"))
    assert found[0].text == "Set up: White: king e1, pawn e2. Black: king e5. White to move."
    assert found[1].text == "Back to the position after White's first move, pawn e4."


def test_a_position_that_is_read_aloud_is_not_described():
    score = read_score('[SetUp "1"]\n[FEN "8/8/8/4k3/8/8/4P3/4K3 w - - 0 1"]\n\n1. e4 *\n')
    assert described("White has a king on e1 and a pawn on e2, Black the king on e5.", score=score) == []


def test_the_start_of_every_game_needs_no_words():
    assert described("Welcome.") == []


def test_the_way_back_is_told():
    cues = (CueSpec(at=2000, show="3w"), CueSpec(at=20_000, show="1b"), CueSpec(at=30_000, show="start"))
    found = texts(described("Welcome.", *cues))
    assert found[1:] == ["Back to the position after Black's first move, pawn e5.", "Back to the start."]


def test_many_moves_at_once_become_a_position():
    (one,) = texts(described("Welcome.", CueSpec(at=5000, show="5b")))
    assert one.startswith("Forward to the position after Black's fifth move, bishop e7. White: king g1")


def test_marks_whose_squares_are_not_named():
    marks = (MarkSpec(square="d6 e5", role="weakness"), MarkSpec(arrow="e1-e8", role="attack"),
             MarkSpec(route="g1-f3-e5", role="route"))  # fmt: skip
    found = " ".join(texts(described("Look here.", CueSpec(at=1500, marks=marks))))
    for part in ("Arrow, attack: e1 to e8.", "Marked as weakness: d6 and e5.", "Route: g1, f3, e5."):
        assert part in found
    assert described("Look at d6 and e5.", CueSpec(at=1500, marks=marks[:1])) == []


def test_without_a_transcript_no_pause_is_known():
    assert [d.extended for d in described("", CueSpec(at=5000, show="1w"), words=[])] == [True]


@pytest.mark.parametrize(
    ("fen", "uci", "text"),
    [
        (chess.STARTING_FEN, "g1f3", "White: knight f3"),
        ("4k3/8/8/8/8/8/8/R3K2R w KQ - 0 1", "e1g1", "White: castles kingside"),
        ("4k3/8/8/8/8/8/8/R3K2R w KQ - 0 1", "e1c1", "White: castles queenside"),
        ("4k3/8/8/3pP3/8/8/8/4K3 w - d6 0 1", "e5d6", "White: e pawn takes d6 en passant"),
        ("4k3/P7/8/8/8/8/8/4K3 w - - 0 1", "a7a8q", "White: pawn a8, becomes a queen, check"),
        ("4k3/8/8/8/8/8/8/K3N1N1 w - - 0 1", "e1f3", "White: knight from e1 to f3"),
        ("6k1/5ppp/8/8/8/8/8/R3K3 w - - 0 1", "a1a8", "White: rook a8, mate"),
        ("4k3/8/8/8/3p4/2P5/8/4K3 b - - 0 1", "d4c3", "Black: d pawn takes pawn c3"),
    ],
)
def test_moves_in_words(fen: str, uci: str, text: str):
    """Facts of the position by python-chess: captures, check, mate, twins (PGN standard 8.2.3.4), en passant."""
    assert describe_move(chess.Board(fen), chess.Move.from_uci(uci)) == text


CUES = st.lists(
    st.builds(
        CueSpec,
        at=st.integers(0, END - 1),
        show=st.sampled_from(["start", "1w", "2w", "5b", "1w c5", "3w Nf6"]),
        marks=st.sampled_from([(), (MarkSpec(square="a3"),), (MarkSpec(arrow="a1-h8"), MarkSpec(square="c3"))]),
        think=st.none() | st.just(5.0),
    ),
    max_size=10,
)
TALK = st.lists(st.sampled_from("the knight goes to e4 / and f3. so / / castles".split()), max_size=60)


@given(CUES, TALK)
def test_descriptions_are_in_order_apart_and_outside_of_speech(cues: list[CueSpec], talk: list[str]):
    words = [w for w in words_of(" ".join(talk)) if w.end_ms < END]
    tracks = build_tracks(SCORE, cues, END)
    found = describe(tracks.board, tracks.marks, words, [w.text for w in words], end_ms=END, timemap=tracks.timemap)
    timemap = tracks.timemap
    for before, after in pairwise(found):
        assert before.end_ms <= after.start_ms
    for one in found:
        assert 0 <= one.start_ms < one.end_ms
        if not one.extended:
            assert one.end_ms - one.start_ms == need_ms(one.text)
            heard = {timemap.recording(ms) for ms in range(one.start_ms, one.end_ms, 50) if timemap.held(ms) is None}
            assert not [w for w in words for ms in heard if w.onset_ms <= ms < w.end_ms]


def test_the_file_names_what_is_extended():
    """WebVTT; an extended cue has to stop the film (WCAG 2.2 SC 1.2.7)."""
    text = write_descriptions([Description(1000, 2000, "White: e4 & <more>."), Description(2000, 3000, "Black.", True)])
    assert text.startswith("WEBVTT - ")
    assert "\n\n1\n00:00:01.000 --> 00:00:02.000\nWhite: e4 &amp; &lt;more&gt;.\n" in text
    assert "\n\n2 extended\n00:00:02.000 --> 00:00:03.000\n<c.extended>Black.</c>\n" in text

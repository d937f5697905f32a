"""Which positions a statement is held against: pronouns, what the follower took for a move, boards in doubt."""

from __future__ import annotations

from dataclasses import replace

import chess
import pytest
from judging import score_of_fen, spoken, still

from timeline.checks.context import CheckContext
from timeline.checks.run import run_checks
from timeline.checks.statements import judge
from timeline.follow.result import Follow, Reading
from timeline.lesson import Lesson
from timeline.score import Score, read_score
from timeline.tracks import BoardSpan, BoardTrack

SPANISH = (
    '[White "Tern"]\n[Black "Roe"]\n[Result "*"]\n\n'
    "1. e4 e5 2. Nf3 Nc6 3. Bb5 a6 4. Ba4 Nf6 5. O-O Be7 6. Re1 b5 7. Bb3 d6 *\n"
)


def verdicts(text: str, ply: int, follow: Follow | None = None) -> list[tuple[str, bool | None]]:
    score = read_score(SPANISH)
    said = judge(score, spoken(text, 30_000), still(score, score.moves[:ply]), follow)[0]
    return [(s.claim.kind, s.verdict) for s in said]


@pytest.mark.parametrize("say", ["Check.", "And check!", "Check again."])
def test_check_alone_in_its_sentence_is_judged(say: str) -> None:
    assert verdicts(say, 5) == [("check", False)]
    score = score_of_fen("4k3/8/8/8/8/8/4R3/4K3 b - - 0 1")
    assert [s.verdict for s in judge(score, spoken(say, 30_000), still(score, ()))[0]] == [True]


def test_a_check_after_a_move_that_the_follower_did_not_take_in_is_not_judged() -> None:
    words = spoken("Bishop takes f7. Check.", 30_000)
    score = read_score(SPANISH)
    shown = still(score, score.moves[:13])
    heard = Follow((), (Reading(4, 4, "square", (), ()),))  # it understood something, but not that move
    track = replace(shown, spans=(replace(shown.spans[0], start_ms=29_000),))
    assert [s.verdict for s in judge(score, words, track, heard)[0] if s.claim.kind == "check"] in ([], [None])


@pytest.mark.parametrize(
    ("say", "ply", "verdict"),
    [
        ("It hits the knight.", 5, True),  # the bishop on b5, which moved last
        ("It hits the queen.", 5, False),
        ("And it attacks the knight on c6.", 5, True),
        ("Bishop b5, hitting the knight.", 5, True),
        ("Bishop b5, hitting the queen.", 5, False),
        ("The pawn on e5 was pushed. Now it hits the rook.", 5, False),
        ("Look at the knight on f3. It hits the pawn on e5.", 5, True),  # not the bishop, but the piece named before
        ("It defends the pawn on e5.", 4, True),
        ("It defends the pawn on d7.", 5, False),
    ],
)
def test_it_is_the_piece_that_moved_last_or_one_named_before(say: str, ply: int, verdict: bool) -> None:
    found = [v for kind, v in verdicts(say, ply) if kind in ("attacks", "defends")]
    assert found == [verdict]


@pytest.mark.parametrize("say", ["What about queen h5? It hits the king.", "You could go queen e2. It hits the king."])
def test_what_was_only_thought_of_is_not_it(say: str) -> None:
    assert not [v for kind, v in verdicts(say, 5) if kind == "attacks" and v is False]


def test_a_piece_named_with_its_square_is_no_move_to_it() -> None:
    """The follower reads "knight on e7" as a move that Black has; none stands there, nor did in the moves around."""
    score = read_score(SPANISH)
    path = tuple(m.uci() for m in score.moves[:5])
    reading = Reading(1, 3, "move", (), path, "g8e7", "Nge7")
    assert verdicts("The knight on e7 attacks the pawn on d5.", 5, Follow((), (reading,)))[-1] == ("standing", False)


def test_castling_as_a_fact_is_no_move() -> None:
    """ "White has not castled": the follower takes it for 5. O-O, before which it would be true."""
    score = read_score(SPANISH)
    path = tuple(m.uci() for m in score.moves[:8])
    reading = Reading(3, 3, "move", (), path, "e1g1", "O-O")
    assert verdicts("White has not castled.", 9, Follow((), (reading,))) == [("uncastled", False)]


def _track(score: Score, *shown: tuple[int, str, float | None]) -> BoardTrack:
    """(from ms, address, sureness) one after the other."""
    spans = []
    for (start, address, sure), end in zip(shown, [*(s for s, _, _ in shown[1:]), 200_000], strict=True):
        path = score.resolve(address)
        origin = "sideline" if " " in address else "score"
        uci = tuple(m.uci() for m in path)
        board = score.board_at(path)
        spans.append(
            BoardSpan(start, end, board.fen(), uci, score.mainline_length(path), address, origin, sure)  # type: ignore[arg-type]
        )
    return BoardTrack(score.start.fen(), tuple(m.uci() for m in score.moves), tuple(spans))


def wrong(track: BoardTrack, text: str, at_ms: int) -> list[str]:
    score = read_score(SPANISH)
    return [s.claim.kind for s in judge(score, spoken(text, at_ms), track)[0] if s.verdict is False]


PIN = "The knight on c6 is pinned to the king."


def test_a_followed_board_that_stands_long_and_unsure_accuses_nobody() -> None:
    score = read_score(SPANISH)
    assert wrong(_track(score, (0, "3w", 0.9)), PIN, 5000) == ["pinned_to"]
    assert wrong(_track(score, (0, "3w", 0.9)), PIN, 30_000) == []
    assert wrong(_track(score, (0, "3w", 0.95)), PIN, 30_000) == ["pinned_to"]
    assert wrong(_track(score, (0, "3w", None)), PIN, 30_000) == ["pinned_to"]  # a person's
    assert wrong(_track(score, (0, "3w", 0.9)), "White has an isolated c pawn.", 30_000) == ["isolated"]


def test_a_followed_sideline_in_doubt_accuses_nobody() -> None:
    score = read_score(SPANISH)
    for sure, found in ((0.8, []), (0.95, ["pinned_to"]), (None, ["pinned_to"])):
        assert wrong(_track(score, (0, "2b Bb5 Nge7", sure)), PIN, 5000) == found


def test_a_board_before_a_change_that_is_all_but_disbelieved_accuses_nobody() -> None:
    score = read_score(SPANISH)
    assert wrong(_track(score, (0, "3w", 0.95), (60_000, "7b", 0.2)), PIN, 30_000) == []
    assert wrong(_track(score, (0, "3w", 0.95), (60_000, "3b", 0.9)), PIN, 30_000) == ["pinned_to"]


def test_a_position_shown_twice_is_as_sure_as_the_time_it_is_spoken_of() -> None:
    score = read_score(SPANISH)
    track = _track(score, (0, "3w", 0.97), (5000, "3b", 0.97), (40_000, "3w", 0.3))
    assert wrong(track, f"So here we are. {PIN}", 45_000) == []
    lesson = Lesson(title="x", score="g.pgn", transcript="t.txt")
    words = spoken(f"So here we are. {PIN}", 1000)
    assert [f.sure for f in run_checks(CheckContext(lesson, score, track, words), families=["said"])] == [0.97]


@pytest.mark.parametrize(
    "say",
    [
        "Now I put the rook on d1, one file too late.",
        "He wants to bring the bishop on e6.",
        "Any time the knight moves off with check, we win her.",
        "White's plan is g4, g5, open the g file, and mate.",
    ],
)
def test_moves_and_plans_are_no_facts(say: str) -> None:
    assert not [v for _, v in verdicts(say, 5) if v is False]


def test_a_bare_mate_may_be_the_move_it_names() -> None:
    """ "Takes, block, mate": it is White's move, and one mates."""
    score = score_of_fen("6k1/5ppp/8/8/8/8/8/R5K1 w - - 0 1")
    words = spoken("Take, block, mate.", 30_000)
    assert not [s for s in judge(score, words, still(score, ()))[0] if s.verdict is False]
    none = score_of_fen(chess.STARTING_FEN)
    assert [s.verdict for s in judge(none, words, still(none, ()))[0]] == [False]


@pytest.mark.parametrize(
    ("say", "verdict"),
    [("Rook to h1 is mate.", False), ("Rook to a8 is mate.", True), ("Rook to b1 is check.", False)],
)
def test_a_move_and_what_it_does(say: str, verdict: bool) -> None:
    score = score_of_fen("3k4/8/3K4/8/8/8/8/R7 w - - 0 1")
    assert [s.verdict for s in judge(score, spoken(say, 30_000), still(score, ()))[0]] == [verdict]


def test_what_a_named_move_makes_true_is_not_called_wrong() -> None:
    """After 4. Bxc6 dxc6 the c pawns are doubled, in a position that is neither shown nor in the score."""
    assert not [v for _, v in verdicts("Bishop takes c6, d takes c6, and Black has doubled c pawns.", 6) if v is False]
    assert [v for _, v in verdicts("Bishop takes c6, d takes c6, and White has doubled c pawns.", 6) if v is False]
    assert [v for _, v in verdicts("And Black has doubled c pawns.", 6) if v is False]


@pytest.mark.parametrize(
    ("say", "kinds"),
    [
        ("White has the rook on e1, and he is a rook up.", ["material"]),
        ("Black answers, he has castled.", ["castled"]),
    ],
)
def test_he_is_the_only_side_named_at_the_head(say: str, kinds: list[str]) -> None:
    assert [k for k, v in verdicts(say, 9) if v is False and k != "standing"] == kinds


@pytest.mark.parametrize(
    ("say", "judged"),
    [
        ("Queen eats the pawn with check.", False),  # no queen has moved: a move is told that is not shown
        ("And the rook grabs the knight with check.", False),
        ("The bishop gives check.", True),  # the bishop on b5 it is
        ("It comes with check.", True),
    ],
)
def test_a_check_by_a_piece_that_has_not_moved_is_not_judged(say: str, judged: bool) -> None:
    heard = Follow((), (Reading(90, 90, "square", (), ()),))
    assert [v is False for kind, v in verdicts(say, 5, heard) if kind == "check"] == [judged]

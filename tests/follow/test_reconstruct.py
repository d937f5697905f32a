"""A game from speech alone: plain talk comes out whole, doubts are asked, a person's word is heeded."""

from __future__ import annotations

import subprocess
from pathlib import Path

import chess
import pytest
from followtalk import talk, texts, words
from hypothesis import given, settings
from typer.testing import CliRunner

from timeline.cli import app
from timeline.follow.lattice import Lattice
from timeline.follow.lexer import tokens
from timeline.follow.mainline import reconstruct
from timeline.follow.reconstructed import Reconstruction, ToldMoves
from timeline.follow.reconstructedscore import ANNOTATOR, score_of, write_pgn
from timeline.follow.setup import find_setup
from timeline.score import load_score, read_score
from timeline.store import load_lesson
from timeline.timecode import format_ms

RUY = "e4 e5 knight f3 knight c6 bishop b5 a6 bishop takes c6 d takes c6 castles, f6, d4, takes, takes, c5."


def moves(found: Reconstruction) -> str:
    return " ".join(ply.san for ply in found.plies)


def legal(found: Reconstruction) -> None:
    board = chess.Board(found.start_fen)
    for ply in found.plies:
        assert board.parse_san(ply.san) == chess.Move.from_uci(ply.uci)
        assert 0.0 <= ply.sure <= 1.0
        board.push_uci(ply.uci)


def test_moves_told_one_after_the_other() -> None:
    found = reconstruct(words(RUY))
    assert moves(found).startswith("e4 e5 Nf3 Nc6 Bb5 a6 Bxc6 dxc6 O-O f6 d4 exd4")
    assert found.plies[0].at_ms == 0
    assert (found.plies[2].first, found.plies[2].last) == (2, 3)


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("E four, e five, night f three, night see six, bishop see four.", "e4 e5 Nf3 Nc6 Bc4"),
        ("Pawn to e4, pawn to e5, the horse comes out to f3, and knight c6.", "e4 e5 Nf3 Nc6"),
        ("E4, d5, takes, takes, knight c3, queen a5, d4.", "e4 d5 exd5 Qxd5 Nc3 Qa5 d4"),
        ("D4, d5, c4, e6, knight c3, knight f6, bishop g5, bishop e7, e3, Black castles, knight f3, knight b d7.",
         "d4 d5 c4 e6 Nc3 Nf6 Bg5 Be7 e3 O-O Nf3 Nbd7"),
        ("1. e4 c5 2. Nf3 d6 3. d4 cxd4 4. Nxd4 Nf6 5. Nc3 a6", "e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 a6"),
        ("We saw 1.e4, and 1...e5 2.Nf3 Nc6 (3.Bc4) Bc5 4.O-O Nf6.", "e4 e5 Nf3 Nc6 Bc4 Bc5 O-O Nf6"),
    ],
)  # fmt: skip
def test_ellipses_and_mishearings(text: str, line: str) -> None:
    assert moves(reconstruct(words(text))) == line


OPEN = "E4, e5, knight f3, knight c6, bishop c4, bishop c5, d3, knight f6."


@pytest.mark.parametrize(
    ("text", "castlings"),
    [
        ("Both sides castle, h3, a6.", "O-O O-O"),
        ("Both players castled. Then h3 and a6.", "O-O O-O"),
        ("Both kings go to the kingside, h3, a6.", "O-O O-O"),
        ("If both castle now, h3 and a6 follow. But in the game he played h3, a6.", ""),
    ],
)
def test_castling_of_both_is_two_moves(text: str, castlings: str) -> None:
    found = reconstruct(words(f"{OPEN} {text}"))
    line = " ".join(("e4 e5 Nf3 Nc6 Bc4 Bc5 d3 Nf6", castlings, "h3 a6"))
    assert moves(found).split() == line.split()
    assert not any(ply.guessed for ply in found.plies)


def test_castling_of_both_asks_to_which_side() -> None:
    said = "D4, d5, knight c3, knight c6, bishop f4, bishop f5, queen d2, queen d7, e3, e6, bishop e2, bishop e7, knight f3, knight f6."
    found = reconstruct(words(f"{said} Both players castled. And here we stop."))
    assert [ply.san[:3] for ply in found.plies[-2:]] == ["O-O", "O-O"]
    assert all(ply.asked and ply.alternatives for ply in found.plies[-2:])


def test_sidelines_do_not_enter_the_game() -> None:
    found = reconstruct(
        words(
            "E4, e5, knight f3, knight c6, bishop c4. Now if Black plays knight f6, White goes knight g5 and hits f7. "
            "But in the game he played bishop c5, c3, knight f6, d4."
        )
    )
    assert moves(found) == "e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6 d4"


def test_a_move_that_was_not_heard_is_guessed_and_said_to_be_guessed() -> None:
    """Without White's first move nothing after it would be legal; later words say that it was the d-pawn's."""
    found = reconstruct(words("Something, d5, c4, e6, knight c3, knight f6, bishop g5, bishop e7."))
    assert moves(found).startswith("d4 d5 c4 e6 Nc3 Nf6 Bg5")
    assert found.plies[0].guessed
    assert not any(ply.guessed for ply in found.plies[1:])


NAJDORF = "e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 a6"


@pytest.mark.parametrize(
    ("text", "guessed", "line"),
    [
        ("It was a Najdorf, then bishop g five, e six, f four, and bishop e seven.", NAJDORF, "Bg5 e6 f4 Be7"),
        ("Ruy Lopez, a six, bishop a four, knight f six, castles.", "e4 e5 Nf3 Nc6 Bb5", "a6 Ba4 Nf6 O-O"),
        ("It was a queen's gambit accepted. Knight f3 knight f6, e3 e6, bishop takes c4 and c5.", "d4 d5 c4 dxc4",
         "Nf3 Nf6 e3 e6 Bxc4 c5"),
        ("A quiet Italian from our club. Bishop c5, c3, knight f6, d4.", "e4 e5 Nf3 Nc6 Bc4", "Bc5 c3 Nf6 d4"),
        ("A Grünfeld. White takes on d5, the knight takes, e4, knight takes c3, b takes c3, bishop g7.",
         "d4 Nf6 c4 g6 Nc3 d5", "cxd5 Nxd5 e4 Nxc3 bxc3 Bg7"),
    ],
)  # fmt: skip
def test_moves_of_an_opening_that_is_only_named(text: str, guessed: str, line: str) -> None:
    found = reconstruct(words(text))
    assert moves(found) == f"{guessed} {line}"
    assert " ".join(p.san for p in found.plies if p.guessed) == guessed
    assert all(p.named == found.plies[0].named for p in found.plies if p.guessed)
    assert found.plies[0].named[0].isupper()
    assert f"the opening's name, {found.plies[0].named}" in " ".join(write_pgn(score_of(found)).split())


def test_the_rest_of_an_opening_of_which_some_moves_are_told() -> None:
    found = reconstruct(words("The Najdorf! e4, c5, knight f3, d6 and so on until a6. Now bishop g5, e6."))
    assert moves(found) == f"{NAJDORF} Bg5 e6"
    assert [p.guessed for p in found.plies] == [False] * 4 + [True] * 6 + [False] * 2


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("The French defence. e4, e6, d4, d5, knight c3, knight f6.", "e4 e6 d4 d5 Nc3 Nf6"),
        ("I am tired of the Sicilian and the French, so d4, d5, c4, e6, knight c3, knight f6.", "d4 d5 c4 e6 Nc3 Nf6"),
        ("Not a Sicilian, though it looks like one: c4, e5, knight c3, knight f6, g3 d5.", "c4 e5 Nc3 Nf6 g3 d5"),
        ("We talk about the London today. d4 d5 knight f3 knight f6 bishop f4 c5.", "d4 d5 Nf3 Nf6 Bf4 c5"),
    ],
)
def test_an_opening_whose_moves_are_told_changes_nothing(text: str, line: str) -> None:
    found = reconstruct(words(text))
    assert moves(found) == line
    assert not any(ply.guessed for ply in found.plies)


def test_an_opening_guessed_from_its_name_is_one_doubt(tmp_path: Path) -> None:
    transcript, folder = tmp_path / "talk.txt", tmp_path / "lesson"
    transcript.write_text("[0:00] It was a Najdorf. Then bishop g five, e six, f four, and bishop e seven.\n[0:20] That is all.\n")
    run("new", str(folder), "--transcript", str(transcript))
    told = run("follow", str(folder))
    line = next(part for part in told.split("warning") if "Najdorf" in part or "najdorf" in part)
    assert "1. e4 c5 2. Nf3 d6 3. d4 cxd4 4. Nxd4 Nf6 5. Nc3 a6 were not told" in line
    assert '"1.e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6 Nc3 a6 Bg5", with the moves put right' in " ".join(line.split())
    assert told.count("not told") == 1


TWO = [
    ("Game one. e4 e5, knight f3 knight c6, bishop b5 a6, and Black resigned much later. The rematch went c4 e5, knight c3 "
     "knight f6.", 0, "e4 e5 Nf3 Nc6 Bb5 a6", "1. c4 e5 2. Nc3 Nf6"),
    ("First a short one: d4 d5, c4 c6 and soon a draw. In the afternoon, e4 c5, knight f3 d6, d4, c takes d4, knight takes d4, knight "
     "f6, and White won.", 1, "e4 c5 Nf3 d6 d4 cxd4 Nxd4 Nf6", "1. d4 d5 2. c4 c6"),
    ("Last night I won like this: e4 e5, knight f3 knight c6, bishop b5 a6, bishop a4. The next day I had black. My opponent opened "
     "with d4, I said d5, c4 e6, knight c3 knight f6.", 0, "e4 e5 Nf3 Nc6 Bb5 a6 Ba4", "1. d4 d5 2. c4 e6 3. Nc3 Nf6"),
]  # fmt: skip
ONE = [
    "e4 c5 knight f3. Next move d6. d4, takes.",
    "e4 e5 knight f3 knight c6 bishop c4. In another game White could have played d4 d5 c4 e6, but not today.",
    "e4 e5 knight f3 knight c6 bishop c4 bishop c5. Back to the starting position once more: e4 e5 knight f3 knight c6.",
    "e4 c6 d4 d5 knight c3 takes. After e4 e5 knight f3 knight c6 bishop b5 a6 you would have the Spanish.",
    # the first moves misheard, a "d four" later on may be where a game begins
    "um the night off e for see five night f three d six d four c takes d four night takes d four night f six night c three a six "
    "bishop gee five e six f four bishop e seven queen f three queen see seven castles long",
]


@pytest.mark.parametrize(("text", "taken", "line", "other"), TWO)
def test_a_second_game_is_told_and_not_joined_to_the_first(text: str, taken: int, line: str, other: str) -> None:
    said = words(text)
    found = reconstruct(said)
    assert moves(found) == line
    assert (len(found.games), found.taken) == (2, taken)
    assert found.games[1 - taken].moves == other
    at = found.games[1 - taken].at_ms
    first = other.split()[1]
    swapped = reconstruct(said, told=[ToldMoves(at, (first,))])
    assert swapped.taken == 1 - taken, "a person's word says which game is meant"
    assert moves(swapped).split()[0] == first
    if taken == 0:
        assert not reconstruct(said, told=[ToldMoves(at, ())]).games, "or that no game begins there"


@pytest.mark.parametrize("text", ONE)
def test_one_game_is_not_taken_for_two(text: str) -> None:
    assert not reconstruct(words(text)).games


def test_a_second_game_is_a_finding(tmp_path: Path) -> None:
    transcript, folder = tmp_path / "talk.txt", tmp_path / "lesson"
    transcript.write_text(
        "[0:00] e4 e5, knight f3 knight c6, bishop b5 a6, and White won.\n[0:10] The second game: d4 d5, c4 e6, knight c3.\n[0:20] Bye.\n"
    )
    run("new", str(folder), "--transcript", str(transcript))
    told = run("follow", str(folder))
    assert "another-game" in told
    assert "another game seems to begin at 0:1" in told
    at = told.split("for the other here: plyline edit DIR played ")[1].split()[0]
    run("edit", str(folder), "played", at, "1.d4")
    run("follow", str(folder))
    assert "1. d4 d5 2. c4 e6 3. Nc3" in " ".join((folder / "out" / "reconstructed.pgn").read_text().split())


@pytest.mark.parametrize(
    ("text", "left"),
    [
        ("e4 e5 knight f3 knight c6 bishop c4. And here rook takes a8, queen h4 check, king d7.",
         "rook takes a8, queen h4 check, king d7"),
        ("e4 e5 knight f3 knight c6 bishop c4. If Black plays knight f6 now, White can go knight g5, d5, takes. Thank you.", None),
        ("d4 d5 c4 e6 knight c3 knight f6 bishop g5 bishop e7 e3 castles knight f3. White could also have taken: bishop takes f6, "
         "bishop takes f6, rook c1. b6 by Black, c takes d5, knight takes d5.", "b6, c takes d5, knight takes d5"),
        ("e4 e5 knight f3 knight c6 bishop c4. If he plays knight f6, knight g5. Then d5, e takes d5, knight a5. Thank you.", None),
        ("e4 e5 knight f3 knight c6 bishop c4 bishop c5. The bishop on c5 looks at f2, the knight on f3 guards e5.", None),
        ("e4 e5 knight f3 knight c6 bishop c4 bishop c5. So again: knight f3, knight c6, bishop c4, bishop c5.", None),
    ],
)  # fmt: skip
def test_clear_moves_after_the_last_one_are_told(text: str, left: str | None) -> None:
    found = reconstruct(words(text))
    assert (found.left.words if found.left else None) == left


def test_moves_left_over_are_a_finding(tmp_path: Path) -> None:
    transcript, folder = tmp_path / "talk.txt", tmp_path / "lesson"
    transcript.write_text("[0:00] e4 e5 knight f3 knight c6 bishop c4. Queen takes h8, rook takes a1, knight takes e1.\n[0:10] Bye.\n")
    run("new", str(folder), "--transcript", str(transcript))
    told = " ".join(run("follow", str(folder)).split())
    at = told.split("if not: plyline edit DIR played ")[1].split()[0]
    run("edit", str(folder), "played", at, "none")
    assert "moves-left-over" not in run("follow", str(folder))
    assert "the game ends with Bc4, and the talk goes on with moves that are not in it: queen takes h8, rook takes a1, knight takes e1" in told


def test_doubts_name_the_second_reading() -> None:
    """Knight and queen can both take back on d4, and nothing that follows tells which."""
    found = reconstruct(words(RUY))
    ply = next(p for p in found.plies if p.san in ("Nxd4", "Qxd4"))
    assert ply.asked
    assert {ply.san, ply.rival} == {"Nxd4", "Qxd4"}
    assert f"or {ply.rival}" in write_pgn(score_of(found))


@pytest.mark.parametrize(
    ("text", "line"),
    [
        # two pawns can take; only one way lets the last knight take a pawn
        ("E4, e5, f4, d5. Pawn takes pawn, pawn takes pawn. Knight c3, knight c6, and the knight takes the pawn.",
         "e4 e5 f4 d5 fxe5 dxe4 Nc3 Nc6 Nxe4"),
        # ... or a pawn take in passing later
        ("E4, e5, d4, f5. Pawn takes pawn, pawn takes pawn. Knight c3, d5, White takes en passant, and the pawn takes back.",
         "e4 e5 d4 f5 dxe5 fxe4 Nc3 d5 exd6 cxd6"),
        ("E4, c5, e5, d5. The pawn takes it in passing. The queen takes back.", "e4 c5 e5 d5 exd6 Qxd6"),
        # what is told by its kind and then named is one move
        ("e4 e5 knight f3 f5. he grabs the pawn knight takes e five and queen f six", "e4 e5 Nf3 f5 Nxe5 Qf6"),
        ("e4 e5 knight f3 knight c6 bishop b5 a6. He takes the knight, bishop takes c6, and Black takes back, d takes c6.",
         "e4 e5 Nf3 Nc6 Bb5 a6 Bxc6 dxc6"),
    ],
)  # fmt: skip
def test_captures_told_by_their_kind(text: str, line: str) -> None:
    assert moves(reconstruct(words(text))) == line


@pytest.mark.parametrize(
    ("text", "captures"),
    [
        ("E4, e5, knight c3, knight f6, f4, d5. A pawn takes a pawn, and the knight takes a pawn.", {"exd5", "fxe5"}),
        ("White opened d4, d5, c4, e5. Pawn takes pawn. Knight c6, knight f3.", {"cxd5", "dxe5"}),
    ],
)
def test_a_capture_that_several_moves_fit_is_asked_about_with_each_of_them(text: str, captures: set[str]) -> None:
    found = reconstruct(words(text))
    ply = next(p for p in found.plies if p.san in captures)
    assert ply.asked
    assert captures <= {ply.san, *ply.alternatives}
    for san in ply.alternatives:
        assert f", or {san}" in " ".join(write_pgn(score_of(found)).split())


@pytest.mark.parametrize(
    ("text", "line", "asked"),
    [
        ("e4 e5 knight c3 knight f6 f4 d5. White took with the f pawn on e5, and Black took on e4. Knight f3. Now bishop c5 was played, "
         "d4, bishop b4, bishop d2, c5, bishop d3. Black took the knight on c3, White took back with the pawn. Bishop a5, castles.",
         "e4 e5 Nc3 Nf6 f4 d5 fxe5 Nxe4 Nf3 Bc5 d4 Bb4 Bd2 c5 Bd3 Nxc3 bxc3 Ba5 O-O", "Nxe4 dxe4"),
        ("d4 d5 c4 e6 knight c3 knight f6, c takes d5. Black takes on d5. Bishop g5, bishop e7.",
         "d4 d5 c4 e6 Nc3 Nf6 cxd5 exd5 Bg5 Be7", "exd5 Nxd5"),
        ("d4 d5 c4 e6 knight c3 knight f6, c takes d5. Black takes on d5. e4, knight takes c3, b takes c3.",
         "d4 d5 c4 e6 Nc3 Nf6 cxd5 Nxd5 e4 Nxc3 bxc3", ""),
        ("e4 d5. White takes on d5. Queen takes on d5, knight c3.", "e4 d5 exd5 Qxd5 Nc3", ""),
    ],
)  # fmt: skip
def test_who_takes_on_a_named_square_is_open(text: str, line: str, asked: str) -> None:
    """A pawn is only the likelier: what follows decides, else a person."""
    found = reconstruct(words(text))
    assert moves(found) == line
    doubts = [p for p in found.plies if p.asked and "x" in p.san]
    assert [{p.san, *p.alternatives} >= set(asked.split()) for p in doubts][:1] == ([True] if asked else [])


@pytest.mark.parametrize("words_said", ["Black takes back.", "Black took it right back.", "He captured back, of course."])
def test_taking_back_is_a_capture_and_no_way_back(words_said: str) -> None:
    found = reconstruct(words(f"e4 e5 knight f3 knight c6 bishop b5 a6 bishop takes c6. {words_said} Castles, f6."))
    assert moves(found) in ("e4 e5 Nf3 Nc6 Bb5 a6 Bxc6 dxc6 O-O f6", "e4 e5 Nf3 Nc6 Bb5 a6 Bxc6 bxc6 O-O f6")
    assert found.plies[7].asked
    assert {found.plies[7].san, *found.plies[7].alternatives} == {"dxc6", "bxc6"}


@pytest.mark.parametrize(
    "words_said",
    ["f3 takes the e4 square away", "f3 takes e4 away from the knight", "f3, taking the square e4 under control", "f3 takes that e4 square"],
)
def test_a_square_taken_away_is_no_capture(words_said: str) -> None:
    found = reconstruct(words(f"d4 knight f6 c4 e6 knight c3 bishop b4 e3 b6 bishop d3 bishop b7 {words_said}. Castles, knight e2, d5."))
    assert moves(found) == "d4 Nf6 c4 e6 Nc3 Bb4 e3 b6 Bd3 Bb7 f3 O-O Ne2 d5"


@pytest.mark.parametrize(
    "text",
    [
        "If memory serves it went e4 e5, knight f3 knight c6, bishop c4 bishop c5. Then c3.",
        "If I remember right, the game went e4 e5, knight f3 knight c6, bishop c4 bishop c5. Then c3.",
        "It went e4 e5, knight f3 knight c6, and then, if I'm not mistaken, bishop c4 bishop c5. Then c3.",
        "An Italian, if you like: e4 e5, knight f3 knight c6, bishop c4 bishop c5. Then c3.",
    ],
)
def test_a_set_phrase_with_if_makes_no_sideline(text: str) -> None:
    assert moves(reconstruct(words(text))) == "e4 e5 Nf3 Nc6 Bc4 Bc5 c3"


def test_a_capture_that_words_settle_is_not_asked_about() -> None:
    found = reconstruct(words("D4, d5, c4, c6. Pawn takes pawn, pawn takes pawn. Knight c3, knight c6."))
    assert moves(found) == "d4 d5 c4 c6 cxd5 cxd5 Nc3 Nc6"
    assert not any(ply.asked for ply in found.plies[4:])


@pytest.mark.parametrize(
    ("text", "line"),
    [
        ("e four d five, e five f five, white takes en passant, the e pawn recaptures, d four.", "e4 d5 e5 f5 exf6 exf6 d4"),
        ("Each child knows it. white plays e four black e five knight f three and black defends with d six bishop c four bishop g "
         "four it looks natural knight c three and black plays g six and now comes the bomb knight takes e five black is greedy "
         "he takes the queen bishop takes d one and bishop takes f seven check king e seven and knight d five is checkmate three "
         "minor pieces against an army", "e4 e5 Nf3 d6 Bc4 Bg4 Nc3 g6 Nxe5 Bxd1 Bxf7+ Ke7 Nd5#"),
        ("e4 e5 knight f3 knight c6 bishop c4. The bishop comes out to c5 before I play knight f6. d3, knight f6.",
         "e4 e5 Nf3 Nc6 Bc4 Bc5 d3 Nf6"),
        ("e4 e5 knight f3 knight c6 bishop c4 bishop c5 c3 knight f6 d3 castles. Had White castled at once, then d6, rook e1 and h3 "
         "would follow.", "e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6 d3 O-O"),
        ("e4 e5 knight f3 knight c6 bishop c4 bishop c5 c3 knight f6 d3 castles. Were White to castle, Black would play d6, and after "
         "rook e1, bishop b6.", "e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6 d3 O-O"),
        ("e4 e5 knight f3 knight c6 bishop c4 bishop c5 c3 knight f6 d3 castles. Had I known that, but in the game White castled, d6, "
         "rook e1.", "e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6 d3 O-O O-O d6 Re1"),
        ("knight f3 d5 g3 c6 bishop g2 bishop f5 castles e6 d3 h6 b3 knight f6. Now e4, and the bishop drops back to h7. He could also "
         "take: d takes e4, d takes e4, knight takes e4, but then knight d4, bishop g6, bishop takes e4 wins a piece. Queen to e2, a5, "
         "a4 to stop the march.", "Nf3 d5 g3 c6 Bg2 Bf5 O-O e6 d3 h6 b3 Nf6 e4 Bh7 Qe2 a5 a4"),
        ("e4 e5 knight f3 knight c6 bishop c4 knight d4. This move loses a pawn after knight takes e5, queen g5, knight takes f7.",
         "e4 e5 Nf3 Nc6 Bc4 Nd4"),
        ("e4 e5 knight f3 knight c6 bishop c4 knight d4. White was greedy, and after knight takes e5 came queen g5.",
         "e4 e5 Nf3 Nc6 Bc4 Nd4 Nxe5 Qg5"),
        ("e4 e5 knight f3 knight c6 bishop c4 knight d4. You can also see why, knight takes e5, queen g5.",
         "e4 e5 Nf3 Nc6 Bc4 Nd4 Nxe5 Qg5"),
        ("e4 e5 knight f3 knight c6 bishop c4 bishop c5. Had White castled, knight f6, d3 is a quiet game. He chose c3, knight f6, d4.",
         "e4 e5 Nf3 Nc6 Bc4 Bc5 c3 Nf6 d4"),
        ("Suppose white plays e4. Then black could answer c5, knight f3 d6.", ""),
        ("e4 e5 knight f3 knight c6 bishop c4. Black could play bishop c5 or knight f6 here. After bishop c5 c3 is the main "
         "move, and after knight f6, d3.", "e4 e5 Nf3 Nc6 Bc4"),
    ],
)  # fmt: skip
def test_only_words_make_a_sideline_at_the_end(text: str, line: str) -> None:
    assert moves(reconstruct(words(text))) == line


def test_a_person_settles_what_was_played() -> None:
    said = words(RUY)
    doubt = next(p for p in reconstruct(said).plies if p.san in ("Nxd4", "Qxd4"))
    for san in ("Nxd4", "Qxd4"):
        found = reconstruct(said, told=[ToldMoves(doubt.at_ms, (san,))])
        ply = next(p for p in found.plies if p.at_ms == doubt.at_ms)
        assert (ply.san, ply.settled, ply.sure) == (san, True, 1.0)


def test_several_moves_can_be_settled_at_once_and_none_as_well() -> None:
    said = words("He opens in the usual way. Knight c3, knight f6. And e5 is loose.")
    found = reconstruct(said, told=[ToldMoves(0, ("e4", "e5")), ToldMoves(said[-3].onset_ms, ())])
    assert moves(found) == "e4 e5 Nc3 Nf6"


BOTH = (
    "Knight f3, knight f6, c4, g6, knight c3, bishop g7, e4, castles, d4, d6. Bishop g5, bishop g4. "
    "The answer begins with bishop takes f6 bishop takes f6 and bishop e2."
)
"""White's bishop takes on f6, Black's takes back: the same words twice."""


def settled_at(word: int, *sans: str) -> tuple[str, str | None, Reconstruction]:
    """BOTH with moves settled at the time of a word: the game from move 7 on, the number of the move settled there."""
    said = words(BOTH)
    found = reconstruct(said, told=[ToldMoves(said[word].onset_ms, sans)])
    board = chess.Board()
    whose = None
    for ply in found.plies:
        whose = f"{board.fullmove_number}{'w' if board.turn else 'b'}" if ply.settled and whose is None else whose
        board.push_uci(ply.uci)
    return " ".join(ply.san for ply in found.plies[12:]), whose, found


def test_a_number_says_whose_move_was_settled() -> None:
    """Either could be meant by the second "bishop takes f6"; another number fits no game."""
    first, second = 22, 25
    assert settled_at(second, "7...Bxf6")[:2] == ("Bxf6 Bxf6 Be2", "7b")
    assert settled_at(second, "...Bxf6")[:2] == ("Bxf6 Bxf6 Be2", "7b")
    assert settled_at(second, "7.Bxf6")[1] == "7w"
    assert settled_at(first, "7.Bxf6", "7...Bxf6")[:2] == ("Bxf6 Bxf6 Be2", "7w")
    for other in ("8.Bxf6", "9...Bxf6"):
        line, whose, found = settled_at(second, other)
        assert (line, whose, len(found.unheeded)) == ("Bxf6 Bxf6 Be2", None, 1)


def test_a_settled_move_uses_up_the_words_that_tell_it() -> None:
    """The time may be that of the phrase before ("The answer …") or of a word inside; the next words tell the next move."""
    times = [w.onset_ms for w in words(BOTH)]
    for at in (18, 20, 22, 23):
        line, whose, found = settled_at(at, "Bxf6")
        assert (line, whose, found.unheeded) == ("Bxf6 Bxf6 Be2", "7w", ()), at
        assert found.plies[13].at_ms == times[25]
    line, whose, found = settled_at(22, "Bxf6", "Bxf6")
    assert (line, whose) == ("Bxf6 Bxf6 Be2", "7w")
    assert found.plies[14].at_ms == times[29]


def test_a_settled_move_that_cannot_be_played_is_told() -> None:
    found = reconstruct(words("E4, e5, knight f3."), told=[ToldMoves(700, ("Kd4",))])
    ((number, line, there),) = found.unheeded
    assert (number, line) == (0, "1. e4 e5")
    assert "Nf3" in there.split()


def test_a_position_given() -> None:
    start = chess.Board("4k3/P7/8/8/8/8/3p4/3K4 b - - 0 1")
    found = reconstruct(words("King d7, a8 queen. And king e6."), start=start)
    assert moves(found) == "Kd7 a8=Q Ke6"
    assert read_score(write_pgn(score_of(found))).start.fen() == start.fen()


SETUPS = [
    ("White king on e1, rook on h1. Black king on e8, pawn on a7. White to move.", "4k3/p7/8/8/8/8/8/4K2R w K - 0 1"),
    ("We have White's king on g1, pawns on f2, g2 and h2, and Black's king on g8, rook on d8, Black to play.",
     "3r2k1/8/8/8/8/8/5PPP/6K1 b - - 0 1"),
    ("White has his king on e4 and two prawns, one on b2, the other on g2. Black: king e6, porns on b4 and g7. "
     "The move is with Black.", "8/6p1/4k3/8/1p2K3/8/1P4P1/8 b - - 0 1"),
    ("White: king e4, pawn e five. Black: king e7.", "8/4k3/8/4P3/4K3/8/8/8 w - - 0 1"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "fen"), SETUPS)
def test_a_set_up_read_aloud(text: str, fen: str) -> None:
    found = find_setup(Lattice(tokens(words(text))))
    assert found is not None
    assert found.board.fen() == fen


@pytest.mark.parametrize(
    ("turn", "side"),
    [
        ("Black is to play.", "b"),
        ("Black begins.", "b"),
        ("And it's Black who moves.", "b"),
        ("Black is on the move here.", "b"),
        ("It is up to Black to move.", "b"),
        ("Black goes first.", "b"),
        ("Black has the first move.", "b"),
        ("The side to move is Black.", "b"),
        ("To move: Black.", "b"),
        ("It is not White's move, Black is to move.", "b"),
        ("Black plays rook a1 check.", "b"),
        ("Black has to start.", "b"),
        ("White starts.", "w"),
        ("It is White to play and win, says Black.", "w"),
        ("The side to move is White.", "w"),
        ("White is to move, though Black plays well.", "w"),
        ("Black has the worse pawns.", "w"),
        ("Black is to suffer.", "w"),
    ],
)
def test_whose_move_it_is_in_a_set_up(turn: str, side: str) -> None:
    """And what is played from it is no part of the set-up."""
    text = f"White: king g1, rook c2, pawns f2 and g2. Black: king g8, rooks a8 and f8, pawn h7. {turn} Rook a1 check."
    found = find_setup(Lattice(tokens(words(text))))
    assert found is not None
    assert found.board.fen() == f"r4rk1/7p/8/8/8/8/2R2PP1/6K1 {side} - - 0 1"


def test_who_is_in_check_is_to_move_where_no_words_say_it() -> None:
    found = find_setup(Lattice(tokens(words("White king on g1, rook e1. Black king e8."))))
    assert found is not None
    assert found.board.turn == chess.BLACK


def test_moves_after_a_set_up_read_aloud() -> None:
    found = reconstruct(words(SETUPS[0][0] + " White castles, a5, rook e1 check, king d7."))
    assert found.setup is not None
    assert moves(found) == "O-O a5 Re1+ Kd7"


@pytest.mark.parametrize("text", ["King on e1 is safe, the black king on e8 too.", "e4 e5 knight f3", ""])
def test_talk_about_kings_is_no_set_up(text: str) -> None:
    assert find_setup(Lattice(tokens(words(text)))) is None


@given(texts)
@settings(max_examples=15, deadline=None)
def test_any_words_give_a_legal_game_and_the_same_one_again(parts: list[str]) -> None:
    said = talk(parts)
    found = reconstruct(said)
    legal(found)
    assert reconstruct(said) == found
    score = score_of(found, title='odd "title"\n\\')
    assert [m.uci() for m in score.moves] == [ply.uci for ply in found.plies]
    if found.plies:
        again = read_score(write_pgn(score))
        assert again.moves == score.moves
        assert again.header("Annotator") == ANNOTATOR


@pytest.mark.parametrize("number", [0, 3, 5])
def test_settling_what_was_found_changes_nothing(number: int) -> None:
    said = words("E4, d5, takes, takes, knight c3, queen a5, d4.")
    before = reconstruct(said)
    ply = before.plies[number]
    assert moves(reconstruct(said, told=[ToldMoves(ply.at_ms, (ply.san,))])) == moves(before)


TALK = """\
[0:00] Welcome. White plays e4, e5, knight f3, knight c6, bishop b5, a6.
[0:10] White takes on c6, and Black takes back with the d pawn.
[0:16] If White takes on e5 now, queen d4 hits both. So in the game he castled, f6, d4, takes, takes, c5.
[0:30] That is all.
"""


def run(*arguments: str) -> str:
    result = CliRunner().invoke(app, list(arguments))
    assert result.exit_code == 0, result.output
    return result.output


def test_from_talk_alone_to_cues(tmp_path: Path) -> None:
    """new, follow, settle a doubt, follow: the PGN says what it is, the board moves, the doubt is gone."""
    transcript, folder = tmp_path / "talk.txt", tmp_path / "lesson"
    transcript.write_text(TALK)
    run("new", str(folder), "--transcript", str(transcript))
    told = run("follow", str(folder))
    assert "doubtful-move" in told
    pgn = folder / "out" / "reconstructed.pgn"
    assert load_score(pgn).header("Annotator") == ANNOTATOR
    lesson = load_lesson(folder).lesson
    assert lesson.score is None
    shown = [cue.show for cue in lesson.cues if cue.show]
    assert shown[:9] == ["1w", "1b", "2w", "2b", "3w", "3b", "4w", "4b", "4b Nxe5"]
    assert "no score was given" in (folder / "lesson.yaml").read_text().lower()
    command = next(line for line in told.splitlines() if "plyline edit DIR played" in line and "Nxd4" in line)
    at = command.split("played ")[1].split()[0]
    assert command.strip().endswith('"7.Qxd4"')
    run("edit", str(folder), "played", at, "7. Qxd4")
    assert "7. Nxd4 is doubtful" in told
    assert "7. Qxd4 is doubtful" not in run("follow", str(folder))
    assert "7. Qxd4" in " ".join(pgn.read_text().split())
    before = (folder / "lesson.yaml").read_bytes()
    for move, said in (
        ("Kd4", "Kd4 cannot be played after 1. e4 e5"),
        ("Ne9", "'Ne9' is not how a move is written"),
        ("none Qxd4", "'none' is not how a move is written"),
        ("0000", "'0000' is not how a move is written"),
        ("7.", "'7.' holds no move"),
        ("7. Qxd4 8.", "'8.' stands before no move"),
        ("7. Qxd4 8. Nf6", "'8.Nf6' does not follow from the moves before it"),
        ("7...Qxd4", "7...Qxd4 cannot be played after 1. e4 e5"),
        ("7...Qxd4", "it is White's move 7"),
        ("17. Qxd4", "it is White's move 7"),
    ):
        refused = CliRunner().invoke(app, ["edit", str(folder), "played", at, move])
        assert (refused.exit_code, said in refused.output) == (2, True), refused.output
        assert "\n  mend: " in refused.output
    late = CliRunner().invoke(app, ["edit", str(folder), "played", "59:00", "Qxd4"])
    assert (late.exit_code, "the lesson ends at" in late.output) == (2, True)
    assert (folder / "lesson.yaml").read_bytes() == before


def test_settling_an_earlier_move_says_which_later_one_no_longer_fits(tmp_path: Path) -> None:
    transcript, folder = tmp_path / "talk.txt", tmp_path / "lesson"
    transcript.write_text("[0:00] E4. Then e5. Then knight f3. Then knight c6. That is all of it.\n")
    run("new", str(folder), "--transcript", str(transcript))
    pgn = folder / "out" / "reconstructed.pgn"
    run("follow", str(folder))
    assert "1. e4 e5 2. Nf3" in " ".join(pgn.read_text().split())
    first, second = (c.at for c in load_lesson(folder).lesson.cues if c.show in ("1w", "2w"))
    for step in (("played", format_ms(second), "Bc4"), ("undo",), ("redo",)):
        told = run("edit", str(folder), *step)
        assert "warning" not in told
        assert f"next: plyline follow {folder} (or build) works the game out anew" in told
    told = run("edit", str(folder), "played", format_ms(first), "d4")
    assert f"{format_ms(second)}: warning[illegal-move]: Bc4 cannot be played after 1. d4" in told
    assert "next: " not in told, "a follow would stop there"
    assert len(load_lesson(folder).lesson.reconstruct.played) == 2
    assert "next: " in run("edit", str(folder), "undo")
    run("edit", str(folder), "title", "Another")
    assert run("edit", str(folder), "undo") == "taken back: title: Another\n", "that changes no move"


def test_moves_settled_before_the_recording_was_listened_to(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The edit does not take minutes to listen; it says that the move has still to be checked."""
    monkeypatch.setattr("timeline.work.Work.words_known", False)
    transcript, folder = tmp_path / "talk.txt", tmp_path / "lesson"
    transcript.write_text(TALK)
    run("new", str(folder), "--transcript", str(transcript))
    assert "is told when the recording has been listened to" in run("edit", str(folder), "played", "0:02", "Kd4")


def test_a_position_given_in_the_lesson_file(tmp_path: Path) -> None:
    fen = "4k3/P7/8/8/8/8/3p4/3K4 b - - 0 1"
    transcript, folder = tmp_path / "talk.txt", tmp_path / "lesson"
    transcript.write_text("[0:00] King d7, a8 queen. And king e6.\n[0:08] That is all.\n")
    run("new", str(folder), "--transcript", str(transcript))
    file = folder / "lesson.yaml"
    file.write_text(f'{file.read_text()}reconstruct: {{start: "{fen}"}}\n')
    run("follow", str(folder))
    assert load_score(folder / "out" / "reconstructed.pgn").start.fen() == fen
    assert [cue.show for cue in load_lesson(folder).lesson.cues if cue.show] == ["1b", "2w", "2b"]


def test_talk_without_moves_leaves_the_start_position(tmp_path: Path) -> None:
    transcript, folder = tmp_path / "talk.txt", tmp_path / "lesson"
    transcript.write_text("[0:00] Good evening everybody, how are you all?\n[0:10] Thank you.\n")
    run("new", str(folder), "--transcript", str(transcript))
    assert "nothing could be worked out" in run("follow", str(folder))
    assert not load_lesson(folder).lesson.cues


def test_neither_score_nor_talk_is_refused(tmp_path: Path) -> None:
    result = CliRunner().invoke(app, ["new", str(tmp_path / "lesson")])
    assert result.exit_code == 2
    assert "a lesson needs a score, or a transcript" in result.output
    assert not (tmp_path / "lesson").exists()


@pytest.mark.referee("pgn-extract")
@pytest.mark.parametrize("start", [None, "4k3/8/8/8/8/8/4P3/4K3 w - - 0 1"])
def test_pgn_extract_reads_what_is_written(referee_path, tmp_path: Path, start: str | None) -> None:
    """pgn-extract (an independent reader) finds one game, reports nothing, and has the same moves."""
    board = chess.Board(start) if start else None
    found = reconstruct(words(RUY if start is None else "E4, king d7, e5, king e6."), start=board)
    assert found.plies
    path = tmp_path / "game.pgn"
    path.write_text(write_pgn(score_of(found, title="A talk")))
    done = subprocess.run(
        [referee_path("pgn-extract"), "-s", "-C", "-Wsan", "-w100000", str(path)], capture_output=True, check=True
    )
    assert not done.stderr
    body = done.stdout.decode().strip().split("\n\n")[-1].split()
    assert [w for w in body if w[0].isalpha()] == [ply.san for ply in found.plies]

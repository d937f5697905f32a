"""The score: reading, addresses both ways, marks, and errors with their places."""

from __future__ import annotations

import contextlib
import random
import subprocess
from pathlib import Path

import chess
import chess.pgn
import pytest
from hypothesis import given
from hypothesis import strategies as st

from timeline.problems import AddressError, ScoreError
from timeline.score import Score, load_score, read_score

SIDELINES = """[Event "Lantern league"]
[White "Ilse Marrow"]
[Black "Bo Tann"]
[Result "*"]

1. e4 $1 {the first word} e5 (1... c5 2. Nf3 (2. c3 d5) d6) 2. Nf3 Nc6 3. Bb5 a6 *
"""

# Public domain: Morphy - Duke of Brunswick and Count Isouard, Paris 1858.
OPERA = """[Event "Paris"]
[White "Morphy"]
[Black "Consultants"]
[Result "1-0"]

1. e4 e5 2. Nf3 d6 3. d4 Bg4 4. dxe5 Bxf3 5. Qxf3 dxe5 6. Bc4 Nf6 7. Qb3 Qe7 8. Nc3 c6 9. Bg5 b5
10. Nxb5 cxb5 11. Bxb5+ Nbd7 12. O-O-O Rd8 13. Rxd7 Rxd7 14. Rd1 Qe6 15. Bxd7+ Nxd7 16. Qb8+ Nxb8
17. Rd8# 1-0
"""


def fault(text: str, **how: int) -> str:
    with pytest.raises(ScoreError) as caught:
        read_score(text, source="game.pgn", **how)
    return str(caught.value)


def random_game(seed: int, plies: int) -> chess.pgn.Game:
    """A legal game with short sidelines, the same for the same seed."""
    chance = random.Random(seed)
    game = chess.pgn.Game()
    node: chess.pgn.GameNode = game
    for _ in range(plies):
        legal = list(node.board().legal_moves)
        if not legal:
            break
        move = chance.choice(legal)
        here, node = node, node.add_variation(move)
        others = [other for other in legal if other != move]
        if others and chance.random() < 0.3:
            here.add_variation(chance.choice(others))
    return game


def test_mainline_sidelines_comments_and_nags_are_kept() -> None:
    """PGN standard 8.2.4 (NAG), 8.2.5 (RAV), 5 (comments)."""
    score = read_score(SIDELINES)
    assert [score.address(score.moves[:n]) for n in range(4)] == ["start", "1w", "1b", "2w"]
    assert [score.address(path) for path in score.sidelines()] == ["1w c5 Nf3 d6", "1w c5 c3 d5"]
    first = score.node_at(score.moves[:1])
    assert first is not None
    assert first.nags == {chess.pgn.NAG_GOOD_MOVE}
    assert first.comment == "the first word"


def test_a_set_up_position_counts_plies_from_itself() -> None:
    """PGN standard 9.7: SetUp and FEN; here Black moves first at move 34."""
    score = read_score('[SetUp "1"]\n[FEN "8/8/4k3/8/4P3/4K3/8/8 b - - 3 34"]\n\n34... Kd6 35. Kd4 *\n')
    assert [score.address(score.moves[:n]) for n in range(3)] == ["start", "34b", "35w"]
    assert score.resolve("34b Kf4") == (*score.moves[:1], chess.Move.from_uci("e3f4"))


def test_arrows_and_squares_of_a_pgn_are_read_through_the_library() -> None:
    game = read_score(SIDELINES).game
    node = game.variations[0]
    node.set_arrows([(chess.E4, chess.E4), (chess.D1, chess.H5)])
    marks = Score(game).pgn_marks()
    assert [(len(m.path), m.squares) for m in marks] == [(1, (chess.E4,)), (1, (chess.D1, chess.H5))]


@given(seed=st.integers(0, 10_000), plies=st.integers(1, 60))
def test_addresses_lead_back_to_their_paths(seed: int, plies: int) -> None:
    score = Score(random_game(seed, plies))
    paths = [score.moves[:n] for n in range(len(score.moves) + 1)] + list(score.sidelines())
    for path in paths:
        assert score.resolve(score.address(path)) == path


@given(seed=st.integers(0, 10_000), plies=st.integers(1, 40))
def test_what_the_library_writes_is_read_back_whole(seed: int, plies: int) -> None:
    game = random_game(seed, plies)
    back = read_score(str(game) + "\n")
    assert list(back.moves) == list(game.mainline_moves())
    assert len(list(back.sidelines())) == len(list(Score(game).sidelines()))


@given(st.text(max_size=300))
def test_any_text_is_read_or_reported(text: str) -> None:
    with contextlib.suppress(ScoreError):
        assert read_score(text).boards


@pytest.mark.parametrize(
    ("address", "words"),
    [
        ("", "empty"),
        ("18w", "ends at 17w"),
        ("9c", "does not begin with"),
        ("3w Qh9", "Qh9 cannot be played after 3w"),
        ("8w Nbd7 Qd8", "Qd8 cannot be played"),
    ],
)
def test_an_address_that_does_not_resolve_says_where_and_what_is_legal(address: str, words: str) -> None:
    with pytest.raises(AddressError) as caught:
        read_score(OPERA).resolve(address)
    assert words in str(caught.value)


def test_an_ambiguous_address_says_so() -> None:
    score = read_score('[FEN "4k3/8/8/8/8/8/8/R4RK1 w - - 0 1"]\n[SetUp "1"]\n\n1. Rad1 *\n')
    with pytest.raises(AddressError, match="more than one piece"):
        score.resolve("start Rd1")


def test_an_illegal_move_is_named_with_line_column_and_what_that_piece_can_do() -> None:
    text = fault(OPERA.replace("10. Nxb5", "10. Nxe6"))
    assert text.startswith("game.pgn:7:5: error[illegal-move]")
    assert "10. Nxe6" in text
    assert "Nxb5" in text.split("mend: legal there:")[1]


def test_one_typing_error_does_not_blame_a_later_move() -> None:
    """python-chess drops unknown words silently and then blames an innocent move."""
    text = fault(OPERA.replace("2. Nf3 d6", "2. Nf33 d6"))
    assert "'Nf33' is no move" in text
    assert "d6 cannot" not in text


@pytest.mark.parametrize(
    ("text", "code"),
    [
        ("", "no-game"),
        ("   \n\n", "no-game"),
        ('[White "A"]\n\n*\n', "no-game"),
        (OPERA.replace("1-0\n", "{never closed\n"), "open-comment"),
        (OPERA.replace("3. d4", "3. d4 }"), "stray-brace"),
        (OPERA.replace("3. d4", "3. d4 (3. Bc4"), "open-sideline"),
        (OPERA.replace("3. d4", "3. d4 )"), "stray-bracket"),
        ('[Variant "Atomic"]\n\n1. e4 *\n', "variant"),
        ('[FEN "4k3/8/8/8/8/8/8/R4RK1 w - - 0 1"]\n[SetUp "1"]\n\n1. Rd1 *\n', "ambiguous-move"),
    ],
)
def test_faults_of_a_pgn_have_codes(text: str, code: str) -> None:
    assert f"error[{code}]" in fault(text)


def test_a_sideline_that_is_never_closed_is_told_where_it_is_opened() -> None:
    with pytest.raises(ScoreError) as caught:
        read_score("1. e4 e5\n2. Nf3 (2. Bc4 Nf6 (2... Bc5)\n3. d3) Nc6 3. Bb5 (3. d4\nexd4 4. Nxd4 *\n")
    found = caught.value.findings[0]
    assert (found.code, found.line, found.column) == ("open-sideline", 3, 19)


def test_a_position_that_cannot_be_read_is_told_at_its_tag() -> None:
    with pytest.raises(ScoreError) as caught:
        read_score('[Event "x"]\n[SetUp "1"]\n[FEN "8/8/8/4k3/8/8/4P3 w - - 0 1"]\n\n1. e4 *\n')
    found = caught.value.findings[0]
    assert (found.code, found.line) == ("bad-pgn", 3)
    assert "FEN" in found.message and found.source.startswith("[FEN")


def test_captions_are_no_score() -> None:
    with pytest.raises(ScoreError, match="captions, not a game") as caught:
        read_score("1\n00:00:05,000 --> 00:00:09,000\nwhite plays e4\n\n2\n00:00:10,000 --> 00:00:11,000\nd5\n")
    assert (caught.value.findings[0].code, caught.value.findings[0].line) == ("no-game", 2)


def test_the_next_game_may_begin_without_an_empty_line() -> None:
    """PGN standard, 8.1: tags, an empty line, moves, an empty line. People paste files together without."""
    first = '[Event "a"]\n[White "Ann"]\n\n1. e4 {1-0} e5 1-0\n'
    second = '[Event "b"]\n[White "Bea"]\n[SetUp "1"]\n[FEN "4k3/8/8/8/8/8/4P3/4K3 w - - 0 1"]\n\n1. Kd2 Kd7 *\n'
    for text in (first + second, first.replace(" 1-0\n", "\n") + second, first + second.replace('[Event "b"]\n', "")):
        assert read_score(text, game=1).header("White") == "Ann"
        score = read_score(text, game=2)
        assert (score.header("White"), len(score.moves)) == ("Bea", 2)
    with pytest.raises(ScoreError) as caught:
        read_score(first + second.replace("Kd7", "Kd6"), game=2)
    assert caught.value.findings[0].line == 10


def test_of_two_games_one_must_be_picked() -> None:
    both = OPERA + "\n" + SIDELINES
    text = fault(both)
    assert "1: Morphy - Consultants; 2: Ilse Marrow - Bo Tann" in text
    assert "--game 1" in text
    assert len(read_score(both, game=2).moves) == 6
    assert "no game 3" in fault(both, game=3)


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
def test_encodings_of_a_score(tmp_path: Path, encoding: str) -> None:
    path = tmp_path / "game.pgn"
    path.write_bytes(OPERA.replace("Morphy", "Jörg Æsk").replace("\n", "\r\n").encode(encoding))
    assert load_score(path).header("White") == "Jörg Æsk"


@pytest.mark.referee("pgn-extract")
def test_pgn_extract_reads_the_same_final_position(referee_path, tmp_path: Path) -> None:
    """pgn-extract's own move generator arrives at our last position (-Wepd lists every position)."""
    path = tmp_path / "opera.pgn"
    path.write_text(OPERA, encoding="utf-8")
    command = [referee_path("pgn-extract"), "-s", "-Wepd", str(path)]
    done = subprocess.run(command, capture_output=True, text=True, check=True)
    positions = [line.rsplit(" c0", 1)[0].strip() for line in done.stdout.splitlines() if line.strip()]
    ours = [board.epd().split() for board in read_score(OPERA).boards]
    assert [p.split()[:3] for p in positions] == [board[:3] for board in ours]

"""Facts of one position: definitions by example, and against a second implementation over whole games."""

from __future__ import annotations

from pathlib import Path

import chess
import pytest
from naive import Board as Naive
from truth import games

from timeline.checks import facts, structure

SQ = chess.parse_square
ECO_FILES = [Path("/usr/share/pgn-extract/eco.pgn"), Path("/usr/share/games/pgn-extract/eco.pgn")]


def positions() -> list[chess.Board]:
    found = []
    for game in games():
        board = game.board()
        for move in game.mainline_moves():
            board.push(move)
            found.append(board.copy(stack=False))
    return found[::3]


@pytest.mark.parametrize("board", positions(), ids=lambda b: str(b.fullmove_number))
def test_facts_agree_with_a_second_implementation(board: chess.Board) -> None:
    naive = Naive(board.fen())
    for square in chess.SquareSet(board.occupied):
        side = bool(board.color_at(square))
        assert sorted(facts.attackers(board, square, not side)) == sorted(naive.attackers(square, not side))
        assert sorted(facts.pin(board, square)) == sorted(naive.pins(square))
        if board.piece_type_at(square) == chess.PAWN:
            assert structure.isolated(board, square) == naive.isolated(square)
            assert structure.passed(board, square) == naive.passed(square)
            if naive.backward(square) is not None:
                assert structure.backward(board, square) in (naive.backward(square), None)
    for side in chess.COLORS:
        assert structure.points(board, side) == naive.points(side)
        for square in chess.SQUARES:
            assert structure.weak_square(board, square, side) != naive.pawn_reaches(square, side)


def test_double_check_and_discovered_check() -> None:
    """Reti - Tartakower, Vienna 1910: 10. Bg5 is a double check from d1 and g5, one of them discovered."""
    board = chess.Board()
    for san in "e4 c6 d4 d5 Nc3 dxe4 Nxe4 Nf6 Qd3 e5 dxe5 Qa5+ Bd2 Qxe5 O-O-O Nxe4 Qd8+ Kxd8".split():
        board.push_san(san)
    move = board.push_san("Bg5+")
    assert facts.double_check(board)
    assert facts.discovered_check(board, move) is True
    plain = chess.Board("4k3/8/8/8/8/8/8/R3K3 w - - 0 1")
    assert facts.discovered_check(plain, None) is False
    rook = plain.push_san("Ra8+")
    assert not facts.double_check(plain)
    assert facts.discovered_check(plain, rook) is False


@pytest.mark.parametrize(
    ("fen", "square", "expected"),
    [
        ("4k3/8/8/8/1b6/2N5/8/4K1N1 w - - 0 1", "c3", True),  # to the king: PGN standard's own kind of example
        ("rn1qkbnr/ppp2ppp/3p4/4p3/2B1P1b1/5N2/PPPP1PPP/RNBQK2R w KQkq - 0 4", "f3", True),  # to the queen
        ("rn1qkbnr/ppp2ppp/3p4/4p3/2B1P1b1/5N2/PPPPQPPP/RNB1K2R w KQkq - 0 4", "f3", True),  # e2: queen behind again
        ("rnbqkbnr/pppp1ppp/8/4p3/4P3/5N2/PPPP1PPP/RNBQKB1R b KQkq - 1 2", "f3", False),
        ("4k3/8/8/8/4r3/8/4N3/4B1K1 w - - 0 1", "e2", None),  # a bishop behind a knight: usage differs
    ],
)
def test_pinned(fen: str, square: str, expected: bool | None) -> None:
    assert facts.pinned(chess.Board(fen), SQ(square)) is expected


@pytest.mark.parametrize(
    ("fen", "square", "expected"),
    [
        ("4k3/8/8/3n4/4P3/8/8/4K3 w - - 0 1", "d5", True),  # a pawn takes a knight
        ("4k3/8/2p5/3n4/8/8/3R4/4K3 w - - 0 1", "d5", False),  # protected against a rook
        ("4k3/8/8/3n4/8/8/3R4/4K3 b - - 0 1", "d5", True),  # unprotected, whoever is to move
        ("4k3/8/8/3n4/8/8/8/R3K3 w - - 0 1", "d5", False),  # not attacked at all
        ("4k3/8/2p5/3n4/8/8/3R4/3RK3 w - - 0 1", "d5", False),  # attacked twice by rooks, protected by a pawn
    ],
)
def test_hanging_counts_the_exchange(fen: str, square: str, expected: bool) -> None:
    assert facts.hanging(chess.Board(fen), SQ(square)) is expected


def test_fork_skewer_battery_xray() -> None:
    board = chess.Board("r3k3/8/8/8/8/8/8/4K3 w - - 0 1")
    board.set_piece_at(SQ("c7"), chess.Piece.from_symbol("N"))
    assert facts.fork(board, SQ("c7")) is True
    line = chess.Board("3q4/8/8/3k4/8/8/8/3RK3 b - - 0 1")
    assert facts.skewers(line, SQ("d1")) == [(SQ("d5"), SQ("d8"))]
    assert facts.is_skewer(line, SQ("d1"), SQ("d5"), SQ("d8")) is True
    assert facts.xray(line, SQ("d1"), SQ("d8"))
    pair = chess.Board("4k3/8/8/8/8/3Q4/8/3RK3 w - - 0 1")
    assert facts.battery(pair, SQ("d1"), SQ("d3"))
    assert not facts.battery(pair, SQ("d1"), SQ("e1"))


def test_files_pawns_and_squares() -> None:
    board = chess.Board("4k3/pp3ppp/8/3p4/8/4P3/PP3PPP/4K3 w - - 0 1")
    assert structure.open_file(board, 2)
    assert structure.half_open(board, 3, chess.WHITE)
    assert not structure.half_open(board, 3, chess.BLACK)
    assert structure.isolated(board, SQ("d5"))
    assert not structure.isolated(board, SQ("e3"))
    assert structure.weak_square(board, SQ("d4"), chess.BLACK)
    assert not structure.passed(board, SQ("d5"))


def test_square_colours() -> None:
    """FIDE Laws 2.1: the right corner square nearest to each player is white (h1, a8)."""
    assert structure.is_light(SQ("h1"))
    assert structure.is_light(SQ("a8"))
    assert not structure.is_light(SQ("a1"))


def test_the_exchange_and_material() -> None:
    board = chess.Board("4k1n1/pppp4/8/8/8/8/PPPP4/4K2R w - - 0 1")
    assert structure.exchange_up(board, chess.WHITE)
    assert not structure.exchange_up(board, chess.BLACK)
    board = chess.Board("4k3/ppp5/8/8/8/8/PPPPP3/4K3 w - - 0 1")
    assert structure.pawns_up(board, chess.WHITE, 2) is True
    assert structure.pawns_up(board, chess.WHITE, 1) is False


@pytest.mark.referee("pgn-extract")
def test_opening_names_agree_with_another_table(tmp_path, referee_path) -> None:
    """pgn-extract's own ECO file names the family that our table gives for the same moves."""
    import subprocess

    from timeline.checks.openings import lines_of

    families = {
        "sicilian": "Sicilian", "french": "French", "caro kann": "Caro-Kann", "philidor": "Philidor",
        "alekhine": "Alekhine", "scandinavian": "Scandinavian", "evans gambit": "Evans", "petrov": "Petrov",
        "vienna": "Vienna", "scotch": "Scotch", "slav": "Slav", "benko gambit": "Benko", "dutch": "Dutch",
        "catalan": "Catalan", "trompowsky": "Trompovsky",
    }  # fmt: skip

    eco = next((p for p in ECO_FILES if p.is_file()), None)
    if eco is None:
        pytest.skip("pgn-extract came without its ECO file")
    for ours, theirs in families.items():
        line = lines_of(ours)[0]
        board, sans = chess.Board(), []
        for san in line.split():
            try:
                move = board.parse_san(san)
            except ValueError:
                break  # the table's order is free: only lines in playing order are compared
            sans.append(san)
            board.push(move)
        else:
            pgn = tmp_path / "g.pgn"
            pgn.write_text(f'[Event "?"]\n[Result "*"]\n\n{" ".join(sans)} *\n')
            out = subprocess.run(
                [referee_path("pgn-extract"), "-s", f"-e{eco}", str(pgn)], capture_output=True, text=True, timeout=60
            ).stdout
            assert theirs.lower() in out.lower(), (ours, out)

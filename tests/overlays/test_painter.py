"""Whole pictures: equal keys are equal pixels, positions can be read back, marks hide nothing."""

from __future__ import annotations

import random
from dataclasses import replace
from fractions import Fraction
from itertools import pairwise

import chess
import numpy as np
import pytest

from overlays import samples
from overlays.painter import PARTS, PICTURES, BoardPainter
from overlays.screenplay import DrawnMark
from overlays.show import Show
from overlays.theme import theme_names
from timeline.filmsettings import FilmSettings
from timeline.tracks import ROLES, BoardSpan, BoardTrack

SMALL = FilmSettings(size="360p")


def still(fen: str, orientation: str = "white") -> Show:
    track = BoardTrack(fen, (), (BoardSpan(0, 1000, fen, (), 0, "", "score"),))
    return Show(track, "T", orientation="black" if orientation == "black" else "white")


def squares_of(painter: BoardPainter, rgb: np.ndarray) -> dict[int, np.ndarray]:
    """The picture's 64 squares, by the board's own numbers."""
    inner, side = painter.stage.squares, painter.stage.square
    found = {}
    for square in chess.SQUARES:
        file, rank = chess.square_file(square), chess.square_rank(square)
        column, row = (file, 7 - rank) if painter.show.orientation == "white" else (7 - file, rank)
        x, y = inner.x + column * side, inner.y + row * side
        found[square] = rgb[y : y + side, x : x + side].astype(int)
    return found


def templates(settings: FilmSettings) -> dict[tuple[str, bool], np.ndarray]:
    """Every piece on a light and on a dark square, from two pictures drawn for it."""
    found = {}
    for shift in (0, 1):
        board = chess.Board(None)
        for i, symbol in enumerate("PNBRQKpnbrqk"):
            board.set_piece_at(
                2 * i + shift + (0 if (i // 4) % 2 == 0 else 1 - 2 * shift), chess.Piece.from_symbol(symbol)
            )
        painter = BoardPainter(still(board.fen()), settings)
        cut = squares_of(painter, painter.rgb(painter.screenplay.at(0)))
        for square in chess.SQUARES:
            light = bool(chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[square])
            piece = board.piece_at(square)
            found[(piece.symbol() if piece else ".", light)] = cut[square]
    return found


def read_back(painter: BoardPainter, rgb: np.ndarray, known: dict[tuple[str, bool], np.ndarray]) -> str:
    """The placement in the picture: each square is the template nearest to it."""
    board = chess.BaseBoard(None)
    for square, pixels in squares_of(painter, rgb).items():
        light = bool(chess.BB_LIGHT_SQUARES & chess.BB_SQUARES[square])
        costs = {s: float(np.abs(pixels - t).mean()) for (s, shade), t in known.items() if shade == light}
        best = min(costs, key=costs.__getitem__)
        if best != ".":
            board.set_piece_at(square, chess.Piece.from_symbol(best))
    return board.board_fen()


@pytest.mark.parametrize("theme", theme_names())
@pytest.mark.parametrize("orientation", ["white", "black"])
def test_positions_are_read_back_from_pixels(theme: str, orientation: str) -> None:
    """Random games by python-chess; our own template reader, which sees pixels only."""
    settings = FilmSettings(size="360p", theme=theme)
    known = templates(settings)
    assert len(known) == 26
    chance = random.Random(7)
    board = chess.Board()
    for _ in range(12):
        for _ in range(chance.randrange(1, 9)):
            if board.is_game_over():
                board.reset()
            board.push(chance.choice(list(board.legal_moves)))
        painter = BoardPainter(still(board.fen(), orientation), settings)
        assert read_back(painter, painter.rgb(painter.screenplay.at(0)), known) == board.board_fen()


def test_a_film_is_read_back_at_every_cue() -> None:
    """With last moves, marks and sidelines on the board, in the game's own colours and the sideline's."""
    painter = BoardPainter(samples.game_show(), SMALL)
    known = templates(SMALL)
    for scene in painter.screenplay.scenes:
        if scene.span.origin == "sideline":
            continue  # other square colours: other templates
        rgb = painter.rgb(painter.screenplay.at(scene.start_ms))
        assert read_back(painter, rgb, known) == scene.pose.standing, scene.start_ms


def test_equal_keys_are_equal_pixels_whatever_was_drawn_before() -> None:
    one, two = BoardPainter(samples.game_show(), SMALL), BoardPainter(samples.game_show(), SMALL)
    keys = [run.key for run in one.runs(Fraction(10))]
    chance = random.Random(3)
    for key in chance.sample(keys, 24):
        assert np.array_equal(one.rgb(key), two.rgb(key))
        one.rgb(chance.choice(keys))


@pytest.mark.parametrize("layout", ["board-panel", "over-bottom-left"])
def test_a_picture_painted_alone_equals_one_painted_in_a_film(layout: str) -> None:
    settings = FilmSettings(size="360p", layout=layout, captions=True, opening_s=1)
    film = BoardPainter(samples.game_show(), settings)
    runs = list(film.runs(Fraction(10)))
    chosen = set(random.Random(5).sample(range(len(runs)), 16))
    for number, run in enumerate(runs):
        picture = film.rgba(run.key)
        if number in chosen:
            assert np.array_equal(BoardPainter(samples.game_show(), settings).rgba(run.key), picture), run.key


def test_different_keys_differ_in_pixels() -> None:
    """A run never ends without a change that can be seen (sampled over the film)."""
    painter = BoardPainter(samples.game_show(), FilmSettings(size="720p"))
    keys = [run.key for run in painter.runs(Fraction(5))]
    pictures = [painter.rgb(key).copy() for key in keys]
    assert all(not np.array_equal(a, b) for a, b in pairwise(pictures))


def test_pictures_and_parts_are_bounded() -> None:
    painter = BoardPainter(samples.game_show(), SMALL)
    for run in painter.runs(Fraction(30)):
        painter.rgb(run.key)
    assert len(painter._pictures) <= PICTURES
    assert len(painter._drawn) <= PARTS


@pytest.mark.parametrize("role", ROLES)
@pytest.mark.parametrize("kind", ["square", "arrow", "route"])
def test_marks_hide_no_piece_and_no_coordinate(kind: str, role: str) -> None:
    show = still("r3k2r/pppqppbp/2np1np1/8/4P1b1/2NPBN2/PPPQBPPP/R3K2R w KQkq - 0 1")
    painter = BoardPainter(show, FilmSettings(size="720p"))
    plain = painter.screenplay.at(0)
    squares = {
        "square": (chess.F3, chess.G7, chess.A1),
        "arrow": (chess.A1, chess.H8),
        "route": (chess.G1, chess.F3, chess.E5),
    }
    marked = replace(plain, marks=(DrawnMark(kind, squares[kind], role, 1),))
    bare, drawn = painter.rgb(plain), painter.rgb(marked)
    assert not np.array_equal(bare, drawn)
    inner = painter.stage.squares
    outside = np.ones(bare.shape[:2], bool)
    outside[inner.y : inner.bottom, inner.x : inner.right] = False
    assert np.array_equal(bare[outside], drawn[outside])
    empty = replace(plain, pose=replace(plain.pose, standing="8/8/8/8/8/8/8/8"))
    pieces = (painter.rgb(empty) != bare).any(axis=2)
    theme = painter.theme.pieces
    solid = [np.array([int(c[i : i + 2], 16) for i in (1, 3, 5)]) for c in (theme.white.fill, theme.black.fill)]
    inside = pieces & np.any([(bare == colour).all(axis=2) for colour in solid], axis=0)
    assert inside.sum() > 2000
    assert np.array_equal(bare[inside], drawn[inside])


def test_roles_differ_without_colour() -> None:
    """WCAG 2.2, 1.4.1: shapes alone tell them apart, on one grey for all roles."""
    painter = BoardPainter(still(chess.Board(None).fen()), FilmSettings(size="720p"))
    grey = dict.fromkeys(("attack", "defence", "plan", "weakness", "key_square", "route"), "#808080")
    painter.theme = painter.theme.model_copy(update={"marks": painter.theme.marks.model_copy(update=grey)})
    plain = painter.screenplay.at(0)
    for kind, squares in (("square", (chess.D4,)), ("arrow", (chess.B2, chess.F6))):
        pictures = [
            painter.rgb(replace(plain, marks=(DrawnMark(kind, squares, role),))).astype(int).copy() for role in ROLES
        ]
        ground = painter.rgb(plain).astype(int)
        for i, one in enumerate(pictures):
            for other in pictures[i + 1 :]:
                differs = (np.abs(one - other).max(axis=2) > 60).sum()
                drawn = (np.abs(one - ground).max(axis=2) > 60).sum()
                assert differs > 0.25 * drawn


def test_over_the_recording_only_our_parts_are_opaque() -> None:
    painter = BoardPainter(samples.game_show(), FilmSettings(size="720p", layout="over-top-right", captions=True))
    board, caption = painter.stage.board, painter.stage.caption
    rgba = painter.rgba(painter.screenplay.at(28_000))
    assert rgba.shape == (720, 1280, 4)
    assert (rgba[board.y : board.bottom, board.x : board.right, 3] == 255).all()
    assert caption is not None
    words = rgba[caption.y : caption.bottom, caption.x : caption.right, 3]
    assert 0.8 * 255 < np.median(words[words > 0]) < 255
    assert rgba[:30, :30, 3].max() == 0
    assert rgba[-30:, :30, 3].max() == 0


def test_the_camera_shows_through_a_hole() -> None:
    painter = BoardPainter(samples.game_show(), FilmSettings(size="720p", layout="camera-inset"))
    camera = painter.stage.camera
    assert camera is not None
    alpha = painter.rgba(painter.screenplay.at(5000))[..., 3]
    assert (alpha[camera.y : camera.bottom, camera.x : camera.right] == 0).all()
    assert (alpha == 0).sum() == camera.width * camera.height


def test_a_plain_stage_is_opaque_and_both_forms_agree() -> None:
    painter = BoardPainter(samples.game_show(), SMALL)
    state = painter.screenplay.at(28_000)
    assert np.array_equal(painter.rgba(state)[..., :3], painter.rgb(state))
    assert (painter.rgba(state)[..., 3] == 255).all()


def test_keys_of_other_painters_are_refused() -> None:
    with pytest.raises(TypeError, match="State"):
        BoardPainter(samples.game_show(), SMALL).rgb("frame 1")
